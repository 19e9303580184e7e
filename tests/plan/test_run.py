"""A run at the camera."""

from __future__ import annotations

import pytest

from setpiece.errors import WrongUse
from setpiece.plan.optics import Orientation, Sensor
from setpiece.plan.run import run_at_camera


def run(**change):
    values = {"speed_m_s": 8.5, "frames_per_s": 20, "focus_m": 40} | change
    return run_at_camera(Sensor(), Orientation.LANDSCAPE, 400, 2.8, **values)


def test_frames_of_a_run_are_its_time_at_the_frame_rate() -> None:
    """In the frame from 40 to 90 % of it, sharp within the depth of field."""
    got = run()
    assert got.first_m > got.last_m
    assert got.in_frame_s == pytest.approx((got.first_m - got.last_m) / 8.5)
    assert got.in_frame_frames == pytest.approx(got.in_frame_s * 20)
    assert got.sharp_frames == pytest.approx(got.depth.length_m / 8.5 * 20)


def test_a_focus_where_nobody_fits_the_frame_gives_no_sharp_frames() -> None:
    """Sharp counts only while the player has the right size."""
    assert run(focus_m=90).sharp_frames == 0
    assert run(focus_m=20).sharp_frames == 0


def test_a_focus_at_the_edge_counts_only_the_inner_part() -> None:
    """Of the depth of field the part outside the size range is left out."""
    edge = run().last_m
    got = run(focus_m=edge)
    assert 0 < got.sharp_s < got.depth.length_m / 8.5


def test_a_run_in_the_wrong_order_is_refused() -> None:
    """Who comes nearer grows; a runner has a runner's speed."""
    with pytest.raises(WrongUse, match="smaller share first"):
        run(from_share=0.9, to_share=0.4)
    with pytest.raises(WrongUse, match="speed of a runner"):
        run(speed_m_s=30)
