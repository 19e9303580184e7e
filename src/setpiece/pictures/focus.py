"""How sharp a picture's subject is, how it is exposed, and where it is sharpest.

The figure is the energy of the Laplacian at half scale (where 0.4 px of blur still tells) over
the energy of the gradient at an eighth of full scale, both summed over the tiles in which the
subject lies (`subject`). Blur lowers the first and hardly touches the second, while exposure,
contrast and the crop change both alike: so frames of one scene can be compared. Before that the
energy of grain, as the evenest tenth of the tiles shows it, is taken off. Motion blur lowers the
figure as defocus does; one frame alone does not tell which of the two it was. So the energy of
the second derivative is given along four directions too: beside a sharp frame of the same scene
motion shows as a loss along one of them only.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.errors import BadFile
from setpiece.pictures.small import halved
from setpiece.pictures.subject import PIXELS_A_TILE, Grid, subject_weights

TILES = 24
"""Tiles along the long side."""

_LEAST_SIDE_PX = 4
_SHARPEST_SHARE, _LEAST_TILES = 0.1, 4
_LEAST_WEIGHT = 0.3  # of the heaviest tile's
_GRAIN_PERCENTILE = 10
_COARSE_FLOOR = 20.0  # gradient energy of grain alone: keeps flat pictures from dividing by 0
_SCALE = 1000.0
_BLOWN, _DARK = 250, 16  # grey of 255
_DIRECTIONS = tuple(
    np.array(rows, dtype=np.float32)
    for rows in (
        ((0, 0, 0), (1, -2, 1), (0, 0, 0)),
        ((0, 0, 1), (0, -2, 0), (1, 0, 0)),
        ((0, 1, 0), (0, -2, 0), (0, 1, 0)),
        ((1, 0, 0), (0, -2, 0), (0, 0, 1)),
    )
)
_PLACES = {0: ("left", "top"), 1: ("centre", "middle"), 2: ("right", "bottom")}


@dataclass(frozen=True, slots=True)
class FocusFigure:
    """A figure to rank frames of one scene by: larger is sharper, no unit, 0 when flat.

    `sharpest_tile` is (x, y, width, height) in shares of the picture. `words` say where it is
    sharpest. `blown_share` and `dark_share` are the shares of the subject's area that are burnt
    out or without detail. `along` is the energy along the level, the rising diagonal, the upright
    and the falling diagonal, in the same unit as `value` but with its grain.
    """

    value: float
    sharpest_tile: tuple[float, float, float, float]
    words: str
    blown_share: float = 0.0
    dark_share: float = 0.0
    along: tuple[float, ...] = ()


def focus_figure(
    rgb_half: NDArray[np.uint8], once_halved: NDArray[np.uint8] | None = None
) -> FocusFigure:
    """How sharp the subject is, from a picture decoded at half scale.

    `once_halved` is that picture halved, where the caller has it already.
    """
    if rgb_half.ndim != 3 or min(rgb_half.shape[:2]) < _LEAST_SIDE_PX:
        raise BadFile("too small a picture to tell its focus", thing=str(rgb_half.shape))
    height, width = rgb_half.shape[:2]
    tile_px = max(2, max(height, width) // TILES)
    across, down = max(1, width // tile_px), max(1, height // tile_px)
    quarter = halved(halved(rgb_half) if once_halved is None else once_halved)
    small = _reduced(quarter, across * PIXELS_A_TILE, down * PIXELS_A_TILE)
    weights = subject_weights(small, across, down)
    fine, coarse = _fine(rgb_half, across, down), _coarse(_grey(quarter), across, down)
    chosen = _chosen(weights, coarse)
    energy = (weights * fine).flat[chosen]
    unit = float((weights * (coarse + _COARSE_FLOOR)).flat[chosen].sum())
    value = float(energy.sum()) / unit
    along = tuple(e / unit * _SCALE for e in _along(rgb_half, weights, chosen))
    y, x = divmod(int(chosen[int(energy.argmax())]), across)
    words = _words(value, (x + 0.5) / across, (y + 0.5) / down)
    tile = (x / across, y / down, 1 / across, 1 / down)
    blown, dark = _exposure(small, weights, chosen)
    return FocusFigure(value * _SCALE, tile, words, blown, dark, along)


def _reduced(picture: NDArray[np.uint8], width: int, height: int) -> NDArray[np.uint8]:
    reduced = cv2.resize(picture, (width, height), interpolation=cv2.INTER_AREA)
    return np.asarray(reduced, dtype=np.uint8)


def _grey(rgb: NDArray[np.uint8]) -> NDArray[np.uint8]:
    return np.asarray(cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY), dtype=np.uint8)


def _fine(rgb: NDArray[np.uint8], across: int, down: int) -> Grid:
    """Mean energy of the Laplacian in each tile, without that of grain.

    A row of tiles at a time, with one row of pixels more on either side, stays in the cache.
    """
    height = rgb.shape[0]
    tops, lefts = _edges(rgb, across, down)
    energy = np.empty((down, across), dtype=np.float32)
    for y in range(down):
        above, below = max(0, tops[y] - 1), min(height, tops[y + 1] + 1)
        bend = cv2.Laplacian(_grey(rgb[above:below]), cv2.CV_16S)
        row = bend[tops[y] - above : tops[y + 1] - above]
        for x in range(across):
            tile = row[:, lefts[x] : lefts[x + 1]]
            energy[y, x] = cv2.norm(tile, cv2.NORM_L2SQR) / tile.size
    energy -= np.percentile(energy, _GRAIN_PERCENTILE)
    return np.maximum(energy, 0)


def _edges(
    rgb: NDArray[np.uint8], across: int, down: int
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Where rows and columns of tiles begin and end."""
    height, width = rgb.shape[:2]
    return (
        np.linspace(0, height, down + 1).astype(np.intp),
        np.linspace(0, width, across + 1).astype(np.intp),
    )


