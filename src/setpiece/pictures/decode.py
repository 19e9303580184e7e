"""Decoding once, at about half scale: thumbnail, preview and focus come from that.

A JPEG is tried strictly first: only then does damage show. What fails is decoded as far as it
goes and marked. HEIF goes through pillow-heif (libvips from its wheel has no HEVC), raw files
by the largest JPEG inside. No sample of ARW or ORF has been read.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
import simplejpeg
from numpy.typing import NDArray

from setpiece.errors import BadFile, WrongUse
from setpiece.pictures.heif import heif_pixels
from setpiece.pictures.kind import PictureKind
from setpiece.pictures.metadata import read_metadata
from setpiece.pictures.previews import guard_jpeg, previews_inside

_THUMBNAIL_QUALITY = 82
_FLIPS = {2: 1, 4: 0, 7: -1}  # about the upright axis, the level one, both
_TURNS = {3: cv2.ROTATE_180, 6: cv2.ROTATE_90_CLOCKWISE, 8: cv2.ROTATE_90_COUNTERCLOCKWISE}

Pixels = NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class Decoded:
    """A picture upright at about half scale, RGB, in its own colour space.

    `damaged` when only part of it decoded. `full_width_px`, `full_height_px` are those of the
    full picture, upright.
    """

    rgb: Pixels
    damaged: bool
    full_width_px: int
    full_height_px: int


def decode_half(data: bytes, kind: PictureKind, *, orientation: int | None = None) -> Decoded:
    """The picture at about half scale, upright. Raises BadFile when no picture is inside.

    `orientation` as EXIF numbers it, where the caller has read it already.
    """
    if kind is PictureKind.HEIF:  # its own turning is part of decoding
        full = heif_pixels(data)
        return Decoded(_halved(full), False, full.shape[1], full.shape[0])
    if not kind.is_picture:
        raise BadFile(f"no picture is inside: the file is {kind}", next_step="Keep the file.")
    if orientation is None:
        orientation = orientation_of(data)
    if kind.is_raw:
        rgb, damaged, size = _from_preview(data)
    else:
        rgb, damaged, size = _jpeg(data)
    upright = turned(rgb, orientation)
    width, height = size if orientation < 5 else size[::-1]
    return Decoded(upright, damaged, width, height)


def orientation_of(data: bytes) -> int:
    """The orientation the camera wrote, 1 where it wrote none that can be read."""
    try:
        return read_metadata(data).orientation
    except BadFile:
        return 1


def _from_preview(data: bytes) -> tuple[Pixels, bool, tuple[int, int]]:
    """The largest preview that decodes whole, else the largest that decodes at all."""
    cut: tuple[Pixels, bool, tuple[int, int]] | None = None
    for preview in previews_inside(data):
        try:
            found = _jpeg(preview)
        except BadFile:
            continue
        if not found[1]:
            return found
        cut = cut or found
    if cut is None:
        raise BadFile(
            "a raw file without its picture: no preview is inside",
            next_step="Keep the file; send another frame.",
        )
    return cut


def _jpeg(data: bytes) -> tuple[Pixels, bool, tuple[int, int]]:
    """A JPEG's pixels at half scale, whether damaged, and its full size."""
    size = guard_jpeg(data)
    least = {"min_width": -(-size[0] // 2), "min_height": -(-size[1] // 2)}
    for strict in (True, False):
        try:
            rgb = simplejpeg.decode_jpeg(data, "RGB", strict=strict, **least)
        except (ValueError, MemoryError) as error:
            cause = error
        else:
            return np.asarray(rgb, dtype=np.uint8), not strict, size
    raise BadFile("its picture cannot be decoded", next_step="Keep the file.") from cause


def turned(rgb: Pixels, orientation: int) -> Pixels:
    """The picture upright, from how EXIF says it is stored (EXIF 2.32, Orientation)."""
    if orientation in (5, 7):
        rgb = np.asarray(cv2.transpose(rgb), dtype=np.uint8)
    if orientation in _FLIPS:
        return np.asarray(cv2.flip(rgb, _FLIPS[orientation]), dtype=np.uint8)
    if orientation in _TURNS:
        return np.asarray(cv2.rotate(rgb, _TURNS[orientation]), dtype=np.uint8)
    return rgb


def _halved(rgb: Pixels) -> Pixels:
    """The picture at half scale, each pixel the mean of four."""
    height, width = rgb.shape[:2]
    size = (max(1, width // 2), max(1, height // 2))
    return np.asarray(cv2.resize(rgb, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)


def thumbnail(rgb: Pixels, long_side_px: int) -> bytes:
    """A small JPEG of the picture, its long side at most `long_side_px`, never enlarged."""
    if long_side_px < 1:
        raise WrongUse("a thumbnail needs at least one pixel", thing=str(long_side_px))
    height, width = rgb.shape[:2]
    scale = long_side_px / max(width, height)
    if scale < 1:
        size = (max(1, round(width * scale)), max(1, round(height * scale)))
        rgb = np.asarray(cv2.resize(rgb, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    return bytes(simplejpeg.encode_jpeg(np.ascontiguousarray(rgb), quality=_THUMBNAIL_QUALITY))
