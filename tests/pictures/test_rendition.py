"""Renditions are the picture, cropped, reduced and in sRGB, and no more bytes than allowed."""

from __future__ import annotations

import io
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pillow_heif
import pytest
import simplejpeg
from files import raw_file, with_profile, with_tags
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageOps

from setpiece.errors import BadFile, WrongUse
from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of
from setpiece.pictures.profiles import wide_profile
from setpiece.pictures.rendition import Edit, Recipe, render
from setpiece.pictures.segments import read_header
from setpiece.pictures.straighten import Straightened

WHOLE = Recipe(long_side_px=0, quality=95, sharpen=False)


def pixels(jpeg: bytes) -> np.ndarray:
    """The pixels of a JPEG as a desk's own program sees them."""
    return np.asarray(Image.open(io.BytesIO(jpeg)).convert("RGB")).astype(int)


PHOTOGRAPHS = ("Canon_EOS_5D.jpg", "Leica_T__Typ_701_.jpg", "Nikon_D70.jpg", "edited_1.jpg")


@pytest.mark.parametrize("name", PHOTOGRAPHS)
def test_a_rendition_equals_an_independent_crop_and_resize(
    camera_file: Callable[[str], bytes], name: str
) -> None:
    """Another library's turning, crop and reduction give the same pixels within JPEG error.

    Tolerance: what one more JPEG of quality 95 changes, measured on the other library's own
    result, plus one of 255 for the two libraries' filters.
    """
    data = camera_file(name)
    x, y, width, height = 0.125, 0.2, 0.625, 0.5
    found = pixels(
        render(data, PictureKind.JPEG, Edit((x, y, width, height)), Recipe(900, 95, sharpen=False))
    )
    upright = ImageOps.exif_transpose(Image.open(io.BytesIO(data)))
    left, top = round(x * upright.width), round(y * upright.height)
    box = (left, top, left + round(width * upright.width), top + round(height * upright.height))
    size = (found.shape[1], found.shape[0])
    other = upright.convert("RGB").crop(box).resize(size, Image.Resampling.LANCZOS)
    again = io.BytesIO()
    other.save(again, "JPEG", quality=95)
    expected = np.asarray(other).astype(int)
    jpeg_error = np.abs(pixels(again.getvalue()) - expected)
    difference = np.abs(found - expected)
    assert max(size) == 900
    assert difference.mean() <= jpeg_error.mean() + 1
    assert np.percentile(difference, 99) <= np.percentile(jpeg_error, 99) + 6


@pytest.mark.parametrize("orientation", range(1, 9))
def test_pixels_are_turned_and_the_tag_goes(
    scene: np.ndarray, scene_jpeg: bytes, orientation: int
) -> None:
    """A rendition is upright by itself, for all eight values of the tag."""
    tagged = with_tags(scene_jpeg, {"Exif.Image.Orientation": str(orientation)})
    stored = Image.fromarray(scene)
    stored.getexif()[0x0112] = orientation
    upright = np.asarray(ImageOps.exif_transpose(stored)).astype(int)
    found = pixels(render(tagged, PictureKind.JPEG, Edit(), WHOLE))
    assert found.shape == upright.shape
    assert np.abs(found - upright).mean() < 3


def test_no_metadata_but_the_profile(camera_file: Callable[[str], bytes]) -> None:
    """Nothing of the original's EXIF, XMP, IIM or comments is in the file; sRGB says its name."""
    for name in ("Nikon_D70.jpg", "Issue_247-1.nef"):
        header = read_header(render(camera_file(name), PictureKind.JPEG, Edit(), Recipe(600)))
        markers = {segment.marker for segment in header.segments if segment.marker >= 0xE0}
        assert markers <= {0xE0, 0xE2}
        assert any(b"sRGB" in s.payload.replace(b"\0", b"") for s in header.segments)


@given(
    st.integers(1, 700),
    st.tuples(*[st.floats(0, 0.9), st.floats(0, 0.9), st.floats(0.01, 1), st.floats(0.01, 1)]),
)
@settings(deadline=None, max_examples=40)
def test_a_picture_is_never_enlarged(
    long_side_px: int, shares: tuple[float, float, float, float]
) -> None:
    """Whatever the crop and the long side, no side grows, and the long side is as asked at most."""
    jpeg = _small()
    x, y, width, height = shares
    crop = (x, y, min(width, 1 - x), min(height, 1 - y))
    found = pixels(render(jpeg, PictureKind.JPEG, Edit(crop), Recipe(long_side_px)))
    assert max(found.shape[:2]) <= max(1, min(long_side_px, 240))
    assert found.shape[1] <= max(1, round(crop[2] * 240))
    assert found.shape[0] <= max(1, round(crop[3] * 160))


def _small() -> bytes:
    ramp = np.linspace(0, 255, 240 * 160 * 3).reshape(160, 240, 3).astype(np.uint8)
    return bytes(simplejpeg.encode_jpeg(ramp))


