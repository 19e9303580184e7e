"""The grammar of the one line: from text to what was said, before anybody is looked up.

    9r left celebrates with 11r right after 74 goal "100th appearance"

`parse` raises ShorthandError only, pointing at the word. Slips in a verb are put right and
told; numbers, kits and names never are.
"""

from __future__ import annotations

from collections.abc import Iterator

from lark import Lark, Token
from lark.exceptions import UnexpectedInput, UnexpectedToken
from lark.lexer import Lexer

from setpiece.captions.acts import Acts
from setpiece.captions.lexicon import Piece, Vocabulary, Word
from setpiece.captions.line import (
    COMMAND_WORDS,
    After,
    Correction,
    Line,
    Ref,
    RefKind,
    ShorthandError,
)
from setpiece.captions.slips import mend_verb
from setpiece.captions.tables import nearest
from setpiece.captions.tree import Build, Parts
from setpiece.captions.words import MAX_LINE, Raw, pieces_of

__all__ = ["COMMAND_WORDS", "ShorthandError", "parse"]

_GRAMMAR = r"""
start: people? tail* (predicate tail*)?
people: person (AND? person)*
person: ref PLACE*
?ref: shirt | name | role | group | stranger | someone | bare
shirt: SHIRT | KIT NUMBER
bare: NUMBER
name: NAME+
role: KIT? ROLE
group: KIT? GROUP
stranger: STRANGER
someone: SOMEONE KIT? | KIT SOMEONE
predicate: (VERB | INVERSE) PLACE* people? THING?
?tail: with | against | for | by | to | after | how | at | milestone | quote | order
with: WITH people
against: AGAINST people
for: FOR people
by: BY people
to: TO people
after: AFTER MINUTE EVENT? | AFTER EVENT | AFTER person EVENT? | MINUTE EVENT?
how: HOW
at: AT people?
milestone: ORDINAL? MILESTONE
quote: QUOTE
order: IN_ORDER
%declare SHIRT NUMBER MINUTE ORDINAL SOMEONE KIT ROLE GROUP STRANGER NAME VERB INVERSE THING
%declare PLACE WITH AGAINST FOR BY TO AND AFTER EVENT HOW AT MILESTONE IN_ORDER QUOTE
"""


class _Pieces(Lexer):
    """Hands lark the pieces as its tokens."""

    def __init__(self, _conf: object) -> None:
        pass

    def lex(self, data: list[Piece]) -> Iterator[Token]:  # type: ignore[override]
        for index, piece in enumerate(data):
            yield Token(
                piece.kind.value, piece.value, start_pos=index,
                line=1, column=piece.start, end_column=piece.end,
            )  # fmt: skip


_PARSER = Lark(_GRAMMAR, parser="lalr", lexer=_Pieces)
_PLAIN = {
    Word.VERB: "an act", Word.NAME: "a name", Word.SHIRT: "a shirt", Word.PLACE: "a placement",
    Word.EVENT: "an entry", Word.THING: "what it is done to", Word.MINUTE: "a minute",
    Word.NUMBER: "a number", Word.MILESTONE: "a milestone", Word.ROLE: "a role",
    Word.SOMEONE: "someone",
}  # fmt: skip


def parse(text: str, acts: Acts, vocabulary: Vocabulary | None = None) -> Line:
    """What the line says. The only error it raises is ShorthandError.

    With the match's `vocabulary` a word that is part of a name is never taken for a verb, and
    the words for kits are known.
    """
    vocabulary = vocabulary or Vocabulary()
    if len(text) > MAX_LINE:
        raise ShorthandError(
            f"a line has at most {MAX_LINE} characters",
            start=MAX_LINE,
            end=len(text),
            word=text[MAX_LINE : MAX_LINE + 20],
            next_step="Type the text over the caption instead.",
        )
    pieces = list(_known_pieces(text, acts, vocabulary))
    if not pieces:
        raise ShorthandError(
            "nothing was typed", start=0, end=0, word="", next_step="Type who does what."
        )
    _refuse_command(pieces[0], text)
    pieces, corrections = mend_verb(pieces, text, acts, vocabulary)
    parts = _read(_drop_loose_ands(pieces), text, acts)
    return _line(text, parts, acts, corrections)


def _known_pieces(text: str, acts: Acts, vocabulary: Vocabulary) -> Iterator[Piece]:
    for piece in pieces_of(text, acts.lexicon, vocabulary):
        if isinstance(piece, Raw):
            raise ShorthandError(
                "this sign means nothing here",
                start=piece.start,
                end=piece.end,
                word=piece.text,
                next_step="Take it out, or put the text in quotation marks.",
            )
        yield piece


def _refuse_command(first: Piece, text: str) -> None:
    word = text[first.start : first.end]
    is_kit = first.kind is Word.KIT
    if not is_kit and word.split()[:1] and word.split()[0].lower() in COMMAND_WORDS:
        raise ShorthandError(
            "this word acts, it does not open a caption",
            start=first.start,
            end=first.end,
            word=word,
            next_step="Begin a caption with who is in the picture.",
        )


_OPENS_PERSON = frozenset(
    {Word.SHIRT, Word.NUMBER, Word.NAME, Word.KIT, Word.ROLE, Word.GROUP, Word.STRANGER,
     Word.SOMEONE}
)  # fmt: skip


