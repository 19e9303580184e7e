"""Sun and shadow on the pitch."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.match.instants import read_instant
from setpiece.plan.answers.light import clock
from setpiece.plan.coverage import Spots
from setpiece.plan.ground import Flank, Ground, Stand
from setpiece.plan.light import (
    DAYLIGHT_LX,
    Lit,
    angle_to_axis_deg,
    daylight_lx,
    floodlights_rule_from,
    in_shadow,
    light_at,
    lit,
    local_instant,
    match_day,
    reach_error_m,
    reach_m,
    shadow_m,
    shadow_of,
)
from setpiece.plan.sun import Sun

VIENNA = ZoneInfo("Europe/Vienna")
AT = read_instant("2027-03-06T14:30:00Z")
GROUND = Ground(
    bearing_deg=74,
    latitude_deg=47.21,
    longitude_deg=15.37,
    time_zone="Europe/Vienna",
    floodlight_lx=820,
    stands=(Stand(Flank.RIGHT, "Main Stand", 15, 7.5, 8.5), Stand(Flank.NEAR, "West", 7, 7, 18)),
)


def sun(azimuth: float, elevation: float) -> Sun:
    return Sun(AT, azimuth, elevation, elevation, 0, 0, 0)


def test_a_sun_square_behind_a_stand_throws_its_whole_shadow() -> None:
    """At 45 degrees the shadow is as long as the stand is high, less the edge's set-back."""
    right = GROUND.flank_bearing_deg(Flank.RIGHT)
    assert reach_m(GROUND.stands[0], GROUND, sun(right, 45)) == pytest.approx(15 - 8.5)
    aslant = reach_m(GROUND.stands[0], GROUND, sun(right + 30, 45))
    assert aslant == pytest.approx(15 * math.cos(math.radians(30)) - 8.5)


@pytest.mark.parametrize("elevation", [-5.0, 0.2, 80.0])
def test_a_sun_too_low_or_too_high_throws_none_on_the_pitch(elevation: float) -> None:
    """Below half a degree there is no line; from high up it ends before the touch line."""
    right = GROUND.flank_bearing_deg(Flank.RIGHT)
    shadow = shadow_of(GROUND.stands[0], GROUND, sun(right, elevation))
    assert shadow.reach_m == 0
    assert shadow.outline == ()


def test_a_sun_before_a_stand_throws_its_shadow_outwards() -> None:
    """From the other side nothing falls on the pitch."""
    left = GROUND.flank_bearing_deg(Flank.LEFT)
    assert reach_m(GROUND.stands[0], GROUND, sun(left, 20)) == 0


@given(st.floats(0, 360), st.floats(3, 60))
def test_the_outline_reaches_as_far_as_the_figure_says(azimuth: float, elevation: float) -> None:
    """The drawn edge lies the computed reach inside the line, for stands on every side."""
    for flank in Flank:
        stand = Stand(flank, "s", 20, 5, 6)
        shadow = shadow_of(stand, GROUND, sun(azimuth, elevation))
        if not shadow.outline:
            continue
        edge = shadow.outline[2]
        inside = {
            Flank.LEFT: edge.x_m + 34,
            Flank.RIGHT: 34 - edge.x_m,
            Flank.NEAR: edge.y_m,
            Flank.FAR: 105 - edge.y_m,
        }[flank]
        assert inside == pytest.approx(shadow.reach_m, abs=1e-6)


def test_places_in_the_shadow_are_told_from_those_in_the_sun() -> None:
    """Close to the stand it is dark, across the pitch it is not."""
    behind = sun(GROUND.flank_bearing_deg(Flank.RIGHT), 30)
    shadows = tuple(shadow_of(stand, GROUND, behind) for stand in GROUND.stands)
    spots = Spots(np.array([33.0, -20.0]), np.array([50.0, 50.0]))
    assert in_shadow(shadows, spots).tolist() == [True, False]
    assert in_shadow((), spots).tolist() == [False, False]


