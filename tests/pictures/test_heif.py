"""HEIF pictures come out as sRGB, those of a wide range too."""

from __future__ import annotations

import io

import numpy as np
import pillow_heif
import pytest
from PIL import Image

from setpiece.errors import BadFile
from setpiece.pictures.heif import heif_picture, heif_pixels
from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of

PQ = {"color_primaries": 9, "transfer_characteristics": 16, "matrix_coefficients": 9}


def pq_code(light_cd_m2: float) -> float:
    """The PQ code value, 0 to 1, of a luminance (SMPTE ST 2084, inverse of equation 4.1)."""
    m1, m2 = 0.1593017578125, 78.84375
    c1, c2, c3 = 0.8359375, 18.8515625, 18.6875
    power = (light_cd_m2 / 10_000) ** m1
    return float(((c1 + c2 * power) / (1 + c3 * power)) ** m2)


def heif(codes: list[float]) -> bytes:
    """A HEIF file of 10 bits, one upright band of grey a code value, marked as PQ."""
    bands = np.repeat(np.array(codes), 64)[None, :, None] * 65535
    stored = np.broadcast_to(bands, (64, bands.shape[1], 3)).astype(np.uint16)
    made = pillow_heif.from_bytes(
        "RGB;16", (stored.shape[1], stored.shape[0]), np.ascontiguousarray(stored).tobytes()
    )
    out = io.BytesIO()
    made.save(out, quality=98, **PQ)
    return out.getvalue()


def test_a_plain_heif_file_keeps_its_colours(scene: np.ndarray) -> None:
    """8 bits without a wide range pass through, to what the encoder changed."""
    out = io.BytesIO()
    pillow_heif.from_pillow(Image.fromarray(scene)).save(out, quality=95)
    data = out.getvalue()
    assert kind_of(data[:HEAD_BYTES]) is PictureKind.HEIF
    assert np.abs(heif_pixels(data).astype(int) - scene).mean() < 4


def test_reference_white_is_near_white_and_mid_grey_stays() -> None:
    """203 cd/m2 becomes a light grey, a tenth of it a tenth of the light, a lamp white at most.

    Light of 0.7 and below is only scaled (0.9 at reference white) and encoded as IEC 61966-2-1
    says; one step of 255 and the encoder's own error are allowed.
    """
    codes = [pq_code(light) for light in (203.0, 20.3, 2.03, 4000.0)]
    rgb = heif_pixels(heif(codes))[32, 32::64, 1].astype(int)
    share = np.array([0.09, 0.009])
    expected = 255 * (1.055 * share ** (1 / 2.4) - 0.055)
    assert np.abs(rgb[1:3] - expected).max() <= 2.5
    assert 225 <= rgb[0] < rgb[3] <= 255


def test_brighter_light_is_never_darker() -> None:
    """Along a ramp of code values the greys only rise."""
    rgb = heif_pixels(heif([step / 15 for step in range(16)]))[32, 32::64].astype(int)
    assert (np.diff(rgb[:, 1]) >= 0).all()
    assert np.ptp(rgb, axis=1).max() <= 3


def test_a_wide_range_comes_without_a_profile() -> None:
    """Once mapped, the picture is sRGB."""
    assert heif_picture(heif([0.2, 0.5]))[1] is None


@pytest.mark.parametrize("cut", [30, 200, 400])
def test_a_heif_file_cut_short_is_a_bad_file(scene: np.ndarray, cut: int) -> None:
    """A HEIF file decodes whole or not at all, and that is said."""
    out = io.BytesIO()
    pillow_heif.from_pillow(Image.fromarray(scene)).save(out, quality=80)
    with pytest.raises(BadFile):
        heif_pixels(out.getvalue()[:cut])
