"""A caption: the fields it fills, and the facts that they rest on."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from setpiece.captions.fields import PictureFields
from setpiece.captions.reading import Reading
from setpiece.match.entries import EntryId
from setpiece.match.instants import MinuteLabel
from setpiece.match.people import PersonId
from setpiece.match.state import Score


@dataclass(frozen=True, slots=True)
class PersonFact:
    """Somebody the caption names: as printed, with the number worn and the title printed."""

    person: PersonId
    name: str
    number_worn: int | None = None
    title: str = ""


@dataclass(frozen=True, slots=True)
class Facts:
    """What a caption's text rests on; what a changed fact is compared with.

    `score` and `minute` are those printed, None when none is. `entries` are the log entries
    it speaks of.
    """

    people: tuple[PersonFact, ...] = ()
    score: Score | None = None
    minute: MinuteLabel | None = None
    entries: tuple[EntryId, ...] = ()
    date: datetime.date | None = None
    places: tuple[str, ...] = ()
    clubs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Shortened:
    """A value that its field could not hold, and what was left of it."""

    field: str
    full: str
    kept: str


@dataclass(frozen=True, slots=True)
class Caption:
    """A caption as composed. `reading` is None for text typed over it.

    `style` is the name of the house style, `held_for_care` whether a person must decide
    before it is sent.
    """

    shorthand: str
    fields: PictureFields
    facts: Facts
    reading: Reading | None
    style: str
    language: str
    held_for_care: bool
    shortened: tuple[Shortened, ...] = ()
