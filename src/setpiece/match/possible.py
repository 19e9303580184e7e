"""Every state the match may have been in during an interval: before or after?"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

from setpiece.match.board import CHANGING
from setpiece.match.instants import Interval
from setpiece.match.match_clock import STRETCH_S, MatchClock
from setpiece.match.placing import Placed
from setpiece.match.state import State
from setpiece.match.whistles import seconds

MOST_IN_ANY_ORDER = 6
"""Up to so many undecided entries are combined freely; more are taken in log order."""


@dataclass(frozen=True, slots=True)
class Moment:
    """A piece of the interval in which no more than the undecided entries can differ."""

    stretch: int
    running_s: float
    before: frozenset[int]
    undecided: tuple[int, ...]


def moments(interval: Interval, placed: Sequence[Placed], clock: MatchClock) -> Iterator[Moment]:
    """The interval cut at whistles, minutes and everything that is placed in true time."""
    from_s, until_s = seconds(interval.start), seconds(interval.end)
    cuts = {from_s, until_s}
    for one in placed:
        if one.true is not None:
            cuts.update((seconds(one.true.start), seconds(one.true.end)))
    for span in clock.spans.values():
        for whistle in (span.start, span.end):
            if whistle is not None:
                cuts.update((seconds(whistle.start), seconds(whistle.end)))
    inside = sorted(c for c in cuts if from_s <= c <= until_s)
    yield from _piece(from_s, from_s, placed, clock)
    for low_s, high_s in pairwise(inside):
        yield from _piece(low_s, high_s, placed, clock)
    if until_s > from_s:
        yield from _piece(until_s, until_s, placed, clock)


def _piece(
    low_s: float, high_s: float, placed: Sequence[Placed], clock: MatchClock
) -> Iterator[Moment]:
    """One piece; an open one (`low_s < high_s`) holds no cut inside."""
    middle_s = (low_s + high_s) / 2
    for stretch, first_s, last_s in clock.places_at(middle_s):
        reach_s = (high_s - low_s) / 2
        start_s = first_s - reach_s if stretch == 0 else max(first_s - reach_s, 0.0)
        for from_s, until_s in clock.minutes_between(stretch, start_s, last_s + reach_s):
            base = stretch * STRETCH_S
            before: set[int] = set()
            undecided: list[int] = []
            for index, one in enumerate(placed):
                if one.true is not None and not one.is_whistle:
                    low, high = seconds(one.true.start), seconds(one.true.end)
                    certain = high < low_s if low_s == high_s else high <= low_s
                    maybe = low < low_s if low_s == high_s else low <= low_s
                else:
                    certain = one.latest < base + from_s
                    maybe = one.earliest < base + until_s
                if certain:
                    before.add(index)
                elif maybe:
                    (undecided.append if one.entry.kind in CHANGING else before.add)(index)
            yield Moment(stretch, (from_s + until_s) / 2, frozenset(before), tuple(undecided))


def possible_states(
    interval: Interval,
    placed: Sequence[Placed],
    clock: MatchClock,
    state_of: Callable[[frozenset[int], int, float], State],
) -> tuple[State, ...]:
    """Every different state of that interval, in order of time.

    `state_of` gives the state after the entries of those indices, at a place.
    """
    found: dict[State, State] = {}
    for moment in moments(interval, placed, clock):
        for happened in _choices(moment.undecided):
            state = state_of(moment.before | happened, moment.stretch, moment.running_s)
            found.setdefault(replace(state, elapsed_s=None, last_entry=None), state)
    return tuple(found.values())


def _choices(undecided: tuple[int, ...]) -> Iterator[frozenset[int]]:
    for count in range(len(undecided) + 1):
        if len(undecided) > MOST_IN_ANY_ORDER:
            yield frozenset(undecided[:count])
        else:
            yield from (frozenset(chosen) for chosen in combinations(undecided, count))
