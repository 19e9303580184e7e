"""The match log: what happened, when it happened and when that was typed.

The log is append-only. An entry supersedes or withdraws an earlier one; `current` gives the
entries that stand.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import NewType

from setpiece.errors import WrongUse
from setpiece.match.instants import Instant, Interval, MinuteLabel
from setpiece.match.people import PersonId, Side

EntryId = NewType("EntryId", int)
"""Position in the log of one match, from 1, never used twice. Written `e17` for people."""


class Kind(StrEnum):
    """What an entry says happened. The values are the words of the interchange formats."""

    KICK_OFF = "kick-off"  # start of `period`
    PERIOD_END = "period end"  # end of `period`: half-time, full-time, end of extra time
    GOAL = "goal"
    PENALTY_AWARDED = "penalty awarded"
    PENALTY_TAKEN = "penalty taken"
    PENALTY_SAVED = "penalty saved"
    PENALTY_MISSED = "penalty missed"
    PENALTY_RETAKEN = "penalty retaken"
    SHOOT_OUT_KICK = "shoot-out kick"  # how: scored, saved, missed
    YELLOW = "yellow"
    SECOND_YELLOW = "second yellow"
    RED = "red"
    SUBSTITUTION = "substitution"  # person leaves, other comes on
    LATE_CHANGE = "late change"  # in the warm-up: person out of the eleven, other in
    TEMPORARY_DISMISSAL = "temporary dismissal"
    RETURN = "return"  # after a temporary dismissal or treatment off the pitch
    INJURY = "injury"
    TREATMENT = "treatment"
    REVIEW = "review"
    BREAK = "break"  # drinks or cooling
    ADDED_TIME = "added time"  # note holds the minutes shown
    IN_GOAL = "in goal"  # person goes in goal
    CAPTAIN = "captain"  # person takes the armband
    SHIRT = "shirt"  # person now wears `number`, None = no number
    KIT = "kit"  # the side changes its kit, letter in note
    TRIBUTE = "tribute"
    FLOODLIGHTS = "floodlights"
    SUSPENDED = "suspended"
    RESUMED = "resumed"
    ABANDONED = "abandoned"
    NOTE = "note"
    WITHDRAWN = "withdrawn"  # takes back the entry it names in `supersedes`


class How(StrEnum):
    """How a goal, a shoot-out kick or a substitution came about."""

    PLAY = ""
    HEADER = "header"
    PENALTY = "penalty"
    FREE_KICK = "free kick"
    OWN_GOAL = "own goal"
    SCORED = "scored"
    SAVED = "saved"
    MISSED = "missed"
    CONCUSSION = "concussion"  # a substitution that is not counted


class Standing(StrEnum):
    """Whether a goal counts. Only a disallowed one leaves the score as it was."""

    GIVEN = "given"
    UNDER_REVIEW = "under review"
    STANDS = "stands"
    DISALLOWED = "disallowed"


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the match log.

    `side` is the side it concerns; for a goal the side it counts for (an own goal's `person`
    belongs to the other side). `other` is who assists, or who comes on. `happened` is None when
    only `printed`, `elapsed_s` or the typing says when. `period` is 1, 2, 3, 4 (extra time) or 5
    (shoot-out), None when the fold is to find it. `elapsed_s` is the clock of that period, as a
    scoreboard or a file gave it. `number` is a shirt number for SHIRT entries. `supersedes` names
    the entry this one replaces. `frame` is the id of the frame that pins `happened`. `imported`
    is True when the typing says nothing of when it happened.
    """

    id: EntryId
    kind: Kind
    typed: Instant
    happened: Interval | None = None
    printed: MinuteLabel | None = None
    period: int | None = None
    side: Side | None = None
    person: PersonId | None = None
    other: PersonId | None = None
    how: How = How.PLAY
    standing: Standing = Standing.GIVEN
    number: int | None = None
    note: str = ""
    supersedes: EntryId | None = None
    frame: str = ""
    elapsed_s: float | None = None
    imported: bool = False

    def __post_init__(self) -> None:
        if self.period is not None and not 1 <= self.period <= 5:
            raise WrongUse("a match has periods 1 to 5", thing=f"e{self.id}")
        if self.kind is Kind.WITHDRAWN and self.supersedes is None:
            raise WrongUse("a withdrawal names the entry it takes back", thing=f"e{self.id}")
        if self.kind in (Kind.KICK_OFF, Kind.PERIOD_END) and self.period is None:
            raise WrongUse("a whistle belongs to a period", thing=f"e{self.id}")
        if self.elapsed_s is not None and (self.elapsed_s < 0 or self.period is None):
            raise WrongUse("a clock reading is 0:00 or more, of a period", thing=f"e{self.id}")
        if self.supersedes is not None and self.supersedes >= self.id > 0:
            raise WrongUse("an entry can only replace an earlier one", thing=f"e{self.id}")

    @property
    def says_when(self) -> bool:
        """Whether the entry itself says when it happened."""
        return self.happened is not None or self.printed is not None or self.elapsed_s is not None


def known(log: Iterable[Entry], as_known_at: Instant | None) -> tuple[Entry, ...]:
    """The entries typed by then, in the order of their ids; all of them for None."""
    kept = (e for e in log if as_known_at is None or e.typed <= as_known_at)
    return tuple(sorted(kept, key=lambda e: e.id))


def current(log: Iterable[Entry], *, as_known_at: Instant | None = None) -> tuple[Entry, ...]:
    """The entries that stand, in log order: not superseded, not withdrawn.

    Of two corrections of one entry the later stands. Taking back a withdrawal restores what it
    withdrew. A correction that does not say when it happened keeps the time of what it corrects.
    With `as_known_at`, what was thought then: later typing is left out.
    """
    entries = known(log, as_known_at)
    if not any(e.supersedes for e in entries):
        return entries
    gone: set[EntryId] = set()
    for entry in reversed(entries):
        target = entry.supersedes
        if target is None or (entry.kind is Kind.WITHDRAWN and entry.id in gone):
            continue
        if target in gone:
            gone.add(entry.id)
        gone.add(target)
    by_id = {e.id: e for e in entries}
    return tuple(
        _with_inherited_time(e, by_id)
        for e in entries
        if e.id not in gone and e.kind is not Kind.WITHDRAWN
    )


def _with_inherited_time(entry: Entry, by_id: dict[EntryId, Entry]) -> Entry:
    if entry.supersedes is None or entry.says_when:
        return entry
    older = by_id.get(entry.supersedes)
    while older is not None and not older.says_when and older.supersedes is not None:
        older = by_id.get(older.supersedes)
    if older is None:
        return entry
    return replace(
        entry,
        typed=older.typed,
        happened=older.happened,
        printed=older.printed,
        elapsed_s=older.elapsed_s,
        period=older.period if older.elapsed_s is not None else entry.period or older.period,
        frame=entry.frame or older.frame,
        imported=older.imported,
    )


def history(log: Iterable[Entry], entry_id: EntryId) -> tuple[Entry, ...]:
    """Every version of what `entry_id` tells, oldest first, withdrawals included."""
    entries = known(log, None)
    roots: dict[EntryId, EntryId] = {}
    for entry in entries:
        target = entry.supersedes
        roots[entry.id] = roots.get(target, target) if target is not None else entry.id
    root = roots.get(entry_id)
    return tuple(e for e in entries if roots[e.id] == root)
