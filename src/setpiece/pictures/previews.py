"""JPEGs inside raw files, largest first, and whether a JPEG decodes whole."""

from __future__ import annotations

from collections.abc import Iterator

import simplejpeg

from setpiece.errors import BadFile
from setpiece.pictures.segments import SOS, jpegs_inside, read_header, whole_in_one_scan

MAX_PIXELS = 250_000_000
"""More than any camera's picture has: a header that says more is not decoded."""

MIN_PREVIEW_PX = 320
"""Along the long side: less is a thumbnail or a stand-in, not the picture."""

_MAX_SCANS = 500
"""More scans than any encoder writes: a small file could else keep the decoder for minutes."""


def guard(width_px: int, height_px: int) -> None:
    """Raises BadFile for a size that no camera's picture has."""
    if not 0 < width_px * height_px <= MAX_PIXELS or min(width_px, height_px) < 1:
        raise BadFile(
            f"its header claims {width_px} x {height_px} pixels",
            next_step="Keep the file; it is not decoded.",
        )


def guard_jpeg(jpeg: bytes) -> tuple[int, int]:
    """Width and height as the header states them. Raises BadFile when it cannot be decoded."""
    header = read_header(jpeg)
    frame = header.frame
    if frame is None:
        raise BadFile(
            "no picture is inside", next_step="Keep the file; take it from the card again."
        )
    guard(frame.width_px, frame.height_px)
    scans = 1 if whole_in_one_scan(jpeg, header) else jpeg.count(bytes((0xFF, SOS)))
    if scans > _MAX_SCANS:
        raise BadFile("its picture has more scans than any camera writes")
    return frame.width_px, frame.height_px


def decodes_whole(jpeg: bytes) -> bool:
    """Whether the JPEG decodes without any error, tried at the smallest scale."""
    try:
        guard_jpeg(jpeg)
        simplejpeg.decode_jpeg(jpeg, colorspace="GRAY", min_width=1, min_height=1, strict=True)
    except (BadFile, ValueError, MemoryError):
        return False
    return True


def previews_inside(data: bytes) -> Iterator[bytes]:
    """The pictures that lie in a raw file as JPEGs, those with the most pixels first."""
    found = sorted(jpegs_inside(data), key=lambda j: -j.frame.width_px * j.frame.height_px)
    for jpeg in found:
        if max(jpeg.frame.width_px, jpeg.frame.height_px) >= MIN_PREVIEW_PX:
            yield data[jpeg.start : jpeg.end]
