"""A match as plain data, and the truth of it at any second."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta


@dataclass
class Someone:
    """One person of the sheet."""

    id: str
    name: str
    side: str
    number: int | None
    role: str
    starts: bool = False
    title: str = ""
    pronouns: str = ""


@dataclass
class Event:
    """Something that happened at a second of real time since kick-off."""

    at_s: float
    kind: str
    side: str = ""
    person: str = ""
    other: str = ""
    how: str = ""
    standing: str = ""
    number: int | None = None
    minute: str = ""


@dataclass
class Club:
    """A side's names and the letters of its kits."""

    name: str
    short: str
    letter: str
    colour: str
    keeper_letter: str
    keeper_colour: str


@dataclass
class Match:
    """A match: fixture, clubs, people, periods as (number, start, end) in seconds, events."""

    id: str
    competition: str
    stage: str
    venue: str
    city: str
    country: str
    zone: str
    kick_off: datetime
    home: Club
    away: Club
    people: list[Someone]
    periods: list[tuple[int, float, float]]
    events: list[Event] = field(default_factory=list)

    def person(self, person_id: str) -> Someone:
        return next(p for p in self.people if p.id == person_id)

    def club(self, side: str) -> Club:
        return self.home if side == "home" else self.away

    def time(self, at_s: float) -> datetime:
        return self.kick_off + timedelta(seconds=at_s)


STARTS = {1: 0, 2: 45, 3: 90, 4: 105}
REGULAR = {1: 45, 2: 90, 3: 105, 4: 120}


def minute(match: Match, at_s: float) -> str | None:
    """The minute as printed: whole minutes elapsed and one; past the regular end as added."""
    for period, start, end in match.periods:
        if period in STARTS and start <= at_s < end:
            count = int((at_s - start) // 60) + 1 + STARTS[period]
            if count > REGULAR[period]:
                return f"{REGULAR[period]}+{count - REGULAR[period]}"
            return str(count)
    return None


def goals(match: Match, at_s: float) -> list[tuple[Event, tuple[int, int] | None]]:
    """The goals before that second with the running score each made, None when disallowed."""
    home = away = 0
    found: list[tuple[Event, tuple[int, int] | None]] = []
    for event in sorted(match.events, key=lambda e: e.at_s):
        if event.kind != "goal" or event.at_s > at_s:
            continue
        if event.standing == "disallowed":
            found.append((event, None))
            continue
        if event.side == "home":
            home += 1
        else:
            away += 1
        found.append((event, (home, away)))
    return found


def score(match: Match, at_s: float) -> tuple[int, int]:
    """The score just before anything that happens at that second."""
    made = [s for e, s in goals(match, at_s) if s is not None and e.at_s < at_s]
    return made[-1] if made else (0, 0)


def on_pitch(match: Match, side: str, at_s: float) -> dict[str, int | None]:
    """Who is on at that second, each with the number worn."""
    on = {p.id: p.number for p in match.people if p.side == side and p.starts}
    for event in sorted(match.events, key=lambda e: e.at_s):
        if event.at_s >= at_s:
            break
        if event.side != side and event.kind != "shirt":
            continue
        if event.kind == "substitution":
            on.pop(event.person, None)
            on[event.other] = match.person(event.other).number
        elif event.kind in ("red", "second yellow"):
            on.pop(event.person, None)
        elif event.kind == "shirt" and event.person in on:
            on[event.person] = event.number
    return on


def bench(match: Match, side: str, at_s: float) -> list[str]:
    """Substitutes who have not come on yet, and players who were replaced."""
    on = on_pitch(match, side, at_s)
    gone = {e.person for e in match.events if e.kind in ("red", "second yellow") and e.at_s < at_s}
    return [
        p.id
        for p in match.people
        if p.side == side and p.role in ("player", "goalkeeper") and p.id not in on
        and p.id not in gone
    ]  # fmt: skip


def keeper(match: Match, side: str, at_s: float) -> str | None:
    """The goalkeeper on the pitch, None without one."""
    on = on_pitch(match, side, at_s)
    return next((p for p in on if match.person(p).role == "goalkeeper"), None)
