"""Colour profiles are found, known and made."""

from __future__ import annotations

import numpy as np
import pytest
import pyvips
from files import noise_jpeg, with_profile
from PIL import ImageCms

from setpiece.pictures.profiles import embedded_profile, is_srgb, wide_profile
from setpiece.pictures.segments import read_header

PROFILE = bytes(range(256)) * 300

_PRIMARIES = {"r": (0.64, 0.33), "g": (0.21, 0.71), "b": (0.15, 0.06)}
_WHITE_D65 = (0.3127, 0.3290)


@pytest.mark.parametrize("parts", [1, 2, 5])
def test_a_profile_in_parts_is_joined(parts: int) -> None:
    """However many segments hold it, the profile is whole."""
    header = read_header(with_profile(noise_jpeg(16, 16), PROFILE[:40_000], parts))
    assert embedded_profile(header) == PROFILE[:40_000]


def test_a_profile_that_lacks_a_part_is_none() -> None:
    """A missing part makes the rest useless."""
    jpeg = with_profile(noise_jpeg(16, 16), PROFILE[:3000], 3)
    first = read_header(jpeg).segments[0].encode()
    assert embedded_profile(read_header(jpeg.replace(first, b""))) is None
    assert embedded_profile(read_header(noise_jpeg(16, 16))) is None


def test_srgb_names_itself() -> None:
    """An independent library's sRGB profile is known as such, the wide one is not."""
    assert is_srgb(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    assert not is_srgb(wide_profile())


def to_xyz(primaries: dict[str, tuple[float, float]], white: tuple[float, float]) -> np.ndarray:
    """Linear RGB to XYZ from chromaticities (SMPTE RP 177, derivation of the matrix)."""
    columns = np.array([[x / y, 1, (1 - x - y) / y] for x, y in primaries.values()]).T
    x, y = white
    return columns * np.linalg.solve(columns, [x / y, 1, (1 - x - y) / y])


def test_wide_colours_come_out_as_the_standard_computes() -> None:
    """opRGB pixels turn into the sRGB that chromaticities and curves give, within 2 of 255.

    Both spaces have the white D65, so that no adaptation comes in. Primaries of opRGB and sRGB:
    IEC 61966-2-5 and 61966-2-1 (from memory). Colours are chosen inside sRGB.
    """
    pixels = np.array(
        [[[120, 120, 120], [150, 100, 90], [100, 140, 100], [90, 100, 150]]], np.uint8
    )
    image = pyvips.Image.new_from_array(pixels).copy(interpretation="srgb")
    image.set_type(pyvips.GValue.blob_type, "icc-profile-data", wide_profile())
    found = image.icc_transform("srgb", embedded=True, intent="relative").numpy().astype(int)
    wide = to_xyz(_PRIMARIES, _WHITE_D65)
    narrow = to_xyz({"r": (0.64, 0.33), "g": (0.30, 0.60), "b": (0.15, 0.06)}, _WHITE_D65)
    linear = (pixels / 255) ** (563 / 256) @ wide.T @ np.linalg.inv(narrow).T
    encoded = np.where(
        linear <= 0.0031308, 12.92 * linear, 1.055 * linear.clip(0) ** (1 / 2.4) - 0.055
    )
    assert np.abs(found - 255 * encoded).max() <= 2