@pytest.mark.parametrize("max_bytes", [150_000, 80_000, 40_000, 12_000])
def test_bytes_are_kept_to(camera_file: Callable[[str], bytes], max_bytes: int) -> None:
    """The file is never larger than asked, and nearly as large while quality alone decides."""
    data = camera_file("edited_1.jpg")
    found = render(data, PictureKind.JPEG, Edit(), Recipe(900, 92, max_bytes))
    assert len(found) <= max_bytes
    if max(pixels(found).shape) == 900:
        assert len(found) >= 0.85 * max_bytes


def test_a_file_small_enough_keeps_its_quality(scene_jpeg: bytes) -> None:
    """Where the quality asked for fits, it is used."""
    free = render(scene_jpeg, PictureKind.JPEG, Edit(), Recipe(400, 90))
    assert render(scene_jpeg, PictureKind.JPEG, Edit(), Recipe(400, 90, len(free))) == free


def test_too_few_bytes_for_any_picture_are_refused(scene_jpeg: bytes) -> None:
    """A hundred bytes hold no picture, and that is said."""
    with pytest.raises(WrongUse, match="too few bytes"):
        render(scene_jpeg, PictureKind.JPEG, Edit(), Recipe(400, 90, 100))


def test_straightening_turns_clockwise_and_leaves_no_corners() -> None:
    """A line tilted by 3 degrees is level after 3 degrees clockwise; no black comes in."""
    y, x = np.mgrid[0:400, 0:600]
    tilt = np.tan(np.radians(3))
    line = np.abs((y - 200) + (x - 300) * tilt) < 3  # rises to the right
    rgb = np.where(line[:, :, None], 20, 220).astype(np.uint8).repeat(3, axis=2)
    jpeg = simplejpeg.encode_jpeg(rgb, quality=95)
    found = pixels(render(jpeg, PictureKind.JPEG, Edit(straighten_deg=3.0), WHOLE))[:, :, 0]
    height, width = found.shape
    assert abs(height / width - 400 / 600) < 0.01
    middles = [np.flatnonzero(found[:, width * tenth // 10] < 120).mean() for tenth in (1, 5, 9)]
    assert np.ptp(middles) <= 1
    edges = np.concatenate((found[0], found[-1]))
    assert edges.min() > 180


@pytest.mark.parametrize("long_side_px", [1300, 600])
@pytest.mark.parametrize("name", PHOTOGRAPHS)
def test_a_straightened_rendition_equals_an_independent_turning_and_resize(
    camera_file: Callable[[str], bytes], name: str, long_side_px: int
) -> None:
    """Another library that turns at full size and reduces then gives the same pixels within JPEG
    error, also for a crop of what remains.

    Tolerance: what one more JPEG of quality 95 changes, measured on the other library's own
    result, plus one of 255 for the two libraries' filters.
    """
    data = camera_file(name)
    edit = Edit((0.1, 0.05, 0.8, 0.75), 2.3)
    found = pixels(render(data, PictureKind.JPEG, edit, Recipe(long_side_px, 95, sharpen=False)))
    upright = ImageOps.exif_transpose(Image.open(io.BytesIO(data))).convert("RGB")
    kept = Straightened(upright.width, upright.height, 2.3).kept_px
    cos, sin = np.cos(np.radians(2.3)), np.sin(np.radians(2.3))
    x, y = -kept[0] / 2, -kept[1] / 2
    middle = upright.width / 2, upright.height / 2
    back = (cos, sin, cos * x + sin * y + middle[0], -sin, cos, -sin * x + cos * y + middle[1])
    turned = upright.transform(kept, Image.Transform.AFFINE, back, Image.Resampling.BICUBIC)
    left, top = round(0.1 * kept[0]), round(0.05 * kept[1])
    box = (left, top, left + round(0.8 * kept[0]), top + round(0.75 * kept[1]))
    size = (found.shape[1], found.shape[0])
    other = turned.crop(box).resize(size, Image.Resampling.LANCZOS)
    again = io.BytesIO()
    other.save(again, "JPEG", quality=95)
    expected = np.asarray(other).astype(int)
    jpeg_error = np.abs(pixels(again.getvalue()) - expected)
    difference = np.abs(found - expected)
    assert max(size) == long_side_px
    assert difference.mean() <= jpeg_error.mean() + 1
    assert np.percentile(difference, 99) <= np.percentile(jpeg_error, 99) + 6


def test_a_crop_is_of_what_straightening_left(scene_jpeg: bytes) -> None:
    """The whole as a crop changes nothing, half of it is half as wide."""
    turned = pixels(render(scene_jpeg, PictureKind.JPEG, Edit(None, 5.0), WHOLE))
    whole = pixels(render(scene_jpeg, PictureKind.JPEG, Edit((0, 0, 1, 1), 5.0), WHOLE))
    half = pixels(render(scene_jpeg, PictureKind.JPEG, Edit((0.5, 0, 0.5, 1), 5.0), WHOLE))
    assert np.array_equal(turned, whole)
    assert abs(half.shape[1] - turned.shape[1] / 2) <= 1


def test_sharpening_is_light_and_keeps_flat_parts(scene_jpeg: bytes) -> None:
    """Edges gain contrast, even parts keep their value, an unreduced picture stays as it is."""
    soft = pixels(render(scene_jpeg, PictureKind.JPEG, Edit(), Recipe(240, 95, sharpen=False)))
    crisp = pixels(render(scene_jpeg, PictureKind.JPEG, Edit(), Recipe(240, 95)))
    edge = np.s_[35:65, 36:46]
    assert np.ptp(crisp[edge]) >= np.ptp(soft[edge])
    assert abs(int(crisp.mean()) - int(soft.mean())) <= 1
    assert np.abs(crisp - soft).mean() < 6
    as_is = render(scene_jpeg, PictureKind.JPEG, Edit(), Recipe(0, 95))
    assert as_is == render(scene_jpeg, PictureKind.JPEG, Edit(), WHOLE)


def test_a_profile_is_turned_into_srgb(scene: np.ndarray, scene_jpeg: bytes) -> None:
    """Wide colours are more vivid in sRGB than their numbers, by profile or by tag alone."""
    profiled = with_profile(scene_jpeg, wide_profile())
    tagged = with_tags(
        scene_jpeg,
        {"Exif.Photo.ColorSpace": "65535", "Exif.Iop.InteroperabilityIndex": "R03"},
    )
    plain = pixels(render(scene_jpeg, PictureKind.JPEG, Edit(), WHOLE))
    by_profile = pixels(render(profiled, PictureKind.JPEG, Edit(), WHOLE))
    by_tag = pixels(render(tagged, PictureKind.JPEG, Edit(), WHOLE))
    assert np.array_equal(by_profile, by_tag)
    red = np.s_[80:120, 100:180]
    assert by_profile[red][..., 0].mean() > plain[red][..., 0].mean() + 15
    assert np.abs(plain - scene).mean() < 3


def test_a_broken_profile_leaves_the_picture_as_it_is(scene_jpeg: bytes) -> None:
    """What cannot be used is passed over."""
    broken = with_profile(scene_jpeg, b"no profile at all" * 20)
    assert render(broken, PictureKind.JPEG, Edit(), WHOLE) == render(
        scene_jpeg, PictureKind.JPEG, Edit(), WHOLE
    )


def test_raw_and_heif_are_rendered(scene: np.ndarray, scene_jpeg: bytes) -> None:
    """A raw file through its preview, turned by its own tag; a HEIF file by its own pixels."""
    raw = pixels(render(raw_file(scene_jpeg, orientation=8), PictureKind.ARW, Edit(), WHOLE))
    assert np.abs(raw - np.rot90(scene)).mean() < 3
    out = io.BytesIO()
    pillow_heif.from_pillow(Image.fromarray(scene)).save(out, quality=95)
    heif = pixels(render(out.getvalue(), PictureKind.HEIF, Edit(), WHOLE))
    assert np.abs(heif - scene).mean() < 5


def test_half_a_picture_goes_to_no_desk(
    scene_jpeg: bytes, camera_file: Callable[[str], bytes]
) -> None:
    """A damaged file, and a raw file without its picture, are refused with the reason."""
    with pytest.raises(BadFile, match="only part"):
        render(scene_jpeg[: len(scene_jpeg) // 2], PictureKind.JPEG, Edit(), Recipe())
    data = camera_file("Nikon.nef")
    with pytest.raises(BadFile, match="without its picture"):
        render(data, kind_of(data[:HEAD_BYTES]), Edit(), Recipe())
    with pytest.raises(BadFile, match="no picture"):
        render(b"RIFF", PictureKind.WAV, Edit(), Recipe())


@pytest.mark.parametrize(
    "make",
    [
        lambda: Edit(straighten_deg=46.0),
        lambda: Edit(straighten_deg=float("nan")),
        lambda: Edit(crop=(0.5, 0.0, 0.6, 1.0)),
        lambda: Edit(crop=(-0.1, 0.0, 0.5, 0.5)),
        lambda: Edit(crop=(0.0, 0.0, 0.0, 1.0)),
        lambda: Recipe(quality=0),
        lambda: Recipe(long_side_px=-1),
        lambda: Recipe(max_bytes=0),
        lambda: Recipe(profile="CMYK"),
    ],
)
def test_what_makes_no_sense_is_refused(make: Callable[[], object]) -> None:
    """An edit or a recipe that cannot be done cannot be made."""
    with pytest.raises(WrongUse):
        make()


def test_threads_render_the_same(scene_jpeg: bytes) -> None:
    """Eight threads at once give the same bytes."""
    with ThreadPoolExecutor(8) as pool:
        made = pool.map(
            lambda _: render(scene_jpeg, PictureKind.JPEG, Edit(), Recipe(300, 85)), range(24)
        )
        assert len(set(made)) == 1
