"""The commands of taking in, as they are typed."""

from __future__ import annotations

import json
import re
from pathlib import Path

import frame_maker as made
import pytest
from typed_commands import run

from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant
from setpiece.store.files import files_of
from setpiece.store.frames import frames_of
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.matchday import Matchday


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """Four frames, one protected, and a film."""
    folder = tmp_path / "card"
    for number in range(1, 5):
        made.put_frame(folder, number, after_s=number * 60.0, protected=number == 3)
    return folder


def test_a_quick_pass_and_then_the_rest(
    space: Workspace, played: Match, card: Path, tmp_path: Path
) -> None:
    """`--only protected` takes one frame and says what is left; the next run takes the rest; with
    a second drive the card may be wiped."""
    quick = run(space.folder, "take", str(card), "--only", "protected")
    assert quick.status == 0
    assert "copied and proved: 1," in quick.out
    assert "Still on the card: 3." in quick.out
    assert "Do not wipe" in quick.out
    drive = tmp_path / "drive"
    drive.mkdir()
    added = run(space.folder, "copies", "add", str(drive))
    assert (added.status, "same disk" in added.err) == (1, True)
    assert run(space.folder, "copies", "list").out.strip() == str(drive)
    rest = run(space.folder, "take", str(card), "--prove")
    assert rest.status == 0
    assert "copied and proved: 3, known before: 1" in rest.out
    assert "the card may be wiped" in rest.out
    assert run(space.folder, "copies", "make").status == 0
    assert run(space.folder, "copies", "remove", str(drive)).status == 0
    assert run(space.folder, "copies", "list").out == ""


def test_since_is_a_time_at_the_ground(space: Workspace, played: Match, card: Path) -> None:
    """`--since 15:03` takes the frames from then on, by the cameras' own clocks as they are."""
    day = Matchday(space, played).fixture
    since = f"{made.FIRST:%Y-%m-%d}T15:08:30+01:00"
    ran = run(space.folder, "take", str(card), "--since", since, "--json")
    report = json.loads(ran.out)
    assert day.time_zone
    assert (report["copied"], report["waiting"]) == (1, 3)


def test_near_a_goal_without_a_goal_asks(space: Workspace, match: Match, card: Path) -> None:
    """`--goal` without a goal in the log is a wrong use, said in a sentence."""
    ran = run(space.folder, "take", str(card), "--goal")
    assert (ran.status, "the log has no goal" in ran.err) == (2, True)


def test_troubles_are_named_and_counted(space: Workspace, match: Match, card: Path) -> None:
    """An empty file and a damaged picture are named on the error output; the status says so."""
    made.put(card, "OSP_0005.JPG", b"")
    made.put(card, "OSP_0006.JPG", made.frame(6)[:-2500])
    ran = run(space.folder, "take", str(card))
    assert ran.status == 1
    assert "OSP_0005.JPG: an empty file" in ran.err
    assert "A-0006: damaged" in ran.err
    assert "damaged: 1, with trouble: 1" in ran.out


def test_the_json_of_a_run_says_it_all(space: Workspace, match: Match, card: Path) -> None:
    """`--json` holds what was copied, what is known, each card's verdict and its reasons."""
    first = json.loads(run(space.folder, "take", str(card), "--json").out)
    assert (first["copied"], first["frames"], first["unread"]) == (4, 4, 0)
    again = json.loads(run(space.folder, "take", str(card), "--json").out)
    assert (again["copied"], again["known"], again["unread"]) == (0, 4, 4)
    assert again["cards"][0]["may_be_wiped"] is False
    assert len(again["cards"][0]["why_not"]) == 2


def test_clock_commands_fit_by_hand(
    space: Workspace, played: Match, tmp_path: Path, celebration: str
) -> None:
    """A pair is typed, a whistle shown, another camera named: each says what comes next."""
    made.put_frame(tmp_path / "two", 1, after_s=10, serial="2")
    made.put_frame(tmp_path / "two", 2, after_s=11, serial="2")
    run(space.folder, "take", str(tmp_path / "two"))
    letter = next(f.handle[0] for f in frames_of(space, played) if f.file_number == 1)
    assert run(space.folder, "clock", "find", f"{letter}-0001", f"{letter}-0002").status == 1
    pair = run(space.folder, "clock", "pair", letter,
               "2027-03-06T15:00:10", "2027-03-06T15:00:00+01:00")  # fmt: skip
    assert "Next: setpiece clock fit" in pair.out
    fit = run(space.folder, "clock", "fit")
    assert re.search(rf"{letter}  Ostrell P1 2, 2 frames: \+10\.\d\d s", fit.out)
    shown = run(space.folder, "clock", "frame", f"{letter}-0002", "e1")
    assert "Pair kept" in shown.out
    unfitted = run(space.folder, "clock", "same", f"{letter}-0002", "A-0231")
    assert unfitted.status == 0
    assert run(space.folder, "clock", "show").status in (0, 1)


def test_passages_by_hand(space: Workspace, match: Match, tmp_path: Path) -> None:
    """A passage is split, joined again and pinned by command, and what was said is taken back."""
    for number in (1, 2, 3, 4):
        made.put_frame(tmp_path / "card", number, after_s=number * 0.5)
    run(space.folder, "take", str(tmp_path / "card"))
    assert "Passages now: 2" in run(space.folder, "passage", "split", "A-0003").out
    assert "Passages now: 1" in run(space.folder, "passage", "join", "A-0001", "A-0003").out
    assert "Passages now: 2" in run(space.folder, "passage", "pin", "A-0002", "A-0004").out
    assert run(space.folder, "passage", "undo").out == "Taken back: pinned.\n"
    assert len(Matchday(space, match).passages) == 1


def test_the_clock_card_is_written(space: Workspace, tmp_path: Path) -> None:
    """`clock card` writes the page as one file."""
    out = tmp_path / "card.html"
    assert run(space.folder, "clock", "card", "--out", str(out)).status == 0
    assert "data-clock-card" in out.read_text("utf-8")


def test_frames_wait_for_their_fixture(
    space: Workspace, card: Path, fixture: Fixture, now: Instant
) -> None:
    """Without any fixture the command takes in as well, into the day's folder."""
    ran = run(space.folder, "take", str(card))
    assert ran.status == 0
    assert "2027-03-06-no-fixture-yet: 4 frames" in ran.out


def test_files_keep_where_they_came_from(space: Workspace, match: Match, card: Path) -> None:
    """Each file's place on the card is kept, with its time there."""
    run(space.folder, "take", str(card))
    for stored in files_of(space, match):
        assert Path(stored.source).stat().st_mtime == stored.modified_s
