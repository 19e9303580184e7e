"""The words of the one line: cut into pieces, longest known phrase first, each with its place."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from setpiece.captions.language import Language

MAX_LINE = 400
"""Longest line that is read, in characters. Our choice: a caption line has some 60."""


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
        phrases.setdefault(words_of(phrase), {}).setdefault(kind, value)

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
        longest=max((len(words) for words in phrases), default=1),
        verbs=tuple(sorted({verb for verb, _, _ in by_form})),
        first_forms={kind: tuple(forms) for kind, forms in first.items()},
        ordered=tuple(sorted(" ".join(words) for words in phrases)),
    )


_RAW = re.compile(
    r"""(?P<quote>["“”«»][^"“”«»]*["“”«»]?)
      | (?P<ordinal>\d{1,4}(?:st|nd|rd|th)(?![^\W\d_]))
      | (?P<shirt>\d{1,3}[^\W\d_](?![^\W_]))
      | (?P<minute>\d{1,3}\+\d{1,2}['’]?|\d{1,3}['’])
      | (?P<number>\d{1,3}(?!\d))
      | (?P<someone>\?)
      | (?P<comma>[,;&+])
      | (?P<word>[^\W\d_]+(?:[-'’.][^\W\d_]+)*\.?)
      | (?P<blank>\s+)""",
    re.VERBOSE,
)
_RAW_KINDS = {
    "ordinal": Word.ORDINAL, "shirt": Word.SHIRT, "minute": Word.MINUTE, "number": Word.NUMBER,
    "someone": Word.SOMEONE, "comma": Word.AND,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Raw:
    """A piece of the line before it is known what it is; `bad` where it can be nothing."""

    text: str
    start: int
    end: int
    kind: str

    @property
    def word(self) -> str:
        """In small letters, without the 's of a possessive."""
        word = self.text.lower().replace("’", "'")
        return word[:-2] if self.kind == "word" and word.endswith("'s") else word


def cut(text: str) -> list[Raw]:
    """The line as raw pieces in order; a character that fits nothing comes as `bad`."""
    pieces: list[Raw] = []
    at = 0
    while at < len(text):
        found = _RAW.match(text, at)
        if found is None:
            pieces.append(Raw(text[at], at, at + 1, "bad"))
            at += 1
            continue
        if found.lastgroup != "blank":
            pieces.append(Raw(found[0], found.start(), found.end(), str(found.lastgroup)))
        at = found.end()
    return pieces


def pieces_of(text: str, lexicon: Lexicon, vocabulary: Vocabulary) -> Iterator[Piece | Raw]:
    """The line as known pieces; a Raw comes out where a character fits nothing."""
    raws = cut(text)
    at = 0
    reader = _Reader(raws, lexicon, vocabulary)
    while at < len(raws):
        raw = raws[at]
        if raw.kind == "bad":
            yield raw
            return
        if raw.kind == "word" and raw.word in lexicon.quote:
            piece, at = _spelled_quote(text, raws, at, lexicon)
            yield piece
            continue
        made, used = reader.read(at)
        at += used
        if made is not None:
            reader.last = made
            yield made


def _spelled_quote(text: str, raws: list[Raw], at: int, lexicon: Lexicon) -> tuple[Piece, int]:
    end = next(
        (i for i in range(at + 1, len(raws)) if raws[i].word in lexicon.end_quote), len(raws)
    )
    stop = raws[end].start if end < len(raws) else len(text)
    said = text[raws[at].end : stop].strip()
    return Piece(Word.QUOTE, said, raws[at].start, stop), end + 1


class _Reader:
    """Reads raw pieces one phrase at a time, remembering what stood before."""

    def __init__(self, raws: list[Raw], lexicon: Lexicon, vocabulary: Vocabulary) -> None:
        self.raws = raws
        self.lexicon = lexicon
        self.vocabulary = vocabulary
        self.last: Piece | None = None
        self.verb = ""

    def read(self, at: int) -> tuple[Piece | None, int]:
        """The piece at a position and how many raw pieces it took; None for a filler word."""
        raw = self.raws[at]
        if raw.kind == "quote":
            return Piece(Word.QUOTE, raw.text.strip('"“”«» '), raw.start, raw.end), 1
        if raw.kind == "ordinal" and self._phrase(at, 2) is not None:
            return self._known(at)
        if raw.kind in _RAW_KINDS and not (
            raw.kind == "ordinal" and self._phrase(at, 1) is not None
        ):
            kind = _RAW_KINDS[raw.kind]
            if kind is Word.NUMBER and self.last is not None and self.last.kind is Word.AFTER:
                kind = Word.MINUTE
            return Piece(kind, raw.word, raw.start, raw.end), 1
        kit = self._kit(at)
        if kit is not None:
            return kit
        return self._known(at)

    def _words(self, at: int, count: int) -> tuple[str, ...] | None:
        chunk = self.raws[at : at + count]
        if len(chunk) < count or any(r.kind not in ("word", "ordinal") for r in chunk):
            return None
        return tuple(r.word for r in chunk)

    def _phrase(self, at: int, count: int) -> tuple[tuple[Word, str], ...] | None:
        words = self._words(at, count)
        if words is None:
            return None
        found = self.lexicon.phrases.get(words)
        if found is None and count == 1:
            found = self.lexicon.phrases.get((self.raws[at].text.lower().replace("’", "'"),))
        return found

    def _kit(self, at: int) -> tuple[Piece, int] | None:
        """A kit or side, where what follows or stands before makes it one."""
        for count in (3, 2, 1):
            words = self._words(at, count)
            if words is None or not self._is_kit(words):
                continue
            end = self.raws[at + count - 1].end
            piece = Piece(Word.KIT, " ".join(words), self.raws[at].start, end)
            if self.last is not None and self.last.kind is Word.SOMEONE:
                return piece, count
            follows = at + count
            if follows < len(self.raws) and self._takes_kit(follows):
                return piece, count
        return None

    def _is_kit(self, words: tuple[str, ...]) -> bool:
        if words in self.vocabulary.kits or (len(words) == 1 and words[0] in SIDE_WORDS):
            return True
        if len(words) != 1:
            return False
        letter = words[0]
        if len(letter) == 1:
            return letter in self.vocabulary.letters or letter not in self.lexicon.articles
        return not self.vocabulary.kits and letter in self.lexicon.colours

    def _takes_kit(self, at: int) -> bool:
        """Whether the raw piece there is one that a kit may stand before."""
        raw = self.raws[at]
        if raw.kind in ("number", "someone"):
            return True
        for count in range(self.lexicon.longest, 0, -1):
            found = self._phrase(at, count)
            if found is not None:
                kinds = {kind for kind, _ in found}
                if not kinds & {Word.ROLE, Word.GROUP, Word.SOMEONE}:
                    return False
                return not (self.verb == "" and count > 1 and Word.VERB in kinds)
        return False

    def _known(self, at: int) -> tuple[Piece | None, int]:
        raw = self.raws[at]
        if self._starts_name(at):
            return Piece(Word.NAME, raw.text, raw.start, raw.end), 1
        for count in range(min(self.lexicon.longest, len(self.raws) - at), 0, -1):
            found = self._phrase(at, count)
            if found is None:
                continue
            choice = self._choose(dict(found))
            if choice is None:
                continue
            kind, value = choice
            if kind in (Word.VERB, Word.INVERSE):
                self.verb = value
            return Piece(kind, value, raw.start, self.raws[at + count - 1].end), count
        if raw.word in self.lexicon.articles:
            return None, 1
        return Piece(Word.NAME, raw.text, raw.start, raw.end), 1

    def _starts_name(self, at: int) -> bool:
        """Whether a word that is also a name stands where a person would."""
        if self.raws[at].word not in self.vocabulary.names:
            return False
        people = (Word.AND, Word.WITH, Word.AGAINST, Word.FOR, Word.BY, Word.TO)
        return self.last is None or self.last.kind in people or self.last.kind is Word.NAME

    def _choose(self, kinds: dict[Word, str]) -> tuple[Word, str] | None:
        """What an ambiguous phrase is here: a thing only with its verb, one verb a line."""
        thing = kinds.get(Word.THING)
        if thing is not None and thing in self.lexicon.things.get(self.verb, ()):
            return Word.THING, thing
        if self.last is not None and self.last.kind in (Word.AFTER, Word.MINUTE, Word.EVENT):
            if Word.EVENT in kinds:
                return Word.EVENT, kinds[Word.EVENT]
        if self.last is not None and self.last.kind is Word.ORDINAL and Word.MILESTONE in kinds:
            return Word.MILESTONE, kinds[Word.MILESTONE]
        verbs = (Word.INVERSE, Word.VERB)
        if not self.verb:
            for kind in verbs:
                if kind in kinds:
                    return kind, kinds[kind]
        for kind, value in kinds.items():
            if kind not in (*verbs, Word.THING, Word.EVENT):
                return kind, value
        for kind in (Word.EVENT, *verbs):
            if kind in kinds:
                return kind, kinds[kind]
        return None
