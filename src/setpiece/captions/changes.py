"""A changed fact: which captions it changes, old and new side by side.

A caption from shorthand is written again over today's facts and compared. Text typed over a
caption is held by the facts that were found in it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from typing import Generic, TypeVar

from setpiece.captions.acts import Acts
from setpiece.captions.caption import Caption, Facts
from setpiece.captions.compose import compose
from setpiece.captions.fields import PictureFields
from setpiece.captions.situation import Situation
from setpiece.captions.style import HouseStyle
from setpiece.captions.typed_over import person_fact
from setpiece.errors import AskPhotographer
from setpiece.match.people import Side
from setpiece.match.state import Score

Key = TypeVar("Key")

FROM_FACTS = (
    "headline", "description", "alt_text", "title", "keywords", "persons", "organisations",
    "event_name", "event_ids", "location_created", "location_shown", "city", "sublocation",
    "state", "country", "country_code", "date_created",
)  # fmt: skip
"""The fields that come from the match; the others are the desk's and the photographer's."""


@dataclass(frozen=True, slots=True)
class FieldChange:
    """One field as it was and as it would be now, as text."""

    field: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class ChangedFact:
    """One fact as the caption used it and as it stands now."""

    what: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Change(Generic[Key]):
    """A caption that is no longer as the facts have it.

    `new` is None where the facts no longer carry the line, or the text was typed: then
    `question` says why, and only a person can write it anew.
    """

    key: Key
    old: Caption
    new: Caption | None
    facts: tuple[ChangedFact, ...]
    fields: tuple[FieldChange, ...] = ()
    question: str = ""


def changed(
    captions: Mapping[Key, Caption],
    situation_of: Callable[[Key], Situation],
    style_of: Callable[[str], HouseStyle],
    acts: Acts,
) -> tuple[Change[Key], ...]:
    """Every caption that the facts of now would make another, in the order given.

    `situation_of` gives a frame's situation over today's log, sheet, fixture and clock;
    `style_of` the house style with a name.
    """
    found = (
        _change(key, caption, situation_of(key), style_of(caption.style), acts)
        for key, caption in captions.items()
    )
    return tuple(change for change in found if change is not None)


def _change(
    key: Key, old: Caption, situation: Situation, style: HouseStyle, acts: Acts
) -> Change[Key] | None:
    if old.reading is None:
        facts = tuple(changed_facts(old.facts, situation))
        if not facts:
            return None
        return Change(key, old, None, facts, question="The text was typed: correct it by hand.")
    try:
        again = compose(old.shorthand, situation, style, acts)
    except AskPhotographer as error:
        facts = tuple(changed_facts(old.facts, situation))
        return Change(key, old, None, facts, question=str(error))
    values = replace(old.fields, **{name: getattr(again.fields, name) for name in FROM_FACTS})
    new = replace(again, fields=values)
    differing = tuple(_differing(old.fields, values))
    if not differing:
        return None
    return Change(key, old, new, tuple(_between(old.facts, new.facts)), differing)


def _differing(old: PictureFields, new: PictureFields) -> Iterator[FieldChange]:
    for field in fields(PictureFields):
        was, now = getattr(old, field.name), getattr(new, field.name)
        if was != now:
            yield FieldChange(field.name, _words(was), _words(now))


def _words(value: object) -> str:
    if isinstance(value, tuple):
        return "; ".join(_words(v) for v in value)
    name = getattr(value, "name", None)
    if isinstance(name, str):
        description = getattr(value, "description", "")
        return f"{name} ({description})" if description else name
    return "" if value is None else str(value)


def _between(old: Facts, new: Facts) -> Iterator[ChangedFact]:
    """What differs between the facts of two captions of one line."""
    then, now = {p.person: p for p in old.people}, {p.person: p for p in new.people}
    for person_id in then | now:
        was, is_now = then.get(person_id), now.get(person_id)
        if was != is_now:
            yield ChangedFact(
                "person",
                f"{was.name}, {was.number_worn}" if was else "",
                f"{is_now.name}, {is_now.number_worn}" if is_now else "",
            )
    for what in ("score", "minute", "date"):
        if getattr(old, what) != getattr(new, what):
            yield ChangedFact(what, _words(getattr(old, what)), _words(getattr(new, what)))
    for what in ("places", "clubs"):
        if getattr(old, what) != getattr(new, what):
            yield ChangedFact(what, ", ".join(getattr(old, what)), ", ".join(getattr(new, what)))


def changed_facts(facts: Facts, situation: Situation) -> Iterator[ChangedFact]:
    """Which of these facts no longer stand in this situation."""
    for person in facts.people:
        if situation.person(person.person) is None:
            yield ChangedFact("person", person.name, "not on the sheet")
            continue
        now = person_fact(person.person, situation)
        if now.name != person.name:
            yield ChangedFact("name", person.name, now.name)
        if now.title != person.title and person.title:
            yield ChangedFact("title", person.title, now.title)
        if now.number_worn != person.number_worn and person.number_worn is not None:
            yield ChangedFact("number", str(person.number_worn), str(now.number_worn or "none"))
    yield from _entry_facts(facts, situation)
    fixture = situation.fixture
    day = fixture.local_date(situation.at.middle)
    if facts.date is not None and facts.date != day:
        yield ChangedFact("date", str(facts.date), str(day))
    places = tuple(p for p in (fixture.venue, fixture.city) if p)
    if facts.places != places:
        yield ChangedFact("places", ", ".join(facts.places), ", ".join(places))
    clubs = tuple(situation.sheet.side(side).name for side in Side)
    if facts.clubs != clubs:
        yield ChangedFact("clubs", ", ".join(facts.clubs), ", ".join(clubs))


def _entry_facts(facts: Facts, situation: Situation) -> Iterator[ChangedFact]:
    """Score and minute, by the caption's entries where it has any, else by the frame's time."""
    standing = [situation.standing(e) for e in facts.entries]
    if facts.entries and None in standing:
        yield ChangedFact("entry", ", ".join(f"e{e}" for e in facts.entries), "withdrawn")
        return
    entries = [e.id for e in standing if e is not None]
    if facts.score is not None:
        scores = {situation.fold.score_made_by(e) for e in entries} - {None}
        allowed: set[Score] = {s for s in scores if s is not None}
        if not allowed:
            allowed = set(situation.possible_scores())
            if situation.state.shoot_out is not None:
                allowed.add(situation.state.shoot_out)
        if facts.score not in allowed:
            yield ChangedFact("score", str(facts.score), " or ".join(map(str, sorted(allowed))))
    if facts.minute is not None:
        labels = {situation.minute_of(e) for e in entries} - {None}
        known = {label for label in labels if label is not None} or situation.possible_labels()
        if facts.minute not in known:
            yield ChangedFact("minute", str(facts.minute), " or ".join(map(str, sorted(known))))
    for was, new in zip(facts.entries, standing, strict=True):
        old = situation.as_typed(was)
        if old is not None and new is not None and old.person != new.person:
            people = (situation.person(old.person), situation.person(new.person))
            yield ChangedFact("scorer", *(p.name if p else "unknown" for p in people))
