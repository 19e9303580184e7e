"""What pairs allow an offset to be."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.frames.clock_bounds import (
    JITTER_S,
    STAMP_S,
    TYPICAL_DRIFT_PPM,
    Bound,
    estimate,
)

DAY_S = 86_400.0


def bound(middle_s: float, half_s: float = 0.5, at_s: float = 0.0) -> Bound:
    return Bound(middle_s - half_s, middle_s + half_s, at_s, 0.1)


def test_one_bound_is_taken_as_it_is_and_remarked() -> None:
    """A single pair gives its middle and its width, and is said to stand alone."""
    found = estimate([bound(41)])
    assert (found.offset_s, found.method, found.used) == (41, "intersection", 1)
    assert found.uncertainty_s == pytest.approx(0.5 + STAMP_S)
    assert found.remarks == ("a single pair, with nothing to check it against",)


def test_bounds_that_meet_leave_what_all_allow() -> None:
    """Two bounds give their intersection: narrower than either."""
    found = estimate([bound(41.0), bound(41.6)])
    assert found.offset_s == pytest.approx(41.3)
    assert found.uncertainty_s == pytest.approx(0.2 + STAMP_S)
    assert found.remarks == ()


@settings(deadline=None)
@given(st.floats(-1e5, 1e5), st.lists(st.floats(-0.5, 0.5), min_size=1, max_size=12))
def test_true_bounds_always_hold_the_offset(offset_s: float, shifts: list[float]) -> None:
    """Whatever true bounds are given, the offset lies within the stated uncertainty."""
    found = estimate([bound(offset_s + s) for s in shifts])
    assert abs(found.offset_s - offset_s) <= found.uncertainty_s
    assert found.used == len(shifts)


def test_a_slip_is_dropped_by_the_majority() -> None:
    """One pair that is far off does not count, and the remark says by how much."""
    found = estimate([bound(41), bound(41.2), bound(101)])
    assert found.offset_s == pytest.approx(41.1)
    assert found.used == 2
    assert found.remarks == ("1 pair disagreed with the others and did not count (+59.9 s)",)


def test_a_near_miss_widens_the_doubt() -> None:
    """Pairs that miss by less than habit explains all count, under a wider uncertainty."""
    found = estimate([bound(0, 0.1), bound(0.1, 0.1), bound(0.05, 0.1), bound(0.4, 0.1)])
    assert found.used == 4
    assert found.uncertainty_s > JITTER_S
    assert found.remarks == ("the pairs miss each other by 0.20 s",)


def test_without_majority_the_median_covers_everybody() -> None:
    """Two pairs that contradict give a middle whose doubt reaches both, and ask for more."""
    found = estimate([bound(0), bound(60)])
    assert (found.method, found.offset_s, found.used) == ("median", 30, 2)
    assert found.uncertainty_s >= 30
    assert "photograph the clock card again" in found.remarks[0]


@pytest.mark.parametrize(("early", "when"), [(False, "after"), (True, "before")])
def test_a_clock_set_during_the_day_is_suspected(early: bool, when: str) -> None:
    """Dropped pairs that agree among themselves, all later or all earlier, tell of a setting."""
    steady = [bound(41, at_s=t) for t in (100, 110, 120)]
    moved = [bound(1, at_s=t) for t in ((10, 20) if early else (7200, 7210))]
    found = estimate(moved + steady)
    assert found.offset_s == pytest.approx(41, abs=0.2)
    assert found.remarks == (
        f"the 2 pairs {when} the others differ by -40.0 s: was the clock set in between?",
    )


def test_slips_among_the_others_are_counted() -> None:
    """Dropped pairs that do not agree among themselves are only counted."""
    slips = [bound(90, at_s=50), bound(5, at_s=60)]
    found = estimate([bound(41, at_s=t) for t in (0, 10, 100)] + slips)
    assert found.used == 3
    assert found.remarks[0].startswith("2 pairs disagreed")


def test_drift_is_fitted_across_days_only() -> None:
    """Over days the drift is found; within a day it is left to the uncertainty."""
    drift_ppm = 12.0
    day = [bound(41 + drift_ppm * 1e-6 * t, 0.1, t) for t in (0, 600, 1200)]
    days = [
        bound(41 + drift_ppm * 1e-6 * (d * DAY_S + t), 0.1, d * DAY_S + t)
        for d in range(4)
        for t in (0, 600)
    ]
    assert estimate(day).method == "intersection"
    assert estimate(day).drift_ppm == 0
    assert estimate(day).drift_uncertainty_ppm == TYPICAL_DRIFT_PPM
    found = estimate(days)
    assert found.method == "line"
    assert found.drift_ppm == pytest.approx(drift_ppm, abs=0.01)
    assert found.drift_uncertainty_ppm < TYPICAL_DRIFT_PPM / 10


def test_an_error_common_to_all_days_does_not_average_out() -> None:
    """Cards of a device that may be 2 s off leave the offset 2 s unsure, however many days."""
    days = [Bound(-2.5, 2.5, d * DAY_S + t, 2.0) for d in range(5) for t in (0, 600, 1200)]
    found = estimate(days)
    assert found.method == "line"
    assert found.uncertainty_s >= 2


def test_pairs_before_and_after_a_match_may_differ_by_drift() -> None:
    """Two hours apart, narrow bounds that differ by what 20 ppm make agree, and leave that
    much open."""
    found = estimate([bound(-0.07, 0.01, 0), bound(0.07, 0.01, 7200)])
    assert (found.method, found.remarks) == ("intersection", ())
    assert found.offset_s == pytest.approx(0)
    apart = estimate([bound(-0.12, 0.01, 0), bound(0.12, 0.01, 7200)])
    assert apart.remarks == ("the pairs miss each other by 0.08 s",)


def test_a_slip_on_one_day_does_not_bend_the_drift() -> None:
    """A day's single wrong pair is found by the robust line and does not count."""
    days = [bound(5e-6 * d * DAY_S, 0.1, d * DAY_S) for d in range(6)]
    found = estimate([*days[:3], bound(3, 0.1, 3 * DAY_S), *days[4:]])
    assert found.used == 5
    assert found.drift_ppm == pytest.approx(5, abs=0.1)
    assert found.remarks == ("1 pair lay off the drift of the others and did not count",)


def test_a_clock_set_between_days_counts_from_then_on() -> None:
    """A step no quartz can drift means that the clock was set: the last days count."""
    before = [bound(41, 0.1, t) for t in (0, 10)]
    after = [bound(1, 0.1, DAY_S + t) for t in (0, 10)]
    found = estimate(before + after)
    assert found.offset_s == pytest.approx(1)
    assert found.used == 2
    assert found.remarks == ("the clock was set between the days: only the last of them counts",)


def test_stamps_too_coarse_for_a_drift_give_an_offset() -> None:
    """A day apart and known to a minute, pairs tell the offset and no drift."""
    found = estimate([bound(0, 60, 0), bound(10, 60, DAY_S)])
    assert (found.method, found.drift_ppm) == ("intersection", 0)
    assert found.uncertainty_s > 50


def test_days_that_no_line_fits_give_no_drift() -> None:
    """When the days lie on no line, no drift is claimed and the doubt reaches all of them."""
    found = estimate([bound(off_s, 0.05, d * DAY_S) for d, off_s in enumerate((0, 4, 0, 4))])
    assert (found.method, found.offset_s, found.drift_ppm) == ("median", 2, 0)
    assert found.uncertainty_s >= 2
