"""Finding the facts in a text: names, numbers, sides, scores, minutes and dates.

Works on any caption, typed over or composed, so that both are held to the same log and sheet.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from rapidfuzz import fuzz

from setpiece.captions.compose_words import known_phrases
from setpiece.captions.language import Language
from setpiece.captions.situation import Situation
from setpiece.captions.style import HouseStyle
from setpiece.errors import WrongUse
from setpiece.match.instants import MinuteLabel
from setpiece.match.names import folded
from setpiece.match.people import Person, PersonId, TeamSheet
from setpiece.match.state import Score

LIKE_A_NAME = 78.0
"""Likeness, in per cent, from which words are a slip of a name on the sheet. Our choice."""

_PARTICLES = "van|von|der|den|de|da|das|do|dos|di|du|del|della|la|le|el|al|bin|ben|ter|ten|zu|af|av"
_CAPITAL = r"[^\W\d_a-zß-öø-ÿ][^\W\d_]*(?:[-’'][^\W\d_]+)*\.?"
_RUN = re.compile(rf"{_CAPITAL}(?:[ \u00a0](?:(?:{_PARTICLES})[ \u00a0]){{0,3}}{_CAPITAL})*")
_WORD = re.compile(r"[^\W\d_]+(?:[-’'.][^\W\d_]+)*")
_SCORE = re.compile(r"(?<![\d+.:–-])(\d{1,2})\s?[–:-]\s?(\d{1,2})(?![\d:'’.–-]\d|\d|['’])")


@dataclass(frozen=True, slots=True)
class Mention:
    """A stretch of text that names somebody on the sheet. `exact`: as the sheet prints it."""

    person: PersonId
    text: str
    start: int
    end: int
    exact: bool = True


@dataclass(frozen=True, slots=True)
class Stranger:
    """A stretch of text that looks like a name and is nobody's. `near` are like names."""

    text: str
    start: int
    near: tuple[str, ...] = ()
    people: tuple[PersonId, ...] = ()


@dataclass(frozen=True, slots=True)
class Found:
    """The facts found in a text, with where each stands.

    `bare` is the text without names and without what belongs to the fixture.
    """

    text: str
    mentions: tuple[Mention, ...]
    strangers: tuple[Stranger, ...]
    scores: tuple[tuple[Score, int], ...]
    minutes: tuple[tuple[MinuteLabel, int], ...]
    bare: str = ""


_STOP = r"(?<!\bDr)(?<!\bSt)(?<!\bNo)(?<!\bNr)(?<=[.!?])[”\"»]?\s+(?=[^\W\d_a-zäöüß]|[“\"«])"
_ENDS = re.compile(_STOP)
_ENDS_WITH_ORDINALS = re.compile(r"(?<!\b\d\.)(?<!\b\d\d\.)(?<!\b\d\d\d\.)" + _STOP)


def sentences(text: str, language: Language) -> list[str]:
    """The sentences of a text; where ordinals end in a stop, theirs ends none."""
    dotted = language.phrase("ordinal.default").endswith(".")
    cut = (_ENDS_WITH_ORDINALS if dotted else _ENDS).split(text)
    return [part.strip() for part in cut if part.strip()]


def in_picture(found: Found, language: Language) -> tuple[Mention, ...]:
    """Those the first sentence names before it comes to what went before (`after ...`)."""
    words = "|".join(language.words.get("after", ("after",)))
    later = re.search(rf"\b(?:{words})\b", found.text)
    end = later.start() if later else len(found.text)
    return tuple(m for m in found.mentions if m.start < end)


def find_facts(text: str, situation: Situation, style: HouseStyle, language: Language) -> Found:
    """Everything in the text that the log, the sheet or the fixture can be asked about."""
    mentions = _mentions(text, situation.sheet)
    blank = _blanked(text, [(m.start, m.end) for m in mentions])
    blank = _without(blank, known_phrases(situation, style, language))
    more, strangers = _runs(blank, text, situation, language, style)
    all_mentions = sorted((*mentions, *more), key=lambda m: m.start)
    return Found(
        text,
        tuple(all_mentions),
        tuple(strangers),
        _scores(blank, style, language),
        _minutes(text, language),
        blank,
    )


