"""The kind of a file is told by its content."""

from __future__ import annotations

import struct
from collections.abc import Callable

import pytest

from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of

REAL = {
    "Canon-R6-pruned.CR3": PictureKind.CR3,
    "Canon.HIF": PictureKind.HEIF,
    "CanonRaw.cr2": PictureKind.CR2,
    "CanonRaw.cr3": PictureKind.CR3,
    "Canon_EOS_5D.jpg": PictureKind.JPEG,
    "DNG.dng": PictureKind.DNG,
    "FujiFilm.raf": PictureKind.RAF,
    "Issue_247-1.nef": PictureKind.JPEG,
    "Issue_247-2.nef": PictureKind.JPEG,
    "Nikon.nef": PictureKind.NEF,
    "Panasonic.rw2": PictureKind.RW2,
    "Sony.HIF": PictureKind.HEIF,
    "README.md": PictureKind.UNKNOWN,
}


def tiff(make: bytes, order: str = "<") -> bytes:
    """The head of a TIFF-based raw file whose first directory names a maker."""
    mark = b"II*\0" if order == "<" else b"MM\0*"
    head = mark + struct.pack(f"{order}I", 8)
    entry = struct.pack(f"{order}HHHII", 1, 0x010F, 2, len(make), 26)
    return head + entry + bytes(4) + make


@pytest.mark.parametrize(("name", "kind"), REAL.items())
def test_real_files_are_known_by_content(
    camera_file: Callable[[str], bytes], name: str, kind: PictureKind
) -> None:
    """Each real camera file is of its kind, two JPEGs under a raw file's name among them."""
    assert kind_of(camera_file(name)[:HEAD_BYTES]) is kind


@pytest.mark.parametrize(
    ("head", "kind"),
    [
        (tiff(b"SONY\0"), PictureKind.ARW),
        (tiff(b"NIKON CORPORATION\0", ">"), PictureKind.NEF),
        (tiff(b"Somebody\0"), PictureKind.UNKNOWN),
        (b"IIRO\x08\0\0\0", PictureKind.ORF),
        (b"IIRS\x08\0\0\0", PictureKind.ORF),
        (b"MMOR\0\0\0\x08", PictureKind.ORF),
        (b"RIFF\x24\0\0\0WAVEfmt ", PictureKind.WAV),
        (b"RIFF\x24\0\0\0AVI LIST", PictureKind.UNKNOWN),
        ("\ufeff<?xpacket begin='' ?>".encode(), PictureKind.XMP),
        (b"<?xml version='1.0'?>\n<x:xmpmeta xmlns:x='adobe:ns:meta/'>", PictureKind.XMP),
        (b"<?xml version='1.0'?><html/>", PictureKind.UNKNOWN),
        (b"\0\0\0\x18ftypmif1\0\0\0\0mif1heic", PictureKind.HEIF),
        (b"\0\0\0\x18ftypisom\0\0\0\0isommp42", PictureKind.UNKNOWN),
        (b"", PictureKind.UNKNOWN),
        (b"\xff\xd8", PictureKind.UNKNOWN),
        (b"II*\0\xff\xff\xff\xff", PictureKind.UNKNOWN),
    ],
)
def test_marks_and_makers_tell_the_kind(head: bytes, kind: PictureKind) -> None:
    """Magic numbers, brands, and the maker in a TIFF file's first directory decide."""
    assert kind_of(head) is kind


def test_raw_files_are_pictures_and_sidecars_are_not() -> None:
    """Voice memos, sidecars and unknown files hold no picture; HEIF and JPEG are not raw."""
    without = {PictureKind.WAV, PictureKind.XMP, PictureKind.UNKNOWN}
    assert {kind for kind in PictureKind if not kind.is_picture} == without
    not_raw = without | {PictureKind.JPEG, PictureKind.HEIF}
    assert {kind for kind in PictureKind if not kind.is_raw} == not_raw
