"""Small files that would be large when opened, and large ones that are none of the trade's."""

from __future__ import annotations

import io
import json
import struct
import tracemalloc
import zlib
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pillow_heif
import pytest
import simplejpeg
from PIL import Image

from setpiece.books.statements import StatementForm, read_statement
from setpiece.errors import BadFile, WrongUse
from setpiece.match.instants import Instant, instant
from setpiece.match.log_exchange import read_log_csv, read_log_json
from setpiece.match.people import SidePeople, TeamSheet
from setpiece.match.sheet_exchange import read_sheet_csv, read_sheet_json
from setpiece.match.sheet_text import read_sheet_text
from setpiece.pictures.decode import decode_half
from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of
from setpiece.pictures.metadata import read_metadata
from setpiece.pictures.opening import opened_picture
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.intake.take import take_in
from setpiece.work.job import Unattended

MIB = 1 << 20
NOW = instant(datetime(2027, 3, 6, 14, 0, tzinfo=UTC))
ROWS = 1_000_000
HOME, AWAY = SidePeople("Hollerau", "Hollerau"), SidePeople("Sankt Vend", "Sankt Vend")


def grown_mib(act: Callable[[], object]) -> float:
    """Runs it; how much memory of Python's it took at the most beyond what there was."""
    tracemalloc.start()
    try:
        act()
        return tracemalloc.get_traced_memory()[1] / MIB
    finally:
        tracemalloc.stop()


def small_jpeg() -> bytes:
    """A picture of 96 x 64."""
    return simplejpeg.encode_jpeg(np.zeros((64, 96, 3), np.uint8))


def huge_jpeg() -> bytes:
    """A JPEG whose header claims 40,000 x 30,000 pixels."""
    jpeg = small_jpeg()
    at = jpeg.index(b"\xff\xc0") + 5
    return jpeg[:at] + struct.pack(">HH", 30_000, 40_000) + jpeg[at + 4 :]


def huge_heif() -> bytes:
    """A HEIF whose image size says 40,000 x 30,000 pixels."""
    out = io.BytesIO()
    pillow_heif.from_pillow(Image.new("RGB", (96, 64))).save(out, quality=50)
    data, at = out.getvalue(), out.getvalue().index(b"ispe") + 8
    return data[:at] + struct.pack(">II", 40_000, 30_000) + data[at + 8 :]


