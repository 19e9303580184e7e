"""The shot list of a match: what is wanted, what the set has of it, whom to look for now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from setpiece.captions.acts import Acts
from setpiece.captions.reading import Nature
from setpiece.errors import NotFound, WrongUse
from setpiece.match.entries import Entry, Kind, Standing, current
from setpiece.match.instants import Instant
from setpiece.match.people import PersonId, Side
from setpiece.match.state import Phase, State
from setpiece.plan.choices import Choices
from setpiece.plan.shotlist import (
    Answer,
    Balance,
    Pictured,
    Reminder,
    Shot,
    answers,
    balance,
    coverage,
    covered,
    reminders,
)
from setpiece.plan.templates import AFTER, BEFORE, MATCH, template
from setpiece.plan.wants import Want, shot_of
from setpiece.store.forms import from_json, to_json
from setpiece.store.frames import Decision
from setpiece.store.matches import Match
from setpiece.store.wants import (
    add_want,
    change_plan_text,
    change_want,
    plan_text,
    wants_of,
)
from setpiece.store.workspace import Workspace
from setpiece.work.find.rows import is_upright
from setpiece.work.job import Caller
from setpiece.work.matchday import Matchday
from setpiece.work.style_files import load_acts

_SHOWN_BY: Mapping[Kind, frozenset[str]] = MappingProxyType(
    {
        Kind.GOAL: frozenset({"goals", "celebrations"}),
        Kind.YELLOW: frozenset({"shows-yellow"}),
        Kind.SECOND_YELLOW: frozenset({"shows-second-yellow"}),
        Kind.RED: frozenset({"shows-red"}),
        Kind.SHOOT_OUT_KICK: frozenset({"shoot-out"}),
        Kind.PENALTY_SAVED: frozenset({"saves-penalty"}),
    }
)
"""What frames of a passage may show when the log has such an entry in it."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """The shot list of a match at one instant.

    `stage` is the part of the day it is: before, match or after. `answers` is the whole list.
    `at_hand` gives for a line that is still wanted, by its key, the frames that would answer it
    and are not in the set: captioned ones first, then those of passages the log speaks of.
    """

    stage: str
    answers: tuple[Answer, ...]
    at_hand: Mapping[str, tuple[str, ...]]
    balance: Balance
    reminders: tuple[Reminder, ...]

    @property
    def done(self) -> tuple[int, int]:
        """How many lines are done, and of how many."""
        return covered(self.answers)

    @property
    def missing(self) -> tuple[Answer, ...]:
        """What is still wanted: what can be got now first, then what is to come, then the rest."""
        order = {BEFORE: 0, MATCH: 1, AFTER: 2}
        now = order[self.stage]

        def turn(answer: Answer) -> tuple[bool, int]:
            away = order[answer.shot.when] - now
            return away < 0, abs(away)

        return tuple(sorted((a for a in self.answers if not a.done), key=turn))


def still_wanted(day: Matchday, at: Instant) -> Wanted:
    """What is still wanted of a match and whom to look for, at that instant.

    The set answers the list by its captions; reminders count every captioned frame that is not
    spiked, and only people who are on the pitch. Reads the wants anew; everything else comes
    from `day`. A few milliseconds for a whole match.
    """
    state = day.fold.state_at(at)
    acts = load_acts(day.space.folder)
    seen = {
        i: pictured(day, i, acts)
        for i in day.captions
        if i in day.frames and day.frames[i].decision is not Decision.SPIKE
    }
    the_set = [p for i, p in seen.items() if day.frames[i].decision is Decision.USE]
    entries = [
        e
        for e in current(day.log)
        if day.fold.when(e).start <= at and e.standing is not Standing.DISALLOWED
    ]
    whole = coverage(shot_list(day), the_set, [(e.kind, e.id) for e in entries])
    others = [p for i, p in seen.items() if day.frames[i].decision is not Decision.USE]
    others += _of_passages(day, entries)
    return Wanted(
        _stage(state),
        whole,
        {
            a.shot.key: tuple(dict.fromkeys(p.frame for p in others if answers(a.shot, p)))
            for a in whole
            if not a.done
        },
        balance(the_set),
        _reminders(day, state, seen.values(), whole, entries),
    )


def _stage(state: State) -> str:
    if state.phase is Phase.BEFORE:
        return BEFORE
    over = state.phase in (Phase.FULL_TIME, Phase.OVER, Phase.ABANDONED)
    return AFTER if over else MATCH


def _reminders(
    day: Matchday,
    state: State,
    seen: Iterable[Pictured],
    whole: Iterable[Answer],
    entries: Iterable[Entry],
) -> tuple[Reminder, ...]:
    if state.label is None:
        return ()
    came_on: dict[PersonId, int] = {}
    for entry in entries:
        label = day.fold.minute_of(entry)
        if entry.kind is Kind.SUBSTITUTION and entry.other is not None and label is not None:
            came_on[entry.other] = label.minute
    playing = {w.person for side in Side for w in state.side(side).on_pitch}
    return reminders(
        [a.shot for a in whole],
        seen,
        state.label.minute,
        on_the_pitch=frozenset(playing),
        came_on=came_on,
    )


def pictured(day: Matchday, frame_id: str, acts: Acts) -> Pictured:
    """A captioned frame as the shot list sees it."""
    caption = day.captions[frame_id].caption
    reading = caption.reading
    named = {fact.person for fact in caption.facts.people}
    people = [p for p in day.sheet.people if p.id in named]
    sides = [p.side for p in reading.people if p.side is not None] if reading else []
    sides = sides or [p.side for p in people if p.side is not None]
    subjects = {k.casefold() for k in caption.fields.keywords}
    if reading is not None:
        act = acts.acts.get(reading.act)
        subjects |= {reading.act} | ({act.shot} if act and act.shot else set())
        subjects |= {p.key for p in reading.people if p.nature is Nature.GROUP}
    placed = day.places.get(frame_id)
    label = placed.state.label if placed else None
    return Pictured(
        frame_id,
        frozenset(subjects),
        frozenset(p.id for p in people),
        sides[0] if sides else None,
        label.minute if label else None,
        is_upright(day.metadata[frame_id]),
        frozenset(p.role for p in people),
        frozenset(caption.facts.entries),
    )


def _of_passages(day: Matchday, entries: Iterable[Entry]) -> list[Pictured]:
    """What frames without a caption may show: their passage spans an entry of the log."""
    telling = [(e, day.fold.when(e)) for e in entries if e.kind in _SHOWN_BY]
    found = []
    for passage in day.passages:
        frames = [
            i
            for i in passage.frame_ids
            if i not in day.captions and day.frames[i].decision is Decision.NONE
        ]
        for entry, when in telling:
            if passage.span.start <= when.end and when.start <= passage.span.end:
                people = {p for p in (entry.person, entry.other) if p is not None}
                found += [
                    Pictured(
                        i,
                        _SHOWN_BY[entry.kind],
                        frozenset(people),
                        entry.side,
                        upright=is_upright(day.metadata[i]),
                        entries=frozenset({entry.id}),
                    )
                    for i in frames
                ]
    return found


# ----- the list -----


def shot_list(day: Matchday) -> tuple[Shot, ...]:
    """The whole list of a match: single wants first, then its template without what was struck."""
    chosen = choices_of(day.space, day.match)
    names = _names(day)
    wants = [
        shot_of(want, number, names[want.person] if want.person else "")
        for number, want in all_wants(day.space, day.match)
        if want.person is None or want.person in names
    ]
    return (*wants, *(s for s in template(chosen.template) if s.key not in chosen.struck))


def _names(day: Matchday) -> dict[PersonId, str]:
    """Everybody's name; nobody's before the first sheet."""
    try:
        return {p.id: p.name for p in day.sheet.people}
    except NotFound:
        return {}


def all_wants(space: Workspace, of: Match) -> tuple[tuple[int, Want], ...]:
    """The single wants of a match with their numbers, in the order they came."""
    return tuple((w.number, from_json(Want, w.text)) for w in wants_of(space, of))


def write_want(
    space: Workspace, of: Match, want: Want, caller: Caller, number: int | None = None
) -> int:
    """Keeps a want, in place of an earlier one where `number` names it. Gives its number."""
    if number is not None:
        change_want(space, of, number, to_json(want))
        return number
    return add_want(space, of, to_json(want), caller.now()).number


# ----- the choices -----


def choices_of(space: Workspace, of: Match) -> Choices:
    """What was chosen for a match; what was not has its usual value."""
    text = plan_text(space, of)
    return from_json(Choices, text) if text else Choices()


def change_choices(space: Workspace, of: Match, caller: Caller, **changed: Any) -> None:
    """Changes some of the choices and leaves the others as they are. Raises WrongUse."""

    def change(kept: str) -> str:
        before = from_json(Choices, kept) if kept else Choices()
        return to_json(replace(before, **changed))

    change_plan_text(space, of, change, caller.now())


def strike_shot(
    space: Workspace, of: Match, key: str, caller: Caller, *, struck: bool = True
) -> None:
    """Strikes a line of the template, or puts it back. Raises WrongUse for one it has not."""
    chosen = choices_of(space, of)
    if key not in {s.key for s in template(chosen.template)}:
        raise WrongUse("the list has no such line", thing=key)
    others = tuple(k for k in chosen.struck if k != key)
    change_choices(space, of, caller, struck=(*others, key) if struck else others)
