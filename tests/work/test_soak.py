"""Pictures through random faults and a sender that is killed: each arrives once, whole."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from desk_match import at, shoot
from soak import Soak, three_lines

from setpiece.match.instants import Instant
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace


@pytest.mark.network
@pytest.mark.parametrize(
    ("pictures", "faults", "kills", "most_s"),
    [
        pytest.param(120, 60, 12, 300, id="short"),
        pytest.param(1000, 500, 100, 3600, id="long", marks=pytest.mark.slow),
    ],
)
def test_every_picture_arrives_once_and_whole(
    space: Workspace,
    played: Match,
    now: Instant,
    tmp_path: Path,
    need_tool: Callable[[str], str],
    pictures: int,
    faults: int,
    kills: int,
    most_s: float,
) -> None:
    """Over three servers: every picture there once under its name, whole, with its receipt."""
    frame = shoot(space, played, 1, at(1, "5:00"))
    with three_lines(need_tool, tmp_path / "python") as lines:
        soak = Soak(space, played, frame, lines)
        soak.queue(pictures, now)
        figures = soak.run(faults, kills, most_s)
        soak.check()
    print(figures.told())
    assert figures.faults.total() >= faults
    assert 1 <= figures.kills <= kills  # a quick run may be over before its last kill is due
