"""Captions into files and out again: IIM and XMP together, scan bytes untouched."""

from __future__ import annotations

from setpiece.captions.fields import PictureFields


def write_fields(
    jpeg: bytes, fields: PictureFields, *, keep: frozenset[str] = frozenset()
) -> bytes:
    """The JPEG with the fields in IIM and XMP, its scan bytes unchanged.

    Of the original's EXIF only make, model, lens, exposure, focal length and date stay; `keep`
    may ask for `serial` and `gps` too. Raises BadFile when a field cannot be read back.
    """
    raise NotImplementedError


def read_fields(jpeg_or_xmp: bytes) -> PictureFields:
    """The fields in a JPEG or an XMP packet. Raises BadFile."""
    raise NotImplementedError


def sidecar(fields: PictureFields) -> bytes:
    """An XMP packet to stand beside a raw or HEIF original."""
    raise NotImplementedError
