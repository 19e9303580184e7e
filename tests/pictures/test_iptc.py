"""Captions go into JPEGs as IIM and XMP, and come back as they were."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from files import noise_jpeg, with_profile, with_tags
from hypothesis import given, settings
from sample_fields import FULL, LONG, captions

from setpiece.captions.fields import FIELDS, PersonShown, PictureFields, Place
from setpiece.errors import BadFile, GiveUp, WrongUse
from setpiece.pictures import iptc
from setpiece.pictures.iptc import (
    KEEP_GPS,
    KEEP_SERIAL,
    read_fields,
    sidecar,
    tidy,
    write_fields,
)
from setpiece.pictures.metadata import read_metadata
from setpiece.pictures.segments import APP1, APP2, COM, Segment, read_header

CAMERA = {
    "Exif.Image.Make": "Ostrell",
    "Exif.Image.Model": "Ostrell P1",
    "Exif.Image.Software": "firmware 1.2",
    "Exif.Image.Artist": "somebody",
    "Exif.Photo.BodySerialNumber": "7001233",
    "Exif.Photo.LensModel": "Ostrell 300 mm",
    "Exif.Photo.LensSerialNumber": "99",
    "Exif.Photo.DateTimeOriginal": "2027:03:06 15:03:12",
    "Exif.Photo.SubSecTimeOriginal": "25",
    "Exif.Photo.ExposureTime": "1/1000",
    "Exif.Photo.FNumber": "28/10",
    "Exif.Photo.FocalLength": "300/1",
    "Exif.Photo.ISOSpeedRatings": "3200",
    "Exif.Photo.UserComment": "private",
    "Exif.GPSInfo.GPSLatitudeRef": "N",
    "Exif.GPSInfo.GPSLatitude": "47/1 30/1 0/1",
    "Xmp.dc.subject": "stale",
    "Xmp.xmp.CreatorTool": "firmware 1.2",
}


@pytest.fixture(scope="module")
def plain() -> bytes:
    """A JPEG without metadata."""
    return noise_jpeg(96, 64)


@pytest.fixture(scope="module")
def from_camera(plain: bytes) -> bytes:
    """The same with a camera's tags, a place and things that must not get through."""
    return with_tags(plain, CAMERA)


def scan_of(jpeg: bytes) -> bytes:
    """The bytes from the first scan on."""
    at = read_header(jpeg).scan_at
    assert at is not None
    return jpeg[at:]


def test_every_field_comes_back(plain: bytes) -> None:
    """What was written is read, field by field: accents, particles, lists and structures."""
    assert read_fields(write_fields(plain, FULL)) == FULL


def test_the_hour_that_clocks_go_back_over_is_written_with_its_zone(plain: bytes) -> None:
    """2:04 before and after the end of summer time are written, and told apart by their zone."""
    venue = ZoneInfo("Europe/Vienna")
    for fold, hours in ((0, 2), (1, 1)):
        at = datetime(2026, 10, 25, 2, 4, 30, fold=fold, tzinfo=venue)
        found = read_fields(write_fields(plain, replace(FULL, date_created=at))).date_created
        assert found is not None
        assert found.utcoffset() == timedelta(hours=hours)
        assert found.replace(tzinfo=None) == datetime(2026, 10, 25, 2, 4, 30)


@given(captions)
@settings(deadline=None, max_examples=60)
def test_any_caption_comes_back(fields: PictureFields) -> None:
    """Whatever stands in a caption is read as it was written, by picture and by sidecar."""
    wanted = tidy(fields)
    written = write_fields(noise_jpeg(16, 16), fields)
    assert read_fields(written) == wanted
    assert read_fields(sidecar(fields)) == replace(wanted, edit_status="")


def test_tables_and_scan_bytes_stay(camera_file: Callable[[str], bytes]) -> None:
    """Of real pictures every table, the profile and the scan are the same bytes as before."""
    for name in ("Nikon_D70.jpg", "edited_1.jpg", "Multiple_ICC_segments.jpg"):
        data = camera_file(name)
        kept = bytes(bytearray(data))
        written = write_fields(data, FULL)
        assert data == kept
        assert scan_of(written) == scan_of(data)[: len(scan_of(written))]
        assert scan_of(data)[len(scan_of(written)) :].strip(b"\0") == b""
        tables = [s for s in read_header(data).segments if s.marker < 0xE0 or s.marker == 0xE2]
        assert [s for s in read_header(written).segments if s in tables] == tables


