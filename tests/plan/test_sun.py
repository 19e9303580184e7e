"""The sun."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.match.instants import read_instant
from setpiece.plan.sun import sun_at, sun_times


@settings(max_examples=40)
@given(st.floats(-60, 60), st.floats(-179, 179), st.integers(0, 364))
def test_the_sun_crosses_the_horizon_at_rise_and_set(
    latitude: float, longitude: float, day: int
) -> None:
    """A minute before it rises it is down, a minute after it is up, and so for the set."""
    from datetime import timedelta

    start = read_instant("2027-01-01T00:00:00Z") + timedelta(days=day)
    times = sun_times(start, latitude, longitude)
    for at, before, after in ((times.rise, False, True), (times.set, True, False)):
        if at is not None:
            minute = timedelta(minutes=1)
            assert sun_at(at - minute, latitude, longitude).up is before
            assert sun_at(at + minute, latitude, longitude).up is after


def test_at_noon_the_sun_stands_south_of_the_north() -> None:
    """At the transit the hour angle is nought and the bearing south."""
    times = sun_times(read_instant("2027-03-06T00:00:00Z"), 47.21, 15.37)
    noon = sun_at(times.noon, 47.21, 15.37)
    assert noon.hour_angle_deg == pytest.approx(0, abs=0.01)
    assert noon.azimuth_deg == pytest.approx(180, abs=0.05)


def test_refraction_lifts_the_sun() -> None:
    """Low suns are seen higher than they stand; without air they are not."""
    at = read_instant("2027-03-06T16:30:00Z")
    low = sun_at(at, 47.21, 15.37)
    assert 0.05 < low.apparent_deg - low.elevation_deg < 0.6
    airless = sun_at(at, 47.21, 15.37, pressure_mbar=0)
    assert airless.apparent_deg == pytest.approx(airless.elevation_deg)


def test_at_the_pole_it_may_neither_rise_nor_set() -> None:
    """A midsummer day in the far north has no rise, set, dawn or dusk."""
    times = sun_times(read_instant("2027-06-21T00:00:00Z"), 80, 15)
    assert (times.dawn, times.rise, times.set, times.dusk) == (None, None, None, None)
    assert sun_at(times.noon, 80, 15).up


def test_what_lies_beyond_the_day_is_not_that_days() -> None:
    """From late in the day, the next rise within twenty-four hours still counts, no later one."""
    times = sun_times(read_instant("2027-03-06T12:00:00Z"), 47.21, 15.37)
    assert times.rise is not None
    assert times.rise < read_instant("2027-03-07T12:00:00Z")


@pytest.mark.parametrize(
    "call",
    [
        lambda: sun_at(read_instant("1850-01-01T12:00:00Z"), 0, 0),
        lambda: sun_at(read_instant("2150-01-01T12:00:00Z"), 0, 0),
        lambda: sun_at(read_instant("2027-01-01T12:00:00Z"), 95, 0),
        lambda: sun_at(read_instant("2027-01-01T12:00:00Z"), 0, 200),
        lambda: sun_at(read_instant("2027-01-01T12:00:00Z"), 0, 0, elevation_m=9000),
    ],
)
def test_places_and_years_out_of_range_are_refused(call) -> None:
    """The message names the range."""
    with pytest.raises(WrongUse):
        call()
