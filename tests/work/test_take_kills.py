"""Taking in by a process that is killed at any moment: nothing lost, twice or half."""

from __future__ import annotations

from pathlib import Path

import pytest
from take_kills import Kills

from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant


@pytest.mark.parametrize(
    "kills",
    [pytest.param(30, id="short"), pytest.param(240, id="long", marks=pytest.mark.slow)],
)
def test_every_file_is_kept_once_whatever_is_killed(
    tmp_path: Path, fixture: Fixture, now: Instant, kills: int
) -> None:
    """After each kill what is noted is whole; the next run completes, with every file of every
    card once in the workspace and once on the second drive, and nothing unfinished left."""
    figures = Kills(tmp_path, fixture, now).run(kills)
    print(figures.told())
    assert figures.kills == kills
    assert 0 < figures.at_a_change < kills
