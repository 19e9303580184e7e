"""Blur, panning, flicker, readout."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.plan import motion
from setpiece.plan.optics import Sensor

SENSOR = Sensor()
exposures = st.floats(1 / 16_000, 1)
speeds = st.floats(0.1, 40)


@given(exposures, exposures, speeds)
def test_a_longer_exposure_never_smears_less(one: float, other: float, speed: float) -> None:
    """Blur grows with the time the shutter is open."""
    short, long = sorted((one, other))
    assert motion.blur_px(SENSOR, 400, 40, speed, short) <= motion.blur_px(
        SENSOR, 400, 40, speed, long
    )


@given(speeds, st.floats(0.1, 50))
def test_the_exposure_for_a_blur_gives_that_blur(speed: float, pixels: float) -> None:
    """Blur and the exposure for it are inverse."""
    exposure = motion.exposure_for_blur_s(SENSOR, 400, 40, speed, pixels)
    if motion.FASTEST_EXPOSURE_S <= exposure <= motion.SLOWEST_EXPOSURE_S:
        assert motion.blur_px(SENSOR, 400, 40, speed, exposure) == pytest.approx(pixels)


@given(speeds, st.floats(1, 3000))
def test_the_exposure_for_a_streak_gives_that_streak(speed: float, pixels: float) -> None:
    """Streak and the exposure for it are inverse."""
    exposure = motion.exposure_for_streak_s(SENSOR, 200, 20, speed, pixels)
    if motion.FASTEST_EXPOSURE_S <= exposure <= motion.SLOWEST_EXPOSURE_S:
        assert motion.pan_streak_px(SENSOR, 200, 20, speed, exposure) == pytest.approx(pixels)


def test_who_runs_at_the_camera_smears_nothing() -> None:
    """Only movement across the line of sight counts."""
    assert motion.blur_px(SENSOR, 400, 40, 8, 1 / 1000, angle_deg=0) == pytest.approx(0)
    assert motion.exposure_for_blur_s(SENSOR, 400, 40, 0, 2) == math.inf
    half = motion.blur_px(SENSOR, 400, 40, 8, 1 / 1000, angle_deg=30)
    assert half == pytest.approx(motion.blur_px(SENSOR, 400, 40, 8, 1 / 1000) / 2)


def test_following_nobody_gives_no_streak() -> None:
    """A streak needs somebody who crosses the view."""
    with pytest.raises(WrongUse, match="no streak"):
        motion.exposure_for_streak_s(SENSOR, 200, 20, 0, 300)


def test_a_sprint_moves_most_of_a_centimetre_in_a_thousandth() -> None:
    """8.5 m/s for 1/1000 s are 0.85 cm."""
    assert motion.blur_cm(motion.SPRINT.speed_m_s, 1 / 1000) == pytest.approx(0.85)


@given(st.floats(0, 0.9), exposures)
def test_an_exposure_never_adds_flicker(factor: float, exposure: float) -> None:
    """What is left of a ripple is no more than the ripple."""
    assert motion.remaining_ripple(factor, 50, exposure) <= factor + 1e-12


def test_steady_light_has_no_stops() -> None:
    """Without a ripple the darkest frame is the brightest."""
    assert motion.flicker_stops(0) == 0


def test_a_fast_readout_draws_fewer_bands_and_leans_less() -> None:
    """Bands and lean go with the readout time."""
    fast, slow = motion.MEASURED_READOUTS_S[0], motion.MEASURED_READOUTS_S[-1]
    assert motion.bands_in_frame(fast, 50) == pytest.approx(0.373)
    assert motion.bands_in_frame(slow, 50) == pytest.approx(5.08)
    assert motion.lean_px(SENSOR, 400, 40, 8.5, fast) < motion.lean_px(SENSOR, 400, 40, 8.5, slow)


@pytest.mark.parametrize(
    "call",
    [
        lambda: motion.blur_px(SENSOR, 400, 40, 100, 1 / 1000),
        lambda: motion.blur_px(SENSOR, 400, 40, 8, 1 / 1000, angle_deg=200),
        lambda: motion.blur_cm(8, 60),
        lambda: motion.exposure_for_blur_s(SENSOR, 400, 40, 8, 0),
        lambda: motion.remaining_ripple(2, 50, 1 / 1000),
        lambda: motion.light_hz(5),
        lambda: motion.flicker_stops(1),
        lambda: motion.row_time_s(0.05, 0),
        lambda: motion.row_time_s(3, 4000),
    ],
)
def test_rates_out_of_range_are_refused(call) -> None:
    """Every quantity has its range, and the message gives it."""
    with pytest.raises(WrongUse, match="must lie between"):
        call()
