"""Tag values are read for what they say, and for no more."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.match.instants import CameraTime
from setpiece.pictures import readings

ORIGINAL = "Exif.Photo.DateTimeOriginal"
FRACTION = "Exif.Photo.SubSecTimeOriginal"
ZONE = "Exif.Photo.OffsetTimeOriginal"
TAKEN = datetime(2027, 3, 6, 15, 3, 12)


@pytest.mark.parametrize(
    ("digits", "microsecond", "resolution_s"),
    [
        ("", 0, 1.0),
        ("   ", 0, 1.0),
        ("3", 300_000, 0.1),
        ("03", 30_000, 0.01),
        ("92", 920_000, 0.01),
        ("948", 948_000, 0.001),
        ("20 ", 200_000, 0.01),
        ("616284", 616_284, 1e-6),
        ("123456789", 123_456, 1e-6),
        ("00", 0, 0.01),
        ("x7", 0, 1.0),
    ],
)
def test_sub_seconds_are_a_decimal_fraction(
    digits: str, microsecond: int, resolution_s: float
) -> None:
    """Any number of digits is a fraction, and its length is the clock's resolution."""
    found = readings.camera_time({ORIGINAL: "2027:03:06 15:03:12", FRACTION: digits})
    assert found is not None
    assert found.reading == TAKEN.replace(microsecond=microsecond)
    assert found.resolution_s == pytest.approx(resolution_s)


@pytest.mark.parametrize(
    ("text", "zone_min"),
    [
        ("+02:00", 120),
        ("-03:30", -210),
        ("+00:00", 0),
        ("Z", 0),
        ("   :  ", None),
        ("", None),
        ("+99:00", None),
        ("02:00", None),
    ],
)
def test_a_blank_zone_is_unknown(text: str, zone_min: int | None) -> None:
    """A zone is minutes east of UTC; blank, broken or impossible means silent."""
    found = readings.camera_time({ORIGINAL: "2027:03:06 15:03:12", ZONE: text})
    assert found == CameraTime(TAKEN, 1.0, zone_min)


def test_a_time_that_is_none_is_passed_over() -> None:
    """An unset clock gives nothing, and the digitized time stands in with its own fraction."""
    unset = {ORIGINAL: "0000:00:00 00:00:00"}
    assert readings.camera_time(unset) is None
    assert readings.camera_time({ORIGINAL: "    :  :     :  :  "}) is None
    both = unset | {
        "Exif.Photo.DateTimeDigitized": "2027:03:06 15:03:12",
        "Exif.Photo.SubSecTimeDigitized": "5",
        FRACTION: "9",
    }
    found = readings.camera_time(both)
    assert found is not None
    assert found.reading == TAKEN.replace(microsecond=500_000)


@pytest.mark.parametrize(
    ("values", "serial"),
    [
        ({"Exif.Photo.BodySerialNumber": " 093022004357\0"}, "093022004357"),
        ({"Exif.Nikon3.SerialNO": "NO= 1005a431        "}, "1005a431"),
        ({"Exif.Photo.BodySerialNumber": "0000000", "Exif.Canon.SerialNumber": "12"}, "12"),
        ({"Exif.Panasonic.InternalSerialNumber": "70 51 0 94 0"}, "F3"),
        ({}, ""),
    ],
)
def test_a_serial_number_comes_without_padding(values: dict[str, str], serial: str) -> None:
    """The standard tag first, then the maker's; zeros only are no number."""
    assert readings.serial(values) == serial


@pytest.mark.parametrize(
    ("values", "number"),
    [
        ({"Exif.CanonFi.FileNumber": "793-9390"}, 9390),
        ({"Exif.Canon.ImageNumber": "1000024"}, 24),
        ({"Exif.Canon.ImageNumber": "24"}, None),
        ({"Exif.NikonFi.FileNumber": "15"}, 15),
        ({"Exif.NikonFi.FileNumber": "0"}, None),
        ({}, None),
    ],
)
def test_the_file_number_is_the_name_s_four_figures(
    values: dict[str, str], number: int | None
) -> None:
    """The folder's number is cut off; what cannot be a file number is none."""
    assert readings.file_number(values) == number


@pytest.mark.parametrize(
    ("values", "by_table", "lens"),
    [
        ({"Exif.Photo.LensModel": "RF 70-200"}, "Canon *OR* other", "RF 70-200"),
        ({}, "Nikon AF Nikkor 50mm f/1.8D", "Nikon AF Nikkor 50mm f/1.8D"),
        ({"Exif.CanonCs.Lens": "18.0 - 55.0 mm"}, "n/a", "18-55 mm"),
        ({"Exif.CanonCs.Lens": "24.0 - 70.0 mm"}, "One 24-70 *OR* Another", "24-70 mm"),
        ({"Exif.CanonCs.Lens": "50.0 - 50.0 mm"}, "(65535)", "50 mm"),
        ({"Exif.CanonCs.Lens": "0.0 - 0.0 mm"}, "", ""),
    ],
)
def test_a_lens_that_is_one_of_several_is_not_guessed(
    values: dict[str, str], by_table: str, lens: str
) -> None:
    """Its own name, the table's one answer, else its focal lengths; never one of two."""
    assert readings.lens(values, by_table) == lens


@pytest.mark.parametrize(
    ("values", "speed"),
    [
        ({"Exif.Photo.ISOSpeedRatings": "400"}, 400),
        (
            {
                "Exif.Photo.ISOSpeedRatings": "65535",
                "Exif.Photo.RecommendedExposureIndex": "102400",
            },
            102400,
        ),
        ({"Exif.Nikon3.ISOSpeed": "0 200"}, 200),
        ({"Exif.Photo.ISOSpeedRatings": "0"}, None),
    ],
)
def test_a_speed_beyond_the_old_tag_is_read_from_the_new(
    values: dict[str, str], speed: int | None
) -> None:
    """65535 means: look elsewhere; nought means nothing."""
    assert readings.iso(values) == speed


@pytest.mark.parametrize(
    ("values", "space"),
    [
        ({"Exif.Photo.ColorSpace": "1"}, "sRGB"),
        ({"Exif.Photo.ColorSpace": "65535"}, "uncalibrated"),
        (
            {"Exif.Photo.ColorSpace": "65535", "Exif.Iop.InteroperabilityIndex": "R03"},
            "Adobe RGB",
        ),
        ({"Exif.Nikon3.ColorSpace": "2", "Exif.Photo.ColorSpace": "1"}, "Adobe RGB"),
        ({}, ""),
    ],
)
def test_colour_space_needs_the_index_beside_the_tag(values: dict[str, str], space: str) -> None:
    """The tag alone cannot tell a wide space from an unknown one."""
    assert readings.colour_space(values) == space


@pytest.mark.parametrize(
    ("text", "number"),
    [("1/250", 0.004), ("50", 50.0), ("28/10", 2.8), ("0/0", None), ("5/0", None), ("inf", None)],
)
def test_a_number_that_is_none_is_none(text: str, number: float | None) -> None:
    """Fractions are divided; nought over nought, infinity and words say nothing."""
    assert readings.number(text) == (number if number is None else pytest.approx(number))


@given(st.dictionaries(st.sampled_from((ORIGINAL, FRACTION, ZONE)), st.text(max_size=24)))
@settings(deadline=None)
def test_no_text_raises(values: dict[str, str]) -> None:
    """Whatever a tag says, reading it ends with a time or none."""
    assert readings.camera_time(values) is None or values[ORIGINAL]
