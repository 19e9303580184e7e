"""What a phone needs to log by itself, and how what it logged comes into the match.

An entry of a phone is known by the instant of its key, to the millisecond: sent twice, after an
answer was lost, it is logged once.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import Literal

from setpiece.errors import AskPhotographer, NotFound
from setpiece.match.entries import Kind
from setpiece.match.instants import Instant, instant, read_instant, write_instant
from setpiece.match.people import Person, Side
from setpiece.store.workspace import Workspace
from setpiece.web.mast import phase_words, safe_colour, state_now
from setpiece.web.sentences import sentence
from setpiece.web.wording import Wording
from setpiece.work.job import Caller
from setpiece.work.logbook import add_line, withdraw
from setpiece.work.matchday import Matchday

SAME_S = 0.0005
"""Two instants of one phone nearer than this are one: it counts milliseconds."""


@dataclass(frozen=True, slots=True)
class Logged:
    """One key of the phone: a line of the log, or taking one back, at the match's true time."""

    at: str
    line: str = ""
    act: Literal["log", "undo"] = "log"


@dataclass(frozen=True, slots=True)
class Player:
    """One player as the phone shows her: the number, what is typed for her, whether she is on."""

    number: int
    typed: str
    name: str
    on: bool


@dataclass(frozen=True, slots=True)
class SideLoaded:
    """One side as the phone shows it."""

    side: str
    name: str
    letter: str
    colour: str
    players: tuple[Player, ...]


@dataclass(frozen=True, slots=True)
class Loaded:
    """All that the phone keeps of a match. `elapsed_s` is None while no minute runs."""

    title: str
    score: str
    phase: str
    minute: str
    elapsed_s: float | None
    at: str
    sides: tuple[SideLoaded, ...]


def loaded(day: Matchday, now: Instant, words: Wording) -> Loaded:
    """The match as a phone takes it along."""
    state = state_now(day, now)
    return Loaded(
        title=" – ".join(day.sheet.side(s).short_name or day.sheet.side(s).name for s in Side),
        score=str(state.score),
        phase=phase_words(state.phase, words),
        minute=f"{state.label}'" if state.label else "",
        elapsed_s=state.elapsed_s,
        at=write_instant(now),
        sides=tuple(_side(day, side, now) for side in Side),
    )


def _side(day: Matchday, side: Side, now: Instant) -> SideLoaded:
    club, state = day.sheet.side(side), state_now(day, now).side(side)
    kit = next((k for k in club.kits if not k.goalkeeper), None)
    players = []
    for person in day.sheet.players(side):
        worn = state.number_of(person.id) if state.is_on(person.id) else person.number
        if worn is not None and person.id not in state.dismissed:
            typed = f"{worn}{kit.letter}" if kit else _called(person)
            players.append(Player(worn, typed, person.name, state.is_on(person.id)))
    return SideLoaded(
        side.value,
        club.short_name or club.name,
        kit.letter if kit else side.value,
        safe_colour(kit.hex_colour) if kit else "",
        tuple(sorted(players, key=lambda p: p.number)),
    )


def _called(person: Person) -> str:
    """A name in one word, for a side without kits: what the log line finds her by."""
    return (person.family_name or person.name).split()[-1]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one key: the entry's number and sentence, or why it was not logged."""

    at: str
    entry: int = 0
    said: str = ""
    wrong: str = ""


def log_all(
    space: Workspace, day: Matchday, keys: tuple[Logged, ...], caller: Caller, words: Wording
) -> tuple[Outcome, ...]:
    """Logs what a phone sends, in its order; a line that cannot be meant holds up no other.

    Raises what has nothing to do with a line, as a full disk: the phone then keeps all of it.
    """
    outcomes = []
    for key in keys:
        day = Matchday(space, day.match)
        try:
            outcomes.append(_one(space, day, key, caller, words))
        except AskPhotographer as error:
            outcomes.append(Outcome(key.at, wrong=words.told(str(error))))
    return tuple(outcomes)


def _one(space: Workspace, day: Matchday, key: Logged, caller: Caller, words: Wording) -> Outcome:
    at = read_instant(key.at)
    known = _typed_at(day, at)
    if key.act == "undo":
        return _undo(space, day, key, known, caller)
    if known:
        return Outcome(key.at, known)
    entry = add_line(space, day.match, key.line, caller, typed=at)
    told = sentence(entry, Matchday(space, day.match), words)
    return Outcome(key.at, entry.id, told.plain)


def _undo(space: Workspace, day: Matchday, key: Logged, known: int, caller: Caller) -> Outcome:
    if not known:
        raise NotFound("nothing was logged at that moment", thing=key.at)
    if any(e.id == known for e in day.fold.entries):
        withdraw(space, day.match, known, caller)
    return Outcome(key.at, known)


def _typed_at(day: Matchday, at: Instant) -> int:
    """The entry typed at that very millisecond, 0 for none."""
    near = timedelta(seconds=SAME_S)
    for entry in day.log:
        if entry.kind is not Kind.WITHDRAWN and abs(instant(entry.typed) - at) <= near:
            return entry.id
    return 0
