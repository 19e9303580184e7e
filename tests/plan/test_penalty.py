"""Frames that hold striker and ball."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.plan.camera import Camera, Seat
from setpiece.plan.flight import penalty
from setpiece.plan.optics import Orientation
from setpiece.plan.penalty import (
    frame_counts,
    frames_by_speed,
    held,
    longest_focal_mm,
    most_frames,
)

SEAT = Seat("behind the line", -14, -5, 1.15)
cameras = st.builds(
    Camera,
    st.builds(Seat, st.just("s"), st.floats(-30, 30), st.floats(-9, -1), st.floats(0.3, 3)),
    st.floats(24, 800),
    st.sampled_from(Orientation),
    st.floats(5, 40),
    st.sampled_from((0.0, 1 / 1000, 1 / 500)),
)
speeds = st.floats(20, 35)


@given(cameras, speeds, speeds)
def test_a_faster_ball_never_gives_more_frames(camera: Camera, one: float, other: float) -> None:
    """The mean number of frames falls, or stays, as the ball gets faster."""
    slow, fast = sorted((one, other))
    assert held(camera, penalty(fast)).mean <= held(camera, penalty(slow)).mean + 1e-6


@given(cameras, speeds, st.floats(1, 2))
def test_a_longer_lens_never_gives_more_frames(camera: Camera, speed: float, longer: float) -> None:
    """The window shrinks, or stays, with the focal length."""
    kick = penalty(speed)
    long = replace(camera, focal_length_mm=camera.focal_length_mm * longer)
    assert held(long, kick).window_s <= held(camera, kick).window_s + 1e-6


@given(cameras, speeds)
def test_chances_add_up_and_give_the_mean(camera: Camera, speed: float) -> None:
    """The chances sum to one, and their mean is the mean."""
    got = held(camera, penalty(speed))
    assert sum(got.frames.values()) == pytest.approx(1)
    assert sum(n * p for n, p in got.frames.items()) == pytest.approx(got.mean, abs=1e-6)
    assert 0 <= got.window_s <= got.flight_s + 1e-12


@given(cameras, speeds, st.integers(1, 6))
def test_the_longest_focal_length_keeps_the_frames(
    camera: Camera, speed: float, frames: int
) -> None:
    """A lens just shorter keeps that many frames for certain, one just longer does not."""
    kick = penalty(speed)
    needed = frames / camera.frames_per_s + camera.exposure_s
    if needed > kick.flight_s * 0.98:
        return
    longest = longest_focal_mm(camera, kick, frames)
    if not 6 < longest < 2200:
        return
    keeps = held(replace(camera, focal_length_mm=longest * 0.999), kick)
    loses = held(replace(camera, focal_length_mm=longest * 1.01), kick)
    assert min(keeps.frames) >= frames
    assert min(loses.frames) < frames


def test_a_wide_lens_holds_the_whole_flight() -> None:
    """With 24 mm the ball reaches the goal before it leaves the frame."""
    got = held(Camera(SEAT, 24, frames_per_s=20), penalty(32))
    assert got.leaves_at is None
    assert got.window_s == got.flight_s == pytest.approx(0.3643, abs=5e-5)
    assert got.ball_m == 11


def test_a_long_lens_loses_the_ball_on_its_way() -> None:
    """With 400 mm the ball leaves the frame on the line from the mark to the goal."""
    got = held(Camera(SEAT, 400, frames_per_s=20), penalty(32))
    assert got.leaves_at is not None
    assert got.leaves_at.x_m == 0
    assert 0 < got.leaves_at.y_m < 11
    assert got.ball_m == pytest.approx(11 - got.leaves_at.y_m)


def test_the_exposure_is_taken_off_the_window() -> None:
    """The window stays, the frames that fit whole into it grow fewer."""
    point = held(Camera(SEAT, 200, frames_per_s=20), penalty(28))
    long = held(Camera(SEAT, 200, frames_per_s=20, exposure_s=1 / 50), penalty(28))
    assert long.window_s == point.window_s
    assert long.mean == pytest.approx(point.mean - 20 / 50)


@pytest.mark.parametrize(
    ("usable", "rate", "counts"),
    [
        (0.0, 20, {0: 1.0}),
        (-0.1, 20, {0: 1.0}),
        (0.4, 20, {8: 1.0}),
        (0.025, 20, {0: 0.5, 1: 0.5}),
        (0.3643, 10, {3: 0.357, 4: 0.643}),
    ],
)
def test_counts_are_the_whole_part_and_one_more(
    usable: float, rate: float, counts: dict[int, float]
) -> None:
    """A window of a whole number of frames holds just that number."""
    assert frame_counts(usable, rate) == pytest.approx(counts)


def test_frames_the_flight_has_no_room_for_are_refused() -> None:
    """The message says how long the flight is and how long the frames take."""
    camera = Camera(SEAT, 400, frames_per_s=10)
    assert most_frames(penalty(32), 10) == 3
    assert most_frames(penalty(32), 10, 1 / 10) == 2
    with pytest.raises(WrongUse, match=r"0\.364 s, 4 frames take 0\.400 s"):
        longest_focal_mm(camera, penalty(32), 4)
    with pytest.raises(WrongUse, match="at least one frame"):
        longest_focal_mm(camera, penalty(32), 0)


def test_a_table_by_speed_keeps_its_order() -> None:
    """One row a speed, each as if computed alone."""
    camera = Camera(SEAT, 200)
    rows = frames_by_speed(camera, penalty(28), (20, 30))
    assert [speed for speed, _ in rows] == [20, 30]
    assert rows[1][1] == held(camera, penalty(30))
