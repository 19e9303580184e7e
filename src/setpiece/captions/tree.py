"""From the parser's tree to the parts of a line."""

from __future__ import annotations

from dataclasses import dataclass

from lark import Token, Transformer

from setpiece.captions.lexicon import Piece, Word
from setpiece.captions.line import After, Ref, RefKind


@dataclass
class Parts:
    """The parts of a line while it is put together."""

    pieces: list[Piece]
    text: str
    verb: Piece | None = None
    thing: Piece | None = None
    subjects: tuple[Ref, ...] = ()
    objects: tuple[Ref, ...] = ()
    subject_places: tuple[str, ...] = ()
    tails: tuple[tuple[str, object], ...] = ()


class Build(Transformer[Token, Parts]):
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

    def start(self, children: list[object]) -> Parts:
        parts = Parts(self.pieces, self.text)
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

    def _take_predicate(self, parts: Parts, children: list[object]) -> None:
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