def _along(rgb: NDArray[np.uint8], weights: Grid, chosen: NDArray[np.intp]) -> list[float]:
    """Weighted energy of the second derivative along each direction, over the chosen tiles."""
    down, across = weights.shape
    tops, lefts = _edges(rgb, across, down)
    energy = [0.0] * len(_DIRECTIONS)
    for place in chosen:
        y, x = divmod(int(place), across)
        tile = _grey(rgb[tops[y] : tops[y + 1], lefts[x] : lefts[x + 1]])
        for i, direction in enumerate(_DIRECTIONS):
            bend = cv2.filter2D(tile, cv2.CV_16S, direction)
            energy[i] += float(weights[y, x]) * cv2.norm(bend, cv2.NORM_L2SQR) / tile.size
    return energy


def _coarse(quarter: NDArray[np.uint8], across: int, down: int) -> Grid:
    """Mean energy of the gradient in each tile, at a scale that blur hardly reaches."""
    along, up = cv2.Sobel(quarter, cv2.CV_32F, 1, 0), cv2.Sobel(quarter, cv2.CV_32F, 0, 1)
    slope = np.asarray(along**2 + up**2, dtype=np.float32)
    tiled = cv2.resize(slope, (across, down), interpolation=cv2.INTER_AREA)
    return np.asarray(tiled, dtype=np.float32)


def _chosen(weights: Grid, coarse: Grid) -> NDArray[np.intp]:
    """The tiles that speak for the subject: heavy, and with contrast to judge focus by.

    They are chosen without looking at sharpness, so that a sharp crowd cannot draw them.
    """
    order = np.argsort(-weights * np.sqrt(coarse + 1), axis=None)
    order = order[: max(_LEAST_TILES, int(weights.size * _SHARPEST_SHARE))]
    heavy = weights.flat[order] >= _LEAST_WEIGHT * weights.max()
    heavy[:_LEAST_TILES] = True
    return np.asarray(order[heavy], dtype=np.intp)


def _exposure(
    small: NDArray[np.uint8], weights: Grid, chosen: NDArray[np.intp]
) -> tuple[float, float]:
    """Shares of the subject's area that are burnt out and without detail."""
    down, across = weights.shape
    tiles = _grey(small).reshape(down, PIXELS_A_TILE, across, PIXELS_A_TILE)
    share = weights.flat[chosen] / weights.flat[chosen].sum()
    blown = (tiles >= _BLOWN).mean(axis=(1, 3)).flat[chosen]
    dark = (tiles <= _DARK).mean(axis=(1, 3)).flat[chosen]
    return float((share * blown).sum()), float((share * dark).sum())


def _words(value: float, x: float, y: float) -> str:
    """Where the picture is sharpest, as a photographer would say it."""
    if value <= 0:
        return "nothing to tell focus by"
    across, down = _PLACES[min(2, int(x * 3))][0], _PLACES[min(2, int(y * 3))][1]
    if (across, down) == ("centre", "middle"):
        return "sharpest in the middle"
    return f"sharpest at the {down} {across}".replace("middle ", "").replace(" centre", "")
