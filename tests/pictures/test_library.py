"""Every call to exiv2 is made under one lock, with its errors translated."""

from __future__ import annotations

import threading

import exiv2
import pytest
from files import noise_jpeg, with_profile, with_tags

from setpiece.errors import BadFile
from setpiece.pictures.library import NAMESPACES, exiv2_alone, opened


@pytest.mark.parametrize("data", [b"http://localhost/x.jpg", b"-", b"/etc/hostname", b""])
def test_bytes_that_look_like_a_place_are_not_opened(data: bytes) -> None:
    """A URL or a path given as bytes is no picture, and is not fetched."""
    with pytest.raises(BadFile), opened(data):
        pass


def test_errors_are_translated_with_their_cause() -> None:
    """What exiv2 raises comes out as BadFile, the first error kept."""
    with pytest.raises(BadFile) as caught, exiv2_alone():
        exiv2.ImageFactory.open(b"no picture at all")
    assert isinstance(caught.value.__cause__, exiv2.Exiv2Error)


def test_the_lock_is_given_back_after_an_error() -> None:
    """A file that fails does not stop the next one."""
    for _ in range(2):
        with pytest.raises(BadFile), opened(b"broken"):
            pass
    with opened(noise_jpeg(16, 16)) as image:
        assert image.exifData().count() == 0


def test_only_one_thread_is_inside() -> None:
    """While one thread holds a file open, another waits."""
    inside = threading.Event()
    with opened(noise_jpeg(16, 16)):
        other = threading.Thread(target=lambda: _enter(inside))
        other.start()
        assert not inside.wait(0.05)
    other.join()
    assert inside.is_set()


def _enter(inside: threading.Event) -> None:
    with exiv2_alone():
        inside.set()


def test_the_standard_s_namespaces_are_registered() -> None:
    """Each prefix of the fields' table stands for the standard's namespace."""
    with exiv2_alone():
        for prefix, namespace in NAMESPACES.items():
            assert exiv2.XmpProperties.ns(prefix) == namespace


def test_a_broken_profile_does_not_hide_the_tags() -> None:
    """A colour profile that exiv2 refuses leaves EXIF and XMP readable."""
    tagged = with_tags(noise_jpeg(16, 16), {"Exif.Image.Make": "Ostrell", "Xmp.xmp.Rating": "2"})
    with opened(with_profile(tagged, b"not a profile")) as image:
        assert image.exifData()["Exif.Image.Make"].toString() == "Ostrell"
        assert image.xmpData()["Xmp.xmp.Rating"].toString() == "2"
