"""The whole main job on the demo match, as `setpiece demo` runs it."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from setpiece.errors import WrongUse
from setpiece.match.instants import Instant, instant
from setpiece.store.matches import find_match
from setpiece.store.workspace import Workspace
from setpiece.work.demo.ground_time import AtTheGround
from setpiece.work.demo.outcome import Outcome, Row, counted, within
from setpiece.work.demo.run import remove_demo, run_demo
from setpiece.work.demo.scenario import ENDS
from setpiece.work.job import Unattended


class Clock(Unattended):
    """A caller whose clock is the machine's."""

    def now(self) -> Instant:
        """The machine's time."""
        return instant(datetime.now(UTC))


@pytest.mark.network
def test_the_main_job_agrees_with_what_was_planted(tmp_path: Path) -> None:
    """Every figure of the demo's table agrees with what was planted, from card to desk."""
    folder = tmp_path / "demo"
    outcome = run_demo(folder, AtTheGround(Clock(ENDS[2])))
    assert [r for r in outcome.rows if not r.agrees] == []
    assert len(outcome.rows) >= 42
    space = Workspace.open(folder / "workspace")
    assert find_match(space, "marnstein").fixture is not None
    space.close()
    with pytest.raises(WrongUse, match="new folder"):
        run_demo(folder, AtTheGround(Unattended(ENDS[2])))
    remove_demo(folder)
    assert list(folder.iterdir()) == []


def test_a_table_with_one_difference_does_not_agree() -> None:
    """One differing row, by count or by figure, and the outcome does not agree."""
    same = Row("a", "1", "1", True)
    assert Outcome((same,), ()).agrees
    assert not Outcome((same, counted("frames", 300, 299)), ()).agrees
    assert not Outcome((same, within("clock", 41.0, 41.7, 0.6, "s")), ()).agrees
    assert within("clock", 41.0, 41.59, 0.6, "s").agrees


def test_only_the_demos_own_folders_are_removed(tmp_path: Path) -> None:
    """What somebody else put beside a demo stays."""
    (tmp_path / "cards").mkdir()
    (tmp_path / "cards" / "protected.jpg").write_bytes(b"x")
    (tmp_path / "cards" / "protected.jpg").chmod(0o444)
    (tmp_path / "mine.txt").write_text("kept")
    remove_demo(tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == ["mine.txt"]
