"""The goal in one line: what is proposed, what never is, and that it goes first."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from desk_match import Laptop, at, folder_desk, shoot

from setpiece.errors import NotFound
from setpiece.match.entries import Entry, EntryId, Kind, Standing, current
from setpiece.match.instants import Instant, Interval, instant
from setpiece.match.people import Side
from setpiece.pictures.iptc import read_fields
from setpiece.store.frames import Decision, decide
from setpiece.store.matches import Match, add_entries, log_of
from setpiece.store.outbox import deliveries
from setpiece.store.workspace import Workspace
from setpiece.work.caption import retype, write_caption
from setpiece.work.desk.goal import queue_goal, send_goal
from setpiece.work.desk.goal_proposal import Part, propose_goal
from setpiece.work.desk.queueing import queue_set
from setpiece.work.job import Unattended
from setpiece.work.matchday import Matchday

STRIKE = 1000
JOY = 1020
OTHER = 2000


@pytest.fixture
def frames(space: Workspace, played: Match, tmp_path: Path, now: Instant) -> dict[int, str]:
    """Bursts around the goal of the 74th minute by two cameras, the third of each sharpest."""
    folder_desk(space, tmp_path, "City", now)
    goal = at(2, "28:40")
    found = {}
    for first, after_s, serial in ((STRIKE, -0.4, "1"), (JOY, 6.0, "1"), (OTHER, 9.0, "2")):
        for number in range(5):
            when = instant(goal + timedelta(seconds=after_s + 0.1 * number))
            sharp = 400.0 if number == 2 else 100.0
            found[first + number] = shoot(
                space,
                played,
                first + number,
                when,
                serial=serial,
                focus=sharp,
                decision=Decision.NONE,
            )
    return found


def typed_late(space: Workspace, of: Match, now: Instant) -> None:
    """The goal as it stands when only its typing, 70 s late, tells when it was."""
    log = log_of(space, of)
    goal = [e for e in current(log) if e.kind is Kind.GOAL][-1]
    typed = at(2, "29:50")
    when = Interval(at(2, "26:50"), typed)
    number = EntryId(len(log) + 1)
    add_entries(space, of, [replace(goal, id=number, happened=when, supersedes=goal.id)])


def test_the_sharpest_of_each_burst_is_proposed(
    space: Workspace, played: Match, frames: dict[int, str], now: Instant
) -> None:
    """Strike and celebration from the goal's own camera, the reaction from the other one."""
    proposal = propose_goal(Matchday(space, played))
    shown = {p.part: (p.frame_id, p.line) for p in proposal.frames}
    assert shown == {
        Part.STRIKE: (frames[STRIKE + 2], "9r scores free kick"),
        Part.CELEBRATION: (frames[JOY + 2], "9r celebrates"),
        Part.REACTION: (frames[OTHER + 2], "w players react"),
    }
    assert "Signe Ørbeck" in proposal.words
    assert "2–1" in proposal.words


def test_a_goal_typed_late_is_pinned_by_its_strike_and_goes_first(
    space: Workspace, played: Match, frames: dict[int, str], now: Instant
) -> None:
    """From a log that leaves three minutes open: pinned, captioned with its score, sent first."""
    typed_late(space, played, now)
    play = shoot(space, played, 7, at(2, "35:00"))
    write_caption(space, played, play, "5w tackles 9r", Unattended(now))
    queue_set(space, played, ["City"], Unattended(now), frames=[play])
    proposal = propose_goal(Matchday(space, played))
    done = send_goal(space, played, proposal, ["City"], Laptop(at(2, "40:00")))
    assert (done.queued.queued, done.queued.left_out) == (3, ())
    assert done.sent.delivered == 4
    day = Matchday(space, played)
    goal = day.fold.entry(EntryId(len(day.log)))
    assert goal is not None
    assert goal.frame == frames[STRIKE + 2]
    order = [d.frame_id for d in sorted(deliveries(space, played), key=lambda d: d.ended)]
    assert order[0] == frames[STRIKE + 2]
    assert order.index(play) > 0
    path = next(d for d in deliveries(space, played) if d.frame_id == frames[STRIKE + 2]).path
    fields = read_fields((space.folder / played.folder / path).read_bytes())
    assert "2–1" in fields.description
    assert "Signe Ørbeck" in fields.description


