"""The laptop's clock, watched."""

from __future__ import annotations

from datetime import timedelta

import pytest

from setpiece.match.instants import Instant, instant
from setpiece.store.laptop_clock import ClockReading, note_reading, steps
from setpiece.store.workspace import Workspace


def reading(now: Instant, running_s: float, ahead_s: float = 0.0, boot: str = "b") -> ClockReading:
    """What a clock shows that is ahead by so much after the system ran so long."""
    return ClockReading(boot, running_s, instant(now + timedelta(seconds=running_s + ahead_s)))


def test_a_clock_that_goes_on_gives_no_step(space: Workspace, now: Instant) -> None:
    """Readings that agree to a few milliseconds are no step, however many there are."""
    for second in (0, 1, 600, 7200, 30_000):
        assert note_reading(space, reading(now, second, ahead_s=second * 1e-6)) == 0.0
    assert steps(space) == ()


@pytest.mark.parametrize("step_s", [3600.0, -2.0, 0.3])
def test_a_clock_that_was_set_is_noticed_once(
    space: Workspace, now: Instant, step_s: float
) -> None:
    """A step forward or back is kept with its size and when it was noticed, and not again."""
    note_reading(space, reading(now, 0))
    assert note_reading(space, reading(now, 60, step_s)) == pytest.approx(step_s)
    assert note_reading(space, reading(now, 120, step_s)) == 0.0
    assert note_reading(space, reading(now, 180, step_s)) == 0.0
    (step,) = steps(space)
    assert step.step_s == pytest.approx(step_s)
    assert step.at == instant(now + timedelta(seconds=60 + step_s))


def test_every_step_is_kept(space: Workspace, now: Instant) -> None:
    """A clock set forward and back again was set twice."""
    for second, ahead_s in ((0, 0.0), (10, 5.0), (20, 0.0), (30, 0.0)):
        note_reading(space, reading(now, second, ahead_s))
    assert [round(s.step_s) for s in steps(space)] == [5, -5]


def test_another_boot_is_not_compared(space: Workspace, now: Instant) -> None:
    """What a system has been running means nothing after it was started again."""
    note_reading(space, reading(now, 5000))
    assert note_reading(space, reading(now, 3, ahead_s=9000, boot="c")) == 0.0
    assert steps(space) == ()
