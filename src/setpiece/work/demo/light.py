"""The light of the afternoon: low sun in the first half, dusk and floodlights at the end.

A painter's scale between a few hours of the day, chosen by eye; it is no measurement.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, tan

import numpy as np

from setpiece.work.demo.brush import LightOnFigure, Rgb
from setpiece.work.demo.view import View

_SUN_BEARING_DEG = 238.0
"""Where the sun stands, in headings of the pitch: behind the main stand."""


@dataclass(frozen=True, slots=True)
class Light:
    """What the light does to a picture. `sun` and `lamps` are strengths from 0 to 1."""

    hour: float
    sun: float
    lamps: float
    sun_elevation_deg: float
    tint: Rgb
    sky_top: Rgb
    sky_low: Rgb
    level: float

    def on_figure(self, view: View) -> LightOnFigure:
        """From where a figure is lit in that framing."""
        right, _, ahead = view.axes()
        b = radians(_SUN_BEARING_DEG)
        sun = np.array([cos(b), sin(b), 0.0])
        side = float(sun @ right) * self.sun
        behind = float(sun @ ahead) * self.sun
        dx, dy = 0.95 * side - 0.12, -0.85 + 0.25 * abs(behind)
        length = float(np.hypot(dx, dy))
        return LightOnFigure(dx / length, dy / length, 0.40 + 0.55 * self.sun)

    def shadows(self) -> list[tuple[float, float, float]]:
        """Shadows on the grass: (x, y) reach in metres per metre of height, and depth."""
        cast: list[tuple[float, float, float]] = []
        if self.sun > 0.05:
            b = radians(_SUN_BEARING_DEG)
            reach = min(3.2, 1 / tan(radians(self.sun_elevation_deg)))
            cast.append((-cos(b) * reach, -sin(b) * reach, 0.50 * self.sun))
        if self.lamps > 0.05:
            for x, y in ((0.8, 0.55), (-0.8, 0.5), (0.7, -0.6), (-0.75, -0.55)):
                cast.append((x, y, 0.16 * self.lamps))
        return cast


_HOURS = (14.9, 15.5, 16.1, 16.5, 16.9, 17.25, 17.6)
_TABLE = {
    "sun": (1.0, 1.0, 0.92, 0.55, 0.0, 0.0, 0.0),
    "lamps": (0.0, 0.0, 0.05, 0.45, 0.8, 1.0, 1.0),
    "elevation": (27.0, 23.0, 18.0, 15.0, 12.0, 8.0, 4.0),
    "level": (1.0, 1.0, 0.98, 0.93, 0.88, 0.86, 0.84),
}
_COLOURS = {
    "tint": (
        (1.02, 1.0, 0.95),
        (1.03, 1.0, 0.93),
        (1.07, 1.0, 0.88),
        (1.06, 1.0, 0.90),
        (0.99, 0.99, 1.0),
        (0.95, 0.98, 1.04),
        (0.93, 0.97, 1.07),
    ),
    "top": (
        (112, 152, 196),
        (118, 154, 192),
        (126, 150, 184),
        (120, 138, 172),
        (98, 112, 150),
        (66, 78, 118),
        (38, 48, 84),
    ),
    "low": (
        (206, 216, 220),
        (222, 216, 204),
        (238, 208, 174),
        (240, 192, 150),
        (226, 166, 136),
        (172, 128, 128),
        (92, 84, 108),
    ),
}


def light_at(hour: float) -> Light:
    """The light at an hour of the match day, local time, 14.9 to 17.6."""

    def one(key: str) -> float:
        return float(np.interp(hour, _HOURS, _TABLE[key]))

    def colour(key: str) -> Rgb:
        r, g, b = (
            float(np.interp(hour, _HOURS, band)) for band in zip(*_COLOURS[key], strict=True)
        )
        return r, g, b

    return Light(
        hour=hour,
        sun=one("sun"),
        lamps=one("lamps"),
        sun_elevation_deg=one("elevation"),
        tint=colour("tint"),
        sky_top=colour("top"),
        sky_low=colour("low"),
        level=one("level"),
    )
