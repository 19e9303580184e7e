"""The match clock of one match: true time to period and elapsed time, and back.

Inside, a moment of the match is one number, its *place*: stretches of the match follow each
other a fixed `STRETCH_S` apart (0 before kick-off, 1 first half, 2 half-time, 3 second half,
..., 9 shoot-out, 10 after it), and within a stretch a place counts true seconds from its start.
So what is only known by its minute, and what is only known by its instant, lie on one line.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

from setpiece.match.clock import PLAYED, SHOOT_OUT, minute_label
from setpiece.match.entries import Entry
from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant, Interval, MinuteLabel
from setpiece.match.state import Phase
from setpiece.match.whistles import (
    Span,
    at_seconds,
    label_span,
    seconds,
    spans_of,
    stops_of,
)

STRETCH_S = 1e8
"""Distance of two stretches on the line of places: three years, longer than any suspension."""

LAST_PLACE = 11 * STRETCH_S
"""After everything."""

MOMENT_S = 1e-6
"""The resolution of an instant: a minute ends this much before the next begins."""

PHASES = {
    0: Phase.BEFORE,
    1: Phase.FIRST_HALF,
    2: Phase.HALF_TIME,
    3: Phase.SECOND_HALF,
    4: Phase.FULL_TIME,
    5: Phase.EXTRA_FIRST,
    6: Phase.EXTRA_INTERVAL,
    7: Phase.EXTRA_SECOND,
    8: Phase.OVER,
    9: Phase.SHOOT_OUT,
    10: Phase.OVER,
}
"""The phase of each stretch."""


@dataclass(frozen=True, slots=True)
class Knot:
    """From `running_s` on, the clock shows `elapsed_s` and goes on, or stands still."""

    running_s: float
    elapsed_s: float
    runs: bool


class MatchClock:
    """Where instants and minutes lie in this match."""

    def __init__(self, fixture: Fixture, entries: Sequence[Entry]) -> None:
        self.rules = fixture.rules
        self.spans: dict[int, Span] = spans_of(fixture, entries)
        self._planned_s = seconds(fixture.kick_off)
        self._edges: list[tuple[float, int]] = []
        for period, span in self.spans.items():
            self._edges.append((_middle_s(span.start), 2 * period - 1))
            if span.end is not None:
                self._edges.append((_middle_s(span.end), 2 * period))
        self._edge_times = [at_s for at_s, _ in self._edges]
        self._origin_s = {stretch: at_s for at_s, stretch in self._edges}
        self._origin_s[0] = self._edge_times[0] if self._edges else self._planned_s
        self._knots = {p: self._knots_of(p, entries) for p in self.spans if p in PLAYED}

    @property
    def periods(self) -> tuple[int, ...]:
        """The periods that have begun, in order."""
        return tuple(self.spans)

    @property
    def last_stretch(self) -> int:
        """The stretch the match is in as far as the log tells."""
        return self._edges[-1][1] if self._edges else 0

    def exact(self, period: int) -> bool:
        """Whether the start of that period is known without uncertainty."""
        span = self.spans.get(period)
        return span is not None and span.start.start == span.start.end

    # ----- from true time -----

    def place_at(self, at_s: float) -> float:
        """The place of an instant, by the middle of what is known of each whistle."""
        index = bisect_right(self._edge_times, at_s) - 1
        stretch = self._edges[index][1] if index >= 0 else 0
        return stretch * STRETCH_S + round(at_s - self._origin_s[stretch], 6)

    def places_at(self, at_s: float) -> Iterator[tuple[int, float, float]]:
        """Every stretch the instant may lie in, with the range of seconds into it."""
        first = min(self.spans, default=None)
        if first is None or at_s < seconds(self.spans[first].start.end):
            low_s = at_s - self._origin_s[0]
            yield 0, low_s, low_s
        following = [*list(self.spans)[1:], None][: len(self.spans)]
        for (period, span), after in zip(self.spans.items(), following, strict=True):
            next_s = seconds(self.spans[after].start.end) if after is not None else inf
            end_s = seconds(span.end.end) if span.end is not None else next_s
            if seconds(span.start.start) <= at_s < end_s:
                yield 2 * period - 1, *_range_from(at_s, span.start)
            if span.end is not None and seconds(span.end.start) <= at_s < next_s:
                yield 2 * period, *_range_from(at_s, span.end)

    def minutes_between(
        self, stretch: int, first_s: float, last_s: float
    ) -> Iterator[tuple[float, float]]:
        """That range of seconds into a stretch, cut where the printed minute changes."""
        label = self.label_at(stretch, first_s)
        while label is not None:
            _, _, after = self.label_places(label, (stretch + 1) // 2)
            next_s = split(after)[1]
            if not first_s < next_s < last_s:
                break
            yield first_s, next_s - MOMENT_S
            first_s, label = next_s, self.label_at(stretch, next_s)
        yield first_s, last_s

    # ----- from the period's clock -----

    def place_of(self, period: int, elapsed_s: float) -> float:
        """The place at which that period's clock first shows that time."""
        knots = self._knots.get(period, [])
        running_s = elapsed_s
        for index, knot in enumerate(knots):
            if knot.runs and elapsed_s >= knot.elapsed_s:
                running_s = knot.running_s + elapsed_s - knot.elapsed_s
                if index + 1 < len(knots) and running_s <= knots[index + 1].running_s:
                    break
        return (2 * period - 1) * STRETCH_S + running_s

    def elapsed_at(self, stretch: int, running_s: float) -> float | None:
        """What the period's clock shows; None between periods and in the shoot-out."""
        period = (stretch + 1) // 2
        if stretch % 2 == 0 or period == SHOOT_OUT:
            return None
        knots = self._knots.get(period)
        if knots is None or len(knots) == 1:
            return max(running_s, 0.0)
        knot = knots[max(bisect_right(knots, running_s, key=_running) - 1, 0)]
        return max(knot.elapsed_s + (running_s - knot.running_s if knot.runs else 0.0), 0.0)

    def label_at(self, stretch: int, running_s: float) -> MinuteLabel | None:
        """The minute as printed at that place; None between periods."""
        elapsed_s = self.elapsed_at(stretch, running_s)
        if elapsed_s is None:
            return None
        return minute_label((stretch + 1) // 2, elapsed_s, self.rules)

    def label_places(self, label: MinuteLabel, period: int | None) -> tuple[int, float, float]:
        """The period of a minute, its first place, and the first place after it."""
        of_period, start_s, end_s = label_span(label, self.rules, period)
        first = self.place_of(of_period, start_s)
        return of_period, first, max(self.place_of(of_period, end_s), first)

    # ----- back to true time -----

    def true_range(self, low: float, high: float) -> Interval | None:
        """The true time of what lies between two places; None in a stretch not begun."""
        start_s = self._true_s(low, latest=False)
        end_s = self._true_s(high, latest=True)
        if start_s is None or end_s is None:
            return None
        return Interval(at_seconds(start_s), at_seconds(max(start_s, end_s)))

    def true_time(self, label: MinuteLabel) -> Interval | None:
        """When that minute was; None if this match has not had it.

        A minute cut by the final whistle of its period ends with it.
        """
        period, low, high = self.label_places(label, None)
        span = self.spans.get(period)
        if span is None:
            return None
        found = self.true_range(low, high - MOMENT_S)
        if found is None or span.end is None:
            return found
        if found.start >= span.end.end:
            return None
        return Interval(found.start, min(found.end, Instant(span.end.end)))

    def _true_s(self, place: float, *, latest: bool) -> float | None:
        stretch, running_s = split(place)
        if stretch == 0:
            return self._origin_s[0] + running_s
        span = self.spans.get((stretch + 1) // 2)
        if span is None:
            return None
        edge = span.start if stretch % 2 else span.end
        if edge is None:
            return None
        return seconds(edge.end if latest else edge.start) + running_s

    def _knots_of(self, period: int, entries: Sequence[Entry]) -> list[Knot]:
        """How the clock of a period runs: it stands still while play is suspended."""
        knots = [Knot(0.0, 0.0, True)]
        start_s = self._origin_s[2 * period - 1]
        end_s = self._origin_s.get(2 * period, inf)
        for stop in stops_of(entries):
            if not start_s <= stop.from_s < end_s:
                continue
            last = knots[-1]
            stopped_s = stop.from_s - start_s
            elapsed_s = last.elapsed_s + stopped_s - last.running_s
            knots.append(Knot(stopped_s, elapsed_s, False))
            if stop.until_s < end_s:
                at_s = self._resumed_at_s(stop.resumed_at, period, elapsed_s)
                knots.append(Knot(stop.until_s - start_s, at_s, True))
        return knots

    def _resumed_at_s(self, entry: Entry | None, period: int, elapsed_s: float) -> float:
        """What the clock shows when play is resumed: as when it stopped, unless the entry says."""
        if entry is not None and entry.elapsed_s is not None and entry.period == period:
            return entry.elapsed_s
        if entry is not None and entry.printed is not None:
            of_period, low_s, high_s = label_span(entry.printed, self.rules, period)
            if of_period == period and not low_s <= elapsed_s < high_s:
                return low_s
        return elapsed_s


def split(place: float) -> tuple[int, float]:
    """The stretch a place lies in, and the seconds into it (negative before kick-off)."""
    if place < STRETCH_S:
        return 0, place
    stretch = int(place // STRETCH_S)
    return stretch, round(place - stretch * STRETCH_S, 6)


def _running(knot: Knot) -> float:
    return knot.running_s


def _middle_s(interval: Interval) -> float:
    return (seconds(interval.start) + seconds(interval.end)) / 2


def _range_from(at_s: float, origin: Interval) -> tuple[float, float]:
    low_s, high_s = at_s - seconds(origin.end), at_s - seconds(origin.start)
    return max(round(low_s, 6), 0.0), max(round(high_s, 6), 0.0)
