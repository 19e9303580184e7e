"""Captions into files and out again: IIM and XMP together, scan bytes untouched.

exiv2 writes into a JPEG of a few bytes, in memory; its segments are then put in front of the
picture's own tables and scan bytes. So a full disk cannot harm a file, and nothing of the
original's metadata gets through that is not on the list below. What was written is read back.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields as dataclass_fields
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import exiv2

from setpiece.captions.fields import PersonShown, PictureFields, Place
from setpiece.captions.translit import in_ascii
from setpiece.errors import BadFile, GiveUp, WrongUse
from setpiece.pictures.blocks import salvaged_values
from setpiece.pictures.iim import datasets, from_iim, read_datasets, to_iim
from setpiece.pictures.library import exiv2_alone, opened
from setpiece.pictures.metadata import read_metadata
from setpiece.pictures.segments import (
    APP0,
    APP2,
    APP14,
    ICC_NAME,
    Header,
    Segment,
    end_of,
    read_header,
)
from setpiece.pictures.xmp import from_xmp, to_xmp

KEEP_SERIAL, KEEP_GPS = "serial", "gps"
"""What `write_fields` may be asked to keep beside the list of allowed tags."""

_ALLOWED_EXIF = (
    "Exif.Image.Make",
    "Exif.Image.Model",
    "Exif.Photo.ExposureTime",
    "Exif.Photo.FNumber",
    "Exif.Photo.ISOSpeedRatings",
    "Exif.Photo.DateTimeOriginal",
    "Exif.Photo.OffsetTimeOriginal",
    "Exif.Photo.SubSecTimeOriginal",
    "Exif.Photo.FocalLength",
    "Exif.Photo.FocalLengthIn35mmFilm",
    "Exif.Photo.LensModel",
)
_EXIF_DATE = frozenset(key for key in _ALLOWED_EXIF if "Time" in key and "Original" in key)
_EMPTY_PACKET = (
    b"<?xpacket begin='' id='W5M0MpCehiHzreSzNTczkc9d'?>"
    b"<x:xmpmeta xmlns:x='adobe:ns:meta/'/><?xpacket end='w'?>"
)
_CARRIER = b"\xff\xd8\xff\xd9"


def write_fields(
    jpeg: bytes,
    fields: PictureFields,
    *,
    keep: frozenset[str] = frozenset(),
    original: bytes | None = None,
    ascii_iim: bool = False,
) -> bytes:
    """The JPEG with the fields in IIM and XMP, its tables and scan bytes unchanged.

    `original` is the camera's file when `jpeg` is a rendition of it; of its EXIF only make,
    model, lens, exposure, focal length and date stay, and what `keep` asks for (KEEP_SERIAL,
    KEEP_GPS). Where the fields give a date, the EXIF date says the same (the standard holds
    them to be one). IIM values are shortened to their limits; with `ascii_iim` they are in
    ASCII, for desks whose programs know nothing else, while XMP keeps every letter.

    Raises WrongUse for a field that no file can hold, BadFile when `jpeg` is none, GiveUp when a
    field does not read back.
    """
    asked = tidy(fields)
    for_iim = in_ascii(asked) if ascii_iim else asked
    header = read_header(jpeg)
    if header.scan_at is None or header.frame is None:
        raise BadFile("not a JPEG that captions can be written into", next_step="Render it first.")
    exif = _allowed_exif(jpeg if original is None else original, keep)
    exif |= _orientation(jpeg)
    if asked.date_created is not None:
        exif = {key: value for key, value in exif.items() if key not in _EXIF_DATE}
        exif |= _exif_date(asked.date_created)
    written = _encode(asked, for_iim, exif)
    parts = [b"\xff\xd8", *_assembled(header, written)]
    parts.append(jpeg[header.scan_at : end_of(jpeg, header.scan_at)])
    captioned = b"".join(parts)
    _check(captioned, asked, for_iim)
    return captioned


def tidy(fields: PictureFields) -> PictureFields:
    """The fields without empty list items and empty structures. Raises WrongUse.

    Refused: control characters and halves of characters, which XML cannot hold, and a date
    without a zone.
    """
    changed: dict[str, Any] = {}
    for field in dataclass_fields(fields):
        value = getattr(fields, field.name)
        for text in _texts(value):
            _refuse_unwritable(field.name, text)
        if isinstance(value, tuple):
            changed[field.name] = tuple(item for item in value if item not in ("", PersonShown("")))
        elif value == Place():
            changed[field.name] = None
    at = fields.date_created
    if at is not None and at.utcoffset() is None:
        raise WrongUse("a date without a zone cannot be written", thing=at.isoformat())
    return replace(fields, **changed)


def _texts(value: Any) -> Iterator[str]:
    """Every text in a field's value."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from _texts(item)
    elif isinstance(value, PersonShown | Place):
        for field in dataclass_fields(value):
            yield getattr(value, field.name)


def _refuse_unwritable(name: str, text: str) -> None:
    """Raises WrongUse for a text that XML 1.0 (section 2.2) or exiv2 cannot hold."""
    for sign in text:
        code = ord(sign)
        if (code < 32 and sign not in "\t\n") or 0xD800 <= code < 0xE000 or code in _NO_SIGNS:
            raise WrongUse(
                f"a character that no caption can hold (U+{code:04X}) stands in it",
                thing=name.replace("_", " "),
                next_step="Type the text again.",
            )
    if text.startswith("type="):  # exiv2 would take it for a form
        raise WrongUse("a text cannot begin with type=", thing=name.replace("_", " "))


_NO_SIGNS = frozenset((0x7F, 0xFFFE, 0xFFFF))


