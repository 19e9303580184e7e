"""TIFF directories, read without a library.

For three things: the kind of a TIFF-based raw file, the small JPEG in an EXIF block, and the
metadata of a file cut short, which exiv2 refuses. Layout: TIFF 6.0, section 2; tags: EXIF 2.32
(CIPA DC-008), sections 4.6.4 and 4.6.5 (both from memory). Nothing here trusts a length.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from dataclasses import dataclass

_MAX_ENTRIES = 512
_MAX_VALUES = 64
_MAX_TEXT_BYTES = 4096
_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8}
_FORMS = {3: "H", 4: "I", 8: "h", 9: "i"}

_EXIF_DIRECTORY = 0x8769
_THUMBNAIL_START, _THUMBNAIL_BYTES = 0x0201, 0x0202
_IMAGE_TAGS = {
    0x0100: "ImageWidth",
    0x0101: "ImageLength",
    0x010F: "Make",
    0x0110: "Model",
    0x0112: "Orientation",
    0x4746: "Rating",
    0xC612: "DNGVersion",
    0xC62F: "CameraSerialNumber",
}
_PHOTO_TAGS = {
    0x829A: "ExposureTime",
    0x829D: "FNumber",
    0x8827: "ISOSpeedRatings",
    0x9003: "DateTimeOriginal",
    0x9004: "DateTimeDigitized",
    0x9011: "OffsetTimeOriginal",
    0x9012: "OffsetTimeDigitized",
    0x9291: "SubSecTimeOriginal",
    0x9292: "SubSecTimeDigitized",
    0x920A: "FocalLength",
    0xA001: "ColorSpace",
    0xA002: "PixelXDimension",
    0xA003: "PixelYDimension",
    0xA404: "DigitalZoomRatio",
    0xA405: "FocalLengthIn35mmFilm",
    0xA431: "BodySerialNumber",
    0xA434: "LensModel",
    0xA435: "LensSerialNumber",
}


@dataclass(frozen=True, slots=True)
class Directory:
    """One directory: its tags with values as exiv2 prints them, and where the next one starts."""

    tags: dict[int, str]
    next_at: int


def byte_order(block: bytes) -> str:
    """`<` or `>` as the TIFF block begins; empty when it is none."""
    if block[:2] == b"II" and len(block) >= 8:
        return "<"
    return ">" if block[:2] == b"MM" and len(block) >= 8 else ""


def read_directory(block: bytes, at: int) -> Directory:
    """The directory at `at`, as far as the block goes; values that lie outside are left out."""
    order = byte_order(block)
    if not order or at < 2 or at + 2 > len(block):
        return Directory({}, 0)
    count = min(struct.unpack_from(f"{order}H", block, at)[0], _MAX_ENTRIES)
    tags: dict[int, str] = {}
    end = at + 2 + 12 * count
    for start in range(at + 2, end, 12):
        if start + 12 > len(block):
            return Directory(tags, 0)
        tag, form, length = struct.unpack_from(f"{order}HHI", block, start)
        text = _value(block, start + 8, form, length, order)
        if text is not None:
            tags.setdefault(tag, text)
    following = struct.unpack_from(f"{order}I", block, end)[0] if end + 4 <= len(block) else 0
    return Directory(tags, following)


def _value(block: bytes, place: int, form: int, length: int, order: str) -> str | None:
    """A value as text: `1/250`, `0 200`, words without their zero byte; None when outside."""
    size = _SIZES.get(form)
    if size is None or not length:
        return None
    length = min(length, _MAX_TEXT_BYTES if form == 2 else _MAX_VALUES)
    if size * length > 4:
        place = struct.unpack_from(f"{order}I", block, place)[0]
    raw = block[place : place + size * length]
    if len(raw) < size * length:
        return None
    if form == 2:
        return raw.split(b"\0")[0].decode("utf-8", errors="replace")
    if form in _FORMS:
        return " ".join(map(str, struct.unpack(f"{order}{length}{_FORMS[form]}", raw)))
    if form in (5, 10):
        numbers = struct.unpack(f"{order}{2 * length}{'I' if form == 5 else 'i'}", raw)
        return " ".join(f"{n}/{d}" for n, d in zip(numbers[::2], numbers[1::2], strict=True))
    return " ".join(str(byte) for byte in raw)


def first_directory(block: bytes) -> Directory:
    """The first directory of a TIFF block."""
    order = byte_order(block)
    return read_directory(block, struct.unpack_from(f"{order}I", block, 4)[0] if order else 0)


def thumbnail(block: bytes) -> bytes | None:
    """The JPEG that the second directory of an EXIF block points to."""
    second = read_directory(block, first_directory(block).next_at)
    try:
        start = int(second.tags[_THUMBNAIL_START])
        length = int(second.tags[_THUMBNAIL_BYTES])
    except (KeyError, ValueError):
        return None
    found = block[start : start + length]
    return found if found[:2] == b"\xff\xd8" else None


def standard_values(block: bytes) -> dict[str, str]:
    """The standard tags of an EXIF block by exiv2's keys, as `Exif.Photo.FNumber`.

    A block may be one EXIF directory alone (a CR3 file keeps them apart): its tags are then
    found in the first directory.
    """
    first = first_directory(block)
    found = dict(_named(first, "Exif.Image", _IMAGE_TAGS))
    found |= dict(_named(first, "Exif.Photo", _PHOTO_TAGS))
    place = first.tags.get(_EXIF_DIRECTORY, "")
    if place.isdigit():
        found |= dict(_named(read_directory(block, int(place)), "Exif.Photo", _PHOTO_TAGS))
    return found


def _named(directory: Directory, group: str, names: dict[int, str]) -> Iterator[tuple[str, str]]:
    """The directory's tags that have a name in the table, by key."""
    for tag, text in directory.tags.items():
        if tag in names:
            yield f"{group}.{names[tag]}", text
