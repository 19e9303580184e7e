"""Pixels of a picture that somebody else made: a web image, a scan, a telephone's photograph.

JPEG, HEIF and raw files are read as the camera's are; other kinds (PNG, WebP, TIFF, BMP) by
OpenCV, whose header is looked at first so that a small file cannot claim a huge picture.
"""

from __future__ import annotations

import io
import warnings

import cv2
import numpy as np
import simplejpeg
from PIL import Image

from setpiece.errors import BadFile
from setpiece.pictures.decode import decode_half, orientation_of, turned
from setpiece.pictures.features import Pixels, fitted
from setpiece.pictures.heif import heif_pixels
from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of
from setpiece.pictures.previews import guard, guard_jpeg

LONG_SIDE_PX = 2400
"""No more is kept of any picture: a page's print is coarser than that."""

_PNG, _RIFF, _TIFF, _BMP = b"\x89PNG\r\n\x1a\n", b"RIFF", (b"II*\0", b"MM\0*"), b"BM"


def is_other_picture(head: bytes) -> bool:
    """Whether bytes begin as a PNG, WebP, TIFF or BMP does."""
    return head.startswith((_PNG, *_TIFF, _BMP)) or (head[:4] == _RIFF and head[8:12] == b"WEBP")


def opened_picture(data: bytes) -> Pixels:
    """The picture upright, RGB, its long side at most 2,400 px. Raises BadFile."""
    kind = kind_of(data[:HEAD_BYTES])
    if kind is PictureKind.JPEG:
        return fitted(_jpeg(data), LONG_SIDE_PX)
    if kind is PictureKind.HEIF:
        return fitted(heif_pixels(data), LONG_SIDE_PX)
    if is_other_picture(data[:16]):
        return fitted(_other(data), LONG_SIDE_PX)
    return fitted(decode_half(data, kind).rgb, LONG_SIDE_PX)


def _jpeg(data: bytes) -> Pixels:
    width, height = guard_jpeg(data)
    least = {"min_width": min(width, LONG_SIDE_PX), "min_height": min(height, LONG_SIDE_PX)}
    try:
        rgb = simplejpeg.decode_jpeg(data, "RGB", strict=False, **least)
    except (ValueError, MemoryError) as error:
        raise BadFile("its picture cannot be decoded", next_step="Open it elsewhere.") from error
    return turned(np.asarray(rgb, dtype=np.uint8), orientation_of(data))


def _claimed_px(data: bytes) -> tuple[int, int]:
    """Width and height as the header states them; nothing is decoded. Raises BadFile."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # a size to warn of is refused by `guard`
        try:
            with Image.open(io.BytesIO(data)) as image:
                return image.size
        except Exception as error:  # Pillow's readers raise what they like: SyntaxError, struct's
            raise BadFile(
                "its picture cannot be decoded", next_step="Open it elsewhere."
            ) from error


def _other(data: bytes) -> Pixels:
    guard(*_claimed_px(data))
    try:
        bgr = cv2.imdecode(np.frombuffer(data, dtype=np.uint8), cv2.IMREAD_COLOR)
    except cv2.error as error:
        raise BadFile("its picture cannot be decoded", next_step="Open it elsewhere.") from error
    if bgr is None:
        raise BadFile("its picture cannot be decoded", next_step="Open it elsewhere.")
    return np.asarray(cv2.cvtColor(bgr, cv2.COLOR_BGR2RGB), dtype=np.uint8)
