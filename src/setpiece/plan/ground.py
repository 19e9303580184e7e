"""The ground: its pitch, how it lies, and what stands around it.

Things around the pitch lie along one of its four sides. Along the touch lines (`left`, `right`)
a place is given by y, along the goal lines (`near`, `far`) by x. `set_back_m` is measured from
the line outwards.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from setpiece.errors import WrongUse
from setpiece.plan.camera import Seat
from setpiece.plan.limits import within
from setpiece.plan.pitch import UPRIGHT_ADVERTISING_M, End, Pitch, Point

NET_DEPTH_M = 2.0
LINE_END = 1e9  # "to the end of the line", where a table gives no end


class Flank(StrEnum):
    """One of the four lines around the pitch, as seen from behind the near goal."""

    LEFT = "left"
    RIGHT = "right"
    NEAR = "near"
    FAR = "far"


class Block(NamedTuple):
    """A rectangle on the ground with a height: x and y from low to high, z from the ground up."""

    left_m: float
    right_m: float
    bottom_m: float
    top_m: float
    height_m: float

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """The four corners on the ground, in order."""
        return (
            Point(self.left_m, self.bottom_m),
            Point(self.right_m, self.bottom_m),
            Point(self.right_m, self.top_m),
            Point(self.left_m, self.top_m),
        )

    @property
    def middle(self) -> Point:
        """The middle of the rectangle, on the ground."""
        return Point((self.left_m + self.right_m) / 2, (self.bottom_m + self.top_m) / 2)

    def holds(self, x_m: float, y_m: float) -> bool:
        """Whether a place on the ground lies inside."""
        return self.left_m <= x_m <= self.right_m and self.bottom_m <= y_m <= self.top_m


def _span(value: float, what: str, highest: float) -> None:
    within(value, 0, highest, what=what, unit="m")


@dataclass(frozen=True, slots=True)
class Stand:
    """A stand: its first row `set_back_m` behind the line, its roof edge `roof_edge_m` behind it.

    `height_m` is the height of that edge, the one whose shadow is drawn; it counts as a wall
    down to the ground.
    """

    flank: Flank
    name: str = ""
    height_m: float = 10.0
    set_back_m: float = 5.0
    roof_edge_m: float = 6.0
    depth_m: float = 14.0
    from_m: float = -LINE_END
    to_m: float = LINE_END

    def __post_init__(self) -> None:
        _span(self.height_m, "the height of a stand", 90)
        _span(self.set_back_m, "the set-back of a stand", 100)
        _span(self.roof_edge_m, "the set-back of a roof edge", 150)
        _span(self.depth_m, "the depth of a stand", 100)
        _in_order(self.from_m, self.to_m, self.name or "a stand")


@dataclass(frozen=True, slots=True)
class Boards:
    """A row of advertising boards along one line."""

    flank: Flank
    height_m: float = 0.9
    set_back_m: float = UPRIGHT_ADVERTISING_M + NET_DEPTH_M
    from_m: float = -LINE_END
    to_m: float = LINE_END

    def __post_init__(self) -> None:
        within(self.height_m, 0.1, 3, what="the height of boards", unit="m")
        _span(self.set_back_m, "the set-back of boards", 50)
        _in_order(self.from_m, self.to_m, "boards")


@dataclass(frozen=True, slots=True)
class Dugout:
    """A team's bench under its roof; those in it look at the pitch."""

    flank: Flank
    name: str = "dugout"
    middle_m: float = 0.0
    length_m: float = 9.0
    depth_m: float = 1.6
    height_m: float = 2.2
    set_back_m: float = 4.0

    def __post_init__(self) -> None:
        within(self.length_m, 0.5, 40, what="the length of a dugout", unit="m")
        within(self.depth_m, 0.2, 10, what="the depth of a dugout", unit="m")
        within(self.height_m, 0.5, 5, what="the height of a dugout", unit="m")
        _span(self.set_back_m, "the set-back of a dugout", 50)


@dataclass(frozen=True, slots=True)
class Zone:
    """Where the bib allows work."""

    flank: Flank
    name: str = ""
    from_m: float = -LINE_END
    to_m: float = LINE_END
    set_back_m: float = 3.0
    depth_m: float = 2.0

    def __post_init__(self) -> None:
        _span(self.set_back_m, "the set-back of a zone", 100)
        _span(self.depth_m, "the depth of a zone", 100)
        _in_order(self.from_m, self.to_m, self.name or "a zone")


