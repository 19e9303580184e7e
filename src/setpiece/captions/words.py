"""The one line cut into pieces, longest known phrase first, each with its place."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from setpiece.captions.lexicon import SIDE_WORDS, Lexicon, Piece, Vocabulary, Word

MAX_LINE = 400
"""Longest line that is read, in characters. Our choice: a caption line has some 60."""

_RAW = re.compile(
    r"""(?P<quote>["“”«»][^"“”«»]*["“”«»]?)
      | (?P<ordinal>\d{1,4}(?:st|nd|rd|th)(?![^\W\d_]))
      | (?P<shirt>\d{1,3}[^\W\d_](?:['’]s)?(?![^\W_]))
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
        return word[:-2] if self.kind in ("word", "shirt") and word.endswith("'s") else word


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


_BEFORE_PEOPLE = (Word.AND, Word.WITH, Word.AGAINST, Word.FOR, Word.BY, Word.TO)


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
        number = self._number(at)
        if number is not None:
            return number
        if raw.kind in _RAW_KINDS and not (
            raw.kind == "ordinal" and self._phrase(at, 1) is not None
        ):
            return Piece(_RAW_KINDS[raw.kind], raw.word, raw.start, raw.end), 1
        kit = self._kit(at)
        if kit is not None:
            return kit
        return self._known(at)

    def _number(self, at: int) -> tuple[Piece, int] | None:
        """A number in figures or words; with a kit's letter standing apart, a shirt."""
        raw = self.raws[at]
        value, used = raw.text, 1
        if raw.kind == "word":
            value, used = self._spelled(at)
        elif raw.kind != "number":
            return None
        if not used:
            return None
        before = self.last.kind if self.last is not None else None
        after_kit = before is Word.KIT
        letter = self.raws[at + used] if at + used < len(self.raws) else None
        if letter is not None and not after_kit and letter.word in self.vocabulary.letters:
            shirt = f"{int(value)}{letter.word}"
            return Piece(Word.SHIRT, shirt, raw.start, letter.end), used + 1
        if raw.kind == "word" and before not in (None, Word.KIT, Word.AFTER, *_BEFORE_PEOPLE):
            return None
        kind = Word.MINUTE if before is Word.AFTER else Word.NUMBER
        return Piece(kind, value, raw.start, self.raws[at + used - 1].end), used

    def _spelled(self, at: int) -> tuple[str, int]:
        """A number in words and how many it took, 0 for none: `nine`, `twenty one`."""
        numbers = self.lexicon.numbers
        first = numbers.get(self.raws[at].word)
        if first is None or self.raws[at].word in self.vocabulary.names:
            return "", 0
        following = self.raws[at + 1].word if at + 1 < len(self.raws) else ""
        second = numbers.get(following, 0)
        if first >= 20 and first % 10 == 0 and 0 < second < 10:
            return str(first + second), 2
        return str(first), 1

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
        if found is None:
            whole = tuple(r.text.lower().replace("’", "'") for r in self.raws[at : at + count])
            found = self.lexicon.phrases.get(whole)
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
        if raw.kind in ("number", "someone") or self._spelled(at)[1]:
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
        return self.last is None or self.last.kind in (*_BEFORE_PEOPLE, Word.NAME)

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
