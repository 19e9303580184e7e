"""Whether a cutting was made from this very frame, or from another of the same burst.

The frame is brought over the cutting by the map that was found, and both are compared tile by
tile: by correlation, and by what still moves between them (dense optical flow: Kroeger and
others, ECCV 2016, as OpenCV has it). In the frame itself no tile both moves and looks different;
in a neighbour a limb, a face or the ball does, though little else of the picture may. So the tile
that changed most decides, not the many that agree.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.pictures.features import Pixels, fitted, grey_of
from setpiece.pictures.matching import Matrix
from setpiece.pictures.outlines import Corners, corners_of, covered_share, crop_of

_LONG_SIDE_PX = 640
_TILE_PX = 12
_SOFT_PX, _ROUND_PX = 1.0, 6.0
_LEAST_CONTRAST = 5.0  # greys of 255: less is grain
_STEADY = 0.06  # keeps tiles of grain from deciding
_LEAST_TILES = 24
_AGREES = 0.5
_COVERED = 0.98

Grid = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Overlay:
    """Cutting and frame laid over each other, 640 px long, in tiles of 12 px.

    `alike` is the median of the tiles' correlation, `least_alike` the lowest; `agreeing` is how
    many tiles correlate by a half or more, `unlike` how many by less: what was laid over, or
    another moment. `beyond` is the
    smaller of the shares of the cutting outside the frame and of the frame outside the cutting:
    where neither holds the other it is large. `shown` is the share of the frame that is seen.
    """

    alike: float
    least_alike: float
    agreeing: int
    unlike: int
    beyond: float
    shown: float
    seen: Grid
    drawn: Grid
    tiles: Grid
    tell: NDArray[np.bool_]

    def changed(self) -> float:
        """The most that any tile changed: pixels moved times correlation lost."""
        follow = cv2.DISOpticalFlow.create(cv2.DISOPTICAL_FLOW_PRESET_MEDIUM)
        still = np.zeros((*self.seen.shape, 2), np.float32)
        flow = np.asarray(follow.calc(_bytes(self.seen), _bytes(self.drawn), still), np.float32)
        along, down = _tiled(flow[..., 0]), _tiled(flow[..., 1])
        moved = np.hypot(_residual(along, self.tell), _residual(down, self.tell))
        return float((moved * (1 - self.tiles))[self.tell].max())


def laid_over(cutting: Pixels, kept: Pixels, to_cutting: Matrix) -> Overlay | None:
    """The two laid over each other; None where too little of them overlaps to say.

    `to_cutting` maps the frame onto the cutting, both in shares of width and height.
    """
    onto_frame = np.asarray(np.linalg.inv(to_cutting), dtype=np.float64)
    frame, back = corners_of(to_cutting), corners_of(onto_frame)
    crop, seen_crop = crop_of(to_cutting), crop_of(onto_frame)
    if not frame or not back or crop is None or seen_crop is None:
        return None
    height, width = cutting.shape[:2]
    left, top, wide, high = seen_crop
    x0, y0 = round(left * width), round(top * height)
    part = cutting[y0 : y0 + round(high * height), x0 : x0 + round(wide * width)]
    if min(part.shape[:2]) < 4 * _TILE_PX:
        return None
    seen = fitted(grey_of(part), _LONG_SIDE_PX)
    size = np.diag((seen.shape[1] / wide, seen.shape[0] / high, 1.0))
    onto = size @ np.array([[1, 0, -left], [0, 1, -top], [0, 0, 1]]) @ to_cutting
    drawn, covered = _brought_over(kept, onto, seen.shape)
    return _compared(seen, drawn, covered, _beyond(frame, back), crop[2] * crop[3])


def _beyond(frame: Corners, cutting: Corners) -> float:
    """The least that one reaches beyond the other; each is given in shares of the other."""
    return 1.0 - max(covered_share(frame), covered_share(cutting))


def _brought_over(kept: Pixels, through: Matrix, shape: tuple[int, ...]) -> tuple[Pixels, Grid]:
    """The frame as the cutting shows it, and where it reaches."""
    size = (shape[1], shape[0])
    scale = float(np.sqrt(abs(np.linalg.det(through[:2, :2]) / (through[2, 2] ** 2))))
    source = fitted(grey_of(kept), max(64, round(scale)))
    shares = np.diag((1 / source.shape[1], 1 / source.shape[0], 1.0))
    drawn = cv2.warpPerspective(source, through @ shares, size, flags=cv2.INTER_LINEAR)
    there = cv2.warpPerspective(np.ones_like(source), through @ shares, size)
    return np.asarray(drawn, dtype=np.uint8), np.asarray(there, dtype=np.float32)


def _compared(
    seen: Pixels, drawn: Pixels, covered: Grid, beyond: float, shown: float
) -> Overlay | None:
    (one, contrast), (other, drawn_contrast) = _level(seen), _level(drawn)
    tell = (_tiled(covered) >= _COVERED) & (_tiled(contrast) > _LEAST_CONTRAST)
    tell &= _tiled(drawn_contrast) > _LEAST_CONTRAST
    tell[[0, -1], :] = tell[:, [0, -1]] = False
    if tell.sum() < _LEAST_TILES:
        return None
    both = 2 * _tiled(one * other) + 2 * _STEADY
    tiles = both / (_tiled(one**2) + _tiled(other**2) + 2 * _STEADY)
    alike = tiles[tell]
    return Overlay(
        float(np.median(alike)),
        float(alike.min()),
        int((alike >= _AGREES).sum()),
        int((alike < _AGREES).sum()),
        beyond,
        shown,
        one,
        other,
        tiles,
        tell,
    )


def _level(grey: Pixels) -> tuple[Grid, Grid]:
    """The picture with its light and contrast levelled, and its contrast before that."""
    soft = np.asarray(cv2.GaussianBlur(grey.astype(np.float32), (0, 0), _SOFT_PX), np.float32)
    apart = soft - _around(soft)
    spread = np.sqrt(_around(apart**2))
    levelled = apart / (spread + _LEAST_CONTRAST)
    return levelled.astype(np.float32), spread.astype(np.float32)


def _around(values: Grid) -> Grid:
    """The mean around each pixel, by a bell `_ROUND_PX` wide; half the size is enough for that."""
    half = cv2.resize(values, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    round_about = cv2.GaussianBlur(half, (0, 0), _ROUND_PX / 2)
    size = (values.shape[1], values.shape[0])
    return np.asarray(cv2.resize(round_about, size, interpolation=cv2.INTER_LINEAR), np.float32)


def _bytes(level: Grid) -> Pixels:
    return np.asarray(np.clip(128 + 50 * level, 0, 255), dtype=np.uint8)


def _tiled(values: Grid) -> Grid:
    """The mean of each tile."""
    rows, columns = values.shape[0] // _TILE_PX, values.shape[1] // _TILE_PX
    whole = values[: rows * _TILE_PX, : columns * _TILE_PX]
    return np.asarray(cv2.resize(whole, (columns, rows), interpolation=cv2.INTER_AREA), np.float32)


def _residual(flow: Grid, tell: NDArray[np.bool_]) -> Grid:
    """What moves beside the plane that most of the tiles follow: the map is never quite exact."""
    y, x = np.mgrid[0 : flow.shape[0], 0 : flow.shape[1]].astype(np.float32)
    terms = np.stack((np.ones_like(x), x, y), axis=-1)
    chosen = tell.copy()
    for _ in range(3):
        _, plane = cv2.solve(terms[chosen], flow[chosen][:, None], flags=cv2.DECOMP_SVD)
        left = np.abs(flow - terms @ plane[:, 0])
        chosen = tell & (left <= np.percentile(left[tell], 70))
    return np.asarray(flow - terms @ plane[:, 0], dtype=np.float32)
