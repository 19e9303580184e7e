"""Lens and sensor."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.plan.optics import (
    Depth,
    Lens,
    Orientation,
    Sensor,
    angle_of_view_deg,
    depth_of_field,
    distance_for_share_m,
    field_m,
    focal_length_for_share_mm,
    hyperfocal_m,
    magnification,
    pixels_tall,
    share_of_frame,
)

focal = st.floats(10, 800)
stops = st.floats(1.2, 16)


@given(focal, focal, st.floats(20, 120))
def test_a_longer_lens_never_widens(one: float, other: float, distance: float) -> None:
    """Angle and field shrink, and the player grows, with the focal length."""
    short, long = sorted((one, other))
    assert angle_of_view_deg(36, long) <= angle_of_view_deg(36, short)
    assert field_m(36, long, distance) <= field_m(36, short, distance)
    assert share_of_frame(24, long, distance) >= share_of_frame(24, short, distance)


@given(focal, st.floats(0.05, 2))
def test_distance_and_focal_length_for_a_share_are_inverse(mm: float, share: float) -> None:
    """The distance for a share of the frame asks for the same focal length back."""
    distance = distance_for_share_m(24, mm, share)
    assert focal_length_for_share_mm(24, distance, share) == pytest.approx(mm)


@given(focal, stops, stops, st.floats(20, 300))
def test_stopping_down_never_loses_depth(mm: float, one: float, other: float, d: float) -> None:
    """A smaller aperture is sharp from no farther and to no nearer."""
    wide, narrow = sorted((one, other))
    shallow, deep = (depth_of_field(mm, n, d, 0.03) for n in (wide, narrow))
    assert deep.near_m <= shallow.near_m
    assert deep.far_m >= shallow.far_m


@given(focal, stops, st.floats(20, 300))
def test_the_focus_lies_inside_its_depth(mm: float, stop: float, distance: float) -> None:
    """What is focused on is sharp."""
    depth = depth_of_field(mm, stop, distance, 0.03)
    assert depth.near_m <= distance <= depth.far_m


def test_beyond_the_hyperfocal_distance_all_is_sharp() -> None:
    """From the hyperfocal distance on the depth has no end."""
    hyper = hyperfocal_m(24, 8, 0.03)
    depth = depth_of_field(24, 8, hyper * 1.01, 0.03)
    assert math.isinf(depth.far_m)
    assert math.isinf(depth.length_m)
    assert depth_of_field(24, 8, hyper * 0.99, 0.03).far_m < math.inf


def test_a_depth_has_a_length() -> None:
    """Length is from the near limit to the far one."""
    assert Depth(29.5, 30.5).length_m == 1


@pytest.mark.parametrize("distance", [7.9, 1001])
def test_nearer_than_twenty_focal_lengths_is_refused(distance: float) -> None:
    """The message says where the figures begin to hold."""
    with pytest.raises(WrongUse, match="between 8 and 1000 m"):
        magnification(400, distance)


def test_a_sensor_held_upright_swaps_its_sides() -> None:
    """Across and up, and the pixels up, change places."""
    sensor = Sensor(36, 24, 6000, 4000)
    assert sensor.sides_mm(Orientation.LANDSCAPE) == (36, 24)
    assert sensor.sides_mm(Orientation.PORTRAIT) == (24, 36)
    assert sensor.pixels_up(Orientation.LANDSCAPE) == 4000
    assert sensor.pixels_up(Orientation.PORTRAIT) == 6000
    assert sensor.pixel_pitch_mm == 0.006


def test_pixels_of_a_player_are_the_same_either_way() -> None:
    """Turning the camera changes the share of the frame, not the size on the sensor."""
    sensor = Sensor()
    landscape = pixels_tall(sensor, Orientation.LANDSCAPE, 400, 40)
    assert pixels_tall(sensor, Orientation.PORTRAIT, 400, 40) == pytest.approx(landscape)


def test_the_circle_of_confusion_follows_the_diagonal() -> None:
    """0.03 mm on 36 x 24 mm, two thirds of it on a sensor of two thirds the size."""
    assert Sensor(36, 24).circle_mm == pytest.approx(0.03)
    assert Sensor(24, 16).circle_mm == pytest.approx(0.02)


def test_a_teleconverter_lengthens_the_lens_and_takes_light() -> None:
    """1.4 times the focal length costs 1.4 times the f-number."""
    lens = Lens(300, 300, 2.8, 1.4)
    assert lens.focal_lengths_mm == pytest.approx((420, 420))
    assert lens.widest_f_number == pytest.approx(3.92)
    assert lens.name == "300/2.8x1.4"
    assert Lens(70, 200).name == "70-200/2.8"


def test_a_zoom_that_runs_backwards_is_refused() -> None:
    """The shorter end comes first."""
    with pytest.raises(WrongUse, match="shorter to its longer"):
        Lens(200, 70)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Sensor(1, 24),
        lambda: Sensor(36, 100),
        lambda: Sensor(36, 24, 10, 4000),
        lambda: Lens(2, 400),
        lambda: Lens(400, 400, 0.1),
        lambda: Lens(400, 400, 2.8, 3),
        lambda: angle_of_view_deg(36, 0),
        lambda: hyperfocal_m(400, 2.8, 0),
        lambda: distance_for_share_m(24, 400, 0),
    ],
)
def test_what_no_camera_has_is_refused(make) -> None:
    """Sensors, lenses and shares out of range end in a sentence with the range."""
    with pytest.raises(WrongUse, match="must lie between"):
        make()
