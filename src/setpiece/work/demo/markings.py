"""The pitch on the ground: mown bands and white lines as flat shapes in metres.

Law 1 of the Game (The Field of Play): penalty area 16.5 m, goal area 5.5 m, mark 11 m, circle and
arc 9.15 m, posts 7.32 m apart, lines of at most 12 cm.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from setpiece.work.demo.view import PITCH_LENGTH_M, PITCH_WIDTH_M

Vec = NDArray[np.float64]

LINE_M = 0.12
BAND_M = 5.25


def surround(reach_m: float) -> Vec:
    """The rectangle that reaches so far beyond the lines."""
    return _box(-reach_m, -reach_m, PITCH_LENGTH_M + reach_m, PITCH_WIDTH_M + reach_m)


@lru_cache(maxsize=1)
def mown_bands() -> tuple[Vec, ...]:
    """The bands across the pitch, as the mower left them, from x = 0."""
    return tuple(
        _box(x, -1.6, x + BAND_M, PITCH_WIDTH_M + 1.6)
        for x in np.arange(0, PITCH_LENGTH_M - 0.01, BAND_M)
    )


@lru_cache(maxsize=1)
def lines() -> tuple[Vec, ...]:
    """Every white line, each a flat shape."""
    length, width, mid = PITCH_LENGTH_M, PITCH_WIDTH_M, PITCH_WIDTH_M / 2
    found = [
        _line(0, 0, length, 0),
        _line(0, width, length, width),
        _line(0, 0, 0, width),
        _line(length, 0, length, width),
        _line(length / 2, 0, length / 2, width),
        *_arc(length / 2, mid, 9.15, 0, 360),
        *_arc(length / 2, mid, 0.12, 0, 360),
    ]
    for x, way in ((0.0, 1.0), (length, -1.0)):
        for deep, half in ((16.5, 20.16), (5.5, 9.16)):
            edge = x + way * deep
            found += [
                _line(x, mid - half, edge, mid - half),
                _line(x, mid + half, edge, mid + half),
                _line(edge, mid - half, edge, mid + half),
            ]
        spot = x + way * 11
        reach = float(np.degrees(np.arccos(5.5 / 9.15)))
        middle = 0.0 if way > 0 else 180.0
        found += _arc(spot, mid, 9.15, middle - reach, middle + reach)
        found += _arc(spot, mid, 0.11, 0, 360)
        for y, turn in ((0.0, 0.0), (width, -90.0)):
            start = turn if way > 0 else 180.0 - turn - 90.0
            found += _arc(x, y, 1.0, start, start + 90)
    return tuple(found)


def _box(x0: float, y0: float, x1: float, y1: float) -> Vec:
    return np.array([[x0, y0, 0], [x1, y0, 0], [x1, y1, 0], [x0, y1, 0]], dtype=float)


def _line(x0: float, y0: float, x1: float, y1: float) -> Vec:
    half = LINE_M / 2
    if abs(x1 - x0) > abs(y1 - y0):
        low, high = sorted((x0, x1))
        return _box(low - half, y0 - half, high + half, y0 + half)
    low, high = sorted((y0, y1))
    return _box(x0 - half, low - half, x0 + half, high + half)


def _arc(x: float, y: float, radius: float, start_deg: float, end_deg: float) -> list[Vec]:
    """Pieces of a ring of line width."""
    steps = max(8, int((end_deg - start_deg) / 7))
    angles = np.radians(np.linspace(start_deg, end_deg, steps + 1))
    inner, outer = max(radius - LINE_M / 2, 0.0), radius + LINE_M / 2
    ring = []
    for a, b in pairwise(angles):
        ring.append(
            np.array(
                [
                    [x + outer * np.cos(a), y + outer * np.sin(a), 0],
                    [x + outer * np.cos(b), y + outer * np.sin(b), 0],
                    [x + inner * np.cos(b), y + inner * np.sin(b), 0],
                    [x + inner * np.cos(a), y + inner * np.sin(a), 0],
                ]
            )
        )
    return ring
