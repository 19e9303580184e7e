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
    """A piece of an interval in which no more than the undecided entries can differ.

    `before` and `undecided` hold indices of placed entries.
    """

    stretch: int
    running_s: float
    before: frozenset[int]
    undecided: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Reach:
    """An entry that may lie inside the interval asked for, in seconds or in places."""

    index: int
    low: float
    high: float
    changes: bool


class Possibilities:
    """What may have happened by when, for all entries of one log."""

    def __init__(self, placed: Sequence[Placed], clock: MatchClock) -> None:
        self._clock = clock
        self._timed: list[_Reach] = []
        self._untimed: list[_Reach] = []
        for index, one in enumerate(placed):
            changes = one.entry.kind in CHANGING
            if one.true is not None and not one.is_whistle:
                low_s, high_s = seconds(one.true.start), seconds(one.true.end)
                self._timed.append(_Reach(index, low_s, high_s, changes))
            else:
                self._untimed.append(_Reach(index, one.earliest, one.latest, changes))
        self._whistles_s = [
            seconds(edge)
            for span in clock.spans.values()
            for whistle in (span.start, span.end)
            if whistle is not None
            for edge in (whistle.start, whistle.end)
        ]

    def moments(self, interval: Interval) -> Iterator[Moment]:
        """The interval cut at whistles, minutes and everything placed in true time."""
        from_s, until_s = seconds(interval.start), seconds(interval.end)
        sure = {r.index for r in self._timed if r.high < from_s}
        live = [r for r in self._timed if from_s <= r.high and r.low <= until_s]
        cuts = {from_s, until_s, *self._whistles_s}
        cuts.update(edge for r in live for edge in (r.low, r.high))
        inside = sorted(c for c in cuts if from_s <= c <= until_s)
        yield from self._piece(from_s, from_s, sure, live)
        for low_s, high_s in pairwise(inside):
            yield from self._piece(low_s, high_s, sure, live)
        if until_s > from_s:
            yield from self._piece(until_s, until_s, sure, live)

    def _piece(
        self, low_s: float, high_s: float, sure: set[int], live: list[_Reach]
    ) -> Iterator[Moment]:
        """One piece; an open one (`low_s < high_s`) holds no cut inside."""
        before, undecided = set(sure), list[int]()
        point = low_s == high_s
        for reach in live:
            if reach.high < low_s or (reach.high == low_s and not point):
                before.add(reach.index)
            elif reach.low < low_s or (reach.low == low_s and not point):
                (undecided.append if reach.changes else before.add)(reach.index)
        half_s = (high_s - low_s) / 2
        for stretch, first_s, last_s in self._clock.places_at(low_s + half_s):
            start_s = first_s - half_s if stretch == 0 else max(first_s - half_s, 0.0)
            for since_s, until_s in self._clock.minutes_between(stretch, start_s, last_s + half_s):
                yield self._moment(stretch, (since_s, until_s), before, undecided)

    def _moment(
        self, stretch: int, within_s: tuple[float, float], timed: set[int], open_: list[int]
    ) -> Moment:
        """A piece of one minute: what only its minute places is before, inside or after it."""
        base = stretch * STRETCH_S
        before, undecided = set(timed), list(open_)
        for reach in self._untimed:
            if reach.high < base + within_s[0]:
                before.add(reach.index)
            elif reach.low < base + within_s[1]:
                (undecided.append if reach.changes else before.add)(reach.index)
        middle_s = (within_s[0] + within_s[1]) / 2
        return Moment(stretch, middle_s, frozenset(before), tuple(sorted(undecided)))


def possible_states(
    moments: Iterator[Moment], state_of: Callable[[frozenset[int], int, float], State]
) -> tuple[State, ...]:
    """Every different state of those moments, in order of time.

    `state_of` gives the state after the entries of those indices, at a place.
    """
    seen: dict[tuple[frozenset[int], int, object], State] = {}
    for moment in moments:
        for happened in _choices(moment.undecided):
            after = moment.before | happened
            state = state_of(after, moment.stretch, moment.running_s)
            seen.setdefault((after, moment.stretch, state.label), state)
    if len(seen) == 1:
        return tuple(seen.values())
    found: dict[State, State] = {}
    for state in seen.values():
        found.setdefault(replace(state, elapsed_s=None, last_entry=None), state)
    return tuple(found.values())


def _choices(undecided: tuple[int, ...]) -> Iterator[frozenset[int]]:
    for count in range(len(undecided) + 1):
        if len(undecided) > MOST_IN_ANY_ORDER:
            yield frozenset(undecided[:count])
        else:
            yield from (frozenset(chosen) for chosen in combinations(undecided, count))