def test_only_the_allowed_tags_get_through(from_camera: bytes) -> None:
    """Make, model, lens, exposure, focal length and date stay; the rest of the original goes."""
    found = read_metadata(write_fields(from_camera, PictureFields(headline="H")))
    assert (found.make, found.model, found.lens) == ("Ostrell", "Ostrell P1", "Ostrell 300 mm")
    assert (found.exposure_s, found.f_number, found.iso) == (0.001, 2.8, 3200)
    assert found.focal_length_mm == 300
    assert found.camera_time is not None
    assert found.camera_time.reading == datetime(2027, 3, 6, 15, 3, 12, 250_000)
    assert (found.serial, found.lens_serial) == ("", "")
    written = write_fields(from_camera, PictureFields(headline="H"))
    for private in (b"firmware", b"somebody", b"private", b"stale", b"7001233", b"GPS"):
        assert private not in written


def test_serial_numbers_and_place_stay_when_asked(from_camera: bytes) -> None:
    """A desk that wants them gets them, each by its own word."""
    serial = write_fields(from_camera, FULL, keep=frozenset({KEEP_SERIAL}))
    assert (read_metadata(serial).serial, read_metadata(serial).lens_serial) == ("7001233", "99")
    place = write_fields(from_camera, FULL, keep=frozenset({KEEP_GPS}))
    assert read_metadata(place).serial == ""
    assert read_header(place).first(APP1, b"Exif\0\0") != read_header(
        write_fields(from_camera, FULL)
    ).first(APP1, b"Exif\0\0")


def test_a_rendition_takes_its_tags_from_the_original(plain: bytes, from_camera: bytes) -> None:
    """The rendition's own bytes with the camera's file beside it: exposure comes from there."""
    found = read_metadata(write_fields(plain, FULL, original=from_camera))
    assert (found.model, found.exposure_s) == ("Ostrell P1", 0.001)
    assert read_metadata(write_fields(plain, FULL)).model == ""


def test_a_heif_and_a_refused_raw_original_give_their_tags(
    plain: bytes, camera_file: Callable[[str], bytes]
) -> None:
    """Exposure and lens come through from files that cannot be written to themselves."""
    heif = read_metadata(write_fields(plain, FULL, original=camera_file("Canon.HIF")))
    assert (heif.model, heif.exposure_s) == ("Canon EOS R5", 0.001)
    raw = read_metadata(write_fields(plain, FULL, original=camera_file("CanonRaw.cr3")))
    assert (raw.model, raw.exposure_s, raw.f_number) == ("Canon EOS M50", 0.0125, 3.5)
    assert raw.lens == "EF-M15-45mm f/3.5-6.3 IS STM"


def test_the_exif_date_says_what_the_caption_says(from_camera: bytes) -> None:
    """A camera 41 s fast does not leave a second date in the file."""
    found = read_metadata(write_fields(from_camera, FULL)).camera_time
    assert found is not None
    assert found.reading == datetime(2027, 3, 6, 16, 19, 5, 340_000)
    assert found.zone_offset_min == 60
    whole = replace(FULL, date_created=FULL.date_created.replace(microsecond=0))  # type: ignore[union-attr]
    again = read_metadata(write_fields(from_camera, whole)).camera_time
    assert again is not None
    assert again.resolution_s == 1.0


def test_a_turned_picture_stays_turned(plain: bytes) -> None:
    """Pixels that still need turning keep their tag; upright ones get none."""
    turned = with_tags(plain, {"Exif.Image.Orientation": "8"})
    assert read_metadata(write_fields(turned, FULL)).orientation == 8
    assert read_metadata(write_fields(plain, FULL, original=turned)).orientation == 1


def test_writing_again_replaces_everything(plain: bytes) -> None:
    """A correction leaves nothing of the caption before it."""
    first = write_fields(plain, FULL)
    second = write_fields(first, PictureFields(headline="Corrected", edit_status="CORRECTION"))
    assert read_fields(second) == PictureFields(headline="Corrected", edit_status="CORRECTION")
    assert "Øydis".encode() not in second
    assert b"8BIM\x04\x25" not in second  # no digest to go stale


def test_comments_and_second_pictures_go(plain: bytes) -> None:
    """A comment and a picture appended after the end are no part of the file for a desk."""
    noted = plain[:2] + Segment(COM, b"secret note").encode() + plain[2:] + plain
    written = write_fields(noted, PictureFields(headline="H"))
    assert b"secret" not in written
    assert written.count(b"\xff\xd9") == plain.count(b"\xff\xd9")