def test_another_line_and_fewer_parts(
    space: Workspace, played: Match, frames: dict[int, str], now: Instant
) -> None:
    """The photographer's line stands in place of the proposed one; a part left out stays out."""
    proposal = propose_goal(Matchday(space, played))
    lines = {Part.CELEBRATION: "9r celebrates with 11r right"}
    without = [Part.REACTION]
    send_goal(space, played, proposal, ["City"], Unattended(now), lines=lines, without=without)
    day = Matchday(space, played)
    assert day.captions[frames[JOY + 2]].caption.shorthand == lines[Part.CELEBRATION]
    assert frames[OTHER + 2] not in day.captions
    assert len(day.outbox) == 2


def test_a_caption_that_stands_is_proposed_and_kept(
    space: Workspace, played: Match, frames: dict[int, str], now: Instant
) -> None:
    """What the photographer wrote, or typed over it, goes out as it is."""
    joy = frames[JOY + 2]
    line = "9r celebrates with 11r right"
    write_caption(space, played, joy, line, Unattended(now))
    own = retype(space, played, joy, Unattended(now), alt_text="Two players in red hug")
    proposal = propose_goal(Matchday(space, played))
    assert {p.part: p.line for p in proposal.frames}[Part.CELEBRATION] == line
    queued: list[int] = []
    report = queue_goal(
        space, played, proposal, ["City"], Unattended(now), first=lambda: queued.append(1)
    )
    assert (report.queued, queued) == (3, [1])
    kept = Matchday(space, played).captions[joy]
    assert (kept.version, kept.caption.fields.alt_text) == (own.version, "Two players in red hug")


@pytest.mark.parametrize(("clock", "proposed"), [("29:30", 0), ("20:00", 3)])
def test_nothing_near_an_entry_that_calls_for_care_is_proposed(
    space: Workspace,
    played: Match,
    frames: dict[int, str],
    now: Instant,
    clock: str,
    proposed: int,
) -> None:
    """With an injury logged a minute after the goal nothing is proposed; long before, all is."""
    log = log_of(space, played)
    when = Interval.exactly(at(2, clock))
    hurt = Entry(EntryId(len(log) + 1), Kind.INJURY, typed=now, happened=when, side=Side.AWAY)
    add_entries(space, played, [hurt])
    day = Matchday(space, played)
    if proposed:
        assert len(propose_goal(day).frames) == proposed
    else:
        with pytest.raises(NotFound, match="no frame of this goal to propose"):
            propose_goal(day)


def test_a_held_frame_is_never_proposed(
    space: Workspace, played: Match, frames: dict[int, str], now: Instant
) -> None:
    """A frame on hold gives way to the next sharpest of its burst."""
    decide(space, played, frames[STRIKE + 2], Decision.HOLD)
    (strike,) = (p for p in propose_goal(Matchday(space, played)).frames if p.part is Part.STRIKE)
    assert strike.frame_id != frames[STRIKE + 2]


def test_a_disallowed_goal_is_not_the_goal_meant(
    space: Workspace, played: Match, frames: dict[int, str], now: Instant
) -> None:
    """With the last goal disallowed the one before is meant, around which nothing was made."""
    log = log_of(space, played)
    goal = [e for e in current(log) if e.kind is Kind.GOAL][-1]
    number = EntryId(len(log) + 1)
    gone = replace(goal, id=number, standing=Standing.DISALLOWED, supersedes=goal.id)
    add_entries(space, played, [gone])
    with pytest.raises(NotFound, match="no frame of this goal to propose"):
        propose_goal(Matchday(space, played))
