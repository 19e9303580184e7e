"""Nothing that can be in a file brings the program down."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

import numpy as np
import pytest
from damage import damaged
from files import noise_jpeg, raw_file

from setpiece.captions.fields import PictureFields
from setpiece.errors import BadFile, SetpieceError
from setpiece.pictures.decode import decode_half
from setpiece.pictures.iptc import read_fields, write_fields
from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of
from setpiece.pictures.metadata import embedded_preview, exif_thumbnail, read_metadata
from setpiece.pictures.rendition import Edit, Recipe, render
from setpiece.pictures.segments import APP1, Segment

SMALL = (  # one of each kind, those that decode fast
    "Canon-R6-pruned.CR3",
    "CanonRaw.cr2",
    "CanonRaw.cr3",
    "DNG.dng",
    "FujiFilm.raf",
    "Issue_247-1.nef",
    "Multiple_ICC_segments.jpg",
    "Nikon.nef",
    "Nikon_E995__iptc_.jpg",
    "Panasonic.rw2",
    "edited_1.jpg",
)


def everything(data: bytes) -> None:
    """All that the room does with a file; only the program's own errors may come out."""
    kind = kind_of(data[:HEAD_BYTES])
    for look in (
        lambda: read_metadata(data),
        lambda: exif_thumbnail(data),
        lambda: embedded_preview(data),
        lambda: decode_half(data, kind),
        lambda: read_fields(data),
        lambda: write_fields(data, PictureFields(headline="H")),
        lambda: render(data, kind, Edit(), Recipe(200)),
    ):
        with suppress(SetpieceError):
            look()


@pytest.mark.parametrize("name", SMALL)
def test_damaged_files_are_reported(camera_file: Callable[[str], bytes], name: str) -> None:
    """Nine mutations of each kind: cut, flipped, shifted, huge lengths; a report each."""
    rng = np.random.default_rng(len(name))
    data = camera_file(name)
    for _ in range(9):
        everything(damaged(data, rng))


@pytest.mark.slow
def test_a_thousand_damaged_files_are_reported(camera_file: Callable[[str], bytes]) -> None:
    """The long form: a hundred mutations of each, HEIF among them."""
    rng = np.random.default_rng(20270306)
    for name in (*SMALL, "Canon.HIF"):
        data = camera_file(name)
        for _ in range(100):
            everything(damaged(data, rng))


@pytest.mark.parametrize("size", [0, 1, 3, 12, 500, 100_000])
def test_random_bytes_are_reported(size: int) -> None:
    """Bytes of no kind, and with each kind's mark in front, end with a report."""
    noise = np.random.default_rng(size).bytes(size)
    marks = (b"", b"\xff\xd8\xff\xe1", b"II*\0", b"MM\0*", b"IIU\0", b"FUJIFILMCCD-RAW ")
    boxes = (b"\0\0\0\x18ftypcrx ", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", b"<?xpacket ", b"IIRO")
    for mark in marks + boxes:
        everything(mark + noise)


def test_a_segment_as_large_as_can_be_is_read() -> None:
    """EXIF and XMP segments of 64 kB, many of them, are walked like any other."""
    jpeg = noise_jpeg(64, 48)
    huge = Segment(APP1, b"Exif\0\0II*\0\x08\0\0\0\xff\xff" + b"\xff" * 65_000).encode()
    everything(jpeg[:2] + huge * 300 + jpeg[2:])


def test_deep_xml_is_refused_quietly() -> None:
    """XMP nested 20,000 deep ends with a report."""
    deep = b"<a>" * 20_000
    everything(b"<?xpacket begin=''?><x:xmpmeta xmlns:x='adobe:ns:meta/'>" + deep)
    packet = b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta xmlns:x='adobe:ns:meta/'>" + b"<a>" * 15_000
    jpeg = noise_jpeg(64, 48)
    everything(jpeg[:2] + Segment(APP1, packet).encode() + jpeg[2:])


def test_a_directory_that_points_to_itself_ends() -> None:
    """A loop of directories is not followed for ever."""
    loop = b"II*\0\x08\0\0\0" + b"\0\0" + b"\x08\0\0\0"
    everything(loop + bytes(64))
    jpeg = noise_jpeg(64, 48)
    everything(jpeg[:2] + Segment(APP1, b"Exif\0\0" + loop).encode() + jpeg[2:])


def test_many_starts_of_pictures_cost_little() -> None:
    """A raw file of nothing but start marks holds no picture."""
    with pytest.raises(BadFile):
        decode_half(raw_file(b"\xff\xd8\xff" * 300_000), PictureKind.ARW)
