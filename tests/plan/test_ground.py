"""The ground and what stands around it."""

from __future__ import annotations

import pytest

from setpiece.errors import WrongUse
from setpiece.plan.camera import Seat
from setpiece.plan.ground import Block, Boards, Dugout, Flank, Ground, Stand, Zone
from setpiece.plan.pitch import End, Pitch, Point

GROUND = Ground(
    name="Leth",
    pitch=Pitch(100, 64),
    bearing_deg=74,
    near_end="West",
    far_end="East",
    zones=(Zone(Flank.NEAR, "behind the boards", set_back_m=4, depth_m=2),),
    seats=(Seat("A", -10, -5), Seat("B", 10, -5)),
)


@pytest.mark.parametrize(
    ("flank", "block"),
    [
        (Flank.LEFT, Block(-40, -36, 10, 30, 9)),
        (Flank.RIGHT, Block(36, 40, 10, 30, 9)),
        (Flank.NEAR, Block(10, 30, -8, -4, 9)),
        (Flank.FAR, Block(10, 30, 104, 108, 9)),
    ],
)
def test_a_thing_along_a_side_lies_outside_its_line(flank: Flank, block: Block) -> None:
    """Set-back and depth go outwards, the place along the line is y or x."""
    assert GROUND.block(flank, 10, 30, 4, 4, 9) == block


def test_a_thing_without_an_end_runs_to_the_end_of_its_line() -> None:
    """A stand with no from and to is as long as the line it stands at."""
    side = GROUND.stand_block(Stand(Flank.LEFT))
    assert (side.bottom_m, side.top_m) == (0, 100)
    goal = GROUND.boards_block(Boards(Flank.FAR))
    assert (goal.left_m, goal.right_m) == (-32, 32)


def test_a_dugout_lies_about_its_middle() -> None:
    """Half its length to either side."""
    block = GROUND.dugout_block(Dugout(Flank.RIGHT, middle_m=40, length_m=10))
    assert (block.bottom_m, block.top_m) == (35, 45)
    assert block.middle == Point(32 + 4 + 0.8, 40)


@pytest.mark.parametrize(
    ("flank", "bearing"),
    [(Flank.FAR, 74), (Flank.RIGHT, 164), (Flank.NEAR, 254), (Flank.LEFT, 344)],
)
def test_bearings_of_the_sides_follow_the_grounds(flank: Flank, bearing: float) -> None:
    """Right is a right angle clockwise from the way to the far goal."""
    assert GROUND.flank_bearing_deg(flank) == bearing


def test_ends_have_the_names_people_use() -> None:
    """Each end is called what the ground calls it."""
    assert GROUND.end_name(End.NEAR) == "West"
    assert GROUND.end_name(End.FAR) == "East"


def test_the_bib_allows_work_in_the_zones_only() -> None:
    """A seat in a zone is allowed, one on the touch line is not; without zones all are."""
    assert GROUND.in_a_zone(Seat("A", -10, -5))
    assert not GROUND.in_a_zone(Seat("side", -35, 40))
    assert Ground().in_a_zone(Seat("side", -35, 40))


def test_a_seat_is_found_by_its_name() -> None:
    """In any case of letters; an unknown name lists the known ones."""
    assert GROUND.seat(" b ") is GROUND.seats[1]
    with pytest.raises(WrongUse, match="A, B"):
        GROUND.seat("C")
    with pytest.raises(WrongUse, match="none"):
        Ground().seat("A")


@pytest.mark.parametrize(
    "make",
    [
        lambda: Ground(bearing_deg=400),
        lambda: Ground(latitude_deg=91),
        lambda: Ground(longitude_deg=-181),
        lambda: Ground(net_depth_m=9),
        lambda: Ground(floodlight_lx=0),
        lambda: Ground(mains_hz=1000),
        lambda: Stand(Flank.LEFT, height_m=200),
        lambda: Stand(Flank.LEFT, from_m=10, to_m=5),
        lambda: Boards(Flank.LEFT, height_m=9),
        lambda: Boards(Flank.LEFT, from_m=10, to_m=10),
        lambda: Dugout(Flank.LEFT, length_m=100),
        lambda: Zone(Flank.LEFT, depth_m=-1),
        lambda: Ground(dugouts=(Dugout(Flank.LEFT, middle_m=300),)),
        lambda: Ground(stands=(Stand(Flank.NEAR, from_m=60, to_m=80),)),
        lambda: Ground(boards=(Boards(Flank.FAR, from_m=-80, to_m=-60),)),
        lambda: Ground(zones=(Zone(Flank.RIGHT, from_m=200, to_m=210),)),
        lambda: Zone(Flank.LEFT, "z", 5, 1),
    ],
)
def test_grounds_that_cannot_be_are_refused(make) -> None:
    """Every measure has its range, and things run from low to high."""
    with pytest.raises(WrongUse):
        make()
