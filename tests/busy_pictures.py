"""Pictures full of shapes, each number another one: for the tests of cuttings."""

from __future__ import annotations

from functools import lru_cache

import cv2
import numpy as np
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]


@lru_cache(maxsize=64)
def busy(number: int, width: int = 720, height: int = 480, shapes: int = 160) -> Pixels:
    """A picture of polygons and letters on a ground that is not even."""
    chance = np.random.default_rng(number)
    rgb = np.full((height, width, 3), chance.integers(60, 200, 3), np.uint8)
    for _ in range(shapes):
        centre = chance.uniform((0, 0), (width, height))
        corners = centre + chance.normal(0, width / 28, (int(chance.integers(3, 7)), 2))
        colour = [int(c) for c in chance.integers(0, 255, 3)]
        cv2.fillPoly(rgb, [corners.astype(np.int32)], colour, cv2.LINE_AA)
    rgb = cv2.GaussianBlur(rgb, (0, 0), 1.5)  # no lens is sharper than its pixels
    noise = chance.normal(0, 2, rgb.shape)
    made = np.clip(rgb + noise, 0, 255).astype(np.uint8)
    made.flags.writeable = False  # the next test gets the same
    return made


def moved_part(rgb: Pixels, shift_px: int = 14) -> Pixels:
    """The same picture with one part of it, a tenth of its width, somewhere else."""
    other = rgb.copy()
    height, width = rgb.shape[:2]
    y, x, side = height // 2, width // 2, width // 10
    part = rgb[y : y + side, x : x + side]
    other[y : y + side, x + shift_px : x + shift_px + side] = part
    return other
