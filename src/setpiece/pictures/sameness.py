"""Whether a cutting was made from this very frame, or from another of the same burst.

The frame is brought over the cutting by the map that was found, and what still moves between the
two is measured by dense optical flow (Kroeger and others, ECCV 2016, as OpenCV has it). In the
frame itself nothing moves; in a neighbour limbs, ball and people do, though little of the
picture may. So the tiles that differ most are looked at, not only the many that agree.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.pictures.features import Pixels, fitted, grey_of
from setpiece.pictures.matching import Matrix

_LONG_SIDE_PX = 480
_TILE_PX = 16
_SOFT_PX, _ROUND_PX = 1.0, 6.0
_LEAST_CONTRAST = 5.0  # greys of 255: less is grain
_LEAST_TILES = 24
_COVERED = 0.98

Grid = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Sameness:
    """How alike cutting and frame are, in tiles of 16 px where their overlap is 480 px long.

    `moved_px` is the 90th percentile of what moved, `most_moved_px` the 99th; `alike` is the
    median of the tiles' correlation and `least_alike` its 2nd percentile. `beyond` is the
    smaller of the shares of the cutting that lies outside the frame and of the frame that lies
    outside the cutting: neither holds the other where it is large.
    """

    moved_px: float
    most_moved_px: float
    alike: float
    least_alike: float
    tiles: int
    beyond: float


def sameness(cutting: Pixels, kept: Pixels, to_cutting: Matrix) -> Sameness | None:
    """How alike the two are; None where too little of them overlaps to say.

    `to_cutting` maps the frame onto the cutting, both in shares of width and height.
    """
    box = _overlap(to_cutting)
    if box is None:
        return None
    left, top, right, bottom = box
    height, width = cutting.shape[:2]
    x0, y0 = round(left * width), round(top * height)
    part = cutting[y0 : round(bottom * height), x0 : round(right * width)]
    if min(part.shape[:2]) < 3 * _TILE_PX:
        return None
    seen = grey_of(fitted(part, _LONG_SIDE_PX))
    onto = np.array(
        [
            [seen.shape[1] / (right - left), 0, -left * seen.shape[1] / (right - left)],
            [0, seen.shape[0] / (bottom - top), -top * seen.shape[0] / (bottom - top)],
            [0, 0, 1],
        ]
    )
    drawn, covered = _brought_over(kept, onto @ to_cutting, seen.shape)
    return _compared(seen, drawn, covered, _beyond(to_cutting))


def _overlap(to_cutting: Matrix) -> tuple[float, float, float, float] | None:
    """The upright box, in shares of the cutting, in which the frame lies."""
    corners = _shown(to_cutting)
    if corners is None:
        return None
    area, common = cv2.intersectConvexConvex(corners, _SQUARE)
    if area < 0.01:
        return None
    low, high = common.reshape(-1, 2).min(axis=0), common.reshape(-1, 2).max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


_SQUARE = np.array([(0, 0), (1, 0), (1, 1), (0, 1)], dtype=np.float32)


def _shown(through: Matrix) -> NDArray[np.float32] | None:
    """The unit square through a map; None where it would fold."""
    whole = np.hstack((_SQUARE, np.ones((4, 1), np.float32))) @ through.T
    if whole[:, 2].min() <= 1e-3:
        return None
    return np.asarray(whole[:, :2] / whole[:, 2:], dtype=np.float32)


def _beyond(to_cutting: Matrix) -> float:
    shares = []
    for through in (to_cutting, np.linalg.inv(to_cutting)):
        through = through / through[2, 2]
        corners = _shown(through)
        if corners is None:
            return 1.0
        area, _ = cv2.intersectConvexConvex(corners, _SQUARE)
        shares.append(1.0 - float(area))  # of the square the map ends in
    return min(shares)


def _brought_over(kept: Pixels, through: Matrix, shape: tuple[int, ...]) -> tuple[Pixels, Grid]:
    """The frame as the cutting shows it, and where it reaches."""
    size = (shape[1], shape[0])
    scale = float(np.sqrt(abs(np.linalg.det(through[:2, :2]) / (through[2, 2] ** 2))))
    source = grey_of(fitted(kept, max(64, round(scale))))
    shares = np.diag((1 / source.shape[1], 1 / source.shape[0], 1.0))
    drawn = cv2.warpPerspective(source, through @ shares, size, flags=cv2.INTER_LINEAR)
    there = cv2.warpPerspective(np.ones_like(source), through @ shares, size)
    return np.asarray(drawn, dtype=np.uint8), np.asarray(there, dtype=np.float32)


def _compared(seen: Pixels, drawn: Pixels, covered: Grid, beyond: float) -> Sameness | None:
    one, other = _level(seen), _level(drawn)
    follow = cv2.DISOpticalFlow.create(cv2.DISOPTICAL_FLOW_PRESET_MEDIUM)
    still = np.zeros((*seen.shape, 2), np.float32)
    flow = np.asarray(follow.calc(_bytes(one[0]), _bytes(other[0]), still), dtype=np.float32)
    tell = (_tiled(covered) >= _COVERED) & (_tiled(one[1]) > _LEAST_CONTRAST)
    tell &= _tiled(other[1]) > _LEAST_CONTRAST
    tell[[0, -1], :] = tell[:, [0, -1]] = False
    if tell.sum() < _LEAST_TILES:
        return None
    along, down = _tiled(flow[..., 0]), _tiled(flow[..., 1])
    moved = np.hypot(_residual(along, tell), _residual(down, tell))[tell]
    both = _tiled(one[0] * other[0])
    lengths = np.sqrt(_tiled(one[0] ** 2) * _tiled(other[0] ** 2))
    alike = (both / np.maximum(lengths, 1e-6))[tell]
    return Sameness(
        float(np.percentile(moved, 90)),
        float(np.percentile(moved, 99)),
        float(np.median(alike)),
        float(np.percentile(alike, 2)),
        int(tell.sum()),
        beyond,
    )


def _level(grey: Pixels) -> tuple[Grid, Grid]:
    """The picture with its light and contrast levelled, and its contrast before that."""
    soft = cv2.GaussianBlur(grey.astype(np.float32), (0, 0), _SOFT_PX)
    apart = soft - cv2.GaussianBlur(soft, (0, 0), _ROUND_PX)
    spread = np.sqrt(cv2.GaussianBlur(apart**2, (0, 0), _ROUND_PX))
    levelled = apart / (spread + _LEAST_CONTRAST)
    return levelled.astype(np.float32), spread.astype(np.float32)


def _bytes(level: Grid) -> Pixels:
    return np.asarray(np.clip(128 + 50 * level, 0, 255), dtype=np.uint8)


def _tiled(values: Grid) -> Grid:
    """The mean of each tile."""
    rows, columns = values.shape[0] // _TILE_PX, values.shape[1] // _TILE_PX
    whole = values[: rows * _TILE_PX, : columns * _TILE_PX]
    tiled = whole.reshape(rows, _TILE_PX, columns, _TILE_PX).mean(axis=(1, 3))
    return np.asarray(tiled, dtype=np.float32)


def _residual(flow: Grid, tell: NDArray[np.bool_]) -> Grid:
    """What moves beside the plane that most of the tiles follow: the map is never quite exact."""
    y, x = np.mgrid[0 : flow.shape[0], 0 : flow.shape[1]].astype(np.float32)
    terms = np.stack((np.ones_like(x), x, y), axis=-1)
    chosen = tell.copy()
    for _ in range(3):
        plane, *_rest = np.linalg.lstsq(terms[chosen], flow[chosen], rcond=None)
        left = np.abs(flow - terms @ plane)
        chosen = tell & (left <= np.percentile(left[tell], 70))
    return np.asarray(flow - terms @ plane, dtype=np.float32)
