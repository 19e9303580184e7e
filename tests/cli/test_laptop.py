"""The laptop's clock is watched while a program runs on."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from queue import Queue

import pytest

from setpiece.cli import laptop
from setpiece.match.instants import instant
from setpiece.store.laptop_clock import ClockReading, steps
from setpiece.store.workspace import Workspace

LIMIT_S = 30
NOON = datetime(2027, 3, 6, 12, 0, tzinfo=UTC)


def test_a_clock_set_while_the_page_is_served_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A step of an hour between two looks is told once, with what to do, and kept."""
    Workspace.create(tmp_path / "season").close()
    ahead_s = iter((0.0, 0.0, 3600.0, 3600.0, 3600.0))
    running_s = iter(range(1000))

    def reading() -> ClockReading:
        second = next(running_s)
        at = NOON + timedelta(seconds=second + next(ahead_s, 3600.0))
        return ClockReading("b", float(second), instant(at))

    monkeypatch.setattr(laptop, "clock_reading", reading)
    told: Queue[str] = Queue()
    with laptop.watched_clock(tmp_path / "season", told.put, every_s=0.01):
        said = told.get(timeout=LIMIT_S)
    assert said.startswith("The laptop's clock was set by +3600.0 s: photograph the clock card")
    assert told.empty()
    space = Workspace.open(tmp_path / "season")
    assert [step.step_s for step in steps(space)] == [3600.0]
    space.close()


def test_a_workspace_that_is_not_there_ends_nothing(tmp_path: Path) -> None:
    """What is watched may be made later: until then nothing is told and nothing fails."""
    told: list[str] = []
    with laptop.watched_clock(tmp_path / "none", told.append, every_s=0.01):
        pass
    assert told == []