def _drop_loose_ands(pieces: list[Piece]) -> list[Piece]:
    """Without the commas and ands that do not stand between two people."""
    kept: list[Piece] = []
    for index, piece in enumerate(pieces):
        follows = pieces[index + 1].kind if index + 1 < len(pieces) else None
        before = kept[-1].kind if kept else None
        if piece.kind is Word.AND and (
            follows not in _OPENS_PERSON or before not in (_OPENS_PERSON | {Word.PLACE})
        ):
            continue
        kept.append(piece)
    return kept


def _read(pieces: list[Piece], text: str, acts: Acts) -> Parts:
    try:
        tree = _PARSER.parse(pieces)
    except UnexpectedToken as error:
        raise _unexpected(error, pieces, text, acts) from error
    except UnexpectedInput as error:
        raise ShorthandError(
            "the line cannot be read", start=0, end=len(text), word=text
        ) from error
    parts: Parts = Build(pieces, text).transform(tree)
    return parts


def _unexpected(
    error: UnexpectedToken, pieces: list[Piece], text: str, acts: Acts
) -> ShorthandError:
    wanted = [_PLAIN[w] for w in _PLAIN if w.value in error.accepts | error.expected]
    listed = ", ".join(wanted[:4])
    if error.token.type == "$END":
        last = pieces[-1]
        return ShorthandError(
            "the line ends too early",
            start=last.end,
            end=last.end,
            word=text[last.start : last.end],
            next_step=f"Here could stand {listed}." if listed else "",
        )
    piece = pieces[error.token.start_pos or 0]
    word = text[piece.start : piece.end]
    if piece.kind in (Word.VERB, Word.INVERSE):
        return ShorthandError(
            "one act to a line, this is a second one",
            start=piece.start,
            end=piece.end,
            word=word,
            next_step="Take one of them out.",
        )
    known = (" ".join(words) for words in acts.lexicon.phrases)
    return ShorthandError(
        "this word cannot stand here",
        start=piece.start,
        end=piece.end,
        word=word,
        nearest=nearest(word, known) if piece.kind is Word.NAME else (),
        next_step=f"Here could stand {listed}." if listed else "",
    )


def _line(text: str, parts: Parts, acts: Acts, corrections: tuple[Correction, ...]) -> Line:
    verb = parts.verb
    if verb is None:
        raise _no_act(parts, text, acts)
    inverse = verb.kind is Word.INVERSE
    thing = parts.thing.value if parts.thing else ""
    act = acts.by_form.get((verb.value, thing, inverse)) or acts.by_form.get(
        (verb.value, thing, not inverse)
    )
    if act is None:
        things = tuple(sorted(acts.lexicon.things.get(verb.value, ())))
        raise ShorthandError(
            "what is it done to?",
            start=verb.start,
            end=verb.end,
            word=text[verb.start : verb.end],
            nearest=tuple(f"{verb.value} {t}" for t in things),
        )
    said: dict[str, list[object]] = {}
    for name, value in parts.tails:
        said.setdefault(name, []).append(value)
    subjects, objects = _placed(parts.subjects, parts.subject_places), parts.objects
    by = _refs(said, "by")
    if inverse:
        subjects, objects = objects + by, subjects
    elif not objects:
        objects = by
    else:
        objects = objects + by
    objects = objects + _refs(said, "to")
    afters = [a for a in said.get("after", []) if isinstance(a, After)]
    if len(afters) > 1:
        raise ShorthandError(
            "one entry to a line, this is a second one",
            start=afters[1].start,
            end=afters[1].end,
            word=text[afters[1].start : afters[1].end],
        )
    ats: list[tuple[str, tuple[Ref, ...]]] = said.get("at", [])  # type: ignore[assignment]
    return Line(
        text=text,
        act=act,
        act_start=verb.start,
        act_end=parts.thing.end if parts.thing else verb.end,
        subjects=subjects,
        objects=objects,
        mates=_refs(said, "with"),
        foes=_refs(said, "against"),
        beneficiaries=_refs(said, "for"),
        after=afters[0] if afters else None,
        hows=tuple(str(h) for h in said.get("how", [])),
        places=tuple(key for key, _ in ats),
        place_people=tuple(ref for _, people in ats for ref in people),
        milestones=tuple(said.get("milestone", ())),  # type: ignore[arg-type]
        quotes=tuple(str(q) for q in said.get("quote", []) if str(q)),
        in_order="order" in said,
        corrections=corrections,
    )


def _refs(said: dict[str, list[object]], name: str) -> tuple[Ref, ...]:
    return tuple(ref for people in said.get(name, ()) for ref in people)  # type: ignore[attr-defined]


def _placed(subjects: tuple[Ref, ...], places: tuple[str, ...]) -> tuple[Ref, ...]:
    if not places or not subjects:
        return subjects
    last = subjects[-1]
    moved = Ref(
        last.kind, last.start, last.end, last.text, last.number, last.kit, last.words,
        last.places + places,
    )  # fmt: skip
    return (*subjects[:-1], moved)


def _no_act(parts: Parts, text: str, acts: Acts) -> ShorthandError:
    names = [r for r in parts.subjects if r.kind is RefKind.NAME]
    last = names[-1] if names else None
    word = last.words[-1] if last else (parts.subjects[-1].text if parts.subjects else text)
    start = text.rfind(word)
    return ShorthandError(
        "the line does not say what they do",
        start=max(start, 0),
        end=max(start, 0) + len(word),
        word=word,
        nearest=nearest(word, acts.lexicon.verbs) if last else (),
        next_step="" if last else "Add an act, as celebrates or tackles.",
    )
