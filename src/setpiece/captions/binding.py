"""Which entry of the log a line speaks of: one that fits, or a question."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import timedelta

from setpiece.captions.acts import BINDS, Act
from setpiece.captions.language import Language
from setpiece.captions.line import After, Line, Question, ShorthandError
from setpiece.captions.reading import Bound, Part, Participant
from setpiece.captions.situation import Situation
from setpiece.errors import WrongUse
from setpiece.match.entries import Entry, How, Kind, Standing
from setpiece.match.instants import MinuteLabel
from setpiece.match.people import PersonId, Side

_HOWS: dict[str, Callable[[Entry], bool]] = {
    "own goal": lambda e: e.how is How.OWN_GOAL,
    "penalty goal": lambda e: e.how is How.PENALTY,
    "disallowed goal": lambda e: e.standing is Standing.DISALLOWED,
    "shoot-out scored": lambda e: e.how is How.SCORED,
    "shoot-out saved": lambda e: e.how is How.SAVED,
    "shoot-out missed": lambda e: e.how in (How.MISSED, How.SAVED),
}
"""What an entry must be beyond its kind, by the act files' word."""

LATER_S = 60
"""How long after the frame an entry named with `after` may be logged to have happened: a log
is typed late and by hand. Our choice."""


def bind(
    line: Line, act: Act, people: Sequence[Participant], situation: Situation, language: Language
) -> tuple[Bound | None, str]:
    """The entry the line is bound to, and the event it named when that is no entry.

    Raises Choices where none or several fit and the act or the line needs one.
    """
    if line.after is not None:
        return _after(line.after, people, situation, language)
    if not act.binds:
        return None, ""
    fitting = [
        e
        for e in situation.fold.entries
        if _is(e, act.binds) and _concerns(e, act, people, situation)
    ]
    pinned = [e for e in fitting if e.id == situation.pinned]
    near = pinned or [e for e in fitting if _near(e, act, situation)]
    if len(near) == 1:
        return _bound(near[0], act.binds, situation), ""
    if near:
        raise Question(
            "more than one entry of the log fits",
            [entry_words(e, situation) for e in near],
            thing=line.text,
            start=line.act_start,
            end=line.act_end,
            next_step="Say which with after, as in after 74 goal.",
        )
    if act.needs_entry:
        raise Question(
            f"no {act.binds} that fits is logged near this frame",
            [entry_words(e, situation) for e in fitting],
            thing=line.text[line.act_start : line.act_end],
            start=line.act_start,
            end=line.act_end,
            next_step="Log it first, or say what is seen, as shoots or celebrates.",
        )
    return None, ""


def _is(entry: Entry, word: str) -> bool:
    if entry.kind not in BINDS[word]:
        return False
    if word == "goal" and entry.period == 5:
        return False
    return word not in _HOWS or _HOWS[word](entry)


def _ids(people: Sequence[Participant], *parts: Part) -> set[PersonId]:
    return {p.person for p in people if p.part in parts and p.person is not None}


def _concerns(entry: Entry, act: Act, people: Sequence[Participant], situation: Situation) -> bool:
    """Whether the entry can be about these people."""
    who, whom = _ids(people, Part.SUBJECT), _ids(people, Part.OBJECT)
    lead = next((p.side for p in people if p.part is Part.SUBJECT and p.side), None)
    side = goal_side(entry, situation) if entry.kind is Kind.GOAL else entry.side
    scorers = {"goal", "own goal", "penalty goal"}
    if act.binds in scorers and act.needs_entry:
        if who:
            return entry.person in who
        conceded = entry.how is How.OWN_GOAL
        return lead is None or side is (lead.other if conceded and side else lead)
    if act.binds == "goal":
        acted_on = {"is-beaten"}
        if act.id in acted_on:
            return lead is None or side is lead.other
        return lead is None or side is lead
    if act.binds == "assist":
        return entry.other in who and (not whom or entry.person in whom)
    if act.binds in ("yellow", "second yellow", "red"):
        carded = whom or {p for p in who if not _official(p, situation)}
        return not carded or entry.person in carded
    if act.binds == "substitution":
        return not (who | whom) - {entry.person, entry.other}
    if act.binds.startswith("shoot-out") and act.binds != "shoot-out saved":
        return not who or entry.person in who
    if act.binds in ("penalty taken", "penalty missed", "penalty saved", "shoot-out saved"):
        named = {entry.person, entry.other} - {None}
        return not named or not (who | whom) or bool(named & (who | whom))
    if act.binds == "injury":
        hurt = whom or who
        return not hurt or entry.person is None or entry.person in hurt
    return True


