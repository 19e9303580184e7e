"""Where the subject of a football picture lies, so that grass, crowd and boards count less.

No person is recognised. Four plain signs, each a factor between 0 and 1 for every tile:

- centre: photographers frame what matters near the middle;
- grass: a tile that is green as an even pitch is green counts next to nothing;
- standing on the grass: where grass fills most of a row, columns in which it is broken are a
  player's, and so is what stands above them; crowd and boards in other columns count little;
- unlike its row: crowd, boards and stands run across the picture, so that a tile whose colour
  is far from its row's middle colour is more likely the subject.

The figures are set by hand on photographs and drawn scenes (own measure, no source). Broken
light on the pitch, or a green kit, weakens the second and third sign; the others stay.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

Grid = NDArray[np.float32]
"""One number a tile, rows from the top."""

PIXELS_A_TILE = 8
"""Side of a tile in the small picture that the mask is made from."""

_GREEN_HUES, _LEAST_SATURATION = (33, 87), 51  # of 180 and of 255
_EVEN_SPREAD = 0.3  # brightness of grass within a pitch, standard deviation over mean
_GRASS_ROW_SHARE, _LEAST_GRASS_ROWS = 0.5, 0.1
_ON_GRASS, _OFF_COLUMN = 0.05, 0.08  # what is left of a weight there
_CENTRE = (0.5, 0.55)
_CENTRE_SPREAD = (0.33, 0.36)
_ROW_LEAST, _ROW_DISTANCE = 0.2, 15.0  # colour distance, 255 from black to white, for half

_CODES = np.arange(256) / 255
_LIGHT = np.where(_CODES <= 0.04045, _CODES / 12.92, ((_CODES + 0.055) / 1.055) ** 2.4)
_TO_XYZ = (  # sRGB to XYZ over the white of D65 (IEC 61966-2-1, clause 5)
    np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    / np.array([[0.9505], [1.0], [1.089]])
)


def subject_weights(small: NDArray[np.uint8], across: int, down: int) -> Grid:
    """How much each of `across` x `down` tiles counts, from an RGB picture of 8 px a tile."""
    hsv = cv2.cvtColor(small, cv2.COLOR_RGB2HSV)
    grass = _grass(np.asarray(hsv, dtype=np.uint8))
    tiled = _tiled(grass, across, down)
    weights = _centre(across, down) * (1 - (1 - _ON_GRASS) * tiled) * _unlike_row(small, tiled)
    columns = _standing(grass)
    if columns is not None:
        weights *= _OFF_COLUMN + (1 - _OFF_COLUMN) * _tiled(columns, across, 1)
    squared: Grid = (weights**2).astype(np.float32)
    return squared


def _tiled(grid: Grid, across: int, down: int) -> Grid:
    """The mean over each of `across` x `down` tiles."""
    reduced = cv2.resize(grid, (across, down), interpolation=cv2.INTER_AREA)
    return np.asarray(reduced, dtype=np.float32).reshape(down, across)


def _grass(hsv: NDArray[np.uint8]) -> Grid:
    """1 where a pixel is grass of an even pitch, 0 elsewhere; all 0 where no pitch is seen."""
    hue, saturation, brightness = hsv[..., 0], hsv[..., 1], hsv[..., 2]
    green = (hue >= _GREEN_HUES[0]) & (hue <= _GREEN_HUES[1]) & (saturation >= _LEAST_SATURATION)
    rows = green.mean(axis=1) > _GRASS_ROW_SHARE
    lit = brightness[rows][green[rows]].astype(np.float32)
    if rows.mean() < _LEAST_GRASS_ROWS or lit.std() > _EVEN_SPREAD * lit.mean():
        return np.zeros(green.shape, dtype=np.float32)
    return green.astype(np.float32)


def _centre(across: int, down: int) -> Grid:
    """A soft hill over the middle of the picture."""
    x = (np.arange(across, dtype=np.float32) + 0.5) / across - _CENTRE[0]
    y = (np.arange(down, dtype=np.float32) + 0.5) / down - _CENTRE[1]
    hill = np.exp(-0.5 * (y / _CENTRE_SPREAD[1]) ** 2)[:, None]
    return (hill * np.exp(-0.5 * (x / _CENTRE_SPREAD[0]) ** 2)[None, :]).astype(np.float32)


def _standing(grass: Grid) -> Grid | None:
    """For each column, how much something stands on the grass there; None without a pitch."""
    rows = grass.mean(axis=1) > _GRASS_ROW_SHARE
    if rows.mean() < _LEAST_GRASS_ROWS:
        return None
    broken = (1 - grass[rows]).mean(axis=0)
    broken = np.maximum(broken - np.percentile(broken, 30), 0)  # lines cross every column
    spread = np.asarray(cv2.blur(broken[None].astype(np.float32), (PIXELS_A_TILE + 1, 1)))
    share: Grid = np.clip(spread / max(0.08, 0.6 * float(np.percentile(spread, 98))), 0, 1)
    return share.astype(np.float32)


def _unlike_row(small: NDArray[np.uint8], tiled: Grid) -> Grid:
    """How far each tile's colour is from the middle colour of its row."""
    down, across = tiled.shape
    tiles = cv2.resize(small, (across, down), interpolation=cv2.INTER_AREA)
    lab = _lab(np.asarray(tiles, dtype=np.uint8))
    away = np.linalg.norm(lab - np.median(lab, axis=1, keepdims=True), axis=2)
    unlike: Grid = _ROW_LEAST + (1 - _ROW_LEAST) * away / (away + _ROW_DISTANCE)
    return unlike


def _lab(rgb: NDArray[np.uint8]) -> NDArray[np.float32]:
    """L*, a*, b* of sRGB, L* from 0 to 255 (CIE 15, 8.2.1).

    The library's own takes a tenth of a second to make its tables, for a few hundred tiles.
    """
    xyz = _LIGHT[rgb] @ _TO_XYZ.T
    root = np.where(xyz > (6 / 29) ** 3, np.cbrt(xyz), xyz * (29 / 6) ** 2 / 3 + 4 / 29)
    x, y, z = root[..., 0], root[..., 1], root[..., 2]
    lab = np.stack(((116 * y - 16) * 2.55, 500 * (x - y), 200 * (y - z)), axis=-1)
    return lab.astype(np.float32)
