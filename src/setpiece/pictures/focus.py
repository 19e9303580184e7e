"""How sharp a picture is, where it is sharpest, and that in words."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.errors import BadFile

TILES = 24
"""Tiles along the long side."""

_SHARPEST_SHARE = 0.1


@dataclass(frozen=True, slots=True)
class FocusFigure:
    """A figure to rank frames of one scene by: larger is sharper, no unit.

    `sharpest_tile` is (x, y, width, height) in shares of the picture. `words` say the same.
    """

    value: float
    sharpest_tile: tuple[float, float, float, float]
    words: str


def focus_figure(rgb_half: NDArray[np.uint8]) -> FocusFigure:
    """How sharp the subject is, from a picture decoded at half scale."""
    if rgb_half.ndim != 3 or min(rgb_half.shape[:2]) < 2:
        raise BadFile("too small a picture to tell its focus", thing=str(rgb_half.shape))
    grey = cv2.cvtColor(rgb_half, cv2.COLOR_RGB2GRAY)
    height, width = grey.shape
    tile_px = max(2, max(height, width) // TILES)
    energy = cv2.Laplacian(grey, cv2.CV_32F) ** 2
    across, down = max(1, width // tile_px), max(1, height // tile_px)
    tiles = np.asarray(cv2.resize(energy, (across, down), interpolation=cv2.INTER_AREA))
    ranked = np.sort(tiles, axis=None)[::-1]
    value = float(ranked[: max(1, int(ranked.size * _SHARPEST_SHARE))].mean())
    y, x = (int(i) for i in np.unravel_index(int(tiles.argmax()), tiles.shape))
    tile = (x / across, y / down, 1 / across, 1 / down)
    return FocusFigure(value, tile, f"sharpest {_where(x / across, y / down)}")


def _where(x: float, y: float) -> str:
    """A place in the picture, in words."""
    across = "left" if x < 1 / 3 else "right" if x >= 2 / 3 else "centre"
    down = "top" if y < 1 / 3 else "bottom" if y >= 2 / 3 else "middle"
    return "in the middle" if (across, down) == ("centre", "middle") else f"{down} {across}"
