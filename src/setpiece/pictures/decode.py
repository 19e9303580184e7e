"""Decoding once, at about half scale: thumbnail, preview and focus come from that."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setpiece.pictures.kind import PictureKind


@dataclass(frozen=True, slots=True)
class Decoded:
    """A picture upright at about half scale, RGB, in its own colour space.

    `damaged` when only part of it decoded. `full_width_px`, `full_height_px` are those of the
    full picture, upright.
    """

    rgb: NDArray[np.uint8]
    damaged: bool
    full_width_px: int
    full_height_px: int


def decode_half(data: bytes, kind: PictureKind) -> Decoded:
    """The picture at about half scale. Raises BadFile when no picture is inside."""
    raise NotImplementedError


def thumbnail(rgb: NDArray[np.uint8], long_side_px: int) -> bytes:
    """A small JPEG of the picture, its long side at most `long_side_px`, never enlarged."""
    raise NotImplementedError
