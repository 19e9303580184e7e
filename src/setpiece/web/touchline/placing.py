"""Where people stand in the picture: pointed at one after the other, written into the line."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from setpiece.captions.acts import Acts
from setpiece.captions.compose import read_line
from setpiece.captions.grammar import parse
from setpiece.captions.line import Line, Ref, RefKind
from setpiece.captions.reading import Participant
from setpiece.captions.resolve import IN_ORDER
from setpiece.captions.situation import Situation, vocabulary_of
from setpiece.errors import WrongUse
from setpiece.web.wording import Wording

_ORDER_WORDS = re.compile(r"\s*\bin order\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Pointed:
    """How far the pointing is: whom to point at next, or the whole line once all are placed."""

    said: str = ""
    line: str = ""


def pointed(
    line: str, across: Sequence[float], situation: Situation, acts: Acts, words: Wording
) -> Pointed:
    """What to do after pointing at so many people, in the order in which the line names them.

    `across` are the places pointed at, from 0 at the left edge to 1 at the right. Whoever has a
    placement in the line keeps it and is not asked for. Raises what reading the line raises, and
    WrongUse where fewer than two are left to place.
    """
    plain = _ORDER_WORDS.sub("", line).rstrip()
    reading = read_line(f"{plain} in order", situation, acts)
    people = _to_place(parse(plain, acts, vocabulary_of(situation.sheet)))
    if len(people) < 2:
        raise WrongUse(words("point.nobody"), next_step=words("point.nobody-next"))
    if len(across) < len(people):
        who = next(p for p in reading.people if p.start == people[len(across)].start)
        said = words("point.at", who=_called(who), n=len(across) + 1, total=len(people))
        return Pointed(said=said)
    order = sorted(range(len(people)), key=lambda i: across[i])
    places = dict(zip(order, IN_ORDER[len(people)], strict=True))
    for number in reversed(range(len(people))):
        end = people[number].end
        plain = f"{plain[:end]} {places[number].replace('-', ' ')}{plain[end:]}"
    read_line(plain, situation, acts)
    return Pointed(line=plain)


def _to_place(line: Line) -> list[Ref]:
    """The people in the picture without a placement, in the order in which they were typed."""
    seen = (*line.subjects, *line.objects, *line.mates, *line.foes)
    return sorted(
        (r for r in seen if r.kind is not RefKind.GROUP and not r.places), key=lambda r: r.start
    )


def _called(person: Participant) -> str:
    name = person.name or person.typed
    return f"{person.number_worn} {name}" if person.number_worn is not None else name
