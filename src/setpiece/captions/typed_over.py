"""Text typed over a caption: it keeps its fields and the facts that the check finds in it."""

from __future__ import annotations

from dataclasses import replace

from setpiece.captions.acts import Acts
from setpiece.captions.caption import Caption, Facts, PersonFact
from setpiece.captions.check_match import scorers_named
from setpiece.captions.check_people import numbers_worn
from setpiece.captions.fields import PictureFields
from setpiece.captions.freetext import Found, find_facts
from setpiece.captions.language import Language
from setpiece.captions.situation import Situation, happened_by
from setpiece.captions.style import HouseStyle
from setpiece.match.entries import EntryId
from setpiece.match.people import Side


def typed_over(
    caption: Caption, values: PictureFields, situation: Situation, style: HouseStyle, acts: Acts
) -> Caption:
    """The caption with these fields as its text: no longer from shorthand, never shortened."""
    language = acts.language(style.language)
    found = find_facts(
        f"{values.description}\n{values.headline}", situation, style, language
    )  # fmt: skip
    return replace(
        caption,
        fields=values,
        facts=facts_in(found, situation, language),
        reading=None,
        style=style.name,
        language=style.language,
        shortened=(),
    )


def facts_in(found: Found, situation: Situation, language: Language) -> Facts:
    """The facts a text rests on, as they stand now."""
    people: dict[str, PersonFact] = {}
    for mention in found.mentions:
        person = situation.person(mention.person)
        if person is not None:
            people.setdefault(person.id, person_fact(person.id, situation))
    scores = [score for score, _ in found.scores]
    minutes = [label for label, _ in found.minutes]
    fixture = situation.fixture
    return Facts(
        people=tuple(people.values()),
        score=scores[0] if scores else None,
        minute=minutes[0] if minutes else None,
        entries=_entries(found, situation, language),
        date=fixture.local_date(situation.at.middle),
        places=tuple(p for p in (fixture.venue, fixture.city) if p),
        clubs=tuple(situation.sheet.side(side).name for side in Side),
    )


def person_fact(person_id: str, situation: Situation) -> PersonFact:
    """A person as the sheet and the log have her at this instant."""
    person = next(p for p in situation.sheet.people if p.id == person_id)
    worn = sorted(numbers_worn(person, situation), key=lambda n: (n is None, n or 0))
    number = worn[0] if person.role.plays else None
    title = "" if person.role.plays else person.title or person.role.value
    return PersonFact(person.id, person.name, number, title)


def _entries(found: Found, situation: Situation, language: Language) -> tuple[EntryId, ...]:
    """The goals that the text tells of: their score printed, and their minute or scorer told."""
    scores = {score for score, _ in found.scores}
    minutes = {label for label, _ in found.minutes}
    scorers = {m.person for m in scorers_named(found, language.words.get("scoring", ()))}
    return tuple(
        g.entry
        for g in situation.fold.last().goals
        if g.score in scores
        and (g.label in minutes or g.scorer in scorers)
        and (entry := situation.entry(g.entry)) is not None
        and happened_by(situation.fold.when(entry).start, situation)
    )
