"""The EXIF block is found in each kind of file without a library."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from files import noise_jpeg, raw_file, with_tags

from setpiece.pictures.blocks import exif_blocks, salvaged_values, stored_thumbnail

MODELS = {
    "Canon-R6-pruned.CR3": "Canon EOS R6",
    "Canon.HIF": "Canon EOS R5",
    "CanonRaw.cr2": "Canon EOS 350D DIGITAL",
    "CanonRaw.cr3": "Canon EOS M50",
    "DNG.dng": "Canon EOS 350D DIGITAL",
    "FujiFilm.raf": "FinePix S5Pro",
    "Nikon.nef": "NIKON D70",
    "Nikon_D90.jpg": "NIKON D90",
    "Panasonic.rw2": "DMC-LX3",
    "Sony.HIF": "ILCE-1",
}


@pytest.mark.parametrize(("name", "model"), MODELS.items())
def test_each_kind_tells_its_camera(
    camera_file: Callable[[str], bytes], name: str, model: str
) -> None:
    """Model, time and exposure are found in every kind, and in its first 140 kB as well."""
    for data in (camera_file(name), camera_file(name)[:140_000]):
        found = salvaged_values(data)
        assert found["Exif.Image.Model"].strip() == model
        assert {"Exif.Photo.DateTimeOriginal", "Exif.Photo.ExposureTime"} <= found.keys() or (
            name == "Panasonic.rw2" and "Exif.Photo.DateTimeOriginal" in found
        )


def test_the_rating_is_found_beside_the_tags(camera_file: Callable[[str], bytes]) -> None:
    """In the XMP of a file that exiv2 refuses, and nowhere in a file of no kind."""
    assert salvaged_values(camera_file("CanonRaw.cr3"))["Xmp.xmp.Rating"] == "0"
    assert salvaged_values(b"<xmp:Rating>3</xmp:Rating>") == {}


def test_files_without_a_block_give_none() -> None:
    """A bare JPEG, text and nothing have no EXIF block and no thumbnail."""
    for data in (noise_jpeg(16, 16), b"text", b"", b"\0\0\0\x18ftypcrx isom"):
        assert exif_blocks(data) == () or salvaged_values(data) == {}
        assert stored_thumbnail(data) is None


def test_a_raw_file_is_its_own_block() -> None:
    """TIFF-based raw files are read from their start; a tagged JPEG inside is not mixed in."""
    inside = with_tags(noise_jpeg(400, 300), {"Exif.Image.Model": "other"})
    found = salvaged_values(raw_file(inside, orientation=6))
    assert found == {"Exif.Image.Make": "SONY", "Exif.Image.Orientation": "6"}