# ----- names -----


@dataclass(frozen=True, slots=True)
class _Name:
    words: tuple[str, ...]
    person: PersonId
    exact: frozenset[str]


@lru_cache(maxsize=8)
def _names(sheet: TeamSheet) -> dict[str, tuple[_Name, ...]]:
    """Every whole name by its first folded word, longest first."""
    names: dict[str, list[_Name]] = {}
    for person in sheet.people:
        exact = frozenset(
            " ".join(n.split()) for n in (person.printed_name, person.known_as) if n.strip()
        )
        for name in exact:
            words = tuple(folded(name).split())
            names.setdefault(words[0], []).append(_Name(words, person.id, exact))
    return {k: tuple(sorted(v, key=lambda n: -len(n.words))) for k, v in names.items()}


def _mentions(text: str, sheet: TeamSheet) -> list[Mention]:
    """Whole names, with or without their accents."""
    words: list[tuple[str, int, int]] = []
    for found in _WORD.finditer(text):
        stop = found.end()
        if found[0].endswith(("'s", "’s")):
            stop -= 2
        for part in folded(text[found.start() : stop]).split():
            words.append((part, found.start(), stop))
    names, mentions, at = _names(sheet), list[Mention](), 0
    while at < len(words):
        taken = 1
        for name in names.get(words[at][0], ()):
            count = _length(name, words, at, text)
            if not count:
                continue
            start, end = words[at][1], words[at + count - 1][2]
            said = text[start:end]
            if len(name.words) == 1 and not said[:1].isupper():
                continue
            mentions.append(Mention(name.person, said, start, end, said in name.exact))
            taken = count
            break
        at += taken
    return mentions


def _length(name: _Name, words: list[tuple[str, int, int]], at: int, text: str) -> int:
    """How many words from there are this name, 0 for none.

    First and last word with other small words between are the name with a slip in a particle.
    """
    size = len(name.words)
    if tuple(w for w, _, _ in words[at : at + size]) == name.words:
        return size
    if size < 3:
        return 0
    for count in range(2, size + 2):
        span = words[at : at + count]
        between = span[1:-1]
        if len(span) == count and span[-1][0] == name.words[-1]:
            small = all(text[start].islower() for _, start, _ in between)
            return count if small and "," not in text[span[0][1] : span[-1][2]] else 0
    return 0


def _runs(
    blank: str, text: str, situation: Situation, language: Language, style: HouseStyle
) -> tuple[list[Mention], list[Stranger]]:
    """What is left with capitals: family names alone, slips of names, strangers."""
    stop = {w.lower() for w in (*language.words.get("name_stop", ()), *style.allowed_words)}
    stop |= language.capitals
    mentions: list[Mention] = []
    strangers: list[Stranger] = []
    for found in _RUN.finditer(blank):
        start, said = found.start(), found[0].rstrip(".")
        if said.endswith(("'s", "’s")):
            said = said[:-2]
        first, _, rest = said.partition(" ")
        opens = _opens_sentence(blank, start)
        while rest and (
            first.lower() in stop or first.islower() or (opens and _is_plain(first, language))
        ):
            start, said, opens = start + len(first) + 1, rest, False
            first, _, rest = said.partition(" ")
        single = opens or language.phrase("nouns_have_capitals") != ""
        alone = said.lower() in stop or (single and not _like(said, situation.sheet))
        if not rest and alone and said not in _family_names(situation.sheet):
            continue
        if language.phrase("nouns_have_capitals") and _are_nouns(said, stop, situation.sheet):
            continue
        made = _one_run(said, start, opens and not rest, situation.sheet)
        if isinstance(made, Mention):
            mentions.append(made)
        elif made is not None:
            strangers.append(made)
    return mentions, strangers


def _are_nouns(said: str, stop: set[str], sheet: TeamSheet) -> bool:
    """Whether a run of words with capitals may be plain nouns: at most one is not known."""
    words = [w for w in said.split() if not w.islower()]
    return sum(w.lower() not in stop for w in words) < 2 and not _like(said, sheet)


def _is_plain(word: str, language: Language) -> bool:
    """Whether a capital at the start of a sentence may be any word of the language."""
    return word.lower() in language.words.get("openers", ())


