"""Cards taken in by a process that is killed again and again, and what must hold after each kill.

Half of the kills come at a random moment from outside, half before a random change of the disk or
the database. Between two kills the workspace is looked at; when a run comes to its end the whole
of it is checked, and the next lap begins with an empty one.
"""

from __future__ import annotations

import json
import random
import sqlite3
import subprocess
import sys
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import frame_maker as made
import simplejpeg

from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant
from setpiece.store.copying import PART, content_of
from setpiece.store.files import files_of, waiting_files
from setpiece.store.frames import frames_of
from setpiece.store.matches import Match, add_fixture, match_folder
from setpiece.store.workspace import DATABASE, Workspace
from setpiece.work.intake.second_copies import MARKER, set_place
from setpiece.work.intake.take import take_in
from setpiece.work.job import Unattended

MOST_S = 120
"""No run takes so long, however loaded the machine is."""

FRAMES = 20
SHARE, LEAST_LEFT = 0.35, 0.5
"""A kill comes within so much of what is left of a whole run, so that a lap sees many. When every
file is here, so much is left: looks and further copies."""


def cards(home: Path) -> list[Path]:
    """Three cards that have every name in common, 84 files of 60 frames.

    The second body's first frames are also in a second slot, the third card is the first body's
    after its numbers rolled over; every fourth frame has the same sidecar.
    """
    made_of = ((0.0, "7001"), (0.4, "7002"), (9000.0, "7001"))
    for card, (start_s, serial) in enumerate(made_of):
        for number in range(1, FRAMES + 1):
            after_s, seed = start_s + number, 1000 * card + number
            made.put_frame(home / f"card {card}", number, after_s=after_s, serial=serial, seed=seed)
            if number % 4 == 0:
                made.put(home / f"card {card}", f"OSP_{number:04}.XMP", b"<x:xmpmeta/>" * 9)
    for path in sorted((home / "card 1").rglob("*.JPG"))[:9]:
        made.put(home / "slot 2", path.name, path.read_bytes())
    return [home / f"card {card}" for card in range(3)] + [home / "slot 2"]


@dataclass
class Figures:
    """What the kill test saw."""

    kills: int = 0
    at_a_change: int = 0
    laps: int = 0
    runs: int = 0
    seconds: float = 0.0

    def told(self) -> str:
        """In one line, for docs/reliability.md."""
        return (
            f"{self.kills} kills, {self.at_a_change} of them before a chosen change; "
            f"{self.runs} runs, {self.laps} workspaces filled, {self.seconds:.0f} s"
        )


