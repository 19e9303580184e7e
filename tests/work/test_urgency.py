"""What is taken in first, by a match's log and its cameras' clocks."""

from __future__ import annotations

from datetime import UTC, timedelta
from pathlib import Path

import frame_maker as made
import pytest

from setpiece.errors import WrongUse
from setpiece.frames.camera_clock import ClockFit
from setpiece.match.entries import Entry, EntryId, Kind, Standing
from setpiece.match.instants import Instant, Interval, instant
from setpiece.match.people import Side
from setpiece.store.frames import camera_for, save_fit
from setpiece.store.matches import Match, add_entries
from setpiece.store.workspace import Workspace
from setpiece.work.intake.cards import read_cards
from setpiece.work.intake.first_listing import list_cards
from setpiece.work.intake.urgency import EVERYTHING, Wanted, goals_of, in_order
from setpiece.work.job import Unattended


def utc(after_s: float) -> Instant:
    """True time so long after 15:00:00 on a right camera clock in UTC+1."""
    at = made.FIRST.replace(tzinfo=UTC) - timedelta(hours=1) + timedelta(seconds=after_s)
    return instant(at)


def kick_off() -> Entry:
    """The kick-off, at 15:00:00."""
    at = utc(0)
    return Entry(EntryId(0), Kind.KICK_OFF, at, Interval.exactly(at), period=1)


def goal(after_s: float, standing: Standing = Standing.GIVEN) -> Entry:
    """A goal for the home side that happened then."""
    at = utc(after_s)
    return Entry(EntryId(0), Kind.GOAL, at, Interval.exactly(at), side=Side.HOME, standing=standing)


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """Frames 1 to 6, a minute and a half apart from 15:00:00 on; the second is protected."""
    folder = tmp_path / "card"
    for number in range(1, 7):
        made.put_frame(folder, number, after_s=90.0 * (number - 1), protected=number == 2)
    return folder


def numbers(
    space: Workspace, of: Match, card: Path, wanted: Wanted = EVERYTHING
) -> list[int | None]:
    """The numbers of the card's frames in the order they are taken in."""
    small = space.folder / "previews"
    small.mkdir(exist_ok=True)
    found = list_cards(read_cards([card]), (), small, Unattended(utc(0)), prove=False)
    return [x.facts.file_number for x in in_order(space, of, found.files, wanted)]


def test_marked_then_near_the_newest_goal_then_the_newest(
    space: Workspace, match: Match, card: Path
) -> None:
    """The protected frame leads, the frame of the newest goal follows, the rest newest first; a
    disallowed goal draws nothing forward."""
    assert numbers(space, match, card) == [2, 6, 5, 4, 3, 1]
    add_entries(space, match, [kick_off(), goal(5), goal(175), goal(350, Standing.DISALLOWED)])
    save_fit(
        space,
        match,
        camera_for(space, "Ostrell", made.MODEL, made.SERIAL).id,
        ClockFit(0.0, 0.1, 0.0, None, 3, 0, (), "intersection"),
        utc(0),
    )
    assert numbers(space, match, card) == [2, 3, 6, 5, 4, 1]
    assert len(goals_of(space, match)) == 2


def test_a_quick_pass_takes_what_was_asked_for(space: Workspace, match: Match, card: Path) -> None:
    """Only what is protected, only what is newer, only what is near the newest goal."""
    camera = camera_for(space, "Ostrell", made.MODEL, made.SERIAL)
    fitted = ClockFit(0.0, 0.1, 0.0, None, 3, 0, (), "intersection")
    save_fit(space, match, camera.id, fitted, utc(0))
    add_entries(space, match, [kick_off(), goal(95)])
    assert numbers(space, match, card, Wanted(only_protected=True)) == [2]
    assert numbers(space, match, card, Wanted(since=utc(265))) == [6, 5, 4]
    assert numbers(space, match, card, Wanted(goal=True)) == [2]
    assert numbers(space, match, card, Wanted(only_protected=True, since=utc(265))) == []
    assert numbers(space, match, card, Wanted(since=utc(265), most=2)) == [6, 5]


def test_the_clock_decides_what_is_near_a_goal(space: Workspace, match: Match, card: Path) -> None:
    """With a clock known to be 3 minutes fast, the frames near a goal are others."""
    camera = camera_for(space, "Ostrell", made.MODEL, made.SERIAL)
    fast = ClockFit(180.0, 0.1, 0.0, None, 3, 0, (), "intersection")
    save_fit(space, match, camera.id, fast, utc(0))
    add_entries(space, match, [kick_off(), goal(90)])
    assert numbers(space, match, card, Wanted(goal=True)) == [4]


def test_frames_near_a_goal_need_a_goal(space: Workspace, match: Match, card: Path) -> None:
    """Asked for frames near a goal, a log without one says so; so does a match without fixture."""
    with pytest.raises(WrongUse, match="no goal"):
        numbers(space, match, card, Wanted(goal=True))
    assert goals_of(space, Match(99, "2027-03-06-no-fixture-yet", None)) == ()


def test_a_memo_is_as_urgent_as_its_picture(space: Workspace, match: Match, card: Path) -> None:
    """The memo of a protected frame is wanted with it."""
    made.put(card, "OSP_0002.WAV", b"RIFF\0\0\0\0WAVEfmt ")
    made.put(card, "OSP_0003.WAV", b"RIFF\0\0\0\0WAVEfmt ")
    assert numbers(space, match, card, Wanted(only_protected=True)) == [2, 2]
