"""What the fold answers for one instant: period, minute, score, who is on, cards so far."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from setpiece.match.entries import EntryId, How, Standing
from setpiece.match.instants import MinuteLabel
from setpiece.match.people import PersonId, Side


class Phase(StrEnum):
    """Where the match stands. The values are printed."""

    BEFORE = "before kick-off"
    FIRST_HALF = "first half"
    HALF_TIME = "half-time"
    SECOND_HALF = "second half"
    FULL_TIME = "full time"
    EXTRA_FIRST = "first half of extra time"
    EXTRA_INTERVAL = "interval of extra time"
    EXTRA_SECOND = "second half of extra time"
    SHOOT_OUT = "shoot-out"
    SUSPENDED = "suspended"
    ABANDONED = "abandoned"
    OVER = "over"


@dataclass(frozen=True, slots=True, order=True)
class Score:
    """Goals of home and away. Printed home first, with an en dash."""

    home: int = 0
    away: int = 0

    def plus(self, side: Side) -> Score:
        """The score with one more goal for that side."""
        if side is Side.HOME:
            return Score(self.home + 1, self.away)
        return Score(self.home, self.away + 1)

    def of(self, side: Side) -> int:
        """The goals of one side."""
        return self.home if side is Side.HOME else self.away

    def __str__(self) -> str:
        return f"{self.home}–{self.away}"


@dataclass(frozen=True, slots=True)
class Worn:
    """Somebody on the pitch, and the number on the shirt she wears now (None: no number)."""

    person: PersonId
    number: int | None


@dataclass(frozen=True, slots=True)
class GoalSoFar:
    """A goal logged up to this instant. `score` is the running score it made, None if disallowed.

    `side` is the side it counts for; an own goal's `scorer` belongs to the other.
    """

    entry: EntryId
    side: Side
    scorer: PersonId | None
    assist: PersonId | None
    how: How
    standing: Standing
    label: MinuteLabel | None
    score: Score | None


@dataclass(frozen=True, slots=True)
class KickSoFar:
    """A kick of the shoot-out up to this instant; `tally` is the shoot-out score after it."""

    entry: EntryId
    side: Side | None
    person: PersonId | None
    how: How
    tally: Score


class Card(StrEnum):
    """A card shown."""

    YELLOW = "yellow"
    SECOND_YELLOW = "second yellow"
    RED = "red"


@dataclass(frozen=True, slots=True)
class CardShown:
    """A card shown up to this instant, and to whom."""

    entry: EntryId
    side: Side | None
    person: PersonId | None
    card: Card
    label: MinuteLabel | None


@dataclass(frozen=True, slots=True)
class Left:
    """Somebody who left the pitch for good, when, and for whom (None: dismissed)."""

    person: PersonId
    label: MinuteLabel | None
    replaced_by: PersonId | None


@dataclass(frozen=True, slots=True)
class SideState:
    """One side at an instant. `captain` wears the armband, `in_goal` keeps goal.

    `off` are those off the pitch for a time, after a temporary dismissal; `kit` is the letter.
    """

    on_pitch: tuple[Worn, ...] = ()
    bench: tuple[PersonId, ...] = ()
    dismissed: tuple[PersonId, ...] = ()
    left: tuple[Left, ...] = ()
    in_goal: PersonId | None = None
    captain: PersonId | None = None
    kit: str = ""
    off: tuple[PersonId, ...] = ()

    def number_of(self, person: PersonId) -> int | None:
        """The number she wears on the pitch now, None when off or without a number."""
        return next((w.number for w in self.on_pitch if w.person == person), None)

    def wearing(self, number: int) -> PersonId | None:
        """Who on the pitch wears that number now."""
        return next((w.person for w in self.on_pitch if w.number == number), None)

    def is_on(self, person: PersonId) -> bool:
        """Whether she is on the pitch now."""
        return any(w.person == person for w in self.on_pitch)


@dataclass(frozen=True, slots=True)
class State:
    """The match at one instant. `shoot_out` is kept apart from `score`.

    `unsure` names entries that may have happened before or after this instant.
    """

    phase: Phase
    score: Score
    home: SideState
    away: SideState
    period: int | None = None
    label: MinuteLabel | None = None
    elapsed_s: float | None = None
    goals: tuple[GoalSoFar, ...] = ()
    cards: tuple[CardShown, ...] = ()
    shoot_out: Score | None = None
    last_entry: EntryId | None = None
    kicks: tuple[KickSoFar, ...] = ()
    unsure: tuple[EntryId, ...] = ()

    def side(self, side: Side) -> SideState:
        """The state of one side."""
        return self.home if side is Side.HOME else self.away
