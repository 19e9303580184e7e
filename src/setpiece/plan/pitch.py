"""The pitch by Law 1, with a ground's own length and width.

Coordinates everywhere in this room, in metres: the origin is the middle of the near goal line,
x runs along that line (to the right for someone who stands behind that goal and looks at the
pitch), y into the pitch, z up. The far goal has its middle at (0, length).

Source of the lengths: Laws of the Game, Law 1 "The Field of Play", as archived in 2006 (posts,
bar, areas, mark, arc, corner arc, lines, flag, international limits).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from setpiece.plan.limits import within

GOAL_WIDTH_M = 7.32  # between the posts
GOAL_HEIGHT_M = 2.44  # lower edge of the bar
POST_WIDTH_M = 0.12  # at most; lines have the same width
GOAL_AREA_M = 5.5  # into the pitch, and from each post
PENALTY_AREA_M = 16.5  # into the pitch, and from each post
PENALTY_MARK_M = 11.0
ARC_RADIUS_M = 9.15  # about the penalty mark, and of the centre circle
CORNER_ARC_M = 1.0
FLAG_HEIGHT_M = 1.5  # at least
INTERNATIONAL_LENGTH_M = (100.0, 110.0)
INTERNATIONAL_WIDTH_M = (64.0, 75.0)
UPRIGHT_ADVERTISING_M = 1.0  # from touch line and net (German rule book 2013/14, p. 11)

GOAL_AREA_WIDTH_M = GOAL_WIDTH_M + 2 * GOAL_AREA_M
PENALTY_AREA_WIDTH_M = GOAL_WIDTH_M + 2 * PENALTY_AREA_M


class Point(NamedTuple):
    """A point in metres, in the coordinates of this room."""

    x_m: float
    y_m: float
    z_m: float = 0.0


class End(StrEnum):
    """One of the two goals: near is the one at the origin."""

    NEAR = "near"
    FAR = "far"

    @property
    def other(self) -> End:
        """The opposite goal."""
        return End.FAR if self is End.NEAR else End.NEAR


class Line(NamedTuple):
    """A straight marking."""

    start: Point
    end: Point


class Arc(NamedTuple):
    """A marking that is part of a circle; angles counter-clockwise from the x axis."""

    middle: Point
    radius_m: float
    from_deg: float
    to_deg: float


@dataclass(frozen=True, slots=True)
class Pitch:
    """Length (touch line) and width (goal line). Pitches of youth football fit too."""

    length_m: float = 105.0
    width_m: float = 68.0

    def __post_init__(self) -> None:
        within(self.length_m, 50, 130, what="the length of a pitch", unit="m")
        within(self.width_m, PENALTY_AREA_WIDTH_M, 100, what="the width of a pitch", unit="m")

    @property
    def international(self) -> bool:
        """Whether Law 1 allows it for an international match."""
        low_length, high_length = INTERNATIONAL_LENGTH_M
        low_width, high_width = INTERNATIONAL_WIDTH_M
        return (
            low_length <= self.length_m <= high_length and low_width <= self.width_m <= high_width
        )

    @property
    def half_width_m(self) -> float:
        """From the axis through both goals to a touch line."""
        return self.width_m / 2

    def at(self, end: End, point: Point) -> Point:
        """Where a point given from one goal lies in the coordinates of the near goal.

        The far end is the near end turned by half a circle, so this is its own inverse.
        """
        if end is End.NEAR:
            return point
        return Point(-point.x_m, self.length_m - point.y_m, point.z_m)


def goal_angle_deg(x_m: float, y_m: float) -> float:
    """The angle under which the near goal is seen from a point on the pitch, between the posts."""
    half = GOAL_WIDTH_M / 2
    return math.degrees(abs(math.atan2(x_m + half, y_m) - math.atan2(x_m - half, y_m)))


def arc_meets_area_m() -> float:
    """How far from the axis the penalty arc meets the line of the penalty area."""
    return math.sqrt(ARC_RADIUS_M**2 - (PENALTY_AREA_M - PENALTY_MARK_M) ** 2)


def markings(pitch: Pitch) -> tuple[Line | Arc, ...]:
    """Every line of the pitch but the marks, as straight lines and arcs."""
    half, length = pitch.half_width_m, pitch.length_m
    middle = Point(0, length / 2)
    whole: list[Line | Arc] = [
        *_frame(-half, half, 0, length),
        Line(Point(-half, length / 2), Point(half, length / 2)),
        Arc(middle, ARC_RADIUS_M, 0, 360),
    ]
    arc_from_deg = math.degrees(math.atan2(PENALTY_AREA_M - PENALTY_MARK_M, arc_meets_area_m()))
    for end in End:
        turn = 0 if end is End.NEAR else 180
        for depth, width in (
            (GOAL_AREA_M, GOAL_AREA_WIDTH_M),
            (PENALTY_AREA_M, PENALTY_AREA_WIDTH_M),
        ):
            whole += [
                Line(pitch.at(end, line.start), pitch.at(end, line.end))
                for line in _frame(-width / 2, width / 2, 0, depth)[1:]
            ]
        mark = pitch.at(end, Point(0, PENALTY_MARK_M))
        whole.append(Arc(mark, ARC_RADIUS_M, turn + arc_from_deg, turn + 180 - arc_from_deg))
        whole.append(Arc(pitch.at(end, Point(-half, 0)), CORNER_ARC_M, turn, turn + 90))
        whole.append(Arc(pitch.at(end, Point(half, 0)), CORNER_ARC_M, turn + 90, turn + 180))
    return tuple(whole)


def marks(pitch: Pitch) -> tuple[Point, ...]:
    """The centre mark and both penalty marks."""
    mark = Point(0, PENALTY_MARK_M)
    return (Point(0, pitch.length_m / 2), mark, pitch.at(End.FAR, mark))


def _frame(left: float, right: float, bottom: float, top: float) -> list[Line]:
    """The four sides of a rectangle, the one on the goal line first."""
    corners = [Point(left, bottom), Point(right, bottom), Point(right, top), Point(left, top)]
    return [Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
