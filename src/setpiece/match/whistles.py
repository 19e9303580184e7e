"""When each period began and ended: the whistles that were logged, the others estimated.

A whistle nobody logged is bounded by what is known: a scoreboard seen or a printed minute at a
known instant, the whistles before and after it, and at last the planned kick-off. The bounds
are intersected, strongest first; one that contradicts a stronger is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from math import inf, isfinite

from setpiece.errors import WrongUse
from setpiece.match.clock import PLAYED, SHOOT_OUT, label_span_s, period_length_s
from setpiece.match.entries import Entry, Kind
from setpiece.match.fixture import Fixture, Rules
from setpiece.match.instants import Instant, Interval, MinuteLabel

SIGNALS = frozenset({Kind.KICK_OFF, Kind.PERIOD_END, Kind.SUSPENDED, Kind.RESUMED, Kind.ABANDONED})
"""Kinds logged as they are seen or heard: without another time, typed is when it happened."""

IN_PLAY = frozenset(
    {
        Kind.GOAL,
        Kind.PENALTY_AWARDED,
        Kind.PENALTY_TAKEN,
        Kind.PENALTY_SAVED,
        Kind.PENALTY_MISSED,
        Kind.PENALTY_RETAKEN,
    }
)
"""Kinds that happen in a period and never between two."""

MOST_ADDED_S = 20 * 60.0
"""The longest added time an estimate allows for. Common practice, no source."""

PAUSE_S = {1: (600.0, 1200.0), 2: (60.0, 600.0), 3: (30.0, 360.0), 4: (60.0, 600.0)}
"""Shortest and longest pause after a period, in seconds, that an estimate allows for.

