"""Pictures are decoded once, upright, at half scale, and damage is told."""

from __future__ import annotations

import io
from collections.abc import Callable

import cv2
import numpy as np
import pytest
import simplejpeg
from files import noise_jpeg, raw_file, with_tags
from PIL import Image, ImageOps

from setpiece.errors import BadFile, WrongUse
from setpiece.pictures.decode import decode_half, thumbnail, turned
from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of


def test_half_scale_is_half_the_picture(scene: np.ndarray, scene_jpeg: bytes) -> None:
    """Each side is half, rounded up, and the colours are those of the picture reduced."""
    found = decode_half(scene_jpeg, PictureKind.JPEG)
    assert found.rgb.shape == (160, 240, 3)
    assert (found.full_width_px, found.full_height_px, found.damaged) == (480, 320, False)
    reduced = cv2.resize(scene, (240, 160), interpolation=cv2.INTER_AREA)
    assert np.abs(found.rgb.astype(int) - reduced).mean() < 2.5


@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_orientation_is_turned_upright(
    scene: np.ndarray, scene_jpeg: bytes, orientation: int
) -> None:
    """The tag's eight values turn the picture as an independent library does."""
    stored = Image.fromarray(scene)
    stored.getexif()[0x0112] = orientation
    upright = np.asarray(ImageOps.exif_transpose(stored))
    assert np.array_equal(turned(scene, orientation), upright)
    tagged = with_tags(scene_jpeg, {"Exif.Image.Orientation": str(orientation)})
    found = decode_half(tagged, PictureKind.JPEG)
    assert (found.full_height_px, found.full_width_px) == upright.shape[:2]
    assert np.array_equal(
        found.rgb, decode_half(scene_jpeg, PictureKind.JPEG, orientation=orientation).rgb
    )
    assert found.rgb.shape[0] == -(-upright.shape[0] // 2)


def test_a_cut_picture_is_shown_as_far_as_it_goes(scene: np.ndarray, scene_jpeg: bytes) -> None:
    """Half a file decodes to its upper part and is marked damaged."""
    found = decode_half(scene_jpeg[: len(scene_jpeg) // 2], PictureKind.JPEG)
    assert found.damaged
    reduced = cv2.resize(scene, (240, 160), interpolation=cv2.INTER_AREA)
    assert np.abs(found.rgb[:40].astype(int) - reduced[:40]).mean() < 2.5
    assert np.ptp(found.rgb[-8:]) <= 8


def test_every_cut_of_a_file_is_told(scene_jpeg: bytes) -> None:
    """A file cut anywhere is damaged or no picture; none passes for whole."""
    for at in np.linspace(2, len(scene_jpeg) - 3, 60).astype(int):
        try:
            found = decode_half(scene_jpeg[:at], PictureKind.JPEG)
        except BadFile:
            continue
        assert found.damaged, at


def test_a_truncated_photograph_is_told(camera_file: Callable[[str], bytes]) -> None:
    """The one real file that ends early, as its own structure shows, is marked damaged."""
    data = camera_file("User_Comment_Encoding.jpg")
    assert not data.endswith(b"\xff\xd9")
    assert decode_half(data, PictureKind.JPEG).damaged


def test_a_raw_file_is_shown_by_its_preview(scene_jpeg: bytes) -> None:
    """The preview decodes at half scale and is turned by the raw file's own tag."""
    found = decode_half(raw_file(noise_jpeg(64, 48), scene_jpeg, orientation=6), PictureKind.ARW)
    assert found.rgb.shape == (240, 160, 3)
    assert (found.full_width_px, found.full_height_px) == (320, 480)


def test_a_raw_file_with_a_broken_preview_is_damaged(scene_jpeg: bytes) -> None:
    """Where no preview is whole, the largest is shown as far as it goes, and marked."""
    assert decode_half(raw_file(scene_jpeg[:-400]), PictureKind.ARW).damaged


def test_real_files_decode_or_say_why_not(camera_file: Callable[[str], bytes]) -> None:
    """Every real file gives a picture, or says that none is inside."""
    without = {
        "CanonRaw.cr2",
        "CanonRaw.cr3",
        "DNG.dng",
        "FujiFilm.raf",
        "Nikon.nef",
        "Panasonic.rw2",
    }
    for name in without:
        data = camera_file(name)
        with pytest.raises(BadFile, match="without its picture"):
            decode_half(data, kind_of(data[:HEAD_BYTES]))
    for name, size in {
        "Canon-R6-pruned.CR3": (1620, 1080),
        "Canon.HIF": (2400, 1600),
        "Issue_247-1.nef": (2000, 3008),
        "Leica_T__Typ_701_.jpg": (3264, 4928),
        "Multiple_ICC_segments.jpg": (140, 140),
    }.items():
        data = camera_file(name)
        found = decode_half(data, kind_of(data[:HEAD_BYTES]))
        assert (found.full_width_px, found.full_height_px) == size


def test_a_header_that_claims_too_much_is_refused(scene_jpeg: bytes) -> None:
    """A size that no camera has is refused before any memory is taken for it."""
    at = scene_jpeg.index(b"\xff\xc0") + 5
    bomb = scene_jpeg[:at] + b"\xff\xff\xff\xff" + scene_jpeg[at + 4 :]
    with pytest.raises(BadFile, match="65535 x 65535"):
        decode_half(bomb, PictureKind.JPEG)


def test_a_file_of_scans_only_is_refused(scene: np.ndarray, scene_jpeg: bytes) -> None:
    """More scans than any camera writes would keep the decoder for minutes; behind a picture that
    is whole in its first scan the decoder takes none."""
    more = b"\xff\xda\x00\x08\x01\x01\x00\x00\x3f\x00" * 600 + b"\xff\xd9"
    progressive = io.BytesIO()
    Image.fromarray(scene).save(progressive, "JPEG", progressive=True)
    with pytest.raises(BadFile, match="scans"):
        decode_half(progressive.getvalue()[:-2] + more, PictureKind.JPEG)
    with pytest.raises(BadFile, match="cannot be decoded"):
        decode_half(scene_jpeg[:-2] + more, PictureKind.JPEG)


@pytest.mark.parametrize("kind", [PictureKind.WAV, PictureKind.XMP, PictureKind.UNKNOWN])
def test_what_holds_no_picture_says_so(kind: PictureKind) -> None:
    """A voice memo, a sidecar and an unknown file are refused by kind."""
    with pytest.raises(BadFile, match="no picture"):
        decode_half(b"RIFF", kind)


def test_thumbnails_are_never_enlarged(scene: np.ndarray) -> None:
    """The long side is at most what was asked for, and a small picture stays as it is."""
    assert simplejpeg.decode_jpeg_header(thumbnail(scene, 120))[:2] == (80, 120)
    assert simplejpeg.decode_jpeg_header(thumbnail(scene, 4000))[:2] == (320, 480)
    with pytest.raises(WrongUse):
        thumbnail(scene, 0)
