"""The words the one line knows: those of the acts, of the shorthand, and of one match."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from setpiece.captions.language import Language


class Word(StrEnum):
    """What a piece of the line is. The values are the grammar's terminals."""

    SHIRT = "SHIRT"  # 9r
    NUMBER = "NUMBER"
    MINUTE = "MINUTE"  # 74' or 45+2
    ORDINAL = "ORDINAL"  # 100th
    SOMEONE = "SOMEONE"
    KIT = "KIT"  # a kit's letter or colour, a side
    ROLE = "ROLE"
    GROUP = "GROUP"
    STRANGER = "STRANGER"
    NAME = "NAME"  # any other word
    VERB = "VERB"
    INVERSE = "INVERSE"  # a verb whose people change places
    THING = "THING"  # what the verb is done to: penalty, corner
    PLACE = "PLACE"
    WITH = "WITH"
    AGAINST = "AGAINST"
    FOR = "FOR"
    BY = "BY"
    TO = "TO"
    AND = "AND"
    AFTER = "AFTER"
    EVENT = "EVENT"
    HOW = "HOW"
    AT = "AT"  # where it happens
    MILESTONE = "MILESTONE"
    IN_ORDER = "IN_ORDER"
    QUOTE = "QUOTE"


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of the line: what it is, the value it stands for, and where it stands.

    `corrected` holds what was typed when a slip in a verb was put right.
    """

    kind: Word
    value: str
    start: int
    end: int
    corrected: str = ""


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The words of one match: parts of names, kit letters, and words for a kit or side.

    All folded to small letters. `kits` maps each word that may stand for a kit or a side.
    """

    names: frozenset[str] = frozenset()
    letters: frozenset[str] = frozenset()
    kits: frozenset[tuple[str, ...]] = frozenset()


@dataclass(frozen=True, slots=True)
class Lexicon:
    """Known phrases by their words; the longest one that fits is taken."""

    phrases: Mapping[tuple[str, ...], tuple[tuple[Word, str], ...]]
    things: Mapping[str, frozenset[str]]
    articles: frozenset[str]
    quote: frozenset[str]
    end_quote: frozenset[str]
    colours: frozenset[str]
    numbers: Mapping[str, int]
    longest: int
    verbs: tuple[str, ...]
    ordered: tuple[str, ...] = field(repr=False)
    first_forms: Mapping[Word, tuple[str, ...]] = field(repr=False)


_LINKS = {
    "with": Word.WITH, "against": Word.AGAINST, "for": Word.FOR, "by": Word.BY,
    "from": Word.BY, "to": Word.TO, "after": Word.AFTER,
}  # fmt: skip
_KINDS = {
    "place": Word.PLACE, "how": Word.HOW, "place_of": Word.AT, "role": Word.ROLE,
    "group": Word.GROUP, "stranger": Word.STRANGER, "milestone": Word.MILESTONE,
    "event": Word.EVENT,
}  # fmt: skip
SIDE_WORDS = frozenset({"home", "away"})


def words_of(phrase: str) -> tuple[str, ...]:
    """The small-letter words of a phrase, as the line is cut."""
    return tuple(w.lower().replace("’", "'") for w in phrase.split())


def build_lexicon(language: Language, by_form: Mapping[tuple[str, str, bool], str]) -> Lexicon:
    """The known phrases of the typed language and of every act."""
    phrases: dict[tuple[str, ...], dict[Word, str]] = {}
    things: dict[str, set[str]] = {}

    first: dict[Word, dict[str, None]] = {}

    def know(phrase: str, kind: Word, value: str, *, leads: bool = False) -> None:
        if leads:
            first.setdefault(kind, {})[" ".join(words_of(phrase))] = None
        for spelled in {phrase, phrase.replace("-", " ")}:
            phrases.setdefault(words_of(spelled), {}).setdefault(kind, value)

    led: set[str] = set()
    for (verb, thing, inverse), act in by_form.items():
        kind = Word.INVERSE if inverse else Word.VERB
        know(verb, kind, verb, leads=act not in led or inverse)
        led.add(act)
        if thing:
            know(thing, Word.THING, thing)
            things.setdefault(verb, set()).add(thing)
    for table, kind in _KINDS.items():
        for key, term in language.terms[table].items():
            for form in term.forms:
                know(form, kind, key, leads=form == term.forms[0])
    for key, term in language.terms["link"].items():
        for form in term.forms:
            know(form, _LINKS[key], form, leads=form == term.forms[0])
    for name, kind in (
        ("someone", Word.SOMEONE), ("in_order", Word.IN_ORDER), ("separator", Word.AND),
    ):  # fmt: skip
        forms = language.words.get(name, ())
        for form in forms:
            know(form, kind, form, leads=form == forms[0])
    return Lexicon(
        phrases={words: tuple(kinds.items()) for words, kinds in phrases.items()},
        things={verb: frozenset(names) for verb, names in things.items()},
        articles=frozenset(language.words.get("articles", ())),
        quote=frozenset(language.words.get("quote", ())),
        end_quote=frozenset(language.words.get("end_quote", ())),
        colours=frozenset(language.words.get("colours", ())),
        numbers=_number_words(language),
        longest=max((len(words) for words in phrases), default=1),
        verbs=tuple(sorted({verb for verb, _, _ in by_form})),
        first_forms={kind: tuple(forms) for kind, forms in first.items()},
        ordered=tuple(sorted(" ".join(words) for words in phrases)),
    )


def _number_words(language: Language) -> dict[str, int]:
    """The words for 0 to 19 and for the tens, with what they count."""
    small, tens = language.words.get("numbers", ()), language.words.get("tens", ())
    return {w: i for i, w in enumerate(small)} | {w: 10 * i for i, w in enumerate(tens, 2)}
