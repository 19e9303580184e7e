"""The parts of a JPEG and JPEGs inside other files."""

from __future__ import annotations

import io

import simplejpeg
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from setpiece.pictures.segments import (
    APP1,
    EXIF_NAME,
    Segment,
    end_of,
    jpegs_inside,
    read_header,
    whole_in_one_scan,
)


def with_segment(jpeg: bytes, segment: Segment) -> bytes:
    """The JPEG with one more segment at its start."""
    return jpeg[:2] + segment.encode() + jpeg[2:]


def test_header_and_scan_make_the_file_again(scene_jpeg: bytes) -> None:
    """Segments encoded in order, and the bytes from the first scan on, are the file."""
    header = read_header(scene_jpeg)
    assert header.scan_at is not None
    parts = b"".join(segment.encode() for segment in header.segments)
    assert b"\xff\xd8" + parts + scene_jpeg[header.scan_at :] == scene_jpeg
    assert end_of(scene_jpeg, header.scan_at) == len(scene_jpeg)


def test_the_frame_header_states_the_size(scene_jpeg: bytes) -> None:
    """Width and height are those that were encoded."""
    frame = read_header(scene_jpeg).frame
    assert frame is not None
    assert (frame.width_px, frame.height_px, frame.bits, frame.components) == (480, 320, 8, 3)


def test_a_picture_whole_in_its_first_scan_is_told(scene_jpeg: bytes) -> None:
    """A baseline picture is, a progressive one and a header without a scan are not."""
    progressive = io.BytesIO()
    Image.new("RGB", (64, 48), "green").save(progressive, "JPEG", progressive=True)
    later = progressive.getvalue()
    assert whole_in_one_scan(scene_jpeg, read_header(scene_jpeg))
    assert not whole_in_one_scan(later, read_header(later))
    assert not whole_in_one_scan(scene_jpeg[:300], read_header(scene_jpeg[:300]))


def test_jpegs_are_found_inside_other_bytes(scene_jpeg: bytes) -> None:
    """Two pictures in a row of other bytes are cut out exactly; the nested one is passed over."""
    nested = with_segment(scene_jpeg, Segment(APP1, EXIF_NAME + scene_jpeg[:9000]))
    found = list(jpegs_inside(b"raw" * 99 + nested + b"\xff\xd8\xff\xe0no" + scene_jpeg + b"end"))
    assert [j.end - j.start for j in found] == [len(nested), len(scene_jpeg)]


def test_what_follows_the_end_is_no_part_of_it(scene_jpeg: bytes) -> None:
    """A second picture after the end of the first, as some bodies append, is left out."""
    header = read_header(scene_jpeg)
    assert header.scan_at is not None
    assert end_of(scene_jpeg + scene_jpeg, header.scan_at) == len(scene_jpeg)
    cut = scene_jpeg[:-200]
    assert end_of(cut + scene_jpeg, header.scan_at) == len(cut)


def test_progressive_scans_are_walked_to_the_end(scene_jpeg: bytes) -> None:
    """Tables between the scans of a progressive file do not end it."""

    out = io.BytesIO()
    Image.fromarray(simplejpeg.decode_jpeg(scene_jpeg)).save(out, "JPEG", progressive=True)
    data = out.getvalue()
    header = read_header(data)
    assert header.scan_at is not None
    assert end_of(data + b"more", header.scan_at) == len(data)


@given(st.binary(max_size=400))
@settings(deadline=None)
def test_any_bytes_can_be_walked(data: bytes) -> None:
    """Whatever follows a start mark, walking it ends without an error."""
    jpeg = b"\xff\xd8\xff" + data
    header = read_header(jpeg)
    assert header.scan_at is None or header.scan_at < len(jpeg)
    assert list(jpegs_inside(jpeg)) == [] or header.frame is not None