def _official(person: PersonId, situation: Situation) -> bool:
    found = situation.person(person)
    return found is None or found.side is None


def _near(entry: Entry, act: Act, situation: Situation) -> bool:
    when = situation.fold.when(entry)
    before, after = (timedelta(seconds=s) for s in act.entry_within_s)
    return when.end >= situation.at.start - before and when.start <= situation.at.end + after


def goal_side(entry: Entry, situation: Situation) -> Side | None:
    """The side a goal counts for."""
    if entry.side is not None:
        return entry.side
    scorer = situation.person(entry.person)
    if scorer is None or scorer.side is None:
        return None
    return scorer.side.other if entry.how is How.OWN_GOAL else scorer.side


def _bound(entry: Entry, event: str, situation: Situation) -> Bound:
    return Bound(
        entry=entry.id,
        event=event,
        label=situation.fold.minute_of(entry),
        scorer=entry.person,
        side=goal_side(entry, situation) if entry.kind is Kind.GOAL else entry.side,
        how=entry.how.value,
        standing=entry.standing.value,
        score=situation.fold.score_made_by(entry.id),
    )


def _after(
    after: After, people: Sequence[Participant], situation: Situation, language: Language
) -> tuple[Bound | None, str]:
    """The entry named with `after`."""
    matches = language.term("event", after.event).matches
    if after.event and not matches:
        return None, after.event
    wanted = matches[0] if matches else ""
    label = _label(after)
    person = _ids(people, Part.ENTRY) if after.person else set()
    known = [
        e
        for e in situation.fold.entries
        if (_is(e, wanted) if wanted else _tells(e))
        and (not person or e.person in person)
        and situation.fold.when(e).start <= situation.at.end + timedelta(seconds=LATER_S)
    ]
    fitting = [e for e in known if label is None or situation.fold.minute_of(e) == label]
    if len(fitting) > 1 and label is None:
        recent = timedelta(seconds=240)
        near = [e for e in fitting if situation.fold.when(e).end >= situation.at.start - recent]
        fitting = near if len(near) == 1 else fitting
    if len(fitting) == 1:
        found = _bound(fitting[0], wanted or _word_for(fitting[0]), situation)
        return replace(found, said=True), after.event
    if fitting:
        raise Question(
            "more than one entry of the log fits",
            [entry_words(e, situation) for e in fitting],
            thing=after.event or after.minute,
            start=after.start,
            end=after.end,
            next_step="Say the minute as well.",
        )
    raise ShorthandError(
        "no such entry is in the log before this frame",
        start=after.start,
        end=after.end,
        word=" ".join(w for w in (after.minute, after.event) if w),
        nearest=tuple(entry_words(e, situation) for e in known[-3:]),
        next_step="" if known else "Log it first.",
    )


def _label(after: After) -> MinuteLabel | None:
    if not after.minute:
        return None
    try:
        return MinuteLabel.read(after.minute)
    except WrongUse as error:
        raise ShorthandError(
            error.what, start=after.start, end=after.end, word=after.minute,
            next_step=error.next_step,
        ) from error  # fmt: skip


def _tells(entry: Entry) -> bool:
    return any(entry.kind in kinds for word, kinds in BINDS.items() if word)


def _word_for(entry: Entry) -> str:
    return next((word for word, kinds in BINDS.items() if entry.kind in kinds), "")


def entry_words(entry: Entry, situation: Situation) -> str:
    """An entry in a list of choices: minute, kind, person."""
    label = situation.fold.minute_of(entry)
    person = situation.person(entry.person)
    minute = f"{label}' " if label else ""
    how = f", {entry.how}" if entry.how else ""
    name = f", {person.name}" if person else ""
    return f"{minute}{entry.kind}{how}{name}"