def huge_png(*, rows: int = 0) -> bytes:
    """A PNG of 40,000 x 30,000 grey pixels; its rows, all alike, pack into almost nothing."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        )

    head = struct.pack(">IIBBBBB", 40_000, 30_000, 8, 0, 0, 0, 0)
    body = zlib.compress(bytes(40_001 * rows), 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def with_block(marker: int, body: bytes) -> bytes:
    """The small picture with one more block in its header."""
    jpeg = small_jpeg()
    return jpeg[:2] + bytes((0xFF, marker)) + struct.pack(">H", len(body) + 2) + body + jpeg[2:]


@pytest.mark.parametrize("make", [huge_jpeg, huge_heif, huge_png])
def test_a_gigapixel_in_a_header_is_not_decoded(make: Callable[[], bytes]) -> None:
    """A header of 1.2 gigapixels is refused in words before memory is taken for it, wherever
    pictures are opened."""
    data = make()
    kind = kind_of(data[:HEAD_BYTES])

    def opened() -> None:
        with pytest.raises(BadFile):
            decode_half(data, kind)
        with pytest.raises(BadFile):
            opened_picture(data)

    assert grown_mib(opened) < 64


def test_a_packed_picture_of_a_gigapixel_is_not_unpacked() -> None:
    """A PNG of a few kilobytes that would unpack to a gigabyte is refused by its size."""
    data = huge_png(rows=200)
    assert len(data) < 16_000

    def opened() -> None:
        with pytest.raises(BadFile):
            opened_picture(data)

    assert grown_mib(opened) < 64


LAUGHS = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 12))
XMP = (
    '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY l0 "ha">' + LAUGHS + "]>"
    '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF '
    'xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description '
    'xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:source>&l11;</dc:source>'
    "</rdf:Description></rdf:RDF></x:xmpmeta>"
).encode()  # fmt: skip
PROFILE = b"ICC_PROFILE\0\x01\x01" + struct.pack(">I", 0xFFFFFFFF) + b"\0" * 124


@pytest.mark.parametrize(
    ("marker", "body"),
    [
        (0xE1, b"http://ns.adobe.com/xap/1.0/\0" + XMP),
        (0xE1, b"Exif\0\0MM\0*\0\0\0\x08" + struct.pack(">HHHII", 1, 0x010F, 2, 2**31, 8)),
        (0xE2, PROFILE),
        (0xE2, b"ICC_PROFILE\0\xff\xff" + bytes(60_000)),
    ],
    ids=[
        "entities in XMP",
        "a text of 2 GB in EXIF",
        "a profile of 4 GB",
        "a profile in 255 parts",
    ],
)
def test_blocks_that_grow_when_read_stay_small(marker: int, body: bytes) -> None:
    """Metadata that claims gigabytes, or would unfold to them, is left out or refused, and so is
    the picture around it at the worst."""
    data = with_block(marker, body)

    def read() -> None:
        told = ""
        with suppress(BadFile):
            told = repr(read_metadata(data))
        assert "hahaha" not in told
        with suppress(BadFile):
            assert decode_half(data, PictureKind.JPEG).full_width_px == 96

    assert grown_mib(read) < 64


def test_bombs_on_a_card_are_kept_and_told(
    space: Workspace, match: Match, now: Instant, tmp_path: Path
) -> None:
    """A card with such files is taken in to its end: the good picture too, every file kept."""
    card = tmp_path / "card"
    card.mkdir()
    (card / "A0001.JPG").write_bytes(huge_jpeg())
    (card / "A0002.HIF").write_bytes(huge_heif())
    (card / "A0003.JPG").write_bytes(with_block(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + XMP))
    (card / "A0004.JPG").write_bytes(small_jpeg())
    report = take_in(space, match, [card], Unattended(now))
    assert report.copied == 4
    assert {Path(t.path).name for t in report.damaged} == {"A0001.JPG", "A0002.HIF"}


FORM = StatementForm({"picture": "picture", "paid": "paid"}, "EUR")
LARGE: dict[str, tuple[str, Callable[[str], object]]] = {
    "log as CSV": (
        "typed,kind\n" + "2027-03-06T15:00:00Z,goal\n" * ROWS,
        lambda text: read_log_csv(text, TeamSheet(HOME, AWAY), typed=NOW),
    ),
    "log as JSON": ('{"form": "x", "entries": [' + '{"nr": 1},' * ROWS + "{}]}", read_log_json),
    "sheet as CSV": (
        "side,number,name\n" + "home,9,Given Family\n" * ROWS,
        lambda text: read_sheet_csv(text, home=HOME, away=AWAY),
    ),
    "sheet as JSON": ('{"people": [' + '{"n": 1},' * ROWS + "{}]}", read_sheet_json),
    "sheet as text": (
        "9 Given Family\n" * ROWS,
        lambda text: read_sheet_text(text, home=HOME, away=AWAY, side=None),
    ),
    "statement": (
        "picture,paid\n" + "A-0231,12.50\n" * ROWS,
        lambda text: read_statement(text.encode(), FORM),
    ),
}


@pytest.mark.parametrize("what", list(LARGE))
def test_a_million_lines_are_refused_before_they_are_read(what: str) -> None:
    """A file of a million lines is no match's log or sheet and no statement: one sentence says
    so, and no more memory is taken than the text itself needs."""
    text, read = LARGE[what]

    def refused() -> None:
        with pytest.raises(WrongUse, match="far too long"):
            read(text)

    assert grown_mib(refused) < 2 * len(text) / MIB + 8


@pytest.mark.parametrize("read", [read_log_json, read_sheet_json])
@pytest.mark.parametrize(
    "text", ["[" * 100_000, '{"a":' * 100_000, "9" * 100_000, "NaN", '"\\ud800"']
)
def test_json_that_is_too_deep_is_refused(read: Callable[[str], object], text: str) -> None:
    """Nested without an end, a number without an end, what is no JSON: refused in words."""
    with pytest.raises(WrongUse):
        read(text)
    with pytest.raises(WrongUse):
        read(json.dumps({"form": "x", "entries": text}))
