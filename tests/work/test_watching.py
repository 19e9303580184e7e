"""A watched folder."""

from __future__ import annotations

import threading
from pathlib import Path

import frame_maker as made
import pytest

from setpiece.errors import NotFound
from setpiece.match.instants import Instant
from setpiece.store.frames import frames_of
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.intake import watching
from setpiece.work.intake.take import TakeReport
from setpiece.work.intake.watching import Growing, take_in_as_it_comes
from setpiece.work.job import Unattended


def test_a_file_is_whole_when_it_stood_still(tmp_path: Path) -> None:
    """A file that grows is waited for; one that stands still is given once; one that is gone is
    forgotten."""
    path, gone = tmp_path / "a.jpg", tmp_path / "b.jpg"
    path.write_bytes(b"a")
    gone.write_bytes(b"b")
    growing = Growing()
    growing.add([path, gone, tmp_path])
    assert growing.whole() == []
    path.write_bytes(b"ab")
    gone.unlink()
    assert growing.whole() == []
    assert growing.whole() == [path]
    assert growing.whole() == []
    growing.add([path])
    assert growing.whole() == []
    assert growing.whole() == [path]


class Photographer(Unattended):
    """Copies pictures into the folder while it is watched, then stops the job."""

    def __init__(self, at: Instant, folder: Path, reports: list[TakeReport]) -> None:
        super().__init__(at)
        self._folder = folder
        self._reports = reports
        self._late = threading.Event()
        self._timer = threading.Timer(120, self._late.set)
        self._timer.daemon = True
        self._timer.start()

    def stopped(self) -> bool:
        """Adds a second picture after the first run, stops after the second."""
        if len(self._reports) == 1:
            made.put_frame(self._folder, 2, after_s=2)
        return self._late.is_set() or len(self._reports) == 2


def test_what_comes_into_a_folder_is_taken_in(
    space: Workspace, match: Match, tmp_path: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is there is taken in at once, what comes later as soon as it is whole."""
    monkeypatch.setattr(watching, "TICK_MS", 150)
    folder = tmp_path / "watched"
    made.put_frame(folder, 1, after_s=1)
    reports: list[TakeReport] = []
    caller = Photographer(now, folder, reports)
    take_in_as_it_comes(space, lambda: match, [folder], caller, reports.append)
    assert [(r.copied, r.frames) for r in reports] == [(1, 1), (1, 2)]
    assert [f.handle for f in frames_of(space, match)] == ["A-0001", "A-0002"]


def test_a_folder_that_is_not_there_says_so(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """Watching a path that is no folder ends in a sentence."""
    with pytest.raises(NotFound, match="no such folder to watch"):
        take_in_as_it_comes(
            space, lambda: match, [tmp_path / "nowhere"], Unattended(now), lambda _: None
        )
