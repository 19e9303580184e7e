"""Where the EXIF block lies in each kind of file, found without a library.

Serves thumbnails, and the metadata of files that exiv2 refuses (cut short by an early pull).
CR3 boxes by the public description of the format; RAF header by the same (from memory).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from setpiece.pictures.directories import standard_values, thumbnail
from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of
from setpiece.pictures.segments import APP1, EXIF_NAME, read_header

_SEARCHED_BYTES = 2_000_000
_RAF_PREVIEW_AT = 84
_RATING = re.compile(rb"xmp:Rating(?:=[\"']|>)(-?[0-9])[\"'<]")
_CR3_DIRECTORIES = (b"CMT1", b"CMT2")


def exif_blocks(data: bytes) -> tuple[bytes, ...]:
    """The TIFF blocks that hold a file's EXIF, the main one first; empty when none is found."""
    kind = kind_of(data[:HEAD_BYTES])
    if kind is PictureKind.JPEG:
        return _of_jpeg(data, 0)
    if kind is PictureKind.RAF:
        return _of_jpeg(data, int.from_bytes(data[_RAF_PREVIEW_AT : _RAF_PREVIEW_AT + 4], "big"))
    if kind is PictureKind.CR3:
        return tuple(_of_boxes(data[:_SEARCHED_BYTES]))
    if kind is PictureKind.HEIF:
        return _of_item(data)
    return (data,) if kind.is_raw else ()


def _of_jpeg(data: bytes, at: int) -> tuple[bytes, ...]:
    block = read_header(data, at).first(APP1, EXIF_NAME)
    return () if block is None else (block,)


def _of_boxes(head: bytes) -> Iterator[bytes]:
    """A CR3 file keeps the image directory and the EXIF directory in boxes of their own."""
    for name in _CR3_DIRECTORIES:
        at = head.find(name)
        if at >= 4:
            length = int.from_bytes(head[at - 4 : at], "big")
            yield head[at + 4 : at - 4 + length]


def _of_item(data: bytes) -> tuple[bytes, ...]:
    """A HEIF file keeps EXIF as an item that begins as a JPEG's segment does."""
    for start in (b"II*\0", b"MM\0*"):
        at = data.find(EXIF_NAME + start, 0, _SEARCHED_BYTES)
        if at >= 0:
            return (data[at + len(EXIF_NAME) : at + len(EXIF_NAME) + 65536],)
    return ()


def salvaged_values(data: bytes) -> dict[str, str]:
    """The standard values and the rating that can still be read, by exiv2's keys."""
    found: dict[str, str] = {}
    for block in exif_blocks(data):
        found = standard_values(block) | found
    if found and (rating := _RATING.search(data, 0, _SEARCHED_BYTES)):
        found["Xmp.xmp.Rating"] = rating[1].decode("ascii")
    return found


def stored_thumbnail(data: bytes) -> bytes | None:
    """The small JPEG a camera put beside the EXIF values, undecoded."""
    if kind_of(data[:HEAD_BYTES]) is PictureKind.CR3:
        box = data.find(b"THMB", 0, _SEARCHED_BYTES)
        start = data.find(b"\xff\xd8\xff", box, box + 64) if box >= 4 else -1
        end = box - 4 + int.from_bytes(data[box - 4 : box], "big")
        return data[start:end] if start >= 0 else None
    return next((found for block in exif_blocks(data) if (found := thumbnail(block))), None)
