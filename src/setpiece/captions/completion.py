"""What may be typed next: people of this instant, acts, placements, entries of the log."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass

from setpiece.captions.acts import TYPED, Acts
from setpiece.captions.binding import entry_words
from setpiece.captions.kits import Wardrobe
from setpiece.captions.lexicon import SIDE_WORDS, Piece, Word
from setpiece.captions.situation import Situation, vocabulary_of
from setpiece.captions.words import Raw, cut, pieces_of
from setpiece.match.entries import Entry, Kind
from setpiece.match.names import folded
from setpiece.match.people import Person, Side

MOST = 8
"""Suggestions given at once."""

MOST_WORDS = 4
"""Longest phrase, in words, that is completed from its beginning."""

_WANTS_PERSON = (Word.WITH, Word.AGAINST, Word.FOR, Word.BY, Word.TO, Word.AND)
_OTHERS = (Word.SOMEONE, Word.ROLE, Word.GROUP, Word.STRANGER)
_AFTER_PERSON = (
    Word.WITH, Word.PLACE, Word.AFTER, Word.AGAINST, Word.BY, Word.HOW, Word.AT, Word.IN_ORDER,
    Word.MILESTONE,
)  # fmt: skip
_PROMPTS: dict[Kind, str] = {
    Kind.GOAL: "celebrates", Kind.YELLOW: "booked", Kind.RED: "sent off",
    Kind.SUBSTITUTION: "replaces",
}  # fmt: skip
"""The act that is likeliest just after an entry of that kind."""

PROMPT_S = 60.0
"""How long after an entry its likeliest act comes first. Our choice."""


@dataclass(frozen=True, slots=True)
class Suggestion:
    """What may stand from `start` to `end` of the line instead, and what it means."""

    text: str
    means: str
    start: int
    end: int


def complete(text: str, cursor: int, situation: Situation, acts: Acts) -> tuple[Suggestion, ...]:
    """Up to eight ways to go on at the cursor, the likeliest first. Never raises."""
    cursor = max(0, min(cursor, len(text)))
    typed = text[:cursor]
    begun = "" if not typed or typed[-1].isspace() else typed.split()[-1]
    head = typed[: cursor - len(begun)]
    before = _pieces(head, situation, acts)
    starts = cursor - len(begun)
    seen: dict[str, Suggestion] = {}
    for word, means, start in _candidates(head, begun, starts, before, situation, acts):
        if word != text[start:cursor] and word not in seen:
            seen[word] = Suggestion(word, means, start, cursor)
            if len(seen) >= MOST:
                break
    return tuple(seen.values())


def _pieces(head: str, situation: Situation, acts: Acts) -> list[Piece]:
    found = pieces_of(head, acts.lexicon, vocabulary_of(situation.sheet))
    return [piece for piece in found if not isinstance(piece, Raw)]


def _candidates(
    head: str, begun: str, start: int, before: list[Piece], situation: Situation, acts: Acts
) -> Iterator[tuple[str, str, int]]:
    last = before[-1] if before else None
    kind = last.kind if last is not None else None
    verb = next((p for p in before if p.kind in (Word.VERB, Word.INVERSE)), None)
    kinds: tuple[Word, ...] = ()
    if last is not None and _is_kit(last, situation):
        kinds = (Word.ROLE, Word.GROUP, Word.SOMEONE)
    elif kind is Word.AFTER:
        yield from ((w, m, start) for w, m in _entries(begun, situation))
        kinds = (Word.EVENT,)
    elif kind in _WANTS_PERSON or last is None:
        yield from ((w, m, start) for w, m in _people(begun, situation, before))
        kinds = (*_OTHERS, Word.VERB) if last is None and begun else _OTHERS
    elif verb is None:
        yield from _names(begun, before, situation)
        yield from ((w, "act", start) for w in _likeliest(begun, situation, acts))
        kinds = (Word.VERB, Word.INVERSE, Word.PLACE)
    else:
        if last is verb:
            things = sorted(acts.lexicon.things.get(verb.value, ()))
            yield from ((t, "thing", start) for t in things if t.startswith(begun.lower()))
            if begun or things:
                yield from ((w, m, start) for w, m in _people(begun, situation, before))
        kinds = _AFTER_PERSON
        if begun[:1].isdigit():
            yield from ((w, m, start) for w, m in _people(begun, situation, before))
    yield from _phrases(head, begun, start, acts, kinds)


def _names(begun: str, before: list[Piece], situation: Situation) -> Iterator[tuple[str, str, int]]:
    """Whole names that begin with the words of a name typed so far."""
    words: list[Piece] = []
    for piece in reversed(before):
        if piece.kind is not Word.NAME:
            break
        words.insert(0, piece)
    if not words or not begun:
        return
    beginning = folded(" ".join([*(w.value for w in words), begun]))
    wardrobe = Wardrobe(situation)
    for person in situation.sheet.people:
        if folded(person.name).startswith(beginning):
            yield person.name.lower(), _means(person, wardrobe), words[0].start


def _is_kit(piece: Piece, situation: Situation) -> bool:
    """Whether a word that stands last so far is a kit's letter, a colour or a side."""
    if piece.kind is Word.KIT:
        return True
    known = vocabulary_of(situation.sheet)
    words = tuple(piece.value.lower().split())
    if piece.kind is not Word.NAME or not words:
        return False
    return words in known.kits or words[0] in known.letters or words[0] in SIDE_WORDS


