"""The parts of a JPEG: header segments, scan bytes, and JPEGs inside other files.

Markers and lengths: ITU-T T.81, annex B. APP13 and APP1 names: XMP specification part 3
(from memory). Nothing is decoded here, and the scan bytes are never touched.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

SOI, EOI, SOS, APP0 = 0xD8, 0xD9, 0xDA, 0xE0
APP1, APP2, APP13, APP14, COM = 0xE1, 0xE2, 0xED, 0xEE, 0xFE
EXIF_NAME = b"Exif\0\0"
ICC_NAME = b"ICC_PROFILE\0"

_PROGRESSIVE = 0xC2
_FRAMES = frozenset(
    (0xC0, 0xC1, _PROGRESSIVE)
)  # baseline, extended, progressive: what cameras show
_OTHER_FRAMES = frozenset((0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF))
_STANDALONE = frozenset((0x01, SOI, EOI, *range(0xD0, 0xD8)))
_MARKER_IN_SCAN = re.compile(rb"\xff[^\x00\xff\xd0-\xd7]")
_MAX_SEGMENTS = 4096


@dataclass(frozen=True, slots=True)
class Segment:
    """One header segment: its marker's second byte and its payload without the length."""

    marker: int
    payload: bytes

    def encode(self) -> bytes:
        """The segment's bytes in a file."""
        return (
            bytes((0xFF, self.marker)) + (len(self.payload) + 2).to_bytes(2, "big") + self.payload
        )


@dataclass(frozen=True, slots=True)
class Frame:
    """What the frame header says: size in pixels, bits a sample, number of components."""

    width_px: int
    height_px: int
    bits: int
    components: int


@dataclass(frozen=True, slots=True)
class Header:
    """A JPEG's header: segments in order, and where the first scan starts (None: cut short)."""

    segments: tuple[Segment, ...]
    scan_at: int | None

    @property
    def frame(self) -> Frame | None:
        """Size and depth, None when no frame header of a kind cameras show came before the cut."""
        for segment in self.segments:
            body = segment.payload
            if segment.marker in _FRAMES and len(body) >= 6:
                height, width = int.from_bytes(body[1:3], "big"), int.from_bytes(body[3:5], "big")
                return Frame(width, height, body[0], body[5])
        return None

    def first(self, marker: int, name: bytes) -> bytes | None:
        """The payload, after its name, of the first segment with that marker and name."""
        for segment in self.segments:
            if segment.marker == marker and segment.payload.startswith(name):
                return segment.payload[len(name) :]
        return None


def whole_in_one_scan(data: bytes, header: Header) -> bool:
    """Whether the first scan holds the whole picture, so that a decoder reads no other.

    True of a sequential frame all of whose components are in that scan (T.81, B.2.2 and B.2.3).
    """
    frame = header.frame
    if frame is None or header.scan_at is None:
        return False
    progressive = any(s.marker == _PROGRESSIVE for s in header.segments)
    return not progressive and data[header.scan_at + 4 : header.scan_at + 5] == bytes(
        (frame.components,)
    )


def read_header(data: bytes, at: int = 0) -> Header:
    """The header of the JPEG that starts at `at`, as far as it can be followed."""
    if data[at : at + 2] != b"\xff\xd8":
        return Header((), None)
    place = at + 2
    segments: list[Segment] = []
    while len(segments) < _MAX_SEGMENTS and place + 4 <= len(data) and data[place] == 0xFF:
        marker = data[place + 1]
        if marker == 0xFF:  # fill byte
            place += 1
            continue
        if marker == SOS:
            return Header(tuple(segments), place)
        if marker in _STANDALONE or marker == 0:
            break
        length = int.from_bytes(data[place + 2 : place + 4], "big")
        if length < 2:
            break
        payload = data[place + 4 : place + 2 + length]
        if len(payload) < length - 2:
            break
        segments.append(Segment(marker, payload))
        if marker in _OTHER_FRAMES:
            break
        place += 2 + length
    return Header(tuple(segments), None)


def end_of(data: bytes, scan_at: int) -> int:
    """Where the JPEG whose first scan starts at `scan_at` ends; the file's end if it is cut."""
    place = scan_at
    while found := _MARKER_IN_SCAN.search(data, place):
        place = found.start()
        marker = data[place + 1]
        if marker == EOI:
            return place + 2
        if marker == SOI:  # another picture begins: this one never ended
            return place
        place += 2 + (0 if marker in _STANDALONE else int.from_bytes(data[place + 2 : place + 4]))
    return len(data)


@dataclass(frozen=True, slots=True)
class Inside:
    """A JPEG that lies inside a file: from `start` to `end`, with its frame header."""

    start: int
    end: int
    frame: Frame


def jpegs_inside(data: bytes) -> Iterator[Inside]:
    """Each JPEG of 8 bits that lies in the bytes, in order; nested thumbnails are passed over."""
    place = data.find(b"\xff\xd8\xff")
    while place >= 0:
        header = read_header(data, place)
        frame = header.frame
        following = place + 2
        if header.scan_at is not None and frame and frame.bits == 8 and frame.components in (1, 3):
            end = end_of(data, header.scan_at)
            yield Inside(place, end, frame)
            following = end
        place = data.find(b"\xff\xd8\xff", following)
