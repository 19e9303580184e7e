"""A line of shorthand as the page shows it, whole or as far as it is clear."""

from __future__ import annotations

from collections.abc import Iterable

from setpiece.captions.acts import Acts
from setpiece.captions.compose import read_line
from setpiece.captions.lexicon import Piece, Word
from setpiece.captions.reading import Bound, Nature, Participant, Reading, Whereabouts
from setpiece.captions.situation import Situation, vocabulary_of
from setpiece.captions.words import pieces_of
from setpiece.errors import SetpieceError
from setpiece.web.touchline.hearing import Bit, aside, position, word
from setpiece.web.wording import Wording


def caption_bits(text: str, situation: Situation, words: Wording, acts: Acts) -> tuple[Bit, ...]:
    """A line of shorthand: everybody in it large, the entry it speaks of. Raises what it raises."""
    reading = read_line(text, situation, acts)
    bits = [*_in_words(reading, situation, words)]
    if reading.bound is not None:
        bits.append(Bit("aside", _bound(reading.bound, situation, words)))
    bits += [
        Bit("doubt", words("line.read-as", typed=c.typed, read=c.read_as))
        for c in reading.corrections
    ]
    return tuple(bits)


def _in_words(reading: Reading, situation: Situation, words: Wording) -> Iterable[Bit]:
    """The line with everybody in it put large, the other words as they were typed."""
    at = 0
    for person in sorted(reading.people, key=lambda p: p.start):
        if person.start < at:
            continue
        yield from word(reading.line[at : person.start])
        yield from _person(person, situation, words)
        at = person.end
    yield from word(reading.line[at:])


def _person(person: Participant, situation: Situation, words: Wording) -> Iterable[Bit]:
    if person.number_worn is not None:
        yield Bit("number", str(person.number_worn), person.kit_letter)
    yield Bit("name", person.name or person.typed, "" if person.number_worn else person.kit_letter)
    place = position(person.position or person.title, words)
    yield from aside([place, person.kit_colour])
    if person.nature is Nature.PLAYER and person.whereabouts is not Whereabouts.ON_PITCH:
        since = f" {person.since}'" if person.since else ""
        yield Bit("doubt", f"{person.whereabouts.value}{since}")


def _bound(bound: Bound, situation: Situation, words: Wording) -> str:
    scorer = situation.person(bound.scorer)
    parts = [bound.event, scorer.name if scorer else "", f"{bound.label}'" if bound.label else ""]
    if bound.score is not None:
        parts.append(str(bound.score))
    return words("line.after", what=", ".join(p for p in parts if p))


NEUTRAL = "reacts"
"""An act that anybody may do anywhere: with it each person of a line can be looked up alone."""


def salvaged(line: str, situation: Situation | None, words: Wording, acts: Acts) -> tuple[Bit, ...]:
    """A line that cannot be read as a whole: everybody in it who is clear, the rest as typed."""
    if situation is None:
        return ()
    bits: list[Bit] = []
    at = 0
    for start, end in _people_spans(line, situation, acts):
        found = _alone(line[start:end], situation, words, acts)
        if found:
            bits += word(line[at:start])
            bits += found
            at = end
    return tuple([*bits, *word(line[at:])]) if bits else ()


def _people_spans(line: str, situation: Situation, acts: Acts) -> Iterable[tuple[int, int]]:
    """Where shirts stand in the line, as `9r` or `red 9`, and runs of words that may be a name."""
    pieces = [
        p
        for p in pieces_of(line, acts.lexicon, vocabulary_of(situation.sheet))
        if isinstance(p, Piece)
    ]
    at = 0
    while at < len(pieces):
        kinds = [p.kind for p in pieces[at : at + 2]]
        end = at + 1
        if kinds[:1] == [Word.NAME]:
            while end < len(pieces) and pieces[end].kind is Word.NAME:
                end += 1
        elif kinds == [Word.KIT, Word.NUMBER] or kinds[:1] == [Word.KIT]:
            end = min(at + 2, len(pieces))
        if kinds[0] in (Word.SHIRT, Word.KIT, Word.NAME, Word.ROLE):
            yield pieces[at].start, pieces[end - 1].end
        at = end


def _alone(text: str, situation: Situation, words: Wording, acts: Acts) -> list[Bit]:
    try:
        reading = read_line(f"{text} {NEUTRAL}", situation, acts)
    except SetpieceError:
        return []
    return [b for p in reading.people for b in _person(p, situation, words)]
