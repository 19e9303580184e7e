"""The sun against NREL's worked example and its tables of rise and set."""

from __future__ import annotations

import math

import ephem
import pytest
from checks import Check, each

from setpiece.match.instants import read_instant
from setpiece.plan.light import reach_error_m, shadow_m
from setpiece.plan.sun import Sun, noon_offset_min, sun_at, sun_times

pytestmark = pytest.mark.published

# I. Reda and A. Andreas, Solar Position Algorithm for Solar Radiation Applications,
# NREL/TP-560-34302 (2003, revised 2008), table A5.1; read through pvlib's test file test_spa.py.
# 17 October 2003 12:30:30 UTC-7, 39.742476 N 105.1786 W, 1830.14 m, 820 mbar, 11 C,
# delta T 67 s, atmospheric refraction at the horizon 0.5667 degrees.
SPA = "Reda and Andreas, NREL/TP-560-34302"
A51 = "table A5.1"
AT = read_instant("2003-10-17T12:30:30-07:00")


def sun() -> Sun:
    return sun_at(
        AT, 39.742476, -105.1786, elevation_m=1830.14, pressure_mbar=820, temperature_c=11
    )


def earth() -> ephem.Sun:
    """What the library under the room says of the earth, for the steps the room does not keep."""
    body = ephem.Sun()
    body.compute(ephem.Date(AT.replace(tzinfo=None)))
    return body


PROMISED_DEG = "0.01 degrees is what the room promises; a library of its own series"

CHECKS = [
    Check(
        "Julian day",
        SPA,
        A51,
        2452930.312847,
        lambda: ephem.julian_date(ephem.Date(AT.replace(tzinfo=None))),
        5e-7,
        "half of the last printed digit",
    ),
    Check(
        "heliocentric longitude L, degrees",
        SPA,
        A51,
        24.0182616917,
        lambda: math.degrees(earth().hlong),
        0.01,
        PROMISED_DEG,
    ),
    Check(
        "heliocentric latitude B, degrees",
        SPA,
        A51,
        -0.0001011219,
        lambda: math.degrees(earth().hlat),
        0.01,
        PROMISED_DEG,
    ),
    Check(
        "distance R, AU",
        SPA,
        A51,
        0.9965422974,
        lambda: earth().earth_distance,
        1e-5,
        "0.01 degrees would be 1.7e-4; the library prints seven digits",
    ),
    Check(
        "right ascension, degrees",
        SPA,
        A51,
        202.227408,
        lambda: sun().right_ascension_deg,
        0.01,
        PROMISED_DEG,
    ),
    Check(
        "declination, degrees",
        SPA,
        A51,
        -9.31434,
        lambda: sun().declination_deg,
        0.01,
        PROMISED_DEG,
    ),
    Check(
        "hour angle, degrees", SPA, A51, 11.10590, lambda: sun().hour_angle_deg, 0.01, PROMISED_DEG
    ),
    Check(
        "elevation without refraction, degrees",
        SPA,
        A51,
        39.872046,
        lambda: sun().elevation_deg,
        0.01,
        PROMISED_DEG,
    ),
    Check(
        "elevation with refraction, degrees",
        SPA,
        A51,
        39.888378,
        lambda: sun().apparent_deg,
        0.01,
        PROMISED_DEG,
    ),
    Check(
        "zenith angle, degrees",
        SPA,
        A51,
        50.11162,
        lambda: 90 - sun().apparent_deg,
        0.01,
        PROMISED_DEG,
    ),
    Check("azimuth, degrees", SPA, A51, 194.340241, lambda: sun().azimuth_deg, 0.01, PROMISED_DEG),
    Check(
        "equation of time, minutes",
        SPA,
        A51,
        14.64,
        lambda: noon_offset_min(AT),
        0.04,
        "0.01 degrees are 0.04 minutes",
    ),
    # Another project's test of the same instant: shadow of a 10 m pole, and where it points.
    Check(
        "shadow of 10 m, m",
        "another project's test of the SPA example",
        "",
        11.9647968,
        lambda: shadow_m(10, sun().apparent_deg),
        0.0043,
        "10 m de / sin^2 e for 0.01 degrees",
    ),
    Check(
        "bearing of that shadow, degrees",
        "another project's test of the SPA example",
        "",
        14.3402405,
        lambda: sun().azimuth_deg - 180,
        0.01,
        PROMISED_DEG,
    ),
    # Derived: 20 m at 5 degrees, an error of 0.1 degree.
    Check(
        "shadow line's error, 20 m at 5 degrees for 0.1 degrees, m",
        "derived by hand",
        "h de / sin^2 e",
        4.6,
        lambda: reach_error_m(20, 5, 0.1),
        0.05,
        "half of the last digit",
    ),
]

# The same paper's rise and set, to the second (UTC), as test_spa.py has them.
RISE_AND_SET = [
    (-35.0, 0.0, "1996-07-05", "07:08:15", "17:01:04"),
    (35.0, 0.0, "1994-01-02", "07:08:12", "16:59:55"),
    (-35.0, 0.0, "2004-12-04", None, "19:02:02"),
]


def seconds(printed: str) -> float:
    hours, minutes, secs = printed.split(":")
    return int(hours) * 3600 + int(minutes) * 60 + int(secs)


def second_of_day(date: str, latitude: float, longitude: float, which: str) -> float:
    start = read_instant(f"{date}T00:00:00Z")
    at = getattr(sun_times(start, latitude, longitude), which)
    return (at - start).total_seconds()


CHECKS += [
    Check(
        f"sun{which} {date}, {latitude:g} degrees, second of the day",
        SPA,
        "rise and set",
        seconds(printed),
        lambda date=date, latitude=latitude, longitude=longitude, which=which: second_of_day(
            date, latitude, longitude, which
        ),
        3.0,
        "0.01 degrees of elevation are 3 s at this latitude",
    )
    for latitude, longitude, date, rise, set_ in RISE_AND_SET
    for which, printed in (("rise", rise), ("set", set_))
    if printed is not None
]


# Conventions: rise and set at -0.8333 degrees (34' of refraction, 16' of radius): trackers of
# skyfield (260) and astroplan (409). Civil twilight at -6 degrees: a mail archive.
CONVENTIONS = [
    ("sunrise", "rise", -0.8333, "skyfield issue 260, astroplan issue 409"),
    ("sunset", "set", -0.8333, "skyfield issue 260, astroplan issue 409"),
    ("civil dawn", "dawn", -6.0, "mail archive"),
    ("civil dusk", "dusk", -6.0, "mail archive"),
]


def elevation_then(which: str) -> float:
    at = getattr(sun_times(read_instant("2026-03-28T00:00:00Z"), 51.5, 0.0), which)
    return sun_at(at, 51.5, 0.0).elevation_deg


CHECKS += [
    Check(
        f"elevation of the sun's centre at {name}, degrees",
        source,
        "convention",
        printed,
        lambda which=which: elevation_then(which),
        0.001,
        "times are found to a fraction of a second",
    )
    for name, which, printed, source in CONVENTIONS
]


@each(CHECKS)
def test_the_sun_agrees_with_the_worked_example(check: Check) -> None:
    """The computed place, shadow or time of the sun is the published one."""
    check.hold()
