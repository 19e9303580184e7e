"""A pinhole camera over the pitch: where a point of the ground stands in the frame.

Pitch coordinates in metres: x along the touchline 0 to 105, y across it 0 to 68, z up. Headings
are degrees from the x axis towards the y axis. The sensor is 36 x 24 mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np
from numpy.typing import NDArray

Vec = NDArray[np.float64]

PITCH_LENGTH_M, PITCH_WIDTH_M = 105.0, 68.0
SENSOR_LONG_MM = 36.0
NEAR_M = 0.3


@lru_cache(maxsize=512)
def _axes(heading_deg: float, tilt_deg: float) -> tuple[Vec, Vec, Vec]:
    h, t = radians(heading_deg), radians(tilt_deg)
    right = np.array([sin(h), -cos(h), 0.0])
    ahead = np.array([cos(h) * cos(t), sin(h) * cos(t), sin(t)])
    return right, np.cross(right, ahead), ahead


@dataclass(frozen=True, slots=True)
class View:
    """One framing. Pixels may be upright (height above width)."""

    x_m: float
    y_m: float
    z_m: float
    heading_deg: float
    tilt_deg: float
    focal_length_mm: float
    width_px: int
    height_px: int
    frame_px: int = 0  # long side of the frame when the view is wider than it

    @property
    def focal_px(self) -> float:
        """Focal length in pixels."""
        return self.focal_length_mm / SENSOR_LONG_MM * self.long_side_px

    @property
    def long_side_px(self) -> int:
        """Pixels that the sensor's 36 mm fall on."""
        return self.frame_px or max(self.width_px, self.height_px)

    def axes(self) -> tuple[Vec, Vec, Vec]:
        """Unit vectors to the right of the frame, up in it, and along the lens."""
        return _axes(self.heading_deg, self.tilt_deg)

    @property
    def position(self) -> Vec:
        """Where the lens is."""
        return np.array([self.x_m, self.y_m, self.z_m])

    def depth(self, points: Vec) -> Vec:
        """Distance along the lens of each point, negative behind it."""
        return np.asarray((points - self.position) @ self.axes()[2])

    def project(self, points: Vec) -> Vec:
        """Frame coordinates of each point in front of the lens."""
        right, up, ahead = self.axes()
        away = points - self.position
        depth = np.maximum(away @ ahead, 1e-6)
        x = self.width_px / 2 + self.focal_px * (away @ right) / depth
        y = self.height_px / 2 - self.focal_px * (away @ up) / depth
        return np.stack([x, y], axis=-1)

    def ground(self, across: float, distance_m: float) -> Vec:
        """The point of the ground at that distance, `across` from -0.5 left to 0.5 right."""
        right, _, _ = self.axes()
        h = radians(self.heading_deg)
        flat = np.array([cos(h), sin(h), 0.0])
        half = across * self.width_px / self.focal_px * distance_m
        point = self.position + flat * distance_m + right * half
        return np.array([point[0], point[1], 0.0])

    def outlines(self, corners: Vec) -> Vec | None:
        """A flat shape in the frame, cut where it passes behind the lens; None when all does."""
        depth = self.depth(corners)
        if (depth < NEAR_M).all():
            return None
        kept: list[Vec] = []
        for i, (here, there) in enumerate(zip(corners, np.roll(corners, -1, axis=0), strict=True)):
            d0, d1 = depth[i], depth[(i + 1) % len(corners)]
            if d0 >= NEAR_M:
                kept.append(here)
            if (d0 < NEAR_M) != (d1 < NEAR_M):
                kept.append(here + (there - here) * ((NEAR_M - d0) / (d1 - d0)))
        return self.project(np.array(kept))

    def plane(self, origin: Vec, along: Vec, upward: Vec) -> NDArray[np.float64]:
        """The map from a plane's own coordinates (metres along and up) to the frame.

        Its third row gives the distance along the lens.
        """
        right, up, ahead = self.axes()
        columns = np.column_stack([along, upward, origin - self.position])
        camera = np.array([right, -up, ahead]) @ columns
        centre = np.array(
            [
                [self.focal_px, 0.0, self.width_px / 2],
                [0.0, self.focal_px, self.height_px / 2],
                [0.0, 0.0, 1.0],
            ]
        )
        return np.asarray(centre @ camera)

    def scaled(self, scale: float) -> View:
        """The same framing on fewer pixels."""
        return View(
            self.x_m,
            self.y_m,
            self.z_m,
            self.heading_deg,
            self.tilt_deg,
            self.focal_length_mm,
            round(self.width_px * scale),
            round(self.height_px * scale),
            round(self.long_side_px * scale),
        )

    def wider(self, margin_px: int) -> View:
        """The same framing with that many pixels more on each edge."""
        return View(
            self.x_m,
            self.y_m,
            self.z_m,
            self.heading_deg,
            self.tilt_deg,
            self.focal_length_mm,
            self.width_px + 2 * margin_px,
            self.height_px + 2 * margin_px,
            self.long_side_px,
        )


def aim(
    seat: tuple[float, float, float],
    target: tuple[float, float, float],
    focal_length_mm: float,
    width_px: int,
    height_px: int,
) -> View:
    """The framing from a seat with a point of the ground's space in the middle."""
    dx, dy, dz = (t - s for t, s in zip(target, seat, strict=True))
    return View(
        *seat,
        heading_deg=degrees(atan2(dy, dx)),
        tilt_deg=degrees(atan2(dz, hypot(dx, dy))),
        focal_length_mm=focal_length_mm,
        width_px=width_px,
        height_px=height_px,
    )