@dataclass(frozen=True, slots=True)
class Ground:
    """A ground as the plan needs it.

    `bearing_deg` is the direction from the near goal to the far one, clockwise from true north.
    `latitude_deg` is positive north, `longitude_deg` positive east; None when not known.
    `net_depth_m` is how far the net reaches behind the goal line. `home_end` is where the home
    side's supporters stand. `floodlight_lx` is the vertical illuminance on the pitch.
    """

    name: str = ""
    pitch: Pitch = Pitch()  # noqa: RUF009 (frozen)
    bearing_deg: float = 0.0
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    time_zone: str = "UTC"
    near_end: str = "near end"
    far_end: str = "far end"
    home_end: End = End.NEAR
    net_depth_m: float = NET_DEPTH_M
    floodlight_lx: float | None = None
    mains_hz: float = 50.0
    stands: tuple[Stand, ...] = ()
    boards: tuple[Boards, ...] = ()
    dugouts: tuple[Dugout, ...] = ()
    zones: tuple[Zone, ...] = ()
    seats: tuple[Seat, ...] = ()

    def __post_init__(self) -> None:
        within(self.bearing_deg, 0, 360, what="a bearing", unit="degrees")
        if self.latitude_deg is not None:
            within(self.latitude_deg, -90, 90, what="a latitude", unit="degrees")
        if self.longitude_deg is not None:
            within(self.longitude_deg, -180, 180, what="a longitude", unit="degrees")
        within(self.net_depth_m, 0, 6, what="the depth of the net", unit="m")
        if self.floodlight_lx is not None:
            within(self.floodlight_lx, 1, 20_000, what="the floodlights", unit="lx")
        within(self.mains_hz, 16, 400, what="the mains", unit="Hz")
        for name, block in (
            *((stand.name or "a stand", self.stand_block(stand)) for stand in self.stands),
            *(("boards", self.boards_block(boards)) for boards in self.boards),
            *((dugout.name, self.dugout_block(dugout)) for dugout in self.dugouts),
            *((zone.name or "a zone", self.zone_block(zone)) for zone in self.zones),
        ):
            if block.left_m > block.right_m or block.bottom_m > block.top_m:
                raise WrongUse(
                    "it lies beyond the ends of its line",
                    thing=name,
                    next_step="Give its place along the line in metres of this pitch.",
                )

    def end_name(self, end: End) -> str:
        """What people at the ground call that end."""
        return self.near_end if end is End.NEAR else self.far_end

    def flank_bearing_deg(self, flank: Flank) -> float:
        """Direction from the pitch to what stands on that side."""
        turn = {Flank.FAR: 0, Flank.RIGHT: 90, Flank.NEAR: 180, Flank.LEFT: 270}[flank]
        return (self.bearing_deg + turn) % 360

    def block(
        self,
        flank: Flank,
        from_m: float,
        to_m: float,
        set_back_m: float,
        depth_m: float,
        height_m: float,
    ) -> Block:
        """Something along a side, in the coordinates of the pitch; cut to the line's length."""
        half, length = self.pitch.half_width_m, self.pitch.length_m
        inner, outer = set_back_m, set_back_m + depth_m
        if flank in (Flank.LEFT, Flank.RIGHT):
            low, high = max(from_m, 0), min(to_m, length)
            if flank is Flank.LEFT:
                return Block(-half - outer, -half - inner, low, high, height_m)
            return Block(half + inner, half + outer, low, high, height_m)
        low, high = max(from_m, -half), min(to_m, half)
        if flank is Flank.NEAR:
            return Block(low, high, -outer, -inner, height_m)
        return Block(low, high, length + inner, length + outer, height_m)

    def stand_block(self, stand: Stand) -> Block:
        """The rectangle a stand covers, its roof edge's height."""
        return self.block(
            stand.flank, stand.from_m, stand.to_m, stand.set_back_m, stand.depth_m, stand.height_m
        )

    def boards_block(self, boards: Boards) -> Block:
        """The boards, a tenth of a metre thick."""
        return self.block(
            boards.flank, boards.from_m, boards.to_m, boards.set_back_m, 0.1, boards.height_m
        )

    def dugout_block(self, dugout: Dugout) -> Block:
        """The rectangle a dugout covers."""
        half = dugout.length_m / 2
        return self.block(
            dugout.flank,
            dugout.middle_m - half,
            dugout.middle_m + half,
            dugout.set_back_m,
            dugout.depth_m,
            dugout.height_m,
        )

    def zone_block(self, zone: Zone) -> Block:
        """The rectangle a zone covers."""
        return self.block(zone.flank, zone.from_m, zone.to_m, zone.set_back_m, zone.depth_m, 0)

    def in_a_zone(self, seat: Seat) -> bool:
        """Whether the bib allows work at that seat. True where no zones are given."""
        return not self.zones or any(
            self.zone_block(zone).holds(seat.x_m, seat.y_m) for zone in self.zones
        )

    def seat(self, name: str) -> Seat:
        """The seat of that name. Raises WrongUse with the names there are."""
        for seat in self.seats:
            if seat.name.casefold() == name.strip().casefold():
                return seat
        known = ", ".join(seat.name for seat in self.seats) or "none"
        raise WrongUse(
            "no seat of that name", thing=name, next_step=f"Seats of this ground: {known}."
        )


def _in_order(low: float, high: float, thing: str) -> None:
    if low >= high:
        raise WrongUse(
            "it must run from a lower to a higher place",
            thing=thing,
            next_step="Swap from_m and to_m.",
        )