def _people(begun: str, situation: Situation, before: list[Piece]) -> Iterator[tuple[str, str]]:
    """Shirts by their digits, people by any part of the name; those on the pitch first."""
    wardrobe = Wardrobe(situation)
    plain = folded(begun)
    digits = begun.rstrip("abcdefghijklmnopqrstuvwxyz")
    typed = {p.value for p in before if p.kind is Word.SHIRT}
    rows = [row for side in Side for row in _shirts(side, situation, wardrobe)]
    rows.sort(key=lambda row: not row[2])
    for shirt, person, _ in rows:
        if shirt in typed:
            continue
        if begun[:1].isdigit() and shirt.startswith(begun) and shirt.rstrip(shirt[-1]) == digits:
            yield shirt, _means(person, wardrobe)
    for shirt, person, _ in rows:
        if begun[:1].isdigit() and shirt not in typed and shirt.startswith(begun):
            yield shirt, _means(person, wardrobe)
    if begun and not begun[:1].isdigit():
        for person in situation.sheet.people:
            if any(part.startswith(plain) for part in folded(person.name).split()):
                yield person.name.lower(), _means(person, wardrobe)
    if not begun:
        for shirt, person, on in rows:
            if on and shirt not in typed:
                yield shirt, _means(person, wardrobe)


def _shirts(
    side: Side, situation: Situation, wardrobe: Wardrobe
) -> Iterator[tuple[str, Person, bool]]:
    state = situation.state.side(side)
    for person in situation.sheet.players(side):
        on = state.is_on(person.id)
        number = state.number_of(person.id) if on else person.number
        kit = wardrobe.kit_worn(person)
        if number is not None and kit is not None:
            yield f"{number}{kit.letter}", person, on


def _means(person: Person, wardrobe: Wardrobe) -> str:
    kit = wardrobe.kit_worn(person)
    what = person.position or person.title or person.role.value
    return ", ".join(part for part in (person.name, what, kit.colour if kit else "") if part)


def _entries(begun: str, situation: Situation) -> Iterator[tuple[str, str]]:
    """Entries before the frame by minute and kind, the latest first."""
    fold = situation.fold
    for entry in reversed(fold.entries):
        word = "own goal" if entry.how == "own goal" else str(entry.kind)
        if entry.kind not in (Kind.GOAL, Kind.YELLOW, Kind.RED, Kind.SUBSTITUTION):
            continue
        if fold.when(entry).start > situation.at.end:
            continue
        label = fold.minute_of(entry)
        names = {Kind.YELLOW: "yellow card", Kind.RED: "red card"}
        typed = f"{label} {names.get(entry.kind, word)}" if label is not None else word
        if typed.startswith(begun):
            yield typed, entry_words(entry, situation)


def _likeliest(begun: str, situation: Situation, acts: Acts) -> Iterator[str]:
    """Acts that something logged just before this frame suggests, then the commonest."""
    recent: list[Entry] = [
        e
        for e in situation.fold.entries
        if e.kind in _PROMPTS
        and 0 <= (situation.at.end - situation.fold.when(e).start).total_seconds() <= PROMPT_S
    ]
    common = acts.languages[TYPED].words.get("common", ())
    for word in (*(_PROMPTS[entry.kind] for entry in reversed(recent)), *common):
        if word.startswith(begun.lower()):
            yield word


def _phrases(
    head: str, begun: str, start: int, acts: Acts, kinds: tuple[Word, ...]
) -> Iterator[tuple[str, str, int]]:
    """Known phrases of these kinds that begin with the last words typed, longest run first."""
    lexicon = acts.lexicon
    words = _last_words(head)
    for count in range(len(words), -1, -1):
        taken = words[len(words) - count :]
        beginning = " ".join([*(raw.text.lower() for raw in taken), begun.lower()])
        if not beginning.strip():
            yield from ((form, kind.value.lower(), start) for kind in kinds
                        for form in lexicon.first_forms.get(kind, ()))  # fmt: skip
            return
        found: list[tuple[int, str, Word]] = []
        at = bisect_left(lexicon.ordered, beginning)
        while at < len(lexicon.ordered) and lexicon.ordered[at].startswith(beginning):
            phrase = lexicon.ordered[at]
            known = dict(lexicon.phrases[tuple(phrase.split())])
            kind = next((k for k in kinds if k in known), None)
            if kind is not None:
                later = phrase not in lexicon.first_forms.get(kind, ())
                found.append((kinds.index(kind) + 100 * later, phrase, kind))
            at += 1
        for _, phrase, kind in sorted(found):
            yield phrase, kind.value.lower(), taken[0].start if taken else start


def _last_words(head: str) -> list[Raw]:
    """The words that stand together at the end, a few at most."""
    words: list[Raw] = []
    for raw in reversed(cut(head)):
        if raw.kind not in ("word", "ordinal") or len(words) == MOST_WORDS - 1:
            break
        words.insert(0, raw)
    return words
