"""How the values of camera tags are read: numbers, serial numbers, times, lenses.

All take text as exiv2 prints it, and give None or an empty text for what says nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime

from setpiece.match.instants import CameraTime

Values = Mapping[str, str]
"""Tag values by exiv2's keys, as `Exif.Photo.FNumber`."""

_TIME = re.compile(r"(\d{4})[:\-/](\d\d)[:\-/](\d\d)[ T](\d\d):(\d\d):(\d\d)", re.ASCII)
_ZONE = re.compile(r"([+-])(\d\d):?(\d\d)", re.ASCII)
_SPAN = re.compile(r"([\d.]+)(?: ?mm)? ?- ?([\d.]+) ?mm", re.ASCII)
_NO_LENS = re.compile(r"n/a|\(.*\)|[\d ]*|.*\*OR\*.*", re.ASCII | re.IGNORECASE)
_FARTHEST_ZONE_MIN = 14 * 60
_FINEST_DIGITS = 6
_TIME_KEYS = (  # when the picture was taken, and that time's own sub-seconds and zone
    ("Exif.Photo.DateTimeOriginal", "Original"),
    ("Exif.Image.DateTimeOriginal", "Original"),
    ("Exif.Photo.DateTimeDigitized", "Digitized"),
)
_SERIAL_KEYS = (  # the standard's and the makers', then the makers' internal numbers
    "Exif.Photo.BodySerialNumber",
    "Exif.Image.CameraSerialNumber",
    "Exif.Canon.SerialNumber",
    "Exif.Nikon3.SerialNumber",
    "Exif.Nikon3.SerialNO",
    "Exif.OlympusEq.SerialNumber",
    "Exif.Pentax.SerialNumber",
    "Exif.Fujifilm.SerialNumber",
    "Exif.Canon.InternalSerialNumber",
    "Exif.OlympusEq.InternalSerialNumber",
)
_SERIAL_AS_CODES = "Exif.Panasonic.InternalSerialNumber"
_ISO_KEYS = (
    "Exif.Photo.ISOSpeedRatings",
    "Exif.Photo.RecommendedExposureIndex",
    "Exif.Photo.ISOSpeed",
    "Exif.Nikon3.ISOSpeed",
    "Exif.PanasonicRaw.ISOSpeed",
)
_ADOBE_KEYS = ("Exif.Canon.ColorSpace", "Exif.Nikon3.ColorSpace", "Exif.Photo.ColorSpace")


def number(text: str) -> float | None:
    """A positive number from `1/250`, `50` or `2.8`; None for anything else, `0/0` included."""
    above, _, below = text.partition("/")
    try:
        value = float(above) / float(below or 1)
    except (ValueError, ZeroDivisionError, OverflowError):
        return None
    return value if 0 < value < 1e9 else None


def whole(text: str) -> int | None:
    """A whole number of at most nine digits from a text's first word."""
    words = text.split()
    return int(words[0]) if words and re.fullmatch(r"-?[0-9]{1,9}", words[0]) else None


def bare_serial(text: str) -> str:
    """A serial number without the maker's padding; empty when it is all zeros."""
    bare = text.strip(" \0").removeprefix("NO=").strip(" \0")
    return bare if bare.strip("0 ") else ""


def serial(values: Values) -> str:
    """The body's serial number, by the standard tag, the maker's, or the maker's internal one."""
    for key in _SERIAL_KEYS:
        if found := bare_serial(values.get(key, "")):
            return found
    codes = [int(word) for word in values.get(_SERIAL_AS_CODES, "").split() if word.isdigit()]
    return bare_serial(bytes(code & 0x7F for code in codes).split(b"\0")[0].decode("ascii"))


def camera_time(values: Values) -> CameraTime | None:
    """The camera's own reading, with the resolution its sub-seconds give and its zone.

    Sub-seconds are a decimal fraction of any length (EXIF 2.32, SubSecTimeOriginal). Some
    bodies always write zeros there: one picture cannot tell.
    """
    for key, which in _TIME_KEYS:
        found = _TIME.match(values.get(key, "").strip(" \0"))
        if not found:
            continue
        year, month, day, hour, minute, second = (int(part) for part in found.groups())
        try:
            reading = datetime(year, month, day, hour, minute, second)  # noqa: DTZ001
        except ValueError:
            continue
        digits = values.get(f"Exif.Photo.SubSecTime{which}", "").strip(" \0")
        zone_min = _zone_min(values.get(f"Exif.Photo.OffsetTime{which}", ""))
        if not re.fullmatch(r"[0-9]+", digits):
            return CameraTime(reading, 1.0, zone_min)
        reading = reading.replace(microsecond=int(f"{digits[:_FINEST_DIGITS]:0<6}"))
        return CameraTime(reading, 10.0 ** -min(len(digits), _FINEST_DIGITS), zone_min)
    return None


def _zone_min(text: str) -> int | None:
    """Minutes east of UTC from `+02:00`; None when blank or beyond any zone in use."""
    found = _ZONE.fullmatch(text.strip(" \0"))
    if not found:
        return 0 if text.strip(" \0") == "Z" else None
    minutes = (int(found[2]) * 60 + int(found[3])) * (-1 if found[1] == "-" else 1)
    return minutes if abs(minutes) <= _FARTHEST_ZONE_MIN else None


def file_number(values: Values) -> int | None:
    """The four figures of the file's name: Canon writes the folder's three before them."""
    printed = re.fullmatch(r"[0-9]{3}-([0-9]{4})", values.get("Exif.CanonFi.FileNumber", ""))
    if printed and int(printed[1]):
        return int(printed[1])
    canon = whole(values.get("Exif.Canon.ImageNumber", ""))
    if canon and canon >= 1_000_000:
        return canon % 10_000
    nikon = whole(values.get("Exif.NikonFi.FileNumber", ""))
    return nikon if nikon is not None and 0 < nikon < 10_000 else None


def iso(values: Values) -> int | None:
    """The speed set; 65535 in the old tag means that a newer one holds it."""
    for key in _ISO_KEYS:
        words = values.get(key, "").split()
        speed = whole(words[-1]) if words else None
        if speed and speed > 0 and (speed < 65535 or key != _ISO_KEYS[0]):
            return speed
    return None


def lens(values: Values, by_table: str) -> str:
    """The lens by its own name, else `by_table` (exiv2's), else by its focal lengths."""
    for key in ("Exif.Photo.LensModel", "Exif.Canon.LensModel"):
        if name := values.get(key, "").strip(" \0"):
            return name
    if not _NO_LENS.fullmatch(by_table.strip()):
        return by_table.strip()
    for key in ("Exif.Nikon3.Lens", "Exif.CanonCs.Lens", "Xmp.aux.Lens"):
        found = _SPAN.search(values.get(key, ""))
        longest = number(found[2]) if found else None
        shortest = number(found[1]) if found else None
        if longest and shortest:
            return f"{shortest:g}-{longest:g} mm" if shortest != longest else f"{longest:g} mm"
    return ""


def colour_space(values: Values) -> str:
    """`sRGB`, `Adobe RGB`, `uncalibrated` or empty.

    A body set to Adobe RGB writes 65535 with the index R03 (DCF 2.0, optional colour space;
    from memory), or 2, and mostly embeds no profile.
    """
    if any(values.get(key) == "2" for key in _ADOBE_KEYS):
        return "Adobe RGB"
    space = values.get("Exif.Photo.ColorSpace", "")
    if space == "65535":
        index = values.get("Exif.Iop.InteroperabilityIndex", "")
        return "Adobe RGB" if index == "R03" else "uncalibrated"
    return "sRGB" if space == "1" else ""
