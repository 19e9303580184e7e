"""Remarks on people: who comes on, leaves, is shown a card, keeps goal."""

from __future__ import annotations

from collections.abc import Iterator

from setpiece.match.clock import SHOOT_OUT
from setpiece.match.entries import Entry, How, Kind
from setpiece.match.fold import Fold
from setpiece.match.match_clock import split
from setpiece.match.people import PersonId, Side, number_in_id
from setpiece.match.placing import Placed
from setpiece.match.remark import Remark, club, who
from setpiece.match.state import Card, CardShown, SideState, State

FEWEST_PLAYERS = 7
"""With fewer a match does not go on. Laws of the Game, Law 3 (from memory)."""

LONGEST_WITHOUT_S = 300.0
"""Until another goalkeeper has come on, so much time may pass. Our choice."""

_CHANGES = (Kind.SUBSTITUTION, Kind.LATE_CHANGE)


def remarks(fold: Fold) -> Iterator[Remark]:
    """Every remark on people; on a log without a sheet only what needs none."""
    if fold.sheet.people:
        yield from _numbers(fold)
        for placed, before, after in fold.steps():
            yield from _one(fold, placed, before, after)
        yield from _goalkeepers(fold)
    yield from _cards(fold)
    yield from _substitutions(fold)


def side_of(fold: Fold, person_id: PersonId | None) -> Side | None:
    """The side a person plays for, None for an official or somebody unknown."""
    if person_id is None:
        return None
    person = fold.sheet.person(person_id)
    if person is not None:
        return person.side
    numbered = number_in_id(person_id)
    return numbered[0] if numbered else None


def _numbers(fold: Fold) -> Iterator[Remark]:
    told: set[PersonId] = set()
    for entry in fold.entries:
        for person_id in (entry.person, entry.other):
            if person_id is None or person_id in told or fold.sheet.person(person_id):
                continue
            told.add(person_id)
            yield Remark(
                "not on the sheet",
                f"{who(person_id, fold.sheet)} is not on the team sheet.",
                (entry.id,),
                (person_id,),
            )


def _one(fold: Fold, placed: Placed, before: State, after: State) -> Iterator[Remark]:
    """What one entry does that the state before it does not allow."""
    entry = placed.entry
    side = entry.side or side_of(fold, entry.person) or side_of(fold, entry.other)
    if entry.kind in _CHANGES and side is not None:
        yield from _change(fold, entry, before.side(side))
    if entry.kind is Kind.LATE_CHANGE and split(placed.latest)[0] > 0:
        yield says(entry, "late change after kick-off", "a late change belongs before kick-off")
    if entry.kind in (Kind.IN_GOAL, Kind.CAPTAIN) and side is not None and entry.person:
        if not after.side(side).is_on(entry.person):
            what = "goes in goal" if entry.kind is Kind.IN_GOAL else "takes the armband"
            yield says(
                entry,
                "not on the pitch",
                f"{who(entry.person, fold.sheet)} {what} but is not on the pitch",
            )
    if entry.kind is Kind.RETURN and side is not None and entry.person:
        if entry.person not in before.side(side).off and not before.side(side).is_on(entry.person):
            yield says(
                entry,
                "cannot return",
                f"{who(entry.person, fold.sheet)} returns but was not off for a time",
            )
    if entry.kind is Kind.KIT and side is not None:
        letters = [kit.letter for kit in fold.sheet.side(side).kits]
        if after.side(side).kit not in letters:
            yield says(entry, "no such kit", f"{club(side, fold.sheet)} has no kit {entry.note}")
    if entry.kind is Kind.SHIRT and side is not None and entry.number is not None:
        worn = [w.person for w in after.side(side).on_pitch if w.number == entry.number]
        if len(worn) > 1:
            yield says(entry, "number worn twice", f"two players now wear {entry.number}", *worn)
    for of_side in Side:
        yield from _count(fold, entry, of_side, before.side(of_side), after.side(of_side))


def _change(fold: Fold, entry: Entry, before: SideState) -> Iterator[Remark]:
    if entry.person is None or entry.other is None:
        yield says(
            entry,
            "half a substitution",
            f"a {entry.kind.value} needs who leaves and who comes on",
        )
    if entry.other is not None and entry.other not in before.bench:
        where = where_is(fold, entry.other, before)
        yield says(
            entry,
            "not on the bench",
            f"{who(entry.other, fold.sheet)} comes on but {where}",
            entry.other,
        )
    if entry.person is not None and not before.is_on(entry.person):
        sent_off_before = entry.kind is Kind.LATE_CHANGE and entry.person in before.dismissed
        if entry.person not in before.off and not sent_off_before:
            where = where_is(fold, entry.person, before)
            yield says(
                entry,
                "not on the pitch",
                f"{who(entry.person, fold.sheet)} leaves but {where}",
                entry.person,
            )


