"""Whether two pictures show the same thing from the same place: points that agree on one plane.

Descriptors are compared by Lowe's ratio test and one to one; a homography is fitted by MAGSAC++
(Barath and others, CVPR 2020, as OpenCV has it) and must be one that a crop, a scan or a
photograph of a page can give: not mirrored, not folded, not stretched beyond reason.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.pictures.features import Descriptors, Features, Points, products

Matrix = NDArray[np.float64]

_RATIO = 0.85  # of the distances to the nearest and the second descriptor
_WITHIN_PX = 3.0  # of the archive picture at 640 px
_CELL_PX = 12
_LEAST_PAIRS = 5
_TRIALS, _SURE = 2000, 0.999
_MOST_SCALE, _MOST_STRETCH, _MOST_SLOPE = 16.0, 2.5, 4.0


@dataclass(frozen=True, slots=True)
class Agreement:
    """How a cutting and an archive picture agree.

    `to_cutting` maps the archive picture's points onto the cutting, both in pixels of their
    features. `pairs` are the points that agree: x, y in the cutting, x, y in the archive picture.
    `score` is the smaller of their number and of the distinct cells of 12 pixels they lie in.
    """

    score: int
    pairs: NDArray[np.float32]
    to_cutting: Matrix


def agreement(cutting: Features, kept: Features) -> Agreement | None:
    """How the two agree; None where no plane can be laid through their points."""
    pairs = paired(cutting, kept)
    if len(pairs) < _LEAST_PAIRS:
        return None
    seen, archived = pairs[:, :2], pairs[:, 2:]
    # From the cutting onto the archive picture, whose pixels the tolerance is in.
    found, inside = cv2.findHomography(
        seen, archived, cv2.USAC_MAGSAC, _WITHIN_PX, maxIters=_TRIALS, confidence=_SURE
    )
    if found is None or abs(np.linalg.det(found)) < 1e-12:
        return None
    agreeing = pairs[inside.ravel().astype(bool)]
    back = np.linalg.inv(found)
    to_cutting = np.asarray(back / back[2, 2], dtype=np.float64)
    if len(agreeing) < _LEAST_PAIRS or not is_sound(to_cutting, agreeing[:, 2:]):
        return None
    cells = min(_cells(agreeing[:, :2]), _cells(agreeing[:, 2:]))
    return Agreement(min(len(agreeing), cells), agreeing, to_cutting)


def paired(cutting: Features, kept: Features) -> NDArray[np.float32]:
    """Points that are each other's nearest and clearly nearer than the second: (n, 4)."""
    if cutting.count < 2 or kept.count < 2:
        return np.empty((0, 4), np.float32)
    far = _distances(cutting.descriptors, kept.descriptors)
    rows = np.arange(len(far))
    back, first = far.argmin(axis=0), far.argmin(axis=1)
    nearest = far[rows, first]
    far[rows, first] = np.inf
    good = (nearest < _RATIO**2 * far.min(axis=1)) & (back[first] == rows)
    return np.hstack((cutting.points[good], kept.points[first[good]])).astype(np.float32)


def _distances(a: Descriptors, b: Descriptors) -> NDArray[np.float32]:
    """Squared distances between every two descriptors."""
    one, other = a.astype(np.float32), b.astype(np.float32)
    lengths = (one**2).sum(axis=1)[:, None] + (other**2).sum(axis=1)[None]
    return np.asarray(lengths - 2 * products(one, other), dtype=np.float32)


def _cells(points: Points) -> int:
    """How many distinct cells the points lie in: a cluster on one badge counts once."""
    return len(np.unique((points // _CELL_PX).astype(int), axis=0))


def is_sound(to_cutting: Matrix, archived: Points) -> bool:
    """Whether the map keeps the picture's side, shape and size within what a page can do."""
    low, high = archived.min(axis=0), archived.max(axis=0)
    corners = np.array([low, (high[0], low[1]), high, (low[0], high[1])])
    where = np.vstack((corners, archived.mean(axis=0)[None]))
    weights = where @ to_cutting[2, :2] + to_cutting[2, 2]
    if weights.min() <= 0 or weights.max() > _MOST_SLOPE * weights.min():
        return False
    mapped = mapped_points(to_cutting, where)
    sides = np.roll(mapped[:4], -1, axis=0) - mapped[:4]
    turns = sides[:, 0] * np.roll(sides[:, 1], -1) - sides[:, 1] * np.roll(sides[:, 0], -1)
    if not (turns > 0).all():  # folded or mirrored
        return False
    across = (to_cutting[:2, :2] - np.outer(mapped[4], to_cutting[2, :2])) / weights[4]
    large, small = np.linalg.svd(across, compute_uv=False)
    return bool(1 / _MOST_SCALE < small and large < _MOST_SCALE and large < _MOST_STRETCH * small)


def mapped_points(through: Matrix, points: NDArray[np.float64] | Points) -> NDArray[np.float64]:
    """Points through a homography."""
    whole = cv2.convertPointsToHomogeneous(points)[:, 0].astype(np.float64) @ through.T
    return np.asarray(whole[:, :2] / whole[:, 2:], dtype=np.float64)
