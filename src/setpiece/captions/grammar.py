"""The grammar of the one line: from text to what was said, before anybody is looked up.

    9r left celebrates with 11r right after 74 goal "100th appearance"

`parse` raises ShorthandError only, pointing at the word. Slips in a verb are put right and
told; numbers, kits and names never are.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from lark import Lark, Token, Transformer
from lark.exceptions import UnexpectedInput, UnexpectedToken
from lark.lexer import Lexer
from rapidfuzz.distance import OSA

from setpiece.captions.acts import Acts
from setpiece.captions.tables import nearest
from setpiece.captions.words import MAX_LINE, Piece, Raw, Vocabulary, Word, pieces_of
from setpiece.errors import AskPhotographer

COMMAND_WORDS = frozenset(
    "goal yellow red sub whistle use hold spike send next previous find answer check undo redo "
    "here note penalty open close kickoff minute review disallow withdraw correct kill rate "
    "style desk log clock help quit go back passage frame export set".split()
)
"""Words that act. One of them standing first in the line never opens a caption."""


class ShorthandError(AskPhotographer):
    """A word of the line that cannot be read: where it stands, and the nearest that can."""

    def __init__(
        self,
        what: str,
        *,
        start: int,
        end: int,
        word: str,
        nearest: tuple[str, ...] = (),
        next_step: str = "",
    ) -> None:
        self.start = start
        self.end = end
        self.word = word
        self.nearest = nearest
        if nearest and not next_step:
            next_step = "Did you mean " + " or ".join(nearest) + "?"
        super().__init__(what, thing=word, next_step=next_step)


class RefKind(StrEnum):
    """How a person was named."""

    SHIRT = "shirt"
    NAME = "name"
    ROLE = "role"
    GROUP = "group"
    STRANGER = "stranger"
    SOMEONE = "someone"


@dataclass(frozen=True, slots=True)
class Ref:
    """A person as typed. `kit` is the letter, colour or side typed with it, `places` where."""

    kind: RefKind
    start: int
    end: int
    text: str
    number: int | None = None
    kit: str = ""
    words: tuple[str, ...] = ()
    places: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class After:
    """The entry the picture follows, as typed: kind, minute and person, each optional."""

    start: int
    end: int
    event: str = ""
    minute: str = ""
    person: Ref | None = None


@dataclass(frozen=True, slots=True)
class Correction:
    """A slip in a verb that was put right."""

    typed: str
    read_as: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Line:
    """One line, read. `act` is an act's id; `inverse` when who acts was typed second."""

    text: str
    act: str
    act_start: int
    act_end: int
    subjects: tuple[Ref, ...] = ()
    objects: tuple[Ref, ...] = ()
    mates: tuple[Ref, ...] = ()
    foes: tuple[Ref, ...] = ()
    beneficiaries: tuple[Ref, ...] = ()
    after: After | None = None
    hows: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    place_people: tuple[Ref, ...] = ()
    milestones: tuple[tuple[str, int], ...] = ()
    quotes: tuple[str, ...] = ()
    in_order: bool = False
    corrections: tuple[Correction, ...] = ()


