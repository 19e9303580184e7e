"""Finding people by what is typed: a number, any part of a name, with or without accents.

Names are compared *folded*: small letters without accents, apostrophes or hyphens; letters that
Unicode does not take apart (ø ł đ ß æ ...) by the table below. Slips are forgiven in names, never
in numbers. Every answer is a list; who is meant is for the caller to ask.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from types import MappingProxyType

from rapidfuzz.distance import OSA

from setpiece.match.people import Person, TeamSheet

WHOLE = MappingProxyType(
    {
        "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ß": "ss", "æ": "ae", "œ": "oe",
        "ı": "i", "ħ": "h", "ŋ": "n", "ŧ": "t", "ĸ": "k", "ə": "e", "ſ": "s", "ĳ": "ij",
        "ƒ": "f", "ɓ": "b", "ɗ": "d", "ƴ": "y",
    }
)  # fmt: skip
"""Letters without a decomposition in Unicode, and what is typed for them. Common practice."""

TWO_LETTERS = MappingProxyType({"ä": "ae", "ö": "oe", "ü": "ue", "å": "aa", "ø": "oe", "đ": "dj"})
"""The second spelling in use where a keyboard lacks the letter. Common practice."""

_JOINED = re.compile(r"['’‘ʼʻ`´′.]")
_APART = re.compile(r"[\W_]+")

SHORTEST_WITH_SLIP = 4
"""Shorter words must be typed without a slip: too many names are one letter apart."""


class Why(StrEnum):
    """What of a person a word met, best first."""

    NUMBER = "number"
    WHOLE_NAME = "whole name"
    LAST_WORD = "last word"
    WORD = "word"
    ALIAS = "alias"
    EARLIER_NUMBER = "earlier number"
    BEGINNING = "beginning"
    PART = "part"
    SLIP = "slip"


SCORES = MappingProxyType(
    {
        Why.NUMBER: 100.0,
        Why.WHOLE_NAME: 100.0,
        Why.LAST_WORD: 95.0,
        Why.WORD: 95.0,
        Why.ALIAS: 95.0,
        Why.EARLIER_NUMBER: 90.0,
        Why.BEGINNING: 80.0,
        Why.PART: 60.0,
        Why.SLIP: 40.0,
    }
)
"""How sure each kind of match is, 0 to 100; the project's own order.

A family name that is somebody else's first name is no surer than that: both are answers.
"""

_ORDER = {why: rank for rank, why in enumerate(Why)}


@dataclass(frozen=True, slots=True)
class Found:
    """Somebody who may be meant, how sure (0 to 100) and why."""

    person: Person
    score: float
    why: Why


def folded(text: str) -> str:
    """Small letters without accents, apostrophes and hyphens; words apart by one blank."""
    return _plain(text, {})


def spellings(text: str) -> tuple[str, ...]:
    """The folded forms of a text: as accents are dropped, and as two letters replace them."""
    return tuple(dict.fromkeys((_plain(text, {}), _plain(text, TWO_LETTERS))))


def find_people(sheet: TeamSheet, words: str, *, limit: int = 8) -> tuple[Found, ...]:
    """Everybody the words may mean, best first; all words must fit the same person.

    Digits are a number on the sheet, as corrected or as first printed, and never near another.
    """
    wanted = folded(words).split()
    if not wanted or limit < 1:
        return ()
    whole = " ".join(wanted)
    found = (_match(indexed, wanted, whole) for indexed in _index(sheet))
    best = sorted((f for f in found if f is not None), key=lambda f: (-f.score, _ORDER[f.why]))
    return tuple(best[:limit])


@dataclass(frozen=True, slots=True)
class _Indexed:
    """A person's folded names."""

    person: Person
    whole: frozenset[str]
    last: frozenset[str]
    words: tuple[str, ...]
    aliases: frozenset[str]
    joined: tuple[str, ...]


@lru_cache(maxsize=8)
def _index(sheet: TeamSheet) -> tuple[_Indexed, ...]:
    return tuple(_indexed(person) for person in sheet.people)


def _indexed(person: Person) -> _Indexed:
    full = _forms(n for n in (person.printed_name, person.known_as) if n)
    forms = (*full, *_forms([person.family_name]))
    aliases = _forms(person.aliases)
    last = {form.split()[-1] for form in forms if form} | set(_forms([person.family_name]))
    words = dict.fromkeys(word for form in (*forms, *aliases) for word in form.split())
    joined = dict.fromkeys(form.replace(" ", "") for form in (*forms, *aliases))
    return _Indexed(
        person,
        frozenset(full),
        frozenset(last - {""}),
        tuple(words),
        frozenset((*aliases, *(word for form in aliases for word in form.split()))),
        tuple(joined),
    )


def _forms(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(form for name in names for form in spellings(name)))


def _match(indexed: _Indexed, wanted: list[str], whole: str) -> Found | None:
    if len(wanted) > 1 and whole in indexed.whole:
        return Found(indexed.person, SCORES[Why.WHOLE_NAME], Why.WHOLE_NAME)
    if whole in indexed.aliases:
        return Found(indexed.person, SCORES[Why.ALIAS], Why.ALIAS)
    worst: Found | None = None
    for word in wanted:
        met = _word(indexed, word)
        if met is None:
            return None
        if worst is None or met.score < worst.score:
            worst = met
    return worst


def _word(indexed: _Indexed, word: str) -> Found | None:
    person = indexed.person
    if word.isdecimal():
        why = _number(person, int(word))
        return Found(person, SCORES[why], why) if why else None
    why = _exact(indexed, word)
    if why is not None:
        return Found(person, SCORES[why], why)
    if any(w.startswith(word) for w in (*indexed.words, *indexed.joined)):
        return Found(person, SCORES[Why.BEGINNING], Why.BEGINNING)
    if len(word) >= 2 and any(word in form for form in indexed.joined):
        return Found(person, SCORES[Why.PART], Why.PART)
    likeness = _likeness(indexed, word)
    return Found(person, SCORES[Why.SLIP] * likeness, Why.SLIP) if likeness else None


def _number(person: Person, number: int) -> Why | None:
    if person.number == number:
        return Why.NUMBER
    return Why.EARLIER_NUMBER if person.earlier_number == number else None


def _exact(indexed: _Indexed, word: str) -> Why | None:
    if word in indexed.last:
        return Why.LAST_WORD
    if word in indexed.aliases:
        return Why.ALIAS
    return Why.WORD if word in indexed.words or word in indexed.joined else None


def _likeness(indexed: _Indexed, word: str) -> float:
    """0 without a match; else how like the best name word is, up to 1. One slip, two from 8 on."""
    if len(word) < SHORTEST_WITH_SLIP:
        return 0.0
    most = 1 if len(word) < 8 else 2
    best = most + 1
    for name in (*indexed.words, *indexed.joined):
        best = min(best, OSA.distance(word, name, score_cutoff=most))
    return 0.0 if best > most else 1.0 - best / len(word)


def _plain(text: str, second: MappingProxyType[str, str] | dict[str, str]) -> str:
    small = unicodedata.normalize("NFC", text).casefold()
    if small.isascii():
        return _APART.sub(" ", _JOINED.sub("", small)).strip()
    spelled = "".join(second.get(c, WHOLE.get(c, c)) for c in small)
    apart = unicodedata.normalize("NFKD", spelled)
    bare = "".join(WHOLE.get(c, c) for c in apart if not unicodedata.combining(c))
    return _APART.sub(" ", _JOINED.sub("", bare)).strip()