def test_the_profile_stays(plain: bytes) -> None:
    """A colour profile in several segments is kept, in order."""
    profiled = with_profile(plain, bytes(range(256)) * 10, parts=3)
    kept = [s for s in read_header(profiled).segments if s.marker == APP2]
    written = read_header(write_fields(profiled, FULL)).segments
    assert [s for s in written if s.marker == APP2] == kept


@pytest.mark.parametrize("extra", range(6))
def test_iim_is_shortened_to_its_limits_and_xmp_is_not(plain: bytes, extra: int) -> None:
    """Over-long values lose whole words in IIM, never half a sign; XMP keeps them whole."""
    long = "x" * extra + LONG * 60
    changed = {
        spec.name: (long.strip(),) if spec.repeats else long.strip()
        for spec in FIELDS
        if spec.max_bytes and spec.name not in ("country_code", "edit_status")
    }
    fields = replace(FULL, **changed)  # type: ignore[arg-type]
    written = write_fields(plain, fields)
    assert read_fields(written) == fields
    limits = {spec.name: spec.max_bytes for spec in FIELDS if spec.max_bytes}
    with iptc.opened(written) as image:
        held = iptc.from_iim(image.iptcData())
    for name, value in changed.items():
        short = held[name][0] if isinstance(value, tuple) else held[name]
        limit = limits[name]
        assert limit is not None
        assert limit - 32 <= len(short.encode()) <= limit
        assert long.startswith(short)
        assert long[len(short) : len(short) + 1].isspace()


@pytest.mark.parametrize(
    "fields",
    [
        PictureFields(headline="nul\0here"),
        PictureFields(description="bell\x07"),
        PictureFields(keywords=("fine", "half \ud83d")),
        PictureFields(persons=(PersonShown("A", "\x1b[0m"),)),
        PictureFields(location_shown=Place(city="\ufffe")),
        PictureFields(headline="type=Bag"),
        PictureFields(date_created=datetime(2027, 3, 6, 15, 3)),
    ],
)
def test_what_no_file_can_hold_is_refused(plain: bytes, fields: PictureFields) -> None:
    """Control signs, half signs and a date without a zone are said, not dropped."""
    with pytest.raises(WrongUse):
        write_fields(plain, fields)
    with pytest.raises(WrongUse):
        sidecar(fields)


def test_a_caption_too_long_for_a_segment_is_refused(plain: bytes) -> None:
    """XMP of more than 64 kB cannot stand in a JPEG; nothing half is written."""
    with pytest.raises(GiveUp):
        write_fields(plain, PictureFields(description=LONG * 2000))


def test_what_does_not_read_back_is_an_error(plain: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    """If a field is lost on the way, writing fails and names it."""
    real = iptc.to_xmp
    monkeypatch.setattr(iptc, "to_xmp", lambda fields: real(replace(fields, alt_text="")))
    with pytest.raises(GiveUp, match="alt_text"):
        write_fields(plain, FULL)
    with pytest.raises(GiveUp):
        sidecar(FULL)


@pytest.mark.parametrize("data", [b"", b"text", b"\xff\xd8\xff\xe0", b"\xff\xd8\xff\xd9"])
def test_what_is_no_jpeg_is_refused(data: bytes) -> None:
    """Captions are written into whole JPEGs only."""
    with pytest.raises(BadFile):
        write_fields(data, FULL)


def test_reading_prefers_xmp_and_fills_from_iim(camera_file: Callable[[str], bytes]) -> None:
    """A picture that an older program captioned in IIM alone is read, accents and all."""
    old = read_fields(camera_file("Nikon_E995__iptc_.jpg"))
    assert "Dateigröße : 668.1 KB" in old.description
    assert read_fields(camera_file("Nikon_D70.jpg")).city == "London"
    assert read_fields(camera_file("Canon_EOS_5D.jpg")) == PictureFields()


def test_eight_threads_write_without_mixing(plain: bytes) -> None:
    """Captions written at once in threads each hold their own text."""

    def headline(number: int) -> str:
        fields = replace(FULL, headline=f"Nr {number}")
        return read_fields(write_fields(plain, fields)).headline

    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(headline, range(120))) == [f"Nr {n}" for n in range(120)]
