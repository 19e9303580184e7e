"""A clock's faults, named."""

import pytest

from setpiece.frames.clock_faults import faults, zone_text

HOUR_S, DAY_S = 3600, 86_400
VENUE_MIN = 60


@pytest.mark.parametrize(
    ("offset_min", "text"),
    [(0, "UTC"), (60, "UTC+1"), (-300, "UTC-5"), (330, "UTC+5:30"), (-570, "UTC-9:30")],
)
def test_zones_are_written_as_people_say_them(offset_min: int, text: str) -> None:
    """A zone is written as hours east of UTC, with minutes only where it has some."""
    assert zone_text(offset_min) == text


@pytest.mark.parametrize("offset_s", [0, 41, -41, 299, -250, 1500, -1900, 5000])
def test_a_clock_that_is_just_off_has_no_fault(offset_s: float) -> None:
    """Seconds and odd minutes are an offset, not a fault."""
    assert faults(offset_s, [VENUE_MIN], VENUE_MIN) == ()


@pytest.mark.parametrize(
    ("offset_s", "said"),
    [
        (HOUR_S, "the clock is an hour fast: summer time is on"),
        (HOUR_S + 41, "the clock is an hour fast"),
        (-HOUR_S - 120, "the clock is an hour slow: it was left on winter time"),
        (2 * HOUR_S, "the clock is 2 hours fast: it is on another zone's time"),
        (-8 * HOUR_S, "the clock is 8 hours slow"),
        (5.5 * HOUR_S + 10, "the clock is 5.5 hours fast"),
        (12 * HOUR_S + 100, "the clock is 12 hours fast: morning and afternoon are swapped"),
        (-12 * HOUR_S, "the clock is 12 hours slow: morning and afternoon"),
        (DAY_S + 3, "the date is 1 day ahead"),
        (-2 * DAY_S - 41, "the date is 2 days behind"),
        (365 * DAY_S, "the date is 365 days ahead"),
    ],
)
def test_a_whole_fault_is_named(offset_s: float, said: str) -> None:
    """A clock an hour, several hours, half a day or whole days off is told so, once."""
    (remark,) = faults(offset_s, [VENUE_MIN], VENUE_MIN)
    assert remark.startswith(said)


def test_two_faults_at_once_are_both_named() -> None:
    """A date a day ahead on a clock an hour slow gives both remarks."""
    date, hour = faults(DAY_S - HOUR_S + 20, [VENUE_MIN], VENUE_MIN)
    assert date == "the date is 1 day ahead"
    assert hour.startswith("the clock is an hour slow")


def test_a_silent_zone_is_named_with_what_is_assumed() -> None:
    """A camera that states no zone is said to, with the zone taken instead."""
    (remark,) = faults(0, [None, None], VENUE_MIN)
    assert remark == "the camera states no zone: its time is taken as the venue's (UTC+1)"


def test_a_zone_changed_between_frames_is_named() -> None:
    """Readings in two zones, or in one and in none, are said to be so."""
    assert faults(0, [60, 120], VENUE_MIN) == (
        "the camera's zone was changed between these frames (UTC+1, UTC+2)",
    )
    assert faults(0, [60, None], VENUE_MIN)[1] == (
        "the camera's zone was changed between these frames (UTC+1)"
    )


def test_a_camera_that_shows_venue_time_under_another_zone_is_told_apart() -> None:
    """Set to the venue's time by hand while the zone stayed at home: named as that fault."""
    assert faults(HOUR_S + 5, [0], VENUE_MIN) == (
        "it shows the venue's time (UTC+1) but states UTC",
    )


def test_a_camera_right_in_another_zone_is_remarked() -> None:
    """A camera that is right in its own zone, which is not the venue's, is only remarked."""
    assert faults(2, [0], VENUE_MIN) == ("it states UTC; the venue is on UTC+1",)
