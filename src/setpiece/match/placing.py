"""Placing entries: where on the match clock's line each one lies, and in which order they count.

A frame, an exact time, a whistle or a clock reading places an entry exactly; a printed minute
within its minute; typing alone within the three minutes before it, or since the whistle that
bounds it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from setpiece.match.clock import SHOOT_OUT, minute_label, period_length_s
from setpiece.match.entries import Entry, Kind
from setpiece.match.instants import Instant, Interval, MinuteLabel, instant
from setpiece.match.match_clock import LAST_PLACE, MOMENT_S, STRETCH_S, MatchClock, split
from setpiece.match.people import PersonId
from setpiece.match.whistles import IN_PLAY, at_seconds, own_time, seconds

TYPED_LATE_S = 180.0
"""How far back from the typing an entry may have happened. The project's own setting."""

_CHANGES_OF_PEOPLE = (Kind.SUBSTITUTION, Kind.LATE_CHANGE)


@dataclass(frozen=True, slots=True)
class Placed:
    """An entry and where it lies: between two places, and in true time where that is known.

    `dated` is False when nothing but the period (or not even that) says when.
    """

    entry: Entry
    earliest: float
    latest: float
    true: Interval | None
    dated: bool = True

    @property
    def is_whistle(self) -> bool:
        """Whether it opens a stretch of the match."""
        return self.entry.kind in (Kind.KICK_OFF, Kind.PERIOD_END)

    def label(self, clock: MatchClock) -> MinuteLabel | None:
        """The minute to print: the entry's own, else the clock's."""
        entry = self.entry
        if entry.printed is not None:
            return entry.printed
        if not self.dated or entry.period == SHOOT_OUT:
            return None
        stretch, running_s = split(self.latest)
        if entry.kind is Kind.SUBSTITUTION and stretch in (2, 4, 6):
            following = stretch // 2 + 1
            if following == 2 or following in clock.spans:
                return minute_label(following, 0.0, clock.rules)
        return clock.label_at(stretch, running_s)


def place_entries(entries: Iterable[Entry], clock: MatchClock) -> tuple[Placed, ...]:
    """Every entry placed, in the order in which they count.

    Entries of one and the same moment count in log order, substitutions first: whoever comes on
    in it can leave in it.
    """
    placed = sorted(
        (place(entry, clock) for entry in entries),
        key=lambda p: (p.latest, p.entry.kind not in _CHANGES_OF_PEOPLE, p.entry.id),
    )
    ordered: list[Placed] = []
    for one in placed:
        if ordered and one.entry.kind in _CHANGES_OF_PEOPLE:
            index = _before_who_leaves(ordered, one)
            ordered.insert(index, one)
        else:
            ordered.append(one)
    return tuple(ordered)


def _before_who_leaves(ordered: Sequence[Placed], coming: Placed) -> int:
    """The index of a substitution: before one of the same moment by which its `other` leaves."""
    comes_on: PersonId | None = coming.entry.other
    index = len(ordered)
    while index and ordered[index - 1].latest == coming.latest:
        index -= 1
        leaves = ordered[index].entry
        if leaves.kind in _CHANGES_OF_PEOPLE and comes_on is not None:
            if leaves.other == coming.entry.person is not None:
                break
            if leaves.person == comes_on:
                return index
    return len(ordered)


def place(entry: Entry, clock: MatchClock) -> Placed:
    """Where one entry lies."""
    if entry.kind in (Kind.KICK_OFF, Kind.PERIOD_END) and entry.period is not None:
        return _whistle(entry, entry.period, clock)
    true = own_time(entry)
    if true is not None:
        return _by_instant(entry, true, clock)
    if entry.elapsed_s is not None and entry.period is not None:
        at = clock.place_of(entry.period, entry.elapsed_s)
        return Placed(entry, at, at, _exact_true(at, at, entry.period, clock))
    if entry.printed is not None and entry.period != SHOOT_OUT:
        return _by_minute(entry, entry.printed, clock)
    if entry.imported or (entry.period == SHOOT_OUT and entry.printed is not None):
        return _undated(entry, clock)
    since = instant(entry.typed - timedelta(seconds=TYPED_LATE_S))
    return _by_instant(entry, Interval(since, entry.typed), clock)


