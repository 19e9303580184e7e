"""The pitch and its coordinates."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.plan.pitch import Arc, End, Line, Pitch, Point, goal_angle_deg, markings, marks

metres = st.floats(-200, 200)


@given(metres, metres, st.floats(0, 20))
def test_turning_to_the_far_end_twice_is_no_turn(x: float, y: float, z: float) -> None:
    """The far end is the near end turned by half a circle."""
    pitch = Pitch(101, 66)
    there = pitch.at(End.FAR, Point(x, y, z))
    assert pitch.at(End.FAR, there) == pytest.approx((x, y, z), abs=1e-9)
    assert pitch.at(End.NEAR, there) == there


def test_the_far_mark_lies_eleven_metres_before_the_far_line() -> None:
    """Places of the far goal are counted from its own line."""
    assert Pitch(105, 68).at(End.FAR, Point(2, 11)) == (-2, 94, 0)


def test_ends_are_each_others_other() -> None:
    """Near and far are opposite."""
    assert End.NEAR.other is End.FAR
    assert End.FAR.other is End.NEAR


@pytest.mark.parametrize(
    ("length", "width", "international"),
    [(105, 68, True), (100, 64, True), (110, 75, True), (99, 68, False), (105, 76, False)],
)
def test_international_size_is_that_of_law_1(
    length: float, width: float, international: bool
) -> None:
    """A pitch counts as international within the law's limits, ends included."""
    assert Pitch(length, width).international is international


@pytest.mark.parametrize(("length", "width"), [(40, 50), (105, 30), (140, 68), (105, 101)])
def test_a_pitch_no_match_is_played_on_is_refused(length: float, width: float) -> None:
    """A pitch must hold its penalty areas and be no larger than any ground's."""
    with pytest.raises(WrongUse, match="pitch"):
        Pitch(length, width)


def test_markings_are_all_there_and_alike_at_both_ends() -> None:
    """Four sides, the halfway line, two areas of three lines at each end; arcs in mirror pairs."""
    pitch = Pitch(105, 68)
    lines = [m for m in markings(pitch) if isinstance(m, Line)]
    arcs = [m for m in markings(pitch) if isinstance(m, Arc)]
    assert len(lines) == 4 + 1 + 2 * 2 * 3
    assert len(arcs) == 1 + 2 * (1 + 2)
    ends = {tuple(map(tuple, line)) for line in lines}
    for line in lines:
        turned = tuple(tuple(pitch.at(End.FAR, p)) for p in line)
        assert turned in ends or turned[::-1] in ends
    assert {m.y_m for m in marks(pitch)} == {11, 52.5, 94}


def test_the_penalty_arc_stays_outside_its_area() -> None:
    """The arc ends where it meets the area's line, 16.5 m into the pitch."""
    arc = next(m for m in markings(Pitch()) if isinstance(m, Arc) and m.middle.y_m == 11)
    for angle in (arc.from_deg, arc.to_deg):
        assert 11 + 9.15 * math.sin(math.radians(angle)) == pytest.approx(16.5)


def test_the_goal_looks_smaller_from_the_side() -> None:
    """The angle between the posts shrinks away from the axis."""
    assert goal_angle_deg(0, 11) > goal_angle_deg(5, 11) > goal_angle_deg(15, 11) > 0
