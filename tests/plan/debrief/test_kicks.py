"""Kicks, planned against got."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.plan.camera import Seat
from setpiece.plan.debrief.facts import KickFact
from setpiece.plan.debrief.kicks import camera_at, planned, rate_of, spread
from setpiece.plan.flight import penalty
from setpiece.plan.penalty import held


def test_the_plan_is_asked_with_what_was_set() -> None:
    """Mean and window are those of the plan; the longest lens for each number falls."""
    camera = camera_at(Seat("left", -14, -5, 1.15), 400.0, 1 / 1600, 20.0, upright=False)
    kick = penalty(28.0)
    told = planned(camera, kick)
    assert told.mean == held(camera, kick).mean
    assert [n for n, _ in told.better] == list(range(1, len(told.better) + 1))
    lenses = [mm for _, mm in told.better]
    assert lenses == sorted(lenses, reverse=True)


def test_an_exposure_longer_than_the_burst_allows_is_cut() -> None:
    """A rate estimated a little high still makes a camera."""
    assert camera_at(Seat("s", 0, -5), 300, 0.1, 20.0, upright=True).exposure_s == 1 / 20


@given(st.integers(3, 12), st.floats(0.06, 0.4), st.floats(0, 0.999))
def test_whole_seconds_are_spread_to_within_their_gap(
    count: int, gap_s: float, phase_s: float
) -> None:
    """Frames stamped in whole seconds come back in order, each within its stamped second."""
    true = [phase_s + n * gap_s for n in range(count)]
    stamps = [float(int(t)) for t in true]
    found = spread(stamps, 1.0)
    assert list(found) == sorted(found)
    assert all(s - 1e-6 <= f <= s + 1 + 1e-6 for f, s in zip(found, stamps, strict=True))


def test_a_burst_over_two_seconds_gives_its_rate() -> None:
    """Five frames in one second and three in the next are about eight a second."""
    rate = rate_of(spread([0.0] * 5 + [1.0] * 3, 1.0))
    assert rate == pytest.approx(8.0, abs=1.0)


def test_stamps_that_tell_the_frames_apart_stay() -> None:
    """Hundredths of a second are not touched, and a pause is no burst."""
    assert spread([0.0, 0.12, 0.25], 0.01) == (0.0, 0.12, 0.25)
    assert spread([0.0, 0.0, 9.0], 1.0) == (0.0, 0.0, 9.0)
    assert rate_of([0.0, 0.1]) is None


def test_what_was_got_is_what_was_marked_else_the_plans_window() -> None:
    """Marks go first; without them frames within the window; without either nothing is said."""
    kick = KickFact(1, "68", "Penalty", "penalty", "A", (-0.1, 0.0, 0.1, 0.3), window_s=0.2)
    assert kick.got == 2
    assert KickFact(1, "68", "P", "penalty", "A", (0.0, 0.1), marked=(0.1,)).got == 1
    assert KickFact(1, "68", "P", "penalty", "A", (0.0, 0.1)).got is None
    with pytest.raises(WrongUse, match="not of this kick"):
        KickFact(1, "68", "P", "penalty", "A", (0.0,), marked=(0.5,))