def _whistle(entry: Entry, period: int, clock: MatchClock) -> Placed:
    """A whistle counts from the very instant it opens its stretch at."""
    kick_off = entry.kind is Kind.KICK_OFF
    span = clock.spans[period] if period in clock.spans else None
    true = None if span is None else (span.start if kick_off else span.end)
    edge = (2 * period - 1 if kick_off else 2 * period) * STRETCH_S - MOMENT_S
    return Placed(entry, edge, edge, true)


def _by_instant(entry: Entry, true: Interval, clock: MatchClock) -> Placed:
    if true.width_s and not entry.frame:
        if entry.printed is not None:
            _, low, high = clock.label_places(entry.printed, entry.period)
            minute = clock.true_range(low, high - MOMENT_S) or true
            if not minute.meets(true):
                return _by_minute(entry, entry.printed, clock)
            true = Interval(max(true.start, minute.start), min(true.end, minute.end))
        true = _within_play(entry, true, clock)
    low, high = clock.place_at(seconds(true.start)), clock.place_at(seconds(true.end))
    if entry.period is None and entry.kind in IN_PLAY and split(high)[0] == 2 * SHOOT_OUT - 1:
        entry = replace(entry, period=SHOOT_OUT)
    return Placed(entry, low, high, true)


def _within_play(entry: Entry, true: Interval, clock: MatchClock) -> Interval:
    """What whistles leave of an interval: a goal happens in a period, not between two.

    A late change is one of the warm-up, however late it is logged.
    """
    if entry.kind is Kind.LATE_CHANGE and 1 in clock.spans:
        end = min(true.end, clock.spans[1].start.start)
        return Interval(min(true.start, end), end)
    if entry.period is not None:
        periods: tuple[int, ...] = (entry.period,) if entry.period in clock.spans else ()
    elif entry.kind in IN_PLAY:
        periods = clock.periods
    elif entry.kind is Kind.SHOOT_OUT_KICK:
        periods = tuple(p for p in clock.periods if p == SHOOT_OUT)
    else:
        return true
    shares: list[Interval] = []
    for period in periods:
        span = clock.spans[period]
        start = max(true.start, span.start.start)
        end = true.end if span.end is None else min(true.end, span.end.end)
        if start <= end:
            shares.append(Interval(start, end))
    return Interval(shares[0].start, shares[-1].end) if shares else true


def _by_minute(entry: Entry, printed: MinuteLabel, clock: MatchClock) -> Placed:
    period, low, after = clock.label_places(printed, entry.period)
    high = max(after - MOMENT_S, low)
    true = _exact_true(low, high, period, clock)
    if true is not None and not entry.imported and true.holds(entry.typed):
        true = Interval(true.start, entry.typed)
        high = clock.place_at(seconds(entry.typed))
    return Placed(entry, low, high, true)


def _undated(entry: Entry, clock: MatchClock) -> Placed:
    """An entry from a file that says no more than its period, or nothing at all."""
    if entry.kind is Kind.LATE_CHANGE:
        return Placed(entry, -MOMENT_S, -MOMENT_S, None, dated=False)
    if entry.period is None:
        return Placed(entry, STRETCH_S, LAST_PLACE - MOMENT_S, None, dated=False)
    span = clock.spans[entry.period]
    low = (2 * entry.period - 1) * STRETCH_S
    return Placed(entry, low, low + STRETCH_S - 1.0, _whole(entry, span.end, clock), dated=False)


def _whole(entry: Entry, end: Interval | None, clock: MatchClock) -> Interval:
    """The whole of the entry's period, in true time."""
    period = entry.period or 1
    start = clock.spans[period].start
    if end is not None:
        return Interval(start.start, Instant(max(start.start, end.end)))
    length_s = 0.0 if period == SHOOT_OUT else period_length_s(period, clock.rules)
    return Interval(start.start, at_seconds(seconds(start.end) + length_s))


def _exact_true(low: float, high: float, period: int, clock: MatchClock) -> Interval | None:
    return clock.true_range(low, high) if clock.exact(period) else None