_GRAMMAR = r"""
start: people? predicate? tail*
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
?tail: with | against | for | by | after | how | at | milestone | quote | order
with: WITH people
against: AGAINST people
for: FOR people
by: BY people
after: AFTER MINUTE EVENT? | AFTER EVENT | AFTER person EVENT? | MINUTE EVENT?
how: HOW
at: AT people?
milestone: ORDINAL? MILESTONE
quote: QUOTE
order: IN_ORDER
%declare SHIRT NUMBER MINUTE ORDINAL SOMEONE KIT ROLE GROUP STRANGER NAME VERB INVERSE THING
%declare PLACE WITH AGAINST FOR BY AND AFTER EVENT HOW AT MILESTONE IN_ORDER QUOTE
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
    pieces, corrections = _mend_verb(pieces, text, acts, vocabulary)
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


def _mend_verb(
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


@dataclass
class _Parts:
    """The parts of a line while it is put together."""

    pieces: list[Piece]
    text: str
    verb: Piece | None = None
    thing: Piece | None = None
    subjects: tuple[Ref, ...] = ()
    objects: tuple[Ref, ...] = ()
    subject_places: tuple[str, ...] = ()
    tails: tuple[tuple[str, object], ...] = ()


def _read(pieces: list[Piece], text: str, acts: Acts) -> _Parts:
    try:
        tree = _PARSER.parse(pieces)
    except UnexpectedToken as error:
        raise _unexpected(error, pieces, text, acts) from error
    except UnexpectedInput as error:
        raise ShorthandError(
            "the line cannot be read", start=0, end=len(text), word=text
        ) from error
    parts: _Parts = _Build(pieces, text).transform(tree)
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


class _Build(Transformer[Token, _Parts]):
    """From lark's tree to refs and tails."""

    def __init__(self, pieces: list[Piece], text: str) -> None:
        super().__init__()
        self.pieces = pieces
        self.text = text

    def _piece(self, token: Token) -> Piece:
        return self.pieces[token.start_pos or 0]

    def _ref(self, kind: RefKind, tokens: list[Token], **more: object) -> Ref:
        first, last = self._piece(tokens[0]), self._piece(tokens[-1])
        text = self.text[first.start : last.end]
        return Ref(kind, first.start, last.end, text, **more)  # type: ignore[arg-type]

    def shirt(self, tokens: list[Token]) -> Ref:
        if len(tokens) == 1:
            number, kit = int(tokens[0][:-1]), str(tokens[0][-1])
        else:
            number, kit = int(tokens[1]), str(tokens[0])
        return self._ref(RefKind.SHIRT, tokens, number=number, kit=kit)

    def bare(self, tokens: list[Token]) -> Ref:
        return self._ref(RefKind.SHIRT, tokens, number=int(tokens[0]))

    def name(self, tokens: list[Token]) -> Ref:
        return self._ref(RefKind.NAME, tokens, words=tuple(str(t) for t in tokens))

    def role(self, tokens: list[Token]) -> Ref:
        return self._with_kit(RefKind.ROLE, Word.ROLE, tokens)

    def group(self, tokens: list[Token]) -> Ref:
        return self._with_kit(RefKind.GROUP, Word.GROUP, tokens)

    def someone(self, tokens: list[Token]) -> Ref:
        return self._with_kit(RefKind.SOMEONE, Word.SOMEONE, tokens)

    def stranger(self, tokens: list[Token]) -> Ref:
        return self._ref(RefKind.STRANGER, tokens, words=(str(tokens[0]),))

    def _with_kit(self, kind: RefKind, word: Word, tokens: list[Token]) -> Ref:
        kit = next((str(t) for t in tokens if t.type == Word.KIT), "")
        said = next(str(t) for t in tokens if t.type == word)
        return self._ref(kind, tokens, kit=kit, words=(said,))

    def person(self, children: list[Ref | Token]) -> Ref:
        ref = children[0]
        assert isinstance(ref, Ref)
        places = tuple(str(token) for token in children[1:])
        return Ref(ref.kind, ref.start, ref.end, ref.text, ref.number, ref.kit, ref.words, places)

    def people(self, children: list[Ref | Token]) -> tuple[Ref, ...]:
        return tuple(child for child in children if isinstance(child, Ref))

    def predicate(self, children: list[object]) -> tuple[str, list[object]]:
        return "predicate", children

    def after(self, children: list[Ref | Token]) -> tuple[str, After]:
        tokens = [c for c in children if isinstance(c, Token)]
        person = next((c for c in children if isinstance(c, Ref)), None)
        ends = [self._piece(t).end for t in tokens] + ([person.end] if person else [])
        starts = [self._piece(t).start for t in tokens] + ([person.start] if person else [])
        minute = next((str(t) for t in tokens if t.type == Word.MINUTE), "")
        event = next((str(t) for t in tokens if t.type == Word.EVENT), "")
        return "after", After(min(starts), max(ends), event, minute.rstrip("'’"), person)

    def milestone(self, tokens: list[Token]) -> tuple[str, tuple[str, int]]:
        count = int("".join(c for c in tokens[0] if c.isdigit())) if len(tokens) > 1 else 0
        return "milestone", (str(tokens[-1]), count)

    def at(self, children: list[object]) -> tuple[str, tuple[str, tuple[Ref, ...]]]:
        people = children[1] if len(children) > 1 else ()
        return "at", (str(children[0]), people)  # type: ignore[return-value]

    def start(self, children: list[object]) -> _Parts:
        parts = _Parts(self.pieces, self.text)
        tails: list[tuple[str, object]] = []
        for child in children:
            if isinstance(child, tuple) and child and isinstance(child[0], Ref):
                parts.subjects = child
            elif isinstance(child, tuple) and child[0] == "predicate":
                self._take_predicate(parts, child[1])
            elif isinstance(child, tuple):
                tails.append(child)
            else:
                tails.append((str(getattr(child, "data", "")), child.children[-1]))  # type: ignore[attr-defined]
        parts.tails = tuple(tails)
        return parts

    def _take_predicate(self, parts: _Parts, children: list[object]) -> None:
        places: list[str] = []
        for child in children:
            if not isinstance(child, Token):
                parts.objects = child  # type: ignore[assignment]
            elif child.type == Word.THING:
                parts.thing = self._piece(child)
            elif child.type == Word.PLACE:
                places.append(str(child))
            else:
                parts.verb = self._piece(child)
        parts.subject_places = tuple(places)


def _line(text: str, parts: _Parts, acts: Acts, corrections: tuple[Correction, ...]) -> Line:
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


def _no_act(parts: _Parts, text: str, acts: Acts) -> ShorthandError:
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
