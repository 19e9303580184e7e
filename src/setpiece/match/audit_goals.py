"""Remarks on goals and on the kicks of a shoot-out."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import inf

from setpiece.match.audit_people import says, side_of, where_is
from setpiece.match.clock import SHOOT_OUT
from setpiece.match.entries import Entry, How, Kind, Standing
from setpiece.match.fold import Fold
from setpiece.match.people import PersonId
from setpiece.match.remark import Remark, who
from setpiece.match.state import GoalSoFar, State

SAME_GOAL_MIN = 6
"""A goal disallowed so soon after a goal of the same side may be the same one. Our choice."""


def remarks(fold: Fold) -> Iterator[Remark]:
    """Every remark on goals and kicks."""
    yield from _goals(fold)
    yield from _shoot_out(fold)


def _goals(fold: Fold) -> Iterator[Remark]:
    moment, opening = -inf, fold.last()
    for placed, before, after in fold.steps():
        if placed.latest != moment:
            moment, opening = placed.latest, before
        entry = placed.entry
        if entry.kind is Kind.GOAL and entry.period != SHOOT_OUT:
            yield from _goal(fold, entry, (opening, before, after))
    yield from _reviews(fold, fold.last().goals)


def _goal(fold: Fold, entry: Entry, moment: tuple[State, State, State]) -> Iterator[Remark]:
    """One goal; `moment` is the match before everything of that moment, before it, after it."""
    own = entry.how is How.OWN_GOAL
    of_person = side_of(fold, entry.person)
    if entry.side is None and of_person is None:
        yield says(entry, "goal without a side", "a goal without a side is not counted")
        return
    if entry.side is not None and of_person is not None and (of_person is entry.side) is own:
        name = who(entry.person, fold.sheet)
        text = (
            f"an own goal counts for the other side, but {name} plays for it"
            if own
            else f"{name} plays for the other side; is it an own goal?"
        )
        yield says(entry, "goal for the wrong side", text)
    if not fold.sheet.people:
        return
    for person_id in dict.fromkeys((entry.person, entry.other)):
        side = side_of(fold, person_id)
        if person_id is None or side is None or fold.sheet.person(person_id) is None:
            continue
        if not any(state.side(side).is_on(person_id) for state in moment):
            did = "scored" if person_id == entry.person else "made the goal"
            where = where_is(fold, person_id, moment[0].side(side))
            yield says(entry, "not on the pitch", f"{who(person_id, fold.sheet)} {did} but {where}")


def _reviews(fold: Fold, goals: tuple[GoalSoFar, ...]) -> Iterator[Remark]:
    """A goal still under review when play went on; a goal and its disallowance as two entries."""
    last = fold.placed[-1].latest if fold.placed else 0.0
    for placed in fold.placed:
        if placed.entry.standing is Standing.UNDER_REVIEW and last > placed.latest:
            goes_on = any(
                other.latest > placed.latest and other.entry.kind in (Kind.GOAL, Kind.PERIOD_END)
                for other in fold.placed
            )
            if goes_on:
                yield says(
                    placed.entry, "still under review", "the goal is still under review in the log"
                )
    for goal in goals:
        if goal.standing is not Standing.DISALLOWED:
            continue
        for earlier in goals:
            if earlier.entry < goal.entry and _may_be_the_same(earlier, goal):
                yield Remark(
                    "goal and disallowed goal",
                    f"if the goal disallowed in minute {goal.label} is that of minute "
                    f"{earlier.label}, withdraw the earlier entry: it still counts.",
                    (earlier.entry, goal.entry),
                )


def _may_be_the_same(earlier: GoalSoFar, disallowed: GoalSoFar) -> bool:
    if earlier.score is None or earlier.side is not disallowed.side:
        return False
    if disallowed.scorer not in (None, earlier.scorer) and earlier.scorer is not None:
        return False
    if earlier.label is None or disallowed.label is None:
        return True
    apart_min = (disallowed.label.minute + disallowed.label.added) - (
        earlier.label.minute + earlier.label.added
    )
    return 0 <= apart_min <= SAME_GOAL_MIN


def _shoot_out(fold: Fold) -> Iterator[Remark]:
    """Kicks out of turn, or by somebody who may not kick (Law 10, from memory)."""
    kicks = [p.entry for p in fold.placed if p.entry.id in {k.entry for k in fold.last().kicks}]
    for kick, following in pairwise(kicks):
        side = kick.side or side_of(fold, kick.person)
        if side is not None and side is (following.side or side_of(fold, following.person)):
            yield says(following, "kick out of turn", "the same side kicks twice running")
    kicked: list[PersonId] = []
    for entry in kicks:
        side = side_of(fold, entry.person)
        if entry.person is None or side is None or not fold.sheet.people:
            continue
        state = fold.last().side(side)
        may = {w.person for w in state.on_pitch} | set(state.off)
        name = who(entry.person, fold.sheet)
        if entry.person not in may:
            yield says(entry, "may not kick", f"{name} kicks but was not on the pitch at the end")
        elif kicked.count(entry.person) > min(kicked.count(p) for p in may):
            yield says(entry, "kick out of turn", f"{name} kicks again before every team-mate has")
        kicked.append(entry.person)
