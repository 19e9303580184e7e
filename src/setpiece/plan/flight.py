"""The ball with drag: how long it takes, how fast it still is.

    dv/dt = -k v^2, k = rho A Cd / (2 M)
    t(x) = (e^(k x) - 1) / (k v0)      v(x) = v0 e^(-k x)      x(t) = ln(1 + k v0 t) / k

x is measured over the ground, as published flight times are: the rise of a penalty under the
bar adds less than 3 % to its way, gravity and swerve are left out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from setpiece.errors import WrongUse
from setpiece.plan.limits import within
from setpiece.plan.pitch import GOAL_HEIGHT_M, PENALTY_MARK_M, End, Pitch, Point

AIR_KG_M3 = 1.2
BALL_AREA_M2 = 0.0375  # Goff and Carre, files of the paper doi 10.1119/1.3197187
BALL_MASS_KG = 0.43  # Law 2: 0.41 to 0.45 kg (from memory); 14 to 16 oz (sizes.com)
DRAG_COEFFICIENT = 0.2  # fitted to a measured launch: Goff and Carre
# Drag at the critical Reynolds number, four balls: SpringerPlus 2013, 2:171.
CRITICAL_DRAG = ((2.2e5, 0.12), (2.8e5, 0.13), (3.3e5, 0.13), (2.4e5, 0.15))


@dataclass(frozen=True, slots=True)
class Ball:
    """Mass, size and drag; a drag coefficient of 0 is a ball in a vacuum."""

    mass_kg: float = BALL_MASS_KG
    drag_coefficient: float = DRAG_COEFFICIENT
    area_m2: float = BALL_AREA_M2
    air_kg_m3: float = AIR_KG_M3

    def __post_init__(self) -> None:
        within(self.mass_kg, 0.2, 0.6, what="the mass of a ball", unit="kg")
        within(self.drag_coefficient, 0, 0.6, what="a drag coefficient")
        within(self.area_m2, 0.02, 0.05, what="the cross-section of a ball", unit="m2")
        within(self.air_kg_m3, 0.7, 1.5, what="the density of air", unit="kg/m3")

    @property
    def slowing_per_m(self) -> float:
        """The k of the formulas: the share of its speed the ball loses in a metre."""
        return self.air_kg_m3 * self.area_m2 * self.drag_coefficient / (2 * self.mass_kg)

    def time_s(self, distance_m: float, launch_speed_m_s: float) -> float:
        """How long the ball takes for that way."""
        within(launch_speed_m_s, 1, 60, what="the speed of the ball", unit="m/s")
        within(distance_m, 0, 120, what="the way of the ball", unit="m")
        k = self.slowing_per_m
        if k == 0:
            return distance_m / launch_speed_m_s
        return math.expm1(k * distance_m) / (k * launch_speed_m_s)

    def travelled_m(self, time_s: float, launch_speed_m_s: float) -> float:
        """How far the ball has come."""
        within(launch_speed_m_s, 1, 60, what="the speed of the ball", unit="m/s")
        k = self.slowing_per_m
        if k == 0:
            return launch_speed_m_s * time_s
        return math.log1p(k * launch_speed_m_s * time_s) / k

    def speed_m_s(self, distance_m: float, launch_speed_m_s: float) -> float:
        """How fast the ball still is after that way."""
        return launch_speed_m_s * math.exp(-self.slowing_per_m * distance_m)

    def slowing_m_s2(self, speed_m_s: float) -> float:
        """How hard drag brakes the ball at that speed."""
        return self.slowing_per_m * speed_m_s**2


BALL = Ball()
PITCH = Pitch()


@dataclass(frozen=True, slots=True)
class Kick:
    """A ball struck from `start` to `target`, in a straight line, as points.

    Whoever strikes it stays at `start`. `what` names it for tables and drawings.
    """

    start: Point
    target: Point
    launch_speed_m_s: float
    ball: Ball = BALL
    what: str = "penalty"

    def __post_init__(self) -> None:
        within(self.launch_speed_m_s, 1, 60, what="the speed of the ball", unit="m/s")
        if self.distance_m < 0.5:
            raise WrongUse(
                "the ball must travel at least half a metre",
                thing=self.what,
                next_step="Give a start and a target further apart.",
            )
        within(self.distance_m, 0.5, 120, what="the way of the ball", unit="m")

    @property
    def distance_m(self) -> float:
        """From start to target over the ground."""
        return math.hypot(self.target.x_m - self.start.x_m, self.target.y_m - self.start.y_m)

    @property
    def flight_s(self) -> float:
        """From the strike to the target."""
        return self.ball.time_s(self.distance_m, self.launch_speed_m_s)

    def at_distance(self, distance_m: float) -> Point:
        """Where the ball is after that way over the ground."""
        share = distance_m / self.distance_m
        return Point(*(a + share * (b - a) for a, b in zip(self.start, self.target, strict=True)))

    def at_time(self, time_s: float) -> Point:
        """Where the ball is that long after the strike, no further than its target."""
        travelled = self.ball.travelled_m(time_s, self.launch_speed_m_s)
        return self.at_distance(min(travelled, self.distance_m))


def penalty(
    launch_speed_m_s: float,
    *,
    aim_x_m: float = 0.0,
    aim_height_m: float = GOAL_HEIGHT_M / 2,
    ball: Ball = BALL,
    pitch: Pitch = PITCH,
    end: End = End.NEAR,
) -> Kick:
    """A penalty at either goal; `aim_x_m` to the right as seen from behind that goal."""
    start, target = Point(0, PENALTY_MARK_M), Point(aim_x_m, 0, aim_height_m)
    return Kick(pitch.at(end, start), pitch.at(end, target), launch_speed_m_s, ball)


def free_kick(
    x_m: float,
    y_m: float,
    launch_speed_m_s: float,
    *,
    aim_x_m: float = 0.0,
    aim_height_m: float = GOAL_HEIGHT_M / 2,
    ball: Ball = BALL,
    pitch: Pitch = PITCH,
    end: End = End.NEAR,
) -> Kick:
    """A free kick at goal from a place given from that goal."""
    start, target = Point(x_m, y_m), Point(aim_x_m, 0, aim_height_m)
    return Kick(pitch.at(end, start), pitch.at(end, target), launch_speed_m_s, ball, "free kick")


def header(
    launch_speed_m_s: float,
    *,
    x_m: float,
    y_m: float,
    height_m: float,
    aim_x_m: float = 0.0,
    aim_height_m: float = GOAL_HEIGHT_M / 2,
    ball: Ball = BALL,
    pitch: Pitch = PITCH,
    end: End = End.NEAR,
) -> Kick:
    """A header at a corner: the ball leaves a head `height_m` above the ground."""
    start, target = Point(x_m, y_m, height_m), Point(aim_x_m, 0, aim_height_m)
    return Kick(pitch.at(end, start), pitch.at(end, target), launch_speed_m_s, ball, "header")
