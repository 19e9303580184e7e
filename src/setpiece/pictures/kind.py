"""What kind of picture file some bytes are: told by content, never by name.

ARW and ORF were written from the formats' descriptions: no sample of either has been read.
"""

from __future__ import annotations

from enum import StrEnum

from setpiece.pictures.directories import first_directory

HEAD_BYTES = 65536
"""So much of a file's beginning is enough to tell its kind."""


class PictureKind(StrEnum):
    """The kinds a camera leaves on a card. UNKNOWN is anything else."""

    JPEG = "JPEG"
    HEIF = "HEIF"
    CR2 = "CR2"
    CR3 = "CR3"
    NEF = "NEF"
    ARW = "ARW"
    RAF = "RAF"
    ORF = "ORF"
    RW2 = "RW2"
    DNG = "DNG"
    WAV = "WAV"
    XMP = "XMP"
    UNKNOWN = "unknown"

    @property
    def is_picture(self) -> bool:
        """Whether a picture can be inside: all but voice memos, sidecars and unknown files."""
        return self not in (PictureKind.WAV, PictureKind.XMP, PictureKind.UNKNOWN)

    @property
    def is_raw(self) -> bool:
        """Whether it is a raw file, shown by its embedded preview."""
        return self.is_picture and self not in (PictureKind.JPEG, PictureKind.HEIF)


_HEIF_BRANDS = frozenset(
    (b"heic", b"heix", b"hevc", b"hevx", b"heim", b"heis", b"mif1", b"msf1", b"MiHE", b"MiHB")
)
_TIFF_MAGICS = {  # bytes 0-3 of the TIFF family, beside the plain 42
    b"IIRO": PictureKind.ORF,
    b"IIRS": PictureKind.ORF,
    b"MMOR": PictureKind.ORF,
    b"IIU\x00": PictureKind.RW2,
}
_MAKERS = (  # how the maker's name begins in the first directory, and the kind it writes
    ("NIKON", PictureKind.NEF),
    ("SONY", PictureKind.ARW),
    ("OLYMPUS", PictureKind.ORF),
    ("OM DIGITAL", PictureKind.ORF),
)
_MAKE, _DNG_VERSION = 0x010F, 0xC612


def kind_of(head: bytes) -> PictureKind:
    """The kind of file that begins with `head` (HEAD_BYTES of it are enough)."""
    if head[:3] == b"\xff\xd8\xff":
        return PictureKind.JPEG
    if head[4:8] == b"ftyp":
        return _kind_of_boxes(head)
    if head[:15] == b"FUJIFILMCCD-RAW":
        return PictureKind.RAF
    if head[:4] == b"RIFF" and head[8:12] == b"WAVE":
        return PictureKind.WAV
    if head[:4] in _TIFF_MAGICS:
        return _TIFF_MAGICS[head[:4]]
    if head[:4] in (b"II*\x00", b"MM\x00*"):
        return _kind_of_tiff(head)
    start = head[:4096].lstrip(b"\xef\xbb\xbf \t\r\n")
    if start.startswith((b"<?xpacket", b"<x:xmpmeta", b"<rdf:RDF")) or (
        start.startswith(b"<?xml") and (b"<x:xmpmeta" in start or b"<rdf:RDF" in start)
    ):
        return PictureKind.XMP
    return PictureKind.UNKNOWN


def _kind_of_boxes(head: bytes) -> PictureKind:
    """The kind by the brands of an ISO base media file (ISO/IEC 14496-12, ftyp box)."""
    length = min(int.from_bytes(head[:4], "big"), 256)
    if head[8:12] == b"crx ":
        return PictureKind.CR3
    brands = {head[i : i + 4] for i in (8, *range(16, length - 3, 4))}
    return PictureKind.HEIF if brands & _HEIF_BRANDS else PictureKind.UNKNOWN


def _kind_of_tiff(head: bytes) -> PictureKind:
    """The kind of a TIFF-based raw file, by CR2 mark, DNGVersion and maker."""
    if head[8:10] == b"CR":
        return PictureKind.CR2
    tags = first_directory(head).tags
    if _DNG_VERSION in tags:
        return PictureKind.DNG
    make = tags.get(_MAKE, "").upper()
    return next((kind for name, kind in _MAKERS if make.startswith(name)), PictureKind.UNKNOWN)
