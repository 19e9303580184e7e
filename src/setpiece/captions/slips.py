"""Slips of the fingers in a verb are put right and told; numbers, kits and names never are."""

from __future__ import annotations

from rapidfuzz.distance import OSA

from setpiece.captions.acts import Acts
from setpiece.captions.lexicon import Piece, Vocabulary, Word
from setpiece.captions.line import Correction, ShorthandError


def mend_verb(
    pieces: list[Piece], text: str, acts: Acts, vocabulary: Vocabulary
) -> tuple[list[Piece], tuple[Correction, ...]]:
    """Puts a slip in the verb right where no verb was found and one act is clearly nearest."""
    if any(p.kind in (Word.VERB, Word.INVERSE) for p in pieces):
        return pieces, ()
    best: list[tuple[int, int, str]] = []
    for index, piece in enumerate(pieces):
        if piece.kind is not Word.NAME or piece.value.lower() in vocabulary.names:
            continue
        typed = piece.value.lower()
        reach = 0 if len(typed) < 4 else 1 if len(typed) < 7 else 2
        for verb in acts.lexicon.verbs:
            distance = OSA.distance(typed, verb, score_cutoff=reach)
            if distance <= reach:
                best.append((distance, index, verb))
    if not best:
        return pieces, ()
    least = min(best)[0]
    near = [(index, verb) for distance, index, verb in best if distance == least]
    if len({index for index, _ in near}) > 1 or len({_acts_of(v, acts) for _, v in near}) > 1:
        piece = pieces[near[0][0]]
        raise ShorthandError(
            "this could be more than one act",
            start=piece.start,
            end=piece.end,
            word=text[piece.start : piece.end],
            nearest=tuple(sorted({verb for _, verb in near})),
        )
    index, verb = near[0]
    piece = pieces[index]
    kind = Word.VERB if any(v == verb and not inv for v, _, inv in acts.by_form) else Word.INVERSE
    mended = Piece(kind, verb, piece.start, piece.end, piece.value)
    after = [_thing_after(p, verb, acts) for p in pieces[index + 1 :]]
    note = Correction(piece.value, verb, piece.start, piece.end)
    return [*pieces[:index], mended, *after], (note,)


def _thing_after(piece: Piece, verb: str, acts: Acts) -> Piece:
    """A word after a mended verb, as the thing the act is done to where it is one."""
    words = piece.value.lower().replace("-", " ")
    for thing in acts.lexicon.things.get(verb, ()):
        if words == thing and piece.kind in (Word.EVENT, Word.HOW, Word.NAME):
            return Piece(Word.THING, thing, piece.start, piece.end)
    return piece


def _acts_of(verb: str, acts: Acts) -> frozenset[str]:
    return frozenset(act for (form, _, _), act in acts.by_form.items() if form == verb)
