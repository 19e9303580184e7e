"""Rise and set of the sun against the tables of the United States Naval Observatory."""

from __future__ import annotations

import pytest
from checks import Check, each

from setpiece.match.instants import read_instant
from setpiece.plan.sun import sun_times

pytestmark = pytest.mark.published

# US Naval Observatory, rise and set for 2015, to the minute; read through pvlib's test_spa.py.
USNO = "US Naval Observatory, rise and set 2015"
DENVER = ("39 N 105 W", 39.0, -105.0, "-07:00")
BEIJING = ("Beijing", 39.917, 116.383, "+08:00")
TABLE = [
    (DENVER, "01-02", "07:19", "16:49"),
    (DENVER, "04-02", "05:43", "18:24"),
    (DENVER, "08-02", "05:01", "19:10"),
    (DENVER, "12-02", "07:01", "16:38"),
    (BEIJING, "01-02", "07:36", "17:00"),
    (BEIJING, "04-02", "05:58", "18:39"),
    (BEIJING, "08-02", "05:13", "19:28"),
    (BEIJING, "12-02", "07:17", "16:50"),
]


def minute_of_day(place: tuple[str, float, float, str], day: str, which: str) -> float:
    _, latitude, longitude, offset = place
    midnight = read_instant(f"2015-{day}T00:00:00{offset}")
    at = getattr(sun_times(midnight, latitude, longitude), which)
    return (at - midnight).total_seconds() / 60


def printed_minute(clock: str) -> float:
    hours, minutes = clock.split(":")
    return int(hours) * 60 + int(minutes)


CHECKS = [
    Check(
        f"sun{which} {day}, {place[0]}, minute of the day",
        USNO,
        place[0],
        printed_minute(clock),
        lambda place=place, day=day, which=which: minute_of_day(place, day, which),
        0.55,
        "printed to the minute, rounded; 3 s for 0.01 degrees of elevation",
    )
    for place, day, rise, set_ in TABLE
    for which, clock in (("rise", rise), ("set", set_))
]


@each(CHECKS)
def test_rise_and_set_agree_with_the_naval_observatory(check: Check) -> None:
    """The computed rise or set, rounded, is the printed minute."""
    check.hold()
