"""The ball."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.plan.flight import BALL, Ball, Kick, free_kick, header, penalty
from setpiece.plan.pitch import End, Pitch, Point

speeds = st.floats(5, 45)


@given(speeds, st.floats(0.5, 60))
def test_distance_and_time_are_inverse(speed: float, distance: float) -> None:
    """The ball has come as far as it took the time for."""
    for ball in (BALL, Ball(drag_coefficient=0)):
        assert ball.travelled_m(ball.time_s(distance, speed), speed) == pytest.approx(distance)


@given(speeds, speeds)
def test_a_faster_ball_never_takes_longer(one: float, other: float) -> None:
    """Flight shortens with the speed of the strike."""
    slow, fast = sorted((one, other))
    assert penalty(fast).flight_s <= penalty(slow).flight_s


@given(speeds, st.just(0.0) | st.floats(1e-9, 0.5))  # below, digits are lost, no time
def test_drag_only_slows(speed: float, drag: float) -> None:
    """A ball with drag takes no less time than in a vacuum, and arrives no faster."""
    ball = Ball(drag_coefficient=drag)
    assert ball.time_s(11, speed) >= 11 / speed - 1e-12
    assert ball.speed_m_s(11, speed) <= speed


def test_a_kick_begins_at_its_start_and_stops_at_its_target() -> None:
    """Before the end of the flight the ball is on its straight way, after it at the target."""
    kick = penalty(30, aim_x_m=3.6, aim_height_m=2.4)
    assert kick.at_time(0) == kick.start
    assert kick.at_time(9) == pytest.approx(kick.target)
    halfway = kick.at_distance(kick.distance_m / 2)
    assert halfway == pytest.approx((1.8, 5.5, 1.2))


def test_kicks_at_the_far_goal_are_turned() -> None:
    """The same strike at the other end starts and ends at turned places."""
    pitch = Pitch(100, 64)
    kick = free_kick(-5, 20, 25, aim_x_m=2, pitch=pitch, end=End.FAR)
    assert kick.start == (5, 80, 0)
    assert kick.target == pytest.approx((-2, 100, 1.22))
    assert kick.distance_m == free_kick(-5, 20, 25, aim_x_m=2).distance_m


def test_a_header_starts_in_the_air() -> None:
    """A header leaves at the height of a head."""
    assert header(12, x_m=2, y_m=6, height_m=2.2).start == Point(2, 6, 2.2)


def test_a_ball_must_go_somewhere() -> None:
    """A kick of no length is refused."""
    with pytest.raises(WrongUse, match="half a metre"):
        Kick(Point(0, 0), Point(0, 0.1), 20)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Ball(mass_kg=1),
        lambda: Ball(drag_coefficient=2),
        lambda: penalty(0),
        lambda: penalty(90),
        lambda: BALL.time_s(500, 30),
        lambda: free_kick(0, 130, 30),
    ],
)
def test_balls_and_kicks_out_of_range_are_refused(make) -> None:
    """Masses, speeds and ways no match has end in a sentence with the range."""
    with pytest.raises(WrongUse, match="must lie between"):
        make()
