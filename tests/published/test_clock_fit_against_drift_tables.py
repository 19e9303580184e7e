"""How far a clock drifts against published figures."""

from datetime import UTC, datetime, timedelta

import pytest
from checks import Check, each

from setpiece.frames.camera_clock import ClockFit, true_time
from setpiece.frames.clock_bounds import TYPICAL_DRIFT_PPM
from setpiece.match.instants import CameraTime, instant

pytestmark = pytest.mark.published

EPOCH = datetime(2027, 3, 6, 14, 0, tzinfo=UTC)

# Time synchronisation for millisecond-precision on bio-loggers, Movement Ecology 2024, table 1:
# a plain crystal 20 ppm, 1.73 s a day, 12.1 s a week; a compensated one 1.5 ppm, 0.13 and 0.9 s.
LOGGERS = "Movement Ecology 2024, Time synchronisation for bio-loggers"
TABLE = "table 1"

# osgeo.cn s0070, a calculator page: -0.042 (T - 25)^2 ppm. At 5 degrees -16.8 ppm, which is
# 0.12 s in two hours (worked out by hand).
CRYSTAL = "osgeo.cn s0070, crystal and temperature"


def drifted_s(drift_ppm: float, after: timedelta) -> float:
    """How much is taken off a camera's reading so long after its clock was fitted."""
    clock = ClockFit(0, 0, drift_ppm, None, 4, 0, (), "line", instant(EPOCH))
    reading = CameraTime((EPOCH + after).replace(tzinfo=None), 1e-6, 0)
    return (EPOCH + after - true_time(reading, clock, 0).start).total_seconds()


def doubt_s(after: timedelta) -> float:
    """How much wider than at its epoch a fit without drift leaves the time, to either side."""
    clock = ClockFit(0, 0, 0, None, 4, 0, (), "line", instant(EPOCH), TYPICAL_DRIFT_PPM)
    reading = CameraTime((EPOCH + after).replace(tzinfo=None), 1e-6, 0)
    return true_time(reading, clock, 0).width_s / 2


DAY, WEEK, MATCH = timedelta(days=1), timedelta(days=7), timedelta(hours=2)
HALF_LAST_DIGIT = "half of the last printed digit"

CHECKS = [
    Check(f"{ppm:g} ppm over {name}, s", LOGGERS, TABLE, printed, ours, tolerance, HALF_LAST_DIGIT)
    for ppm, name, printed, ours, tolerance in (
        (20, "a day", 1.73, lambda: drifted_s(20, DAY), 0.005),
        (20, "a week", 12.1, lambda: drifted_s(20, WEEK), 0.05),
        (1.5, "a day", 0.13, lambda: drifted_s(1.5, DAY), 0.005),
        (1.5, "a week", 0.9, lambda: drifted_s(1.5, WEEK), 0.05),
    )
] + [
    Check(
        "doubt a day after a single day's fit, s",
        LOGGERS,
        TABLE,
        1.73,
        lambda: doubt_s(DAY),
        0.005,
        HALF_LAST_DIGIT,
    ),
    Check(
        "a crystal at 5 degrees over two hours, s",
        CRYSTAL,
        "-0.042 (T - 25)^2 ppm",
        -0.12,
        lambda: drifted_s(-0.042 * (5 - 25) ** 2, MATCH),
        0.005,
        HALF_LAST_DIGIT,
    ),
]


@each(CHECKS)
def test_drift_is_the_published_one(check: Check) -> None:
    """A fitted drift moves a frame, and an unknown one its doubt, as far as published."""
    check.hold()


def test_doubt_covers_a_cold_evening() -> None:
    """Over a match the doubt of an unknown drift is wider than what cold does to a crystal."""
    assert doubt_s(MATCH) > abs(drifted_s(-16.8, MATCH))
