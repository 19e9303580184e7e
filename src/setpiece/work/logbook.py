"""Write the match log: one typed line, or a file of entries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from setpiece.errors import NotFound, WrongUse
from setpiece.match.entries import Entry, EntryId, Kind, Standing, current
from setpiece.match.instants import Instant, Interval, MinuteLabel
from setpiece.match.pinning import Taken, proposed_pins
from setpiece.match.typed import read_line
from setpiece.store.matches import Match, add_entries, log_of
from setpiece.store.workspace import Workspace
from setpiece.work.job import Caller
from setpiece.work.matchday import Matchday


@dataclass(frozen=True, slots=True)
class When:
    """What is known of when it happened: at most one of them is given."""

    printed: MinuteLabel | None = None
    at: Instant | None = None
    frame: str = ""


def add_line(
    space: Workspace,
    of: Match,
    line: str,
    caller: Caller,
    *,
    when: When | None = None,
    typed: Instant | None = None,
    supersedes: int | None = None,
) -> Entry:
    """Reads one typed line against the match as it stood then, and appends it to the log.

    Then is when it happened, as far as it is known, else when it was typed. A whistle happened
    when it was typed unless something pins it. `disallowed`, `stands` and `under review` are about
    the newest goal they can mean. Raises WrongUse or Choices; then nothing was written.
    """
    day = Matchday(space, of)
    at = typed or caller.now()
    said = when or When()
    entry = read_line(line, day.sheet, day.fold.state_at(_known_time(day, said) or at), at)
    entry = _pinned(day, entry, said)
    if entry.standing is not Standing.GIVEN:
        entry = _ruled(day, entry)
    if supersedes is not None:
        entry = replace(entry, id=_next(day.log), supersedes=_known(day.log, supersedes))
    return add_entries(space, of, [entry])[0]


def _known_time(day: Matchday, when: When) -> Instant | None:
    """When it happened by a clock or a frame."""
    if when.frame:
        made = day.times.get(day.frame(when.frame).id)
        return made.middle if made else None
    return when.at


def withdraw(space: Workspace, of: Match, number: int, caller: Caller) -> Entry:
    """Takes an entry back; it stays in the log's history."""
    log = log_of(space, of)
    taken_back = Entry(_next(log), Kind.WITHDRAWN, caller.now(), supersedes=_known(log, number))
    return add_entries(space, of, [taken_back])[0]


def pin(space: Workspace, of: Match, number: int, frame: str, caller: Caller) -> Entry:
    """Pins an entry to the frame that shows it: it happened when that frame was made."""
    day = Matchday(space, of)
    entry = day.fold.entry(_known(day.log, number))
    if entry is None:
        raise NotFound("this entry stands no more", thing=f"e{number}", next_step="See the log.")
    moved = replace(entry, id=_next(day.log), supersedes=entry.id, typed=caller.now())
    return add_entries(space, of, [_pinned(day, moved, When(frame=frame))])[0]


def add_all(space: Workspace, of: Match, entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """Appends entries read from a file, all or none; their links are kept."""
    offset = len(log_of(space, of))
    moved = [
        replace(
            e,
            id=EntryId(e.id + offset),
            supersedes=None if e.supersedes is None else EntryId(e.supersedes + offset),
        )
        for e in entries
    ]
    return add_entries(space, of, moved)


def _next(log: Sequence[Entry]) -> EntryId:
    return EntryId(len(log) + 1)


def _known(log: Sequence[Entry], number: int) -> EntryId:
    if not any(e.id == number for e in log):
        raise NotFound(
            "the log has no such entry",
            thing=f"e{number}",
            next_step="Look at `setpiece log list`.",
        )
    return EntryId(number)


def _pinned(day: Matchday, entry: Entry, when: When) -> Entry:
    if when.frame:
        frame = day.frame(when.frame)
        at = day.times.get(frame.id)
        if at is None:
            raise WrongUse(
                "this frame has no time to pin an entry with",
                thing=frame.handle,
                next_step="Type it: setpiece time FRAME 15:47:31.",
            )
        return replace(entry, happened=at, frame=frame.id)
    if when.at is not None:
        return replace(entry, happened=Interval.exactly(when.at))
    if when.printed is not None:
        return replace(entry, printed=when.printed)
    if entry.kind in (Kind.KICK_OFF, Kind.PERIOD_END):
        return replace(entry, happened=Interval.exactly(entry.typed))
    return entry


def _ruled(day: Matchday, ruling: Entry) -> Entry:
    """The newest goal that the ruling can be about, with its new standing."""
    goals = [
        e
        for e in current(day.log)
        if e.kind is Kind.GOAL
        and e.standing in _OPEN_TO[ruling.standing]
        and (ruling.side is None or e.side is ruling.side)
        and (ruling.person is None or e.person == ruling.person)
    ]
    if not goals:
        raise NotFound(
            "there is no goal that this can be about",
            thing=ruling.standing.value,
            next_step="Look at `setpiece log list`.",
        )
    goal = goals[-1]
    return replace(
        goal,
        id=_next(day.log),
        standing=ruling.standing,
        typed=ruling.typed,
        supersedes=goal.id,
        note=ruling.note,
    )


_OPEN_TO = {
    Standing.UNDER_REVIEW: (Standing.GIVEN, Standing.STANDS, Standing.DISALLOWED),
    Standing.STANDS: (Standing.UNDER_REVIEW, Standing.GIVEN, Standing.DISALLOWED),
    Standing.DISALLOWED: (Standing.UNDER_REVIEW, Standing.GIVEN, Standing.STANDS),
}
"""Which goals a ruling can be about."""


def proposals(day: Matchday, entry: Entry) -> tuple[str, ...]:
    """Handles of frames that may pin a goal or a penalty just logged, the likeliest first."""
    if entry.kind not in _PROPOSED or entry.frame:
        return ()
    taken = [Taken(i, at) for i, at in day.times.items()]
    return tuple(day.frames[i].handle for i in proposed_pins(day.fold.when(entry), taken))


_PROPOSED = frozenset({Kind.GOAL, Kind.PENALTY_TAKEN, Kind.PENALTY_SAVED, Kind.PENALTY_MISSED})