def where_is(fold: Fold, person_id: PersonId, side: SideState) -> str:
    """Where somebody is instead, as the end of a sentence."""
    if side.is_on(person_id):
        return "is on the pitch"
    if person_id in side.dismissed:
        return "was sent off"
    if person_id in side.bench:
        return "is on the bench"
    for left in side.left:
        if left.person == person_id:
            return "left the match" + (f" in minute {left.label}" if left.label else " before it")
    person = fold.sheet.person(person_id)
    if person is not None and not person.role.plays:
        return f"is {person.title or person.role.value}"
    return "is not on that side's sheet"


def _count(
    fold: Fold, entry: Entry, side: Side, before: SideState, after: SideState
) -> Iterator[Remark]:
    most = fold.fixture.rules.players
    count = len(after.on_pitch)
    if count > most >= len(before.on_pitch):
        yield says(
            entry, "too many on the pitch", f"{club(side, fold.sheet)} has {count} on the pitch"
        )
    if count < FEWEST_PLAYERS <= len(before.on_pitch):
        yield says(
            entry,
            "too few on the pitch",
            f"{club(side, fold.sheet)} has {count} on the pitch; with fewer than "
            f"{FEWEST_PLAYERS} a match does not go on",
        )


def _goalkeepers(fold: Fold) -> Iterator[Remark]:
    """A side that had nobody in goal for longer than a substitution takes."""
    steps = list(fold.steps())
    for side in Side:
        left: Placed | None = None
        for placed, before, after in steps:
            if after.side(side).in_goal is None and before.side(side).in_goal is not None:
                left = placed
            elif left is not None and after.side(side).in_goal is not None:
                if placed.latest - left.latest > LONGEST_WITHOUT_S:
                    yield _nobody_in_goal(fold, left.entry, side)
                left = None
        if left is not None:
            yield _nobody_in_goal(fold, left.entry, side)


def _nobody_in_goal(fold: Fold, since: Entry, side: Side) -> Remark:
    text = f"{club(side, fold.sheet)} has nobody in goal from here on; log who goes in goal"
    return says(since, "nobody in goal", text)


def _cards(fold: Fold) -> Iterator[Remark]:
    """Second yellows without a dismissal, dismissals twice.

    A yellow of the match is not carried into the kicks from the penalty mark (Law 10, memory).
    """
    in_shoot_out = {p.entry.id for p in fold.placed if split(p.latest)[0] >= 2 * SHOOT_OUT - 1}
    shown = fold.last().cards
    for person_id in dict.fromkeys(c.person for c in shown if c.person is not None):
        mine = [c for c in shown if c.person == person_id]
        name = who(person_id, fold.sheet)
        for late in (False, True):
            part = [c for c in mine if (c.entry in in_shoot_out) is late]
            yield from _second_yellow(part, name)
        sent_off = [c for c in mine if c.card is not Card.YELLOW]
        for again in sent_off[1:]:
            yield Remark(
                "sent off twice", f"{name} was sent off already.", (again.entry,), (person_id,)
            )


def _second_yellow(cards: list[CardShown], name: str) -> Iterator[Remark]:
    yellows = [c for c in cards if c.card is Card.YELLOW]
    off = [c for c in cards if c.card is not Card.YELLOW]
    people = tuple(c.person for c in cards[:1] if c.person is not None)
    if len(yellows) > 1 and not off:
        yield Remark(
            "second yellow without red",
            f"{name} has {len(yellows)} yellows and was not sent off; "
            "log the last as a second yellow, or correct who it was.",
            tuple(c.entry for c in yellows),
            people,
        )
    for card in off:
        if card.card is Card.SECOND_YELLOW and not yellows:
            yield Remark(
                "second yellow without a first",
                f"{name} has a second yellow but no first.",
                (card.entry,),
                people,
            )


def _substitutions(fold: Fold) -> Iterator[Remark]:
    """More substitutions than the competition allows; a concussion's does not count."""
    rules = fold.fixture.rules
    for side in Side:
        made: list[Placed] = []
        for placed in fold.placed:
            entry = placed.entry
            of_side = entry.side or side_of(fold, entry.person) or side_of(fold, entry.other)
            counts = entry.kind is Kind.SUBSTITUTION and entry.how is not How.CONCUSSION
            if counts and of_side is side:
                made.append(placed)
        in_extra_time = any(split(p.latest)[0] >= 4 for p in made)
        most = rules.substitutions + (rules.extra_time_substitutions if in_extra_time else 0)
        if len(made) > most:
            yield says(
                made[most].entry,
                "too many substitutions",
                f"{club(side, fold.sheet)} has made {len(made)} substitutions; "
                f"the competition allows {most}",
            )


def says(entry: Entry, about: str, text: str, *people: PersonId) -> Remark:
    """A remark on one entry; `text` becomes a sentence."""
    named = people or tuple(p for p in (entry.person,) if p is not None)
    return Remark(about, text if text.endswith("?") else f"{text}.", (entry.id,), named)
