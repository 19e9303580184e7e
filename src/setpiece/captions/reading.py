"""What a line was understood to say: the structure a screen shows before Enter."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from setpiece.captions.line import Correction
from setpiece.match.entries import EntryId
from setpiece.match.instants import MinuteLabel
from setpiece.match.people import PersonId, Side
from setpiece.match.state import Score


class Part(StrEnum):
    """The part a person has in the act."""

    SUBJECT = "who"
    OBJECT = "whom"
    MATE = "with"
    FOE = "against"
    FOR = "for"
    ENTRY = "after"
    PLACE = "where"


class Nature(StrEnum):
    """What kind of person stands in the line."""

    PLAYER = "player"
    STAFF = "staff"
    OFFICIAL = "official"
    GUEST = "guest"
    SOMEONE = "someone"
    GROUP = "group"
    STRANGER = "stranger"


class Whereabouts(StrEnum):
    """Where a person of the sheet is at that instant."""

    ON_PITCH = "on the pitch"
    BENCH = "on the bench"
    SUBSTITUTED = "substituted"
    DISMISSED = "sent off"
    OFF = "off the pitch for a time"
    ELSEWHERE = "not one of the players"


@dataclass(frozen=True, slots=True)
class Participant:
    """One person, or group, of the line as understood.

    `number_worn` is the number on the shirt at that instant, None without one. `since` is the
    minute in which she was substituted or sent off. `key` names a group, role or stranger.
    """

    part: Part
    nature: Nature
    typed: str
    start: int
    end: int
    person: PersonId | None = None
    name: str = ""
    number_worn: int | None = None
    position: str = ""
    title: str = ""
    side: Side | None = None
    kit_letter: str = ""
    kit_colour: str = ""
    goalkeeper: bool = False
    pronouns: str = ""
    places: tuple[str, ...] = ()
    whereabouts: Whereabouts = Whereabouts.ELSEWHERE
    since: MinuteLabel | None = None
    key: str = ""


@dataclass(frozen=True, slots=True)
class Bound:
    """The log entry that a line speaks of, with what it made.

    `scorer` is the entry's person; `score` the running score a goal made, None when it does
    not count; `event` the kind of entry by the act files' word.
    """

    entry: EntryId
    event: str
    label: MinuteLabel | None
    scorer: PersonId | None = None
    side: Side | None = None
    how: str = ""
    standing: str = ""
    score: Score | None = None
    said: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """A line as understood: people, act, entry, ways and places.

    `said` of the bound entry is True when the line named it with `after`.
    """

    line: str
    act: str
    people: tuple[Participant, ...]
    bound: Bound | None = None
    event: str = ""
    hows: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    milestones: tuple[tuple[str, int], ...] = ()
    quotes: tuple[str, ...] = ()
    corrections: tuple[Correction, ...] = ()

    def part(self, *parts: Part) -> tuple[Participant, ...]:
        """Those who have one of these parts, as typed."""
        return tuple(p for p in self.people if p.part in parts)
