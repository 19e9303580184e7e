"""From a line to its reading: every person, act and entry found, or a question asked."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from setpiece.captions.acts import TYPED, Act, Acts, People, Sides
from setpiece.captions.binding import bind
from setpiece.captions.line import Line, Question, Ref, RefKind, ShorthandError
from setpiece.captions.people_named import Finder
from setpiece.captions.reading import Nature, Part, Participant, Reading
from setpiece.captions.situation import Situation
from setpiece.match.people import Side

IN_ORDER = {
    1: (),
    2: ("left", "right"),
    3: ("left", "centre", "right"),
    4: ("left", "second-left", "second-right", "right"),
    5: ("left", "second-left", "centre", "second-right", "right"),
    6: ("left", "second-left", "third-left", "third-right", "second-right", "right"),
    7: ("left", "second-left", "third-left", "centre", "third-right", "second-right", "right"),
}
"""What `in order` states, by how many people stand in the line."""


def resolve(line: Line, situation: Situation, acts: Acts) -> Reading:
    """The line's reading. Raises ShorthandError at a word, or Choices where several fit."""
    act = acts.acts[line.act]
    language = acts.languages[TYPED]
    finder = Finder(situation, language)
    people = _people(line, act, finder)
    if act.people is People.REQUIRED and not any(p.part is Part.SUBJECT for p in people):
        raise ShorthandError(
            "nobody is named who does this",
            start=line.act_start,
            end=line.act_end,
            word=line.text[line.act_start : line.act_end],
            next_step="Type who, as 9r, a name, someone r, or r supporters.",
        )
    people = _in_order(people, line) if line.in_order else people
    _ask_placement(people, act, line)
    bound, event = bind(line, act, people, situation, language)
    people = tuple(p for p in people if p.part is not Part.ENTRY)
    return Reading(
        line=line.text,
        act=act.id,
        people=people,
        bound=bound,
        event=event,
        hows=line.hows,
        places=line.places,
        milestones=line.milestones,
        quotes=line.quotes,
        corrections=line.corrections,
    )


def _people(line: Line, act: Act, finder: Finder) -> tuple[Participant, ...]:
    people: list[Participant] = []
    lead = _lead_for_someone(line, act, finder)

    def take(refs: Sequence[Ref], part: Part) -> None:
        nonlocal lead
        for ref in refs:
            people.extend(finder.find(ref, act, part, lead))
        if lead is None:
            lead = next((p.side for p in people if p.side is not None), None)

    take(line.subjects, Part.SUBJECT)
    take(line.objects, Part.OBJECT)
    take(line.mates, Part.MATE)
    take(line.foes, Part.FOE)
    take(line.place_people, Part.PLACE)
    take(line.beneficiaries, Part.FOR)
    if line.after is not None and line.after.person is not None:
        take((line.after.person,), Part.ENTRY)
    named: set[str] = set()
    for person in people:
        if person.person is not None and person.part is not Part.ENTRY:
            if person.person in named:
                raise ShorthandError(
                    f"{person.name} stands in the line twice",
                    start=person.start,
                    end=person.end,
                    word=person.typed,
                    next_step="Take one of them out.",
                )
            named.add(person.person)
    return tuple(people)


def _lead_for_someone(line: Line, act: Act, finder: Finder) -> Side | None:
    """The side of an unknown player who acts, told by whom it is done to."""
    first = line.subjects[0] if line.subjects else None
    if first is None or first.kind is not RefKind.SOMEONE or first.kit:
        return None
    others = (*line.objects, *line.mates)
    if act.object_side is Sides.ANY or not others or others[0].kind is RefKind.SOMEONE:
        return None
    side = finder.find(others[0], act, Part.OBJECT, None)[0].side
    if side is None or (line.objects and act.object_side is Sides.SAME):
        return side
    return side.other if line.objects else side


_SEEN = (Nature.PLAYER, Nature.SOMEONE)
_IN_PICTURE = (Part.SUBJECT, Part.OBJECT, Part.MATE, Part.FOE)


def _in_order(people: tuple[Participant, ...], line: Line) -> tuple[Participant, ...]:
    """Placements from the order typed, left to right; only because the line says so."""
    seen = sorted(
        (p for p in people if p.part in _IN_PICTURE and p.nature is not Nature.GROUP),
        key=lambda p: p.start,
    )
    order = IN_ORDER.get(len(seen))
    if order is None:
        raise ShorthandError(
            f"in order is read for up to {max(IN_ORDER)} people",
            start=0,
            end=len(line.text),
            word=line.text,
            next_step="Name fewer, or say where each stands.",
        )
    places = dict(zip((id(p) for p in seen), order, strict=False))
    return tuple(
        replace(p, places=(places[id(p)],)) if id(p) in places and not p.places else p
        for p in people
    )


def _ask_placement(people: tuple[Participant, ...], act: Act, line: Line) -> None:
    """Asks where people stand whom only their place tells apart: those in the same kit."""
    alike: dict[tuple[str, Side | None, bool, str], list[Participant]] = defaultdict(list)
    for person in people:
        if person.part in _IN_PICTURE and person.nature in _SEEN:
            part = person.part if act.tells_apart else ""
            alike[(person.kit_letter, person.side, person.goalkeeper, part)].append(person)
    for group in alike.values():
        unplaced = [p for p in group if not p.places]
        taken = [p.places for p in group if p.places]
        if len(unplaced) > 1:
            raise Question(
                "who stands where?",
                _orders(group),
                thing=", ".join(p.typed for p in group),
                start=min(p.start for p in group),
                end=max(p.end for p in group),
                next_step="Type a placement after each, or in order at the end.",
            )
        if len(set(taken)) < len(taken):
            twice = next(p for p in group if taken.count(p.places) > 1)
            raise Question(
                f"two people have the placement {' '.join(twice.places)}",
                _orders(group),
                thing=", ".join(p.typed for p in group),
                start=min(p.start for p in group),
                end=max(p.end for p in group),
                next_step="Give each its own placement.",
            )


def _orders(group: list[Participant]) -> list[str]:
    order = IN_ORDER.get(len(group), ())
    straight = ", ".join(f"{p.typed} {w}" for p, w in zip(group, order, strict=False))
    turned = ", ".join(f"{p.typed} {w}" for p, w in zip(reversed(group), order, strict=False))
    return [text for text in (straight, turned, "in order") if text]
