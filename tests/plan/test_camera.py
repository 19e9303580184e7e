"""A camera at a seat."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.plan.camera import (
    Aim,
    Camera,
    Seat,
    aim_at,
    aim_between,
    longest_focal_for_pair_mm,
    on_frame,
)
from setpiece.plan.optics import Orientation, Sensor
from setpiece.plan.pitch import Point

SEAT = Seat("behind the line", -14, -5, 1.15)
places = st.builds(Point, st.floats(-30, 30), st.floats(2, 100), st.floats(0, 2.4))


@given(places)
def test_what_is_aimed_at_stands_in_the_middle(place: Point) -> None:
    """The aim at a point puts it in the middle of the frame."""
    seen = on_frame(SEAT, aim_at(SEAT, place), 400, place)
    assert seen == pytest.approx((0, 0), abs=1e-6)


@given(places, places)
def test_the_best_aim_puts_two_points_opposite_each_other(one: Point, other: Point) -> None:
    """Seen through the best aim, the second point lies where the first is mirrored."""
    aim = aim_between(SEAT, one, other)
    a, b = on_frame(SEAT, aim, 100, one), on_frame(SEAT, aim, 100, other)
    assert a is not None
    assert b is not None
    assert a == pytest.approx((-b.right_mm, -b.up_mm), abs=1e-4)


@given(places, places)
def test_the_longest_focal_length_for_two_points_just_holds_them(one: Point, other: Point) -> None:
    """With that lens both points touch the edge and lie nowhere outside."""
    longest = longest_focal_for_pair_mm(SEAT, Sensor(), Orientation.PORTRAIT, one, other)
    if not 1 < longest < 1e7:
        return
    seen = on_frame(SEAT, aim_between(SEAT, one, other), longest, one)
    assert seen is not None
    right, up = abs(seen.right_mm) / 12, abs(seen.up_mm) / 18
    assert max(right, up) == pytest.approx(1, rel=1e-3)


def test_the_same_point_twice_allows_any_lens() -> None:
    """Two points that coincide fit every frame."""
    point = Point(0, 11)
    longest = longest_focal_for_pair_mm(SEAT, Sensor(), Orientation.LANDSCAPE, point, point)
    assert longest > 1e6


def test_directions_are_those_of_the_ground() -> None:
    """Pan is clockwise from the y axis, tilt upwards, and right is right."""
    seat = Seat("middle", 0, 0, 1)
    assert aim_at(seat, Point(10, 10, 1)).pan_deg == pytest.approx(45)
    assert aim_at(seat, Point(0, 10, 11)).tilt_deg == pytest.approx(45)
    seen = on_frame(seat, Aim(0, 0), 100, Point(1, 10, 2))
    assert seen == pytest.approx((10, 10))


def test_what_is_behind_the_camera_is_not_on_the_frame() -> None:
    """A point behind gives None."""
    assert on_frame(SEAT, Aim(0, 0), 100, Point(-14, -20, 1)) is None


def test_no_aim_sees_both_sides_of_the_camera() -> None:
    """Points on opposite sides are refused, and so is a point in the lens."""
    seat = Seat("middle", 0, 0, 1)
    with pytest.raises(WrongUse, match="opposite sides"):
        aim_between(seat, Point(0, 10, 1), Point(0, -10, 1))
    with pytest.raises(WrongUse, match="stands on the point"):
        aim_at(seat, Point(0, 0, 1))


def test_points_more_than_a_right_angle_off_leave_no_lens() -> None:
    """Points nearly opposite each other need a lens shorter than any."""
    seat = Seat("middle", 0, 0, 1)
    longest = longest_focal_for_pair_mm(
        seat, Sensor(), Orientation.LANDSCAPE, Point(-50, 1, 1), Point(50, 1, 1)
    )
    assert 0 <= longest < 1


def test_a_seat_knows_how_far_things_are() -> None:
    """Distance is from the lens, not from the ground."""
    assert Seat("s", 0, 0, 3).distance_m(Point(0, 4)) == 5
    assert math.isclose(Seat("s", 0, 0, 1).distance_m(Point(0, 10)), math.hypot(10, 1))


def test_an_exposure_must_fit_between_two_frames() -> None:
    """20 frames a second leave no time for a tenth of a second."""
    with pytest.raises(WrongUse, match="leave no time"):
        Camera(SEAT, 400, frames_per_s=20, exposure_s=0.1)
    assert Camera(SEAT, 400, frames_per_s=20, exposure_s=0.05).exposure_s == 0.05


@pytest.mark.parametrize(
    "make",
    [
        lambda: Seat("far away", 900, 0),
        lambda: Seat("in the sky", 0, 0, 900),
        lambda: Camera(SEAT, 1),
        lambda: Camera(SEAT, 400, frames_per_s=0),
    ],
)
def test_seats_and_cameras_out_of_range_are_refused(make) -> None:
    """Every quantity has its range."""
    with pytest.raises(WrongUse, match="must lie between"):
        make()