def _allowed_exif(source: bytes, keep: frozenset[str]) -> dict[str, Any]:
    """The source's EXIF values that may stay, by key; empty when none can be read."""
    try:
        seen = read_metadata(source)
    except BadFile:
        return {}
    found: dict[str, Any]
    try:
        with opened(source) as image:
            found = {datum.key(): datum.getValue() for datum in image.exifData()}
    except BadFile:
        found = dict(salvaged_values(source))  # texts: exiv2 knows each tag's type
    kept = {key: value for key, value in found.items() if key in _ALLOWED_EXIF}
    if seen.lens:
        kept.setdefault("Exif.Photo.LensModel", exiv2.AsciiValue(seen.lens))
    if seen.iso and seen.iso < 65535:
        kept.setdefault("Exif.Photo.ISOSpeedRatings", exiv2.UShortValue(seen.iso))
    if KEEP_SERIAL in keep:
        if seen.serial:
            kept["Exif.Photo.BodySerialNumber"] = exiv2.AsciiValue(seen.serial)
        if seen.lens_serial:
            kept["Exif.Photo.LensSerialNumber"] = exiv2.AsciiValue(seen.lens_serial)
    if KEEP_GPS in keep:
        kept |= {key: value for key, value in found.items() if key.startswith("Exif.GPSInfo.")}
    return kept


def _orientation(jpeg: bytes) -> dict[str, Any]:
    """The JPEG's own orientation, where its pixels still need turning."""
    try:
        turned = read_metadata(jpeg).orientation
    except BadFile:
        return {}
    return {"Exif.Image.Orientation": exiv2.UShortValue(turned)} if turned != 1 else {}


def _exif_date(at: datetime) -> dict[str, Any]:
    """The caption's date as EXIF keeps it, with its zone and sub-seconds."""
    zone = f"{at:%z}"
    found = {
        "Exif.Photo.DateTimeOriginal": exiv2.AsciiValue(f"{at:%Y:%m:%d %H:%M:%S}"),
        "Exif.Photo.OffsetTimeOriginal": exiv2.AsciiValue(f"{zone[:3]}:{zone[3:5]}"),
    }
    if at.microsecond:
        fraction = f"{at.microsecond:06d}".rstrip("0")
        found["Exif.Photo.SubSecTimeOriginal"] = exiv2.AsciiValue(fraction)
    return found


def _encode(fields: PictureFields, for_iim: PictureFields, exif: dict[str, Any]) -> Header:
    """The metadata segments as exiv2 writes them."""
    with exiv2_alone():
        image = exiv2.ImageFactory.open(_CARRIER)
        image.readMetadata()
        data = image.exifData()
        for key, value in exif.items():
            data[key] = value
        image.setIptcData(to_iim(for_iim))
        image.setXmpData(to_xmp(fields))
        image.writeMetadata()
        return read_header(bytes(image.io().data()))


def _assembled(header: Header, written: Header) -> Iterator[bytes]:
    """The header's segments in order: JFIF, the new metadata, then tables and profile."""
    first = [s for s in header.segments if s.marker == APP0]
    rest = [s for s in header.segments if _stays(s)]
    for segment in (*first[:1], *written.segments, *rest):
        yield segment.encode()


def _stays(segment: Segment) -> bool:
    """Whether a segment describes pixels: tables, frame, colour transform, ICC profile."""
    if segment.marker == APP2:
        return segment.payload.startswith(ICC_NAME)
    return segment.marker == APP14 or segment.marker < APP0


def _check(captioned: bytes, fields: PictureFields, for_iim: PictureFields) -> None:
    """Raises GiveUp unless both IIM and XMP read back as they were asked."""
    with opened(captioned) as image:
        xmp, iim = from_xmp(image.xmpData()), read_datasets(image.iptcData())
    wanted = {f.name: getattr(fields, f.name) for f in dataclass_fields(fields)}
    lost = [name for name, value in wanted.items() if _differs(name, value, xmp)]
    if iim != datasets(for_iim):
        lost.append("IIM")
    if lost:
        raise GiveUp(
            f"what was written does not read back: {', '.join(lost)}",
            next_step="Nothing was sent; change that text.",
        )


def _differs(name: str, value: Any, xmp: dict[str, Any]) -> bool:
    if name == "edit_status" or value in ("", (), None):
        return False
    told = xmp.get(name)
    if isinstance(value, datetime) and isinstance(told, datetime):
        # In the hour that clocks go back over, times of two zones never equal (PEP 495).
        return _shown(value) != _shown(told)
    return bool(told != value)


def _shown(at: datetime) -> tuple[datetime, timedelta | None]:
    return at.replace(tzinfo=None), at.utcoffset()


def read_fields(jpeg_or_xmp: bytes) -> PictureFields:
    """The fields in a picture or an XMP packet, XMP before IIM. Raises BadFile."""
    with opened(jpeg_or_xmp) as image:
        found = from_iim(image.iptcData()) | from_xmp(image.xmpData())
    return PictureFields(**found)


def sidecar(fields: PictureFields) -> bytes:
    """An XMP packet to stand beside a raw or HEIF original. Raises WrongUse, GiveUp."""
    asked = tidy(fields)
    with exiv2_alone():
        error, packet = exiv2.XmpParser.encode(
            to_xmp(asked), exiv2.XmpParser.XmpFormatFlags.useCompactFormat, 1
        )
    if error:
        raise GiveUp("the sidecar cannot be written", next_step="Change the caption.")
    encoded = str(packet).encode() or _EMPTY_PACKET
    if replace(asked, edit_status="") != read_fields(encoded):
        raise GiveUp("the sidecar does not read back", next_step="Change the caption.")
    return encoded
