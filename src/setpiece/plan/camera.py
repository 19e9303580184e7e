"""A camera at a seat: where it looks and where a point falls on its frame.

The camera is held level (it pans and tilts, it does not roll) and is a pinhole focused at
infinity. The best aim for two points is the middle of the angle between them: it puts them at
opposite places of the frame, and everything on the straight way between them lies inside.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from setpiece.errors import WrongUse
from setpiece.plan.limits import within
from setpiece.plan.optics import Orientation, Sensor
from setpiece.plan.pitch import Point


@dataclass(frozen=True, slots=True)
class Seat:
    """A place to work from, with the height of the lens above the pitch."""

    name: str
    x_m: float
    y_m: float
    lens_height_m: float = 1.0

    def __post_init__(self) -> None:
        within(self.x_m, -250, 250, what="x of a seat", unit="m")
        within(self.y_m, -250, 400, what="y of a seat", unit="m")
        within(self.lens_height_m, 0.05, 60, what="the height of a lens", unit="m")

    @property
    def lens(self) -> Point:
        """Where the lens is."""
        return Point(self.x_m, self.y_m, self.lens_height_m)

    def distance_m(self, to: Point) -> float:
        """From the lens to a point, straight."""
        return math.dist(self.lens, to)


SENSOR = Sensor()


@dataclass(frozen=True, slots=True)
class Camera:
    """A camera at work: seat, focal length, how it is held, how fast it runs.

    `exposure_s` 0 counts a frame as a point in time.
    """

    seat: Seat
    focal_length_mm: float
    orientation: Orientation = Orientation.LANDSCAPE
    frames_per_s: float = 20.0
    exposure_s: float = 0.0
    sensor: Sensor = SENSOR

    def __post_init__(self) -> None:
        within(self.focal_length_mm, 5, 2400, what="a focal length", unit="mm")
        within(self.frames_per_s, 0.1, 240, what="a frame rate", unit="frames/s")
        within(self.exposure_s, 0, 1, what="an exposure", unit="s")
        if self.exposure_s > 1 / self.frames_per_s + 1e-12:
            raise WrongUse(
                f"{self.frames_per_s:g} frames/s leave no time for an exposure of "
                f"{self.exposure_s:g} s",
                next_step="Take a shorter exposure or a slower frame rate.",
            )


class Aim(NamedTuple):
    """Where a level camera looks: `pan_deg` clockwise from the y axis, `tilt_deg` upwards."""

    pan_deg: float
    tilt_deg: float


class OnFrame(NamedTuple):
    """A point on the frame, in millimetres right of and above its middle as one sees it."""

    right_mm: float
    up_mm: float


def aim_at(seat: Seat, point: Point) -> Aim:
    """The aim that puts a point in the middle of the frame."""
    return _aim(_towards(seat, point))


def aim_between(seat: Seat, one: Point, other: Point) -> Aim:
    """The best aim for two points: the middle of the angle between them."""
    a, b = _towards(seat, one), _towards(seat, other)
    middle = (a[0] + b[0], a[1] + b[1], a[2] + b[2])
    if math.hypot(*middle) < 1e-6:
        raise WrongUse("no aim sees two points on opposite sides of the camera", thing=seat.name)
    return _aim(middle)


def on_frame(seat: Seat, aim: Aim, focal_length_mm: float, point: Point) -> OnFrame | None:
    """Where a point falls, on the frame or beside it; None when it lies behind the camera."""
    x, y, z = _towards(seat, point)
    pan, tilt = math.radians(aim.pan_deg), math.radians(aim.tilt_deg)
    ahead = x * math.sin(pan) + y * math.cos(pan)
    right = x * math.cos(pan) - y * math.sin(pan)
    depth = ahead * math.cos(tilt) + z * math.sin(tilt)
    if depth <= 1e-9:
        return None
    up = z * math.cos(tilt) - ahead * math.sin(tilt)
    return OnFrame(focal_length_mm * right / depth, focal_length_mm * up / depth)


def longest_focal_for_pair_mm(
    seat: Seat, sensor: Sensor, orientation: Orientation, one: Point, other: Point
) -> float:
    """The longest focal length that has both points on the frame; `inf` when they coincide."""
    across_mm, up_mm = sensor.sides_mm(orientation)
    place = on_frame(seat, aim_between(seat, one, other), 1.0, other)
    if place is None:
        return 0.0
    right, up = abs(place.right_mm), abs(place.up_mm)
    return min(
        across_mm / 2 / right if right > 0 else math.inf,
        up_mm / 2 / up if up > 0 else math.inf,
    )


def _towards(seat: Seat, point: Point) -> tuple[float, float, float]:
    """The direction from the lens to a point, of length 1."""
    far = seat.distance_m(point)
    if far < 1e-6:
        raise WrongUse("the camera stands on the point it looks at", thing=seat.name)
    return (
        (point.x_m - seat.x_m) / far,
        (point.y_m - seat.y_m) / far,
        (point.z_m - seat.lens_height_m) / far,
    )


def _aim(direction: tuple[float, float, float]) -> Aim:
    x, y, z = direction
    return Aim(math.degrees(math.atan2(x, y)), math.degrees(math.atan2(z, math.hypot(x, y))))