class Kills:
    """One kill test over the same cards, with a dice of its own."""

    def __init__(self, home: Path, fixture: Fixture, now: Instant) -> None:
        self.home, self.fixture, self.now = home, fixture, now
        self.dice = random.Random(20270306)
        self.figures = Figures()
        self.cards = cards(home)
        self.files = [p for card in self.cards for p in card.rglob("*") if p.is_file()]
        self.wanted = Counter(content_of(p) for p in self.files)
        self.pictures = {content_of(p) for p in self.files if p.suffix == ".JPG"}
        self._changes = 0
        self._run_s = 0.0
        self._next = _started()

    def run(self, kills: int) -> Figures:
        """Laps until there were so many kills; the last lap is taken in to its end."""
        began = time.monotonic()
        try:
            while self.figures.kills < kills:
                self._lap(kills)
        finally:
            self._next.kill()
            self._next.communicate()
        self.figures.seconds = time.monotonic() - began
        return self.figures

    def _lap(self, kills: int) -> None:
        lap = self.figures.laps
        space = Workspace.create(self.home / f"workspace {lap}")
        of = add_fixture(space, self.fixture, self.now)
        drive = self.home / f"drive {lap}"
        drive.mkdir()
        set_place(space, drive, self.now)
        killed = self._changes > 0  # the first lap is run through once, to be measured
        while killed:
            here = len(files_of(space, of)) / len(self.files)
            killed = self.figures.kills < kills and self._killed(space, max(LEAST_LEFT, 1 - here))
            self.check_between(space, of)
        self._finish(space)
        self.check_whole(space, of, drive)
        space.close()
        self.figures.laps += 1

    def _killed(self, space: Workspace, left: float) -> bool:
        """One run that is to be killed; False when it came to its end before that."""
        at_a_change = self.dice.random() < 0.5
        change = self.dice.randrange(1, int(self._changes * SHARE * left)) if at_a_change else 0
        wait_s = self.dice.uniform(0.0, self._run_s * SHARE * left)
        child = self._child(space, change)
        if not at_a_change:
            try:
                child.wait(wait_s)
            except subprocess.TimeoutExpired:
                child.kill()
        child.communicate(timeout=MOST_S)
        if child.returncode == 0:
            return False
        assert child.returncode < 0, "the run ended by itself, and not well"
        self.figures.kills += 1
        self.figures.at_a_change += at_a_change
        return True

    def _finish(self, space: Workspace) -> None:
        """A run to its end; the first one is also the measure of how long a run is."""
        began = time.monotonic()
        child = self._child(space, 0)
        said, _ = child.communicate(timeout=MOST_S)
        assert child.returncode == 0
        if not self._changes:
            self._changes, self._run_s = int(said.split()[-1]), time.monotonic() - began

    def _child(self, space: Workspace, change: int) -> subprocess.Popen[str]:
        """A run that has just begun; it dies before that change, unless it is 0."""
        self.figures.runs += 1
        child, self._next = self._next, _started()
        assert child.stdin is not None
        assert child.stdout is not None
        assert child.stdout.readline() == "ready\n"
        child.stdin.write(json.dumps([str(space.folder), change, *map(str, self.cards)]) + "\n")
        child.stdin.flush()
        return child

    def check_between(self, space: Workspace, of: Match) -> None:
        """After a kill: the database is sound, what it notes is there whole, and nothing that
        has a name of its own is half of anything, small pictures neither."""
        _check_database(space)
        folder = match_folder(space, of)
        for stored in files_of(space, of):
            assert content_of(folder / stored.path) == stored.content
        named = [p for p in _taken(folder) if not p.name.endswith(PART)]
        assert {content_of(p) for p in named} <= set(self.wanted)
        for small in (space.folder / "previews").glob("*.jpg"):
            simplejpeg.decode_jpeg(small.read_bytes(), strict=True)

    def check_whole(self, space: Workspace, of: Match, drive: Path) -> None:
        """After a run to the end: every file of every card is in the workspace and on the drive,
        none twice, nothing unfinished is left, and the cards may be wiped."""
        _check_database(space)
        folder = match_folder(space, of)
        assert [p for p in self.home.rglob("*" + PART)] == []
        here = Counter(content_of(p) for p in _taken(folder))
        once = Counter({c: 1 if c in self.pictures else n for c, n in self.wanted.items()})
        assert here == once
        assert Counter(f.content for f in files_of(space, of)) == once
        assert len({f.path for f in files_of(space, of)}) == once.total()
        there = Counter(content_of(p) for p in drive.rglob("*") if p.is_file() and p.name != MARKER)
        assert there == once
        frames = frames_of(space, of)
        assert len(frames) == len(self.pictures)
        assert all(f.look for f in frames)
        assert {f.frame_id for f in files_of(space, of)} == {f.id for f in frames}
        assert waiting_files(space, of) == ()
        proved = take_in(space, of, self.cards, Unattended(self.now), prove=True)
        assert (proved.copied, proved.troubles, proved.damaged) == (0, (), ())
        assert [c.why_not for c in proved.cards] == [()] * len(self.cards)


def _started() -> subprocess.Popen[str]:
    """A process that is to take in, started beforehand: what is killed is taking in, not Python."""
    program = Path(__file__).with_name("take_child.py")
    return subprocess.Popen(
        [sys.executable, program], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )


def _taken(folder: Path) -> list[Path]:
    """The files below `frames` but the manifests."""
    found = [p for p in (folder / "frames").rglob("*") if p.is_file()]
    return [p for p in found if p.parent.name != "manifests"]


def _check_database(space: Workspace) -> None:
    connection = sqlite3.connect(space.folder / DATABASE)
    try:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    finally:
        connection.close()
