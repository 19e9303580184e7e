"""Where the sun stands, when it rises and sets, and when civil twilight begins and ends.

The place of the sun is computed by the ephem library (VSOP87). Measured against the worked
example of Reda and Andreas, Solar Position Algorithm, NREL/TP-560-34302, it agrees to a
thousandth of a degree. Rise and set count at a centre elevation of -0.8333 degrees: 34 minutes
of arc of refraction and 16 of radius. Civil twilight ends at -6 degrees.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime, timedelta

import ephem  # type: ignore[import-untyped]

from setpiece.errors import WrongUse
from setpiece.match.instants import Instant, instant
from setpiece.plan.limits import within

RISE_AND_SET_DEG = -0.8333
CIVIL_TWILIGHT_DEG = -6.0
FIRST_YEAR, LAST_YEAR = 1900, 2100
SEA_LEVEL_MBAR = 1013.25
MILD_C = 10.0


@dataclass(frozen=True, slots=True)
class Sun:
    """The sun at one instant and place.

    `azimuth_deg` clockwise from true north; `elevation_deg` geometric, `apparent_deg` as seen
    through the air. Right ascension, declination and hour angle are geocentric.
    """

    at: Instant
    azimuth_deg: float
    elevation_deg: float
    apparent_deg: float
    right_ascension_deg: float
    declination_deg: float
    hour_angle_deg: float

    @property
    def up(self) -> bool:
        """Whether any of its disc is over a flat horizon."""
        return self.elevation_deg > RISE_AND_SET_DEG


@dataclass(frozen=True, slots=True)
class SunTimes:
    """The sun's times on one date; None where the sun does not do it that day."""

    dawn: Instant | None
    rise: Instant | None
    noon: Instant
    set: Instant | None
    dusk: Instant | None


def sun_at(
    at: Instant,
    latitude_deg: float,
    longitude_deg: float,
    *,
    elevation_m: float = 0.0,
    pressure_mbar: float = SEA_LEVEL_MBAR,
    temperature_c: float = MILD_C,
) -> Sun:
    """The sun at an instant. Years 1900 to 2100; within 0.01 degrees."""
    observer = _observer(latitude_deg, longitude_deg, elevation_m)
    observer.temp = temperature_c
    observer.date = _date(at)
    observer.pressure = pressure_mbar
    apparent_deg = math.degrees(ephem.Sun(observer).alt)
    observer.pressure = 0
    sun = ephem.Sun(observer)
    hour_angle = math.degrees(observer.sidereal_time() - sun.g_ra)
    return Sun(
        at=at,
        azimuth_deg=math.degrees(sun.az),
        elevation_deg=math.degrees(sun.alt),
        apparent_deg=apparent_deg,
        right_ascension_deg=math.degrees(sun.g_ra),
        declination_deg=math.degrees(sun.g_dec),
        hour_angle_deg=(hour_angle + 180) % 360 - 180,
    )


def sun_times(start: Instant, latitude_deg: float, longitude_deg: float) -> SunTimes:
    """The sun's times within the twenty-four hours after `start`, midnight at the ground."""
    observer = _observer(latitude_deg, longitude_deg, 0)
    observer.pressure = 0
    sun = ephem.Sun()
    observer.date = _date(start)
    noon = _instant(observer.next_transit(sun))
    rise, set_ = _crossings(observer, sun, start, RISE_AND_SET_DEG)
    dawn, dusk = _crossings(observer, sun, start, CIVIL_TWILIGHT_DEG)
    return SunTimes(dawn=dawn, rise=rise, noon=noon, set=set_, dusk=dusk)


def noon_offset_min(at: Instant) -> float:
    """The equation of time: how far the sun runs ahead of an even clock, in minutes."""
    greenwich = sun_at(at, 0.0, 0.0)
    mean_angle = (at.hour * 60 + at.minute + (at.second + at.microsecond / 1e6) / 60) / 4 - 180
    ahead_deg = (greenwich.hour_angle_deg - mean_angle + 180) % 360 - 180
    return ahead_deg * 4


def _crossings(
    observer: ephem.Observer, sun: ephem.Sun, start: Instant, horizon_deg: float
) -> tuple[Instant | None, Instant | None]:
    """When the sun's centre next rises over and sinks under a horizon within a day."""
    observer.horizon = math.radians(horizon_deg)
    found: list[Instant | None] = []
    for search in (observer.next_rising, observer.next_setting):
        observer.date = _date(start)
        try:
            at = _instant(search(sun, use_center=True))
        except ephem.CircumpolarError:
            found.append(None)
            continue
        found.append(at if at < start + timedelta(days=1) else None)
    return found[0], found[1]


def _observer(latitude_deg: float, longitude_deg: float, elevation_m: float) -> ephem.Observer:
    within(latitude_deg, -90, 90, what="a latitude", unit="degrees")
    within(longitude_deg, -180, 180, what="a longitude", unit="degrees")
    within(elevation_m, -500, 6000, what="the elevation of a ground", unit="m")
    observer = ephem.Observer()
    observer.lat = math.radians(latitude_deg)
    observer.lon = math.radians(longitude_deg)
    observer.elevation = elevation_m
    return observer


def _date(at: Instant) -> ephem.Date:
    if not FIRST_YEAR <= at.year <= LAST_YEAR:
        raise WrongUse(
            f"the sun is computed for the years {FIRST_YEAR} to {LAST_YEAR}", thing=str(at.date())
        )
    return ephem.Date(at.replace(tzinfo=None))


def _instant(date: ephem.Date) -> Instant:
    """The library's UTC date as an instant, to the millisecond."""
    naive: datetime = date.datetime()
    return instant(datetime.fromisoformat(naive.isoformat(timespec="milliseconds") + "+00:00"))