def _opens_sentence(text: str, start: int) -> bool:
    before = text[:start].rstrip(' “"«(')
    return not before or before[-1] in ".!?:"


@lru_cache(maxsize=8)
def _family_names(sheet: TeamSheet) -> dict[str, tuple[PersonId, ...]]:
    families: dict[str, list[PersonId]] = {}
    for person in sheet.people:
        for name in {person.family_name, person.name.split()[-1], *person.aliases} - {""}:
            families.setdefault(name, []).append(person.id)
    return {name: tuple(ids) for name, ids in families.items()}


@lru_cache(maxsize=8)
def _folded_names(sheet: TeamSheet) -> tuple[tuple[str, Person, str], ...]:
    rows: list[tuple[str, Person, str]] = []
    for person in sheet.people:
        whole = {person.name, person.printed_name, person.family_name} - {""}
        rows += [(folded(name), person, person.name) for name in whole]
        rows.append((folded(person.name.split()[-1]), person, person.name))
    return tuple(rows)


def _like(said: str, sheet: TeamSheet) -> list[tuple[float, Person]]:
    """People with a name like these words, most alike first."""
    plain = folded(said)
    best: dict[PersonId, tuple[float, Person]] = {}
    for name, person, _ in _folded_names(sheet):
        if len(plain) < 4 and plain != name:
            continue
        score = fuzz.ratio(plain, name)
        if score >= LIKE_A_NAME and score > best.get(person.id, (0.0, person))[0]:
            best[person.id] = (score, person)
    return sorted(best.values(), key=lambda pair: -pair[0])


def _one_run(said: str, start: int, opens: bool, sheet: TeamSheet) -> Mention | Stranger | None:
    owners = _family_names(sheet).get(said, ())
    if len(owners) == 1:
        return Mention(owners[0], said, start, start + len(said))
    if owners:
        names = tuple(p.name for p in (sheet.person(i) for i in owners) if p is not None)
        return Stranger(said, start, names, owners)
    like = _like(said, sheet)
    if like:
        person = like[0][1]
        return Mention(person.id, said, start, start + len(said), exact=False)
    if opens:
        return None
    words = set(folded(said).split())
    near = tuple(p.name for name, p, _ in _folded_names(sheet) if name in words)
    return Stranger(said, start, tuple(dict.fromkeys(near)))


def _blanked(text: str, spans: Iterable[tuple[int, int]]) -> str:
    chars = list(text)
    for start, end in spans:
        chars[start:end] = "\x00" * (end - start)
    return "".join(chars)


def _without(text: str, phrases: Sequence[str]) -> str:
    """The text with known phrases blanked, in any spelling of large and small letters."""
    low = text.lower()
    spans: list[tuple[int, int]] = []
    if len(low) != len(text):
        low = text
    for phrase in phrases:
        small, at = phrase.lower(), 0
        while small and (at := low.find(small, at)) >= 0:
            end = at + len(small)
            if not (low[at - 1 : at].isalnum() or low[end : end + 1].isalnum()):
                spans.append((at, end))
            at = end
    return _blanked(text, spans)


# ----- numbers -----


def _scores(blank: str, style: HouseStyle, language: Language) -> tuple[tuple[Score, int], ...]:
    found: list[tuple[Score, int]] = []
    for match in _SCORE.finditer(blank):
        home, away = match[1], match[2]
        if (len(home) > 1 and home[0] == "0") or (len(away) > 1 and away[0] == "0"):
            continue
        found.append((Score(int(home), int(away)), match.start()))
    return tuple(found)


@lru_cache(maxsize=32)
def _minute_patterns(patterns: tuple[str, ...]) -> tuple[re.Pattern[str], ...]:
    return tuple(re.compile(pattern, re.IGNORECASE) for pattern in patterns)


def _minutes(text: str, language: Language) -> tuple[tuple[MinuteLabel, int], ...]:
    found: dict[int, MinuteLabel] = {}
    for pattern in _minute_patterns(language.words.get("minute_patterns", ())):
        for match in pattern.finditer(text):
            try:
                found.setdefault(match.start(1), MinuteLabel.read(match[1]))
            except WrongUse:
                continue
    return tuple((label, at) for at, label in sorted(found.items()))
