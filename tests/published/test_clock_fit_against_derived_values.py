"""What pairs and errors are worth, against values derived by hand."""

from datetime import UTC, datetime, timedelta
from math import floor, sqrt
from statistics import fmean, pstdev

import numpy as np
import pytest
from checks import Check, each

from setpiece.frames.camera_clock import ReferencePair, fit
from setpiece.frames.clock_bounds import STAMP_S, Bound
from setpiece.frames.passages import chance_of_wrong_order
from setpiece.frames.place import chance_of_wrong_minute
from setpiece.match.instants import CameraTime, Interval, instant

pytestmark = pytest.mark.published

DERIVED = "derived by hand"
EPOCH = datetime(2027, 3, 6, 14, 0, tzinfo=UTC)
DRAWS = 3000

# Whole-second stamps are floors: with an exact reference each pair bounds the offset to 1 s. The
# phases of k pairs are even, their range is (k - 1) / (k + 1) in the mean, so that what all allow
# is 2 / (k + 1) s wide.
INTERSECTION = "mean width of k bounds of 1 s with even phases, 2 / (k + 1)"

# A floored stamp plus half a second errs evenly within half a second either way: standard
# deviation sqrt(1 / 12) = 0.2887 s, of the mean of k 0.2887 / sqrt(k).
MEAN = "standard deviation of a floored stamp, sqrt(1 / 12) / sqrt(k)"

# A normal error of sigma crosses a minute's boundary in the mean of |error| / 60; the mean of
# |error| is sigma sqrt(2 / pi) = 0.80 sigma.
MINUTE = "mean absolute value of a normal error over 60 s"

# Two bodies' errors differ by sigma sqrt(2). Phi(-1), Phi(-2), Phi(-3) from a table of the
# standard normal distribution (from memory).
ORDER = "Phi(-gap / (sigma sqrt 2)), table of the standard normal distribution (from memory)"


def mean_width_s(pairs_used: int) -> float:
    """Mean width of the fit's uncertainty over simulated days of whole-second stamps."""
    random = np.random.default_rng(pairs_used)
    widths = []
    for _ in range(DRAWS):
        pairs = []
        for at_s in random.uniform(0, 10, pairs_used).tolist():
            true = EPOCH + timedelta(seconds=at_s)
            reading = (EPOCH + timedelta(seconds=floor(at_s))).replace(tzinfo=None)
            whole = CameraTime(reading, 1.0, 0)
            pairs.append(ReferencePair(whole, Interval.exactly(instant(true)), "exact"))
        found = fit(pairs, venue_offset_min=0)
        widths.append(2 * (found.uncertainty_s - STAMP_S))
    return fmean(widths)


def spread_of_mean_s(pairs_used: int) -> float:
    """Standard deviation of the mean of the bounds' middles over simulated days."""
    phases = np.random.default_rng(pairs_used).uniform(0, 1, (DRAWS, pairs_used)).tolist()
    middles = [fmean(Bound(-p, 1 - p, 0, 0).middle_s for p in day) for day in phases]
    return pstdev(middles)


CHECKS = [
    *(
        Check(
            f"mean width left by {k} whole-second stamps, s",
            DERIVED,
            INTERSECTION,
            2 / (k + 1),
            lambda k=k: mean_width_s(k),
            # sd of the range of k even phases: sqrt(2 (k - 1) / ((k + 1)^2 (k + 2)))
            4 * sqrt(2 * (k - 1) / ((k + 1) ** 2 * (k + 2)) / DRAWS) + 4e-4,
            f"four standard errors of {DRAWS} simulated days, and the drift allowed in 10 s",
        )
        for k in (1, 2, 3, 5, 9)
    ),
    *(
        Check(
            f"spread of the mean of {k} whole-second stamps, s",
            DERIVED,
            MEAN,
            0.2887 / sqrt(k),
            lambda k=k: spread_of_mean_s(k),
            4 * 0.2887 / sqrt(2 * k * DRAWS),
            f"four standard errors of {DRAWS} simulated days",
        )
        for k in (1, 4)
    ),
    Check(
        "share of frames in the wrong minute, times 60 s / sigma",
        DERIVED,
        MINUTE,
        0.80,
        lambda: chance_of_wrong_minute(0.6) * 60 / 0.6,
        0.005,
        "half of the last digit",
    ),
    *(
        Check(
            f"chance of the wrong order, {sigmas} sigma sqrt 2 apart",
            DERIVED,
            ORDER,
            printed,
            lambda sigmas=sigmas: chance_of_wrong_order(sigmas * 0.5 * sqrt(2), 0.5),
            tolerance,
            "half of the last digit",
        )
        for sigmas, printed, tolerance in (
            (1, 0.15866, 0.000005),
            (2, 0.02275, 0.000005),
            (3, 0.00135, 0.000005),
        )
    ),
]


@each(CHECKS)
def test_pairs_and_errors_are_worth_what_was_derived(check: Check) -> None:
    """The figure that the code gives is the one derived by hand."""
    check.hold()


@pytest.mark.parametrize("sigma_s", [0.3, 1.0, 5.0])
def test_drawn_frames_fall_in_the_wrong_minute_as_often(sigma_s: float) -> None:
    """Of 200,000 drawn frames as many land in the wrong minute as the formula says, to 4
    standard errors."""
    random = np.random.default_rng(60)
    true_s = random.uniform(600, 660, 200_000)
    wrong = np.mean(np.floor((true_s + random.normal(0, sigma_s, true_s.size)) / 60) != 10)
    chance = chance_of_wrong_minute(sigma_s)
    assert abs(wrong - chance) <= 4 * sqrt(chance / true_s.size)


@pytest.mark.parametrize("gap_s", [0.1, 0.5, 1.5])
def test_drawn_frames_change_order_as_often(gap_s: float) -> None:
    """Of 200,000 drawn pairs of frames as many change order as the formula says, to 4 standard
    errors."""
    random = np.random.default_rng(2)
    errors = random.normal(0, 0.6, (200_000, 2))
    wrong = np.mean(errors[:, 0] > gap_s + errors[:, 1])
    chance = chance_of_wrong_order(gap_s, 0.6)
    assert abs(wrong - chance) <= 4 * sqrt(chance / 200_000)
