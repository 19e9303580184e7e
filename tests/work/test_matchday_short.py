"""A whole match day in short: nothing lost, nothing doubled, nothing wrong at a desk."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.slow
@pytest.mark.browser
@pytest.mark.network
def test_a_short_match_day_is_told_as_it_was(
    chromium: object,
    tmp_path: Path,
    need_tool: Callable[[str], str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Every truth of the day holds: frames, captions, desks, log, times, the debrief."""
    need_tool("exiftool")
    monkeypatch.syspath_prepend(str(ROOT))
    from benchmarks.matchday.run import run
    from benchmarks.matchday.script import SHORT

    verdicts = run(SHORT, tmp_path, chromium)
    assert [v.line for v in verdicts if v.truth and not v.holds] == []
    assert len(verdicts) > 10
