"""Where a frame lies on a cutting, and what of the frame the cutting shows: outlines in shares."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.pictures.matching import Matrix, mapped_points

Corners = tuple[tuple[float, float], ...]

_FAR = 50.0  # shares: beyond this a corner is behind the horizon of a slanted map
_WHOLE: Corners = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
_SQUARE = np.array(_WHOLE, dtype=np.float32)


def corners_of(through: Matrix) -> Corners:
    """The corners of the unit square through a map; empty where the map folds it."""
    whole = _SQUARE.astype(np.float64) @ through[2, :2] + through[2, 2]
    if whole.min() <= 1e-6:
        return ()
    mapped = mapped_points(through, _SQUARE)
    if np.abs(mapped).max() > _FAR:
        return ()
    return tuple((round(float(x), 4), round(float(y), 4)) for x, y in mapped)


def crop_of(to_cutting: Matrix) -> tuple[float, float, float, float] | None:
    """What the cutting shows of the frame: left, top, width, height; None where it folds."""
    back = corners_of(np.asarray(np.linalg.inv(to_cutting), dtype=np.float64))
    if not back:
        return None
    shape = _common(_array(back), _SQUARE)
    if len(shape) == 0:
        return None
    low, high = shape.min(axis=0), shape.max(axis=0)
    left, top = (round(float(v), 4) for v in low)
    width, height = (round(float(v), 4) for v in high - low)
    return left, top, width, height


def covered_share(outline: Corners) -> float:
    """How much of the unit square lies within an outline."""
    return common_share(outline, _WHOLE, of_second=True)


def common_share(
    first: Sequence[tuple[float, float]], second: Corners, *, of_second: bool = False
) -> float:
    """How much two outlines share, of the smaller one or of the second; 0 where one is empty."""
    if not first or not second:
        return 0.0
    one, other = _array(first), _array(second)
    area, _ = cv2.intersectConvexConvex(one, other)
    sizes = (cv2.contourArea(one), cv2.contourArea(other))
    return float(area / max(1e-9, sizes[1] if of_second else min(sizes)))


def _array(corners: Sequence[tuple[float, float]]) -> NDArray[np.float32]:
    return np.array(corners, dtype=np.float32)


def _common(one: NDArray[np.float32], other: NDArray[np.float32]) -> NDArray[np.float32]:
    area, shape = cv2.intersectConvexConvex(one, other)
    return (
        np.asarray(shape, dtype=np.float32).reshape(-1, 2)
        if area > 0
        else np.empty((0, 2), np.float32)
    )