@given(st.floats(1, 60), st.floats(1, 60))
def test_a_lower_sun_never_shortens_a_shadow(one: float, other: float) -> None:
    """Shadows lengthen as the sun sinks, and their line becomes less sure."""
    low, high = sorted((one, other))
    assert shadow_m(10, low) >= shadow_m(10, high)
    assert reach_error_m(10, low, 0.1) >= reach_error_m(10, high, 0.1)


@pytest.mark.parametrize(
    ("turn", "found"),
    [
        (5, Lit.IN_FRAME),
        (30, Lit.GLARE),
        (60, Lit.BACK),
        (100, Lit.SIDE),
        (170, Lit.FRONT),
        (350, Lit.IN_FRAME),
    ],
)
def test_light_is_classed_by_its_angle_to_the_lens(turn: float, found: Lit) -> None:
    """From the sun in the frame to the sun behind the photographer."""
    assert lit(sun(200, 5), 200 - turn) is found
    assert lit(sun(200, -2), 200) is Lit.DOWN


def test_the_angle_to_the_axis_counts_height_too() -> None:
    """Looking level under a sun 30 degrees up, the angle is 30 degrees."""
    assert angle_to_axis_deg(sun(200, 30), 200) == pytest.approx(30)
    assert angle_to_axis_deg(sun(200, 30), 200, 30) == pytest.approx(0, abs=1e-6)
    assert angle_to_axis_deg(sun(20, 0), 200) == pytest.approx(180)


@given(st.floats(-20, 90), st.floats(-20, 90))
def test_daylight_grows_with_the_sun(one: float, other: float) -> None:
    """A higher sun is never darker, and the table's own rows come back."""
    low, high = sorted((one, other))
    assert daylight_lx(low) <= daylight_lx(high) + 1e-9
    for elevation, lux in DAYLIGHT_LX:
        assert daylight_lx(elevation) == pytest.approx(lux)


def test_floodlights_rule_from_dusk_on() -> None:
    """In the afternoon not, after sunset yes, to the minute."""
    noon = read_instant("2027-03-06T11:00:00Z")
    assert floodlights_rule_from(noon, AT, GROUND, 820) is None
    night = read_instant("2027-03-06T18:00:00Z")
    rule = floodlights_rule_from(AT, night, GROUND, 820)
    assert rule is not None
    before = light_at(GROUND, rule - timedelta(minutes=1))
    assert light_at(GROUND, rule).daylight_lx < 820 <= before.daylight_lx


def test_a_match_day_holds_its_four_minutes_and_the_days_times() -> None:
    """Kick-off, half-time, second half, full time; after extra time when asked."""
    day = match_day(GROUND, AT, VIENNA)
    assert [(light.at - AT).total_seconds() / 60 for light in day.through] == [0, 47, 62, 110]
    assert day.rise is not None
    assert day.set is not None
    assert clock(day.set, VIENNA) == "17:51"
    assert day.floodlights_from is None
    assert len(match_day(GROUND, AT, VIENNA, extra_time=True).through) == 5
    late = match_day(GROUND, AT + timedelta(hours=3), VIENNA)
    assert late.floodlights_from is not None
    dark = match_day(replace(GROUND, floodlight_lx=None), AT, VIENNA)
    assert dark.floodlights_from is None


def test_a_ground_without_a_place_has_no_sun() -> None:
    """The message asks for latitude and longitude."""
    with pytest.raises(WrongUse, match="Give its latitude and longitude"):
        light_at(Ground(), AT)


def test_clock_times_of_the_summer_time_change_are_refused() -> None:
    """The hour that is skipped in spring and the one that comes twice in autumn."""
    for day in (date(2027, 3, 28), date(2027, 10, 31)):
        with pytest.raises(WrongUse, match="the clocks change"):
            local_instant(day, time(2, 30), VIENNA)
    with pytest.raises(WrongUse, match="shows no zone"):
        local_instant(date(2027, 3, 28), time(15, tzinfo=VIENNA), VIENNA)
    assert local_instant(date(2027, 3, 28), time(15), VIENNA) == read_instant(
        "2027-03-28T13:00:00Z"
    )