Law 7 (from memory): half-time at most 15 minutes, a short break in extra time at most one; the
rest is common practice without a source.
"""

PLANNED_S = (-300.0, 1800.0)
"""How early and how late after the planned kick-off an estimate lets a match begin."""


@dataclass(frozen=True, slots=True)
class Span:
    """One period in true time. `end` is None while the log tells of none."""

    period: int
    start: Interval
    end: Interval | None
    start_logged: bool
    end_logged: bool


@dataclass(frozen=True, slots=True)
class Stop:
    """Play suspended at `from_s` and resumed at `until_s` (POSIX seconds; inf: not yet).

    `resumed_at` is the entry that resumed play; it may say at which minute.
    """

    from_s: float
    until_s: float
    resumed_at: Entry | None


def seconds(at: Instant) -> float:
    """POSIX seconds."""
    return at.timestamp()


def at_seconds(value: float) -> Instant:
    """The instant at those POSIX seconds."""
    return Instant(datetime.fromtimestamp(value, UTC))


def own_time(entry: Entry) -> Interval | None:
    """The true time an entry states by itself, None when it must be worked out."""
    if entry.happened is not None:
        return entry.happened
    if entry.kind in SIGNALS and not entry.says_when and not entry.imported:
        return Interval.exactly(entry.typed)
    return None


def label_span(label: MinuteLabel, rules: Rules, period: int | None) -> tuple[int, float, float]:
    """`label_span_s`, but a period that has no such minute gives way to the minute.

    A minute that no period has lies in the added time of the last one.
    """
    for given in dict.fromkeys((period, None)):
        try:
            return label_span_s(label, rules, period=given)
        except WrongUse:
            continue
    whole_min = 2 * (rules.half_min + rules.extra_half_min)
    if label.minute > whole_min:
        return label_span_s(MinuteLabel(whole_min, label.minute - whole_min), rules)
    return label_span_s(MinuteLabel(label.minute), rules)


def stops_of(entries: Sequence[Entry]) -> tuple[Stop, ...]:
    """The suspensions whose instants are known, in order. Abandoned is a stop without an end."""
    stops: list[Stop] = []
    for entry in _by_time(entries, {Kind.SUSPENDED, Kind.RESUMED, Kind.ABANDONED, Kind.KICK_OFF}):
        at_s = seconds(_true(entry).end)
        running = not stops or stops[-1].until_s < inf
        if entry.kind in (Kind.SUSPENDED, Kind.ABANDONED):
            if running:
                stops.append(Stop(at_s, inf, None))
        elif not running:
            stops[-1] = Stop(stops[-1].from_s, at_s, entry)
    return tuple(stops)


def begun_periods(entries: Iterable[Entry], rules: Rules) -> tuple[int, ...]:
    """The periods the log tells of, in order. One that began implies those before it."""
    begun: set[int] = set()
    ended: dict[int, float] = {}
    for entry in entries:
        if entry.period is not None:
            begun.add(entry.period)
        elif entry.printed is not None:
            begun.add(label_span(entry.printed, rules, None)[0])
        elif entry.kind is Kind.SHOOT_OUT_KICK:
            begun.add(SHOOT_OUT)
        elif entry.kind in IN_PLAY:
            begun.add(1)
            since = seconds((entry.happened or Interval.exactly(entry.typed)).start)
            if 1 in ended and 2 not in begun and since - ended[1] > PAUSE_S[1][0]:
                begun.add(2)
        if entry.kind is Kind.PERIOD_END and (true := own_time(entry)) is not None:
            ended[entry.period or 1] = seconds(true.start)
    if not begun:
        return ()
    last_played = max((p for p in begun if p in PLAYED), default=1)
    if SHOOT_OUT in begun:
        last_played = 4 if last_played > 2 else 2
    played = tuple(p for p in PLAYED if p <= last_played)
    return (*played, SHOOT_OUT) if SHOOT_OUT in begun else played


def spans_of(fixture: Fixture, entries: Sequence[Entry]) -> dict[int, Span]:
    """Start and end of every period that has begun."""
    periods = begun_periods(entries, fixture.rules)
    if not periods:
        return {}
    bounds = _Bounds(fixture, entries, periods)
    bounds.close_in()
    return {p: bounds.span(p) for p in periods}


class _Bounds:
    """What is known of every start and end, as lowest and highest POSIX seconds."""

    def __init__(self, fixture: Fixture, entries: Sequence[Entry], periods: tuple[int, ...]):
        self.rules = fixture.rules
        self.planned_s = seconds(fixture.kick_off)
        self.entries = entries
        self.periods = periods
        self.stops = stops_of(entries)
        self.starts = {p: (-inf, inf) for p in periods}
        self.ends = {p: (-inf, inf) for p in periods}
        self.logged = {Kind.KICK_OFF: set[int](), Kind.PERIOD_END: set[int]()}
        self.end_told = {e.period for e in entries if e.kind is Kind.PERIOD_END}
        for entry in _by_time(entries, {Kind.KICK_OFF, Kind.PERIOD_END}):
            true, period = _true(entry), entry.period or 1
            known = self.starts if entry.kind is Kind.KICK_OFF else self.ends
            known[period] = (seconds(true.start), seconds(true.end))
            self.logged[entry.kind].add(period)

    def close_in(self) -> None:
        """Bound what was not logged."""
        for period in self.periods:
            if period not in self.logged[Kind.KICK_OFF]:
                for anchor in self._anchors(period):
                    self._bound(Kind.KICK_OFF, period, anchor)
        self._along(backwards=True)
        if 1 not in self.logged[Kind.KICK_OFF]:
            early_s, late_s = PLANNED_S
            self._bound(Kind.KICK_OFF, 1, (self.planned_s + early_s, self.planned_s + late_s))
        self._along(backwards=False)
        self._along(backwards=True)
        for entry in self.entries:
            if entry.kind is Kind.PERIOD_END and (period := entry.period or 1) in PLAYED:
                self._bound_by_clock(entry, period)

    def span(self, period: int) -> Span:
        """The period as now bounded."""
        has_end = period in self.end_told or period != self.periods[-1]
        low_s, high_s = self.ends[period]
        return Span(
            period,
            _interval(self.starts[period]),
            _interval((low_s, high_s)) if has_end else None,
            period in self.logged[Kind.KICK_OFF],
            period in self.end_told,
        )

    def _bound(self, kind: Kind, period: int, limits: tuple[float, float]) -> None:
        known = self.starts if kind is Kind.KICK_OFF else self.ends
        if period in self.logged[kind]:
            return
        low = max(known[period][0], limits[0])
        high = min(known[period][1], limits[1])
        if low <= high:
            known[period] = (low, high)

    def _bound_by_clock(self, entry: Entry, period: int) -> None:
        """A final whistle that only the clock or the printed minute dates."""
        low_s, high_s = self.starts[period]
        if entry.elapsed_s is not None:
            first_s = last_s = entry.elapsed_s
        elif entry.printed is not None:
            _, first_s, last_s = label_span(entry.printed, self.rules, period)
        else:
            return
        self._bound(Kind.PERIOD_END, period, (low_s + first_s, high_s + last_s))

    def _along(self, *, backwards: bool) -> None:
        """Carry bounds over the lengths of periods and pauses, once through the match."""
        steps = list(zip(self.periods, (*self.periods[1:], None), strict=True))
        for period, following in reversed(steps) if backwards else steps:
            shortest_s, longest_s = self._length_s(period)
            pause_low_s, pause_high_s = PAUSE_S.get(period, (0.0, inf))
            for back in (True, False) if backwards else (False, True):
                start, end = self.starts[period], self.ends[period]
                if back and following is not None:
                    after = self.starts[following]
                    limits = (after[0] - pause_high_s, after[1] - pause_low_s)
                    self._bound(Kind.PERIOD_END, period, limits)
                    end = self.ends[period]
                if back:
                    self._bound(Kind.KICK_OFF, period, (end[0] - longest_s, end[1] - shortest_s))
                else:
                    self._bound(
                        Kind.PERIOD_END, period, (start[0] + shortest_s, start[1] + longest_s)
                    )
                    end = self.ends[period]
                    if following is not None:
                        limits = (end[0] + pause_low_s, end[1] + pause_high_s)
                        self._bound(Kind.KICK_OFF, following, limits)

    def _length_s(self, period: int) -> tuple[float, float]:
        if period == SHOOT_OUT:
            return 0.0, inf
        length_s = period_length_s(period, self.rules)
        stopped_s = sum(s.until_s - s.from_s for s in self.stops if s.until_s < inf)
        return length_s, length_s + MOST_ADDED_S + stopped_s

    def _anchors(self, period: int) -> list[tuple[float, float]]:
        """Where the start lies by each entry that has both a true time and a minute."""
        found: list[tuple[float, float, float]] = []
        for entry in self.entries:
            if entry.happened is None:
                continue
            if entry.elapsed_s is not None and entry.period == period:
                low_s = high_s = entry.elapsed_s
            elif entry.printed is not None:
                of_period, low_s, high_s = label_span(entry.printed, self.rules, entry.period)
                if of_period != period:
                    continue
            else:
                continue
            true_s = (seconds(entry.happened.start), seconds(entry.happened.end))
            stopped_s = self._stopped_s(true_s[0])
            found.append(
                (
                    true_s[1] - true_s[0],
                    true_s[0] - high_s - stopped_s,
                    true_s[1] - low_s - stopped_s,
                )
            )
        return [(low_s, high_s) for _, low_s, high_s in sorted(found)]

    def _stopped_s(self, at_s: float) -> float:
        """How long play stood still between the last whistle before `at_s` and it."""
        whistles = [
            high_s
            for kind, known in ((Kind.KICK_OFF, self.starts), (Kind.PERIOD_END, self.ends))
            for period, (_, high_s) in known.items()
            if period in self.logged[kind] and high_s <= at_s
        ]
        since_s = max(whistles, default=-inf)
        return sum(s.until_s - s.from_s for s in self.stops if since_s <= s.from_s < at_s < inf)


def _by_time(entries: Iterable[Entry], kinds: set[Kind]) -> list[Entry]:
    timed = [e for e in entries if e.kind in kinds and own_time(e) is not None]
    return sorted(timed, key=lambda e: (_true(e).end, e.id))


def _true(entry: Entry) -> Interval:
    return entry.happened or Interval.exactly(entry.typed)


def _interval(limits: tuple[float, float]) -> Interval:
    finite = [limit for limit in limits if isfinite(limit)]
    return Interval(at_seconds(min(finite)), at_seconds(max(finite)))
