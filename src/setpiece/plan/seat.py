"""Seats side by side: one figure for each situation a match brings.

The figure is the share of a situation's places where at least one lens of the seat holds a
player at 40 to 90 % of the frame, with nothing in the way and, where it matters, looking towards
the camera. The places of each situation are ours; they are written as one table below.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from setpiece.errors import WrongUse
from setpiece.plan.camera import Seat
from setpiece.plan.coverage import CHEST_M, Spots, cells, holds_size
from setpiece.plan.ground import Block, Dugout, Flank, Ground
from setpiece.plan.occlusion import Mask, Numbers, Obstacle, hidden, obstacles
from setpiece.plan.optics import PLAYER_HEIGHT_M, Lens, Sensor
from setpiece.plan.pitch import (
    GOAL_AREA_WIDTH_M,
    PENALTY_AREA_M,
    PENALTY_AREA_WIDTH_M,
    PENALTY_MARK_M,
    End,
    Point,
)

FACE_DEG = 75.0  # a face is seen when it looks this near to the camera, ours
IN_PLAY_DEG = 80.0  # in play nearly a profile will do, ours
PROFILE_DEG = 115.0  # a celebration is still a picture a little past the profile, ours
SITTING_HEIGHT_M = 1.3
FLAG_M = 6.0  # how far from a corner flag a celebration ends, ours


@dataclass(frozen=True, slots=True)
class Situation:
    """Something that happens in a match, and where.

    `looking_deg` is where people look at each place, counter-clockwise from the x axis; None
    when any direction will do. `facing_deg` is how far from that the camera may stand.
    """

    name: str
    spots: Spots
    looking_deg: Numbers | None = None
    facing_deg: float = 180.0
    height_m: float = PLAYER_HEIGHT_M


_OUTWARDS_DEG: dict[Flank, float] = {
    Flank.RIGHT: 0.0,
    Flank.FAR: 90.0,
    Flank.LEFT: 180.0,
    Flank.NEAR: 270.0,
}


_GOAL_LINE = {End.NEAR: Flank.NEAR, End.FAR: Flank.FAR}

# Before a goal: name, width, from and to metres off the line. People look at the goal.
_BEFORE_GOAL = (
    ("box attack", PENALTY_AREA_WIDTH_M, 0.0, PENALTY_AREA_M),
    ("corner", GOAL_AREA_WIDTH_M, 1.0, PENALTY_MARK_M),
    ("penalty", 3.0, PENALTY_MARK_M - 1, PENALTY_MARK_M + 4),
)


def _outwards(flank: Flank, *, turn_deg: float = 0.0) -> Numbers:
    """The direction out over a line, as an array of one."""
    return np.array([_OUTWARDS_DEG[flank] + turn_deg])


def _in_block(block: Block, step_m: float = 1.0) -> Spots:
    """Places inside a rectangle, about `step_m` apart."""
    across = max(1, round((block.right_m - block.left_m) / step_m))
    along = max(1, round((block.top_m - block.bottom_m) / step_m))
    x = block.left_m + (np.arange(across) + 0.5) / across * (block.right_m - block.left_m)
    y = block.bottom_m + (np.arange(along) + 0.5) / along * (block.top_m - block.bottom_m)
    x_m, y_m = np.meshgrid(x, y)
    return Spots(x_m, y_m)


def _before_goal(ground: Ground, end: End, width_m: float, from_m: float, to_m: float) -> Spots:
    """Places in a rectangle before one goal."""
    one = ground.pitch.at(end, Point(-width_m / 2, from_m))
    other = ground.pitch.at(end, Point(width_m / 2, to_m))
    return _in_block(
        Block(
            min(one.x_m, other.x_m),
            max(one.x_m, other.x_m),
            min(one.y_m, other.y_m),
            max(one.y_m, other.y_m),
            0,
        )
    )


def _at_flags(ground: Ground) -> Situation:
    """Places within reach of the four corner flags; people turn about there, any way will do."""
    spots = cells(ground.pitch)
    half, length = ground.pitch.half_width_m, ground.pitch.length_m
    near = np.zeros(spots.x_m.shape, dtype=bool)
    for x, y in ((-half, 0), (half, 0), (-half, length), (half, length)):
        near |= np.hypot(spots.x_m - x, spots.y_m - y) <= FLAG_M
    return Situation("celebration at a flag", Spots(spots.x_m[near], spots.y_m[near]))


def _before_dugout(ground: Ground, dugout: Dugout) -> Spots:
    """Places on the pitch before a dugout."""
    half = dugout.length_m / 2
    low, high = dugout.middle_m - half, dugout.middle_m + half
    return _in_block(ground.block(dugout.flank, low, high, -6.0, 6.0, 0))


def _faces(ground: Ground, dugout: Dugout) -> Spots:
    """A row of faces at the open front of a dugout."""
    half = dugout.length_m / 2
    low, high = dugout.middle_m - half, dugout.middle_m + half
    return _in_block(ground.block(dugout.flank, low, high, dugout.set_back_m - 0.3, 0.2, 0), 0.5)


def situations(ground: Ground) -> tuple[Situation, ...]:
    """The situations of a match at this ground; those of a goal once for each end."""
    found = [
        Situation(
            f"{name}, {ground.end_name(end)}",
            _before_goal(ground, end, width_m, from_m, to_m),
            _outwards(_GOAL_LINE[end]),
            IN_PLAY_DEG,
        )
        for name, width_m, from_m, to_m in _BEFORE_GOAL
        for end in End
    ]
    found.append(_at_flags(ground))
    home = ground.home_end
    found.append(
        Situation(
            f"celebration, {ground.end_name(home)} (home)",
            _before_goal(ground, home, ground.pitch.width_m, 0, 5),
            _outwards(_GOAL_LINE[home]),
            PROFILE_DEG,
        )
    )
    for dugout in ground.dugouts:
        towards, back = _outwards(dugout.flank), _outwards(dugout.flank, turn_deg=180)
        spots, faces = _before_dugout(ground, dugout), _faces(ground, dugout)
        found += [
            Situation(f"celebration, {dugout.name}", spots, towards, PROFILE_DEG),
            Situation(f"faces, {dugout.name}", faces, back, FACE_DEG, SITTING_HEIGHT_M),
        ]
    found.append(Situation("anywhere", cells(ground.pitch)))
    return tuple(found)


def figure(
    things: tuple[Obstacle, ...],
    seat: Seat,
    sensor: Sensor,
    lenses: tuple[Lens, ...],
    situation: Situation,
) -> float:
    """How much of one situation a seat gets, 0 to 1, with `things` in the way."""
    spots, height_m = situation.spots, situation.height_m
    sized = [holds_size(seat, sensor, lens, spots, height_m=height_m) for lens in lenses]
    good: Mask = np.logical_or.reduce(sized) & _looks_here(seat, situation)
    chest_m = CHEST_M * height_m / PLAYER_HEIGHT_M
    behind = hidden(seat, things, spots.x_m[good], spots.y_m[good], chest_m)
    blind = np.logical_or.reduce(list(behind.values()))
    return float(np.count_nonzero(~blind)) / good.size


def _looks_here(seat: Seat, situation: Situation) -> Mask:
    """Where people look towards the seat, nearly enough to show a face."""
    spots = situation.spots
    if situation.looking_deg is None:
        return np.ones(spots.x_m.shape, dtype=bool)
    looking = np.radians(situation.looking_deg)
    to_x, to_y = seat.x_m - spots.x_m, seat.y_m - spots.y_m
    along = to_x * np.cos(looking) + to_y * np.sin(looking)
    nearly = np.hypot(to_x, to_y) * math.cos(math.radians(situation.facing_deg))
    seen: Mask = along >= nearly
    return seen


@dataclass(frozen=True, slots=True)
class Comparison:
    """Seats side by side: a row per situation, a figure per seat, 0 to 1."""

    seats: tuple[Seat, ...]
    rows: tuple[tuple[str, tuple[float, ...]], ...]

    def best(self, row: int) -> tuple[Seat, ...]:
        """The seat or seats with the highest figure of a row; none where all have 0."""
        figures = self.rows[row][1]
        top = max(figures)
        return tuple(s for s, f in zip(self.seats, figures, strict=True) if f == top and top > 0)


def compare(
    ground: Ground, seats: tuple[Seat, ...], sensor: Sensor, lenses: tuple[Lens, ...]
) -> Comparison:
    """Every seat in every situation, with the same lenses."""
    if not seats:
        raise WrongUse("no seat given", next_step="Name at least one seat as X,Y,H.")
    if not lenses:
        raise WrongUse("no lens given", next_step="Name at least one lens.")
    things = obstacles(ground)
    return Comparison(
        seats,
        tuple(
            (s.name, tuple(figure(things, seat, sensor, lenses, s) for seat in seats))
            for s in situations(ground)
        ),
    )
