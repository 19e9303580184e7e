"""What a camera wrote is read from every kind of file, whole or cut short."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime

import pytest
from files import noise_jpeg, raw_file, with_tags

from setpiece.errors import BadFile
from setpiece.match.instants import CameraTime
from setpiece.pictures.metadata import (
    CameraMetadata,
    embedded_preview,
    exif_thumbnail,
    read_metadata,
)

TAGS = {
    "Exif.Image.Make": "Ostrell",
    "Exif.Image.Model": "Ostrell P1",
    "Exif.Image.Orientation": "6",
    "Exif.Photo.BodySerialNumber": "7001233",
    "Exif.Photo.LensModel": "Ostrell 300 mm",
    "Exif.Photo.DateTimeOriginal": "2027:03:06 15:03:12",
    "Exif.Photo.SubSecTimeOriginal": "25",
    "Exif.Photo.OffsetTimeOriginal": "+01:00",
    "Exif.Photo.ExposureTime": "1/1000",
    "Exif.Photo.FNumber": "28/10",
    "Exif.Photo.FocalLength": "300/1",
    "Exif.Photo.ISOSpeedRatings": "3200",
    "Exif.Photo.ColorSpace": "1",
    "Xmp.xmp.Rating": "4",
}
WRITTEN = CameraMetadata(
    make="Ostrell",
    model="Ostrell P1",
    serial="7001233",
    lens="Ostrell 300 mm",
    camera_time=CameraTime(datetime(2027, 3, 6, 15, 3, 12, 250_000), 0.01, 60),
    focal_length_mm=300.0,
    f_number=2.8,
    exposure_s=0.001,
    iso=3200,
    orientation=6,
    width_px=120,
    height_px=90,
    rating=4,
    colour_space="sRGB",
)


@pytest.fixture(scope="module")
def tagged() -> bytes:
    """A JPEG with the tags above."""
    return with_tags(noise_jpeg(120, 90), TAGS)


def test_what_was_written_is_read(tagged: bytes) -> None:
    """Every value comes back in its own unit."""
    assert read_metadata(tagged) == WRITTEN


def test_a_jpeg_without_tags_has_a_size() -> None:
    """A scan or a screen shot is read as what it is: a size and nothing else."""
    assert read_metadata(noise_jpeg(64, 48)) == CameraMetadata(width_px=64, height_px=48)


@pytest.mark.parametrize("data", [b"", b"\0" * 5000, b"%PDF-1.7", b"\xff\xd8\xff", b"x" * 70_000])
def test_what_is_no_picture_is_a_bad_file(data: bytes) -> None:
    """Nothing that a camera wrote is found, and that is said."""
    with pytest.raises(BadFile):
        read_metadata(data)


def test_a_file_cut_short_keeps_its_identity(camera_file: Callable[[str], bytes]) -> None:
    """Serial number and time are read from the first tenth of a JPEG, a CR3 and a HEIF file."""
    for name in ("Nikon_D70.jpg", "Canon-R6-pruned.CR3", "Canon.HIF"):
        whole = camera_file(name)
        full, cut = read_metadata(whole), read_metadata(whole[: len(whole) // 10])
        assert cut.camera_time == full.camera_time
        if not name.endswith("jpg"):  # there the number is the maker's own tag
            assert cut.serial == full.serial


def test_a_file_that_the_library_refuses_still_tells(camera_file: Callable[[str], bytes]) -> None:
    """A raw file with its picture cut out gives camera, lens and time all the same."""
    found = read_metadata(camera_file("CanonRaw.cr3"))
    assert (found.serial, found.model) == ("613040000565", "Canon EOS M50")
    assert found.lens == "EF-M15-45mm f/3.5-6.3 IS STM"
    assert found.camera_time == CameraTime(datetime(2018, 2, 21, 12, 8, 56, 210_000), 0.01, 0)


def test_reading_leaves_the_bytes_alone(tagged: bytes) -> None:
    """The bytes given are the bytes kept."""
    before = bytes(bytearray(tagged))
    read_metadata(tagged)
    exif_thumbnail(tagged)
    assert tagged == before


def test_threads_read_the_same(tagged: bytes) -> None:
    """Eight threads that read at once all get what was written."""
    with ThreadPoolExecutor(8) as pool:
        assert set(pool.map(read_metadata, [tagged] * 200)) == {WRITTEN}


def test_a_thumbnail_that_does_not_decode_is_none(camera_file: Callable[[str], bytes]) -> None:
    """A whole thumbnail is given as the camera wrote it, a broken one and none are None."""
    data = camera_file("Nikon_D70.jpg")
    found = exif_thumbnail(data)
    assert found is not None
    assert len(found) == 8741
    broken = data.replace(found, found[:4000] + bytes(len(found) - 4000))
    assert exif_thumbnail(broken) is None
    assert exif_thumbnail(noise_jpeg(64, 48)) is None


def test_the_largest_preview_that_decodes_is_given() -> None:
    """A damaged larger preview is passed over for a whole one; a stand-in of 8 px is none."""
    whole, larger = noise_jpeg(640, 480), noise_jpeg(1280, 960)
    broken = larger[:9000] + larger[12000:-300]
    assert embedded_preview(raw_file(whole, larger)) == larger
    assert embedded_preview(raw_file(whole, broken)) == whole
    assert embedded_preview(raw_file(noise_jpeg(8, 8))) is None
    assert embedded_preview(whole) is None


def test_previews_of_real_raw_files(camera_file: Callable[[str], bytes]) -> None:
    """The CR3 file has its picture of 1620 px; those whose picture was cut out have none."""
    found = embedded_preview(camera_file("Canon-R6-pruned.CR3"))
    assert found is not None
    assert (read_metadata(found).width_px, read_metadata(found).height_px) == (1620, 1080)
    for name in ("CanonRaw.cr2", "CanonRaw.cr3", "DNG.dng", "FujiFilm.raf", "Nikon.nef"):
        assert embedded_preview(camera_file(name)) is None
