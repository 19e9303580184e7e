"""How far away the lens was focused."""

from __future__ import annotations

import exiv2
import numpy as np
import pytest
import simplejpeg

from setpiece.pictures.distance import focus_distance_m
from setpiece.pictures.library import exiv2_alone


def with_tag(key: str, value: str) -> bytes:
    """A small JPEG with one tag."""
    pixels = np.zeros((16, 24, 3), dtype=np.uint8)
    with exiv2_alone():
        image = exiv2.ImageFactory.open(simplejpeg.encode_jpeg(pixels))
        data = exiv2.ExifData()
        data[key] = value
        image.setExifData(data)
        image.writeMetadata()
        return bytes(image.io().data())


@pytest.mark.parametrize(
    ("value", "metres"),
    [("302/10", 30.2), ("0/1", None), ("2147483647/1", None), ("5/0", None), ("1500/1", None)],
)
def test_the_standards_distance_is_read(value: str, metres: float | None) -> None:
    """Metres as a fraction; unknown, infinity and nonsense are none."""
    assert focus_distance_m(with_tag("Exif.Photo.SubjectDistance", value)) == metres


def test_a_file_without_it_or_without_sense_gives_none() -> None:
    """A JPEG that says nothing, bytes that are no picture, no bytes: no distance, no error."""
    assert focus_distance_m(with_tag("Exif.Photo.FNumber", "28/10")) is None
    assert focus_distance_m(b"no picture") is None
    assert focus_distance_m(b"") is None


def test_the_head_of_a_file_is_enough() -> None:
    """The first part of a file that is cut after its header still gives the distance."""
    whole = with_tag("Exif.Photo.SubjectDistance", "125/10")
    assert focus_distance_m(whole[: len(whole) - 40]) == 12.5
