"""What a picture is recognised by: local points with descriptors, and a coarse hash.

Points are SIFT (Lowe, IJCV 60, 2004) at 640 pixels, described by RootSIFT (Arandjelović and
Zisserman, CVPR 2012: the square root of the descriptor divided by its sum), spread evenly over a
grid so that a busy crowd does not take them all. The hash (256 bits, signs of low frequencies)
only proposes pictures that have few points; it never claims one.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from threadpoolctl import threadpool_limits

from setpiece.errors import BadFile

LONG_SIDE_PX = 640
"""Long side at which points are looked for."""

KEPT_POINTS, INDEXED_POINTS = 300, 192
"""Points kept of an archive picture; so many of them, the strongest of each cell, are searched."""

GRID = 6
"""Cells along each side over which the points are spread."""

DESCRIPTOR_BYTES = 128
HASH_BYTES = 32

_CONTRASTS = (0.04, 0.015)  # OpenCV's own; less where mist or plain grass give few points
_FEW_POINTS, _FOUND_FOR_ONE = 150, 2.5  # the found are described before they are chosen from
_QUANTUM = 512.0  # RootSIFT has length 1 and seldom a value above a half
_HASH_PX, _HASH_BITS = 64, 16
_LEAST_PX = 16

Pixels = NDArray[np.uint8]
Points = NDArray[np.float32]
Descriptors = NDArray[np.uint8]

# Pictures are looked at side by side: threads inside each call only wait for each other.
cv2.setNumThreads(1)
threadpool_limits(1, user_api="blas")


@dataclass(frozen=True, slots=True)
class Features:
    """Points (x, y in pixels of a picture of `width_px` x `height_px`) and their descriptors.

    The order is by strength within each cell of the grid, so that a shorter list is as even.
    """

    points: Points
    descriptors: Descriptors
    looks: bytes
    width_px: int
    height_px: int

    @property
    def count(self) -> int:
        """How many points there are."""
        return len(self.points)


def grey_of(rgb: Pixels) -> Pixels:
    """The picture without its colours."""
    if rgb.ndim == 2:
        return rgb
    return np.asarray(cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY), dtype=np.uint8)


def fitted(picture: Pixels, long_side_px: int) -> Pixels:
    """The picture reduced until its long side has so many pixels; never enlarged."""
    height, width = picture.shape[:2]
    scale = long_side_px / max(height, width)
    if scale >= 1:
        return picture
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)


def features_of(
    rgb: Pixels,
    *,
    most: int = KEPT_POINTS,
    long_side_px: int = LONG_SIDE_PX,
    soften_px: float = 0.0,
) -> Features:
    """The points of a picture, RGB or grey, at most so many. Raises BadFile for a sliver.

    `soften_px` blurs it first, against the dots of a printed page.
    """
    if min(rgb.shape[:2]) < _LEAST_PX:
        raise BadFile("too small a picture to recognise", thing=f"{rgb.shape[1]} x {rgb.shape[0]}")
    small = fitted(grey_of(rgb), long_side_px)
    if soften_px:
        small = np.asarray(cv2.GaussianBlur(small, (0, 0), soften_px), dtype=np.uint8)
    height, width = small.shape
    looks = hash_of(small)
    for contrast in _CONTRASTS:
        finder = cv2.SIFT.create(round(most * _FOUND_FOR_ONE), contrastThreshold=contrast)
        # Once for both: apart, each would build the pyramid of scales anew.
        found, raw = finder.detectAndCompute(small, None)
        if len(found) >= _FEW_POINTS:
            break
    if not found:
        nothing = np.empty((0, 2), np.float32), np.empty((0, DESCRIPTOR_BYTES), np.uint8)
        return Features(*nothing, looks, width, height)
    points = np.array([k.pt for k in found], dtype=np.float32)
    chosen = spread(points, np.array([k.response for k in found]), width, height)[:most]
    return Features(
        points[chosen], _rooted(np.asarray(raw[chosen], dtype=np.float32)), looks, width, height
    )


def spread(
    points: Points, strengths: NDArray[np.float64], width_px: int, height_px: int
) -> NDArray[np.intp]:
    """The order of points that takes the strongest of every cell, then the second of each ..."""
    column = np.clip(points[:, 0] * GRID / width_px, 0, GRID - 1).astype(int)
    row = np.clip(points[:, 1] * GRID / height_px, 0, GRID - 1).astype(int)
    cell = row * GRID + column
    by_cell = np.lexsort((-strengths, cell))
    starts = np.searchsorted(cell[by_cell], np.arange(GRID * GRID))
    place = np.empty(len(points), dtype=int)
    place[by_cell] = np.arange(len(points)) - starts[cell[by_cell]]
    return np.asarray(np.lexsort((-strengths, place)), dtype=np.intp)


def _rooted(raw: NDArray[np.float32]) -> Descriptors:
    """RootSIFT in one byte a value."""
    shares = raw / np.maximum(raw.sum(axis=1, keepdims=True), 1e-6)
    return np.asarray(np.minimum(np.sqrt(shares) * _QUANTUM, 255).round(), dtype=np.uint8)


def products(one: NDArray[np.float32], other: NDArray[np.float32]) -> NDArray[np.float32]:
    """The inner product of every two rows."""
    return np.asarray(one @ other.T, dtype=np.float32)


def hash_of(grey: Pixels) -> bytes:
    """256 bits: which low frequencies of the picture lie above their median."""
    tiny = cv2.resize(grey, (_HASH_PX, _HASH_PX), interpolation=cv2.INTER_AREA)
    low = cv2.dct(np.asarray(tiny, dtype=np.float32))[:_HASH_BITS, :_HASH_BITS]
    return np.packbits(low > np.median(low)).tobytes()
