"""What a lens shows: angle of view, field, size of a player in the frame, depth of field.

Thin, rectilinear lens; distances from the front principal plane, in practice from the camera.
Close to a lens's nearest focus internal focusing shortens it, so nothing here is used nearer
than twenty focal lengths. Depth of field is defocus alone, without diffraction.

    magnification m = f / (s - f)          angle = 2 atan(side / (2 f (1 + m)))
    field = side / m                       share of the frame = height m / side
    hyperfocal H = f^2 / (N c) + f         near = s (H - f) / (H + s - 2f)
                                           far = s (H - f) / (H - s), endless for s >= H
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from setpiece.errors import WrongUse
from setpiece.plan.limits import within

PLAYER_HEIGHT_M = 1.8
NEAREST_IN_FOCAL_LENGTHS = 20.0
FULL_FRAME_CIRCLE_MM = 0.03  # the usual circle of confusion for 36 x 24 mm
FULL_FRAME_DIAGONAL_MM = math.hypot(36, 24)


class Orientation(StrEnum):
    """Which way the camera is held."""

    LANDSCAPE = "landscape"
    PORTRAIT = "portrait"


@dataclass(frozen=True, slots=True)
class Sensor:
    """The picture area of a camera, and its pixels, held in landscape."""

    width_mm: float = 36.0
    height_mm: float = 24.0
    pixels_wide: int = 6000
    pixels_high: int = 4000

    def __post_init__(self) -> None:
        within(self.width_mm, 4, 70, what="the width of a sensor", unit="mm")
        within(self.height_mm, 3, 70, what="the height of a sensor", unit="mm")
        within(self.pixels_wide, 100, 40_000, what="the width of a picture", unit="pixels")
        within(self.pixels_high, 100, 40_000, what="the height of a picture", unit="pixels")

    @property
    def diagonal_mm(self) -> float:
        """Corner to corner."""
        return math.hypot(self.width_mm, self.height_mm)

    @property
    def pixel_pitch_mm(self) -> float:
        """Width of one pixel."""
        return self.width_mm / self.pixels_wide

    @property
    def circle_mm(self) -> float:
        """Circle of confusion: 0.03 mm on 36 x 24 mm, in proportion to the diagonal."""
        return FULL_FRAME_CIRCLE_MM * self.diagonal_mm / FULL_FRAME_DIAGONAL_MM

    def sides_mm(self, orientation: Orientation) -> tuple[float, float]:
        """Across and up, as the camera is held."""
        if orientation is Orientation.LANDSCAPE:
            return self.width_mm, self.height_mm
        return self.height_mm, self.width_mm

    def pixels_up(self, orientation: Orientation) -> int:
        """Pixels from the bottom of the frame to its top, as the camera is held."""
        return self.pixels_high if orientation is Orientation.LANDSCAPE else self.pixels_wide


SENSORS = {
    "full": Sensor(36.0, 24.0),
    "full-23.9": Sensor(36.0, 23.9),  # Nikon D700 manual, p. 402
    "1.5x": Sensor(23.5, 15.6),  # the same
    "1.5x-15.7": Sensor(23.7, 15.7),  # Nikon D2X manual, p. 256
}
"""Sensors by name. Makers differ by a tenth of a millimetre or two, so the size is a parameter."""


@dataclass(frozen=True, slots=True)
class Lens:
    """A lens, prime or zoom, with the teleconverter it wears.

    `shortest_mm` and `longest_mm` are engraved focal lengths, `f_number` the engraved widest
    aperture; `converter` multiplies all three (1.0 without one).
    """

    shortest_mm: float
    longest_mm: float
    f_number: float = 2.8
    converter: float = 1.0

    def __post_init__(self) -> None:
        within(self.shortest_mm, 5, 1200, what="a focal length", unit="mm")
        within(self.longest_mm, 5, 1200, what="a focal length", unit="mm")
        within(self.f_number, 0.7, 32, what="an f-number")
        within(self.converter, 1, 2, what="a teleconverter")
        if self.longest_mm < self.shortest_mm:
            raise WrongUse("a zoom runs from its shorter to its longer end", thing=self.name)

    @property
    def name(self) -> str:
        """As it is typed: `400/2.8`, `70-200/2.8`, `300/2.8x1.4`."""
        reach = f"{self.shortest_mm:g}"
        if self.longest_mm != self.shortest_mm:
            reach += f"-{self.longest_mm:g}"
        wears = f"x{self.converter:g}" if self.converter != 1 else ""
        return f"{reach}/{self.f_number:g}{wears}"

    @property
    def focal_lengths_mm(self) -> tuple[float, float]:
        """Shortest and longest, with the converter."""
        return self.shortest_mm * self.converter, self.longest_mm * self.converter

    @property
    def widest_f_number(self) -> float:
        """Widest aperture, with the light the converter takes."""
        return self.f_number * self.converter


@dataclass(frozen=True, slots=True)
class Depth:
    """What is sharp: from `near_m` to `far_m`, which may be endless (`inf`)."""

    near_m: float
    far_m: float

    @property
    def length_m(self) -> float:
        """How deep it is."""
        return self.far_m - self.near_m


def magnification(focal_length_mm: float, distance_m: float) -> float:
    """Size on the sensor over true size. Refuses less than twenty focal lengths of distance."""
    _in_reach(focal_length_mm, distance_m)
    return focal_length_mm / (distance_m * 1000 - focal_length_mm)


def angle_of_view_deg(side_mm: float, focal_length_mm: float, at_magnification: float = 0) -> float:
    """Angle that one side or the diagonal of the sensor sees; focused at infinity by default."""
    within(focal_length_mm, 5, 2400, what="a focal length", unit="mm")
    return math.degrees(2 * math.atan(side_mm / (2 * focal_length_mm * (1 + at_magnification))))


def field_m(side_mm: float, focal_length_mm: float, distance_m: float) -> float:
    """What one side of the frame spans at that distance."""
    return side_mm / magnification(focal_length_mm, distance_m) / 1000


def share_of_frame(
    side_mm: float,
    focal_length_mm: float,
    distance_m: float,
    *,
    height_m: float = PLAYER_HEIGHT_M,
) -> float:
    """How much of one side of the frame someone fills: 1 is from edge to edge."""
    return height_m * 1000 * magnification(focal_length_mm, distance_m) / side_mm


def pixels_tall(
    sensor: Sensor,
    orientation: Orientation,
    focal_length_mm: float,
    distance_m: float,
    *,
    height_m: float = PLAYER_HEIGHT_M,
) -> float:
    """How many pixels tall someone is. May exceed the frame."""
    up_mm = sensor.sides_mm(orientation)[1]
    share = share_of_frame(up_mm, focal_length_mm, distance_m, height_m=height_m)
    return share * sensor.pixels_up(orientation)


def distance_for_share_m(
    side_mm: float, focal_length_mm: float, share: float, *, height_m: float = PLAYER_HEIGHT_M
) -> float:
    """The distance at which someone fills that share of the side. Inverse of share_of_frame."""
    within(share, 0.001, 10, what="a share of the frame")
    return focal_length_mm / 1000 * (1 + height_m * 1000 / (share * side_mm))


def focal_length_for_share_mm(
    side_mm: float, distance_m: float, share: float, *, height_m: float = PLAYER_HEIGHT_M
) -> float:
    """The focal length that gives someone at that distance that share of the side."""
    within(share, 0.001, 10, what="a share of the frame")
    return distance_m * 1000 / (1 + height_m * 1000 / (share * side_mm))


def hyperfocal_m(focal_length_mm: float, f_number: float, circle_mm: float) -> float:
    """The nearest focus that keeps the far side of the ground sharp."""
    within(focal_length_mm, 5, 2400, what="a focal length", unit="mm")
    within(f_number, 0.7, 64, what="an f-number")
    within(circle_mm, 0.001, 0.2, what="a circle of confusion", unit="mm")
    return (focal_length_mm**2 / (f_number * circle_mm) + focal_length_mm) / 1000


def depth_of_field(
    focal_length_mm: float, f_number: float, distance_m: float, circle_mm: float
) -> Depth:
    """What is sharp around a focus distance, by the exact thin-lens formulas."""
    _in_reach(focal_length_mm, distance_m)
    hyper = hyperfocal_m(focal_length_mm, f_number, circle_mm)
    focal = focal_length_mm / 1000
    near = distance_m * (hyper - focal) / (hyper + distance_m - 2 * focal)
    if distance_m >= hyper:
        return Depth(near, math.inf)
    return Depth(near, distance_m * (hyper - focal) / (hyper - distance_m))


def _in_reach(focal_length_mm: float, distance_m: float) -> None:
    within(focal_length_mm, 5, 2400, what="a focal length", unit="mm")
    nearest = NEAREST_IN_FOCAL_LENGTHS * focal_length_mm / 1000
    if not nearest <= distance_m <= 1000:
        raise WrongUse(
            f"the distance for {focal_length_mm:g} mm must lie between {nearest:g} and 1000 m: "
            "nearer, internal focusing makes the figures wrong",
            thing=f"{distance_m:g} m",
            next_step="Move back or take a shorter lens.",
        )
