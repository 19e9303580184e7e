"""TIFF directories are read without trusting a length."""

from __future__ import annotations

import struct

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.pictures.directories import (
    first_directory,
    read_directory,
    standard_values,
    thumbnail,
)


def block(order: str = "<") -> bytes:
    """An EXIF block: maker and EXIF directory, exposure 1/500 and sub-seconds, a thumbnail."""
    mark = b"II*\0" if order == "<" else b"MM\0*"
    entry = lambda tag, form, count, value: struct.pack(f"{order}HHII", tag, form, count, value)  # noqa: E731
    head = mark + struct.pack(f"{order}I", 8)
    first = struct.pack(f"{order}H", 2) + entry(0x010F, 2, 8, 200) + entry(0x8769, 4, 1, 60)
    first += struct.pack(f"{order}I", 120)
    exif = struct.pack(f"{order}H", 2) + entry(0x829A, 5, 1, 220)
    exif += struct.pack(f"{order}HHI", 0x9291, 2, 3) + b"25\0\0" + bytes(4)
    second = struct.pack(f"{order}H", 2) + entry(0x0201, 4, 1, 240) + entry(0x0202, 4, 1, 6)
    second += bytes(4)
    data = bytearray(260)
    for at, part in ((0, head + first), (60, exif), (120, second), (200, b"Ostrell\0")):
        data[at : at + len(part)] = part
    data[220:228] = struct.pack(f"{order}II", 1, 500)
    data[240:246] = b"\xff\xd8ab\xff\xd9"
    return bytes(data)


def test_both_byte_orders_give_the_same_values() -> None:
    """Maker, exposure and sub-seconds come out as exiv2 would print them, in either order."""
    wanted = {
        "Exif.Image.Make": "Ostrell",
        "Exif.Photo.ExposureTime": "1/500",
        "Exif.Photo.SubSecTimeOriginal": "25",
    }
    assert standard_values(block("<")) == wanted
    assert standard_values(block(">")) == wanted


def test_the_second_directory_points_to_the_thumbnail() -> None:
    """The small JPEG is cut out by its offset and length; without one there is none."""
    assert thumbnail(block()) == b"\xff\xd8ab\xff\xd9"
    assert thumbnail(block()[:245]) == b"\xff\xd8ab\xff"
    assert thumbnail(block()[:120]) is None
    assert thumbnail(b"") is None


def test_a_value_outside_the_block_is_left_out() -> None:
    """A tag whose offset lies beyond the end is passed over, the others stay."""
    assert "Exif.Image.Make" not in standard_values(block()[:190])
    assert read_directory(block(), 5000).tags == {}


def test_a_text_that_claims_gigabytes_costs_nothing() -> None:
    """A length of four thousand million signs is bounded before anything is copied."""
    data = bytearray(block())
    data[14:18] = b"\xff\xff\xff\xff"
    assert "Exif.Image.Make" not in standard_values(bytes(data))


@given(st.integers(0, 2**32 - 1))
@settings(deadline=None)
def test_no_damage_raises(seed: int) -> None:
    """Whatever stands in the bytes, reading them ends with what could be read."""
    rng = np.random.default_rng(seed)
    data = bytearray(block(">" if seed % 2 else "<"))
    for place in rng.integers(4, len(data), 12):
        data[place] = rng.integers(256)
    broken = bytes(data[: int(rng.integers(0, len(data)))])
    assert isinstance(standard_values(broken), dict)
    assert thumbnail(broken) is None or thumbnail(broken)
    assert first_directory(broken).next_at >= 0
