"""How fast the fold answers: 10,000 states of a log of 120 entries, against a named floor.

The floor is the least that any answer costs in the same run: one bisection in a list of 120
numbers and one `State` built. Run: python benchmarks/fold.py
"""

from __future__ import annotations

import statistics
from bisect import bisect_left
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from time import perf_counter

from setpiece.match.entries import Entry, EntryId, Kind
from setpiece.match.fixture import Fixture
from setpiece.match.fold import Fold
from setpiece.match.instants import Instant, Interval, instant
from setpiece.match.names import find_people
from setpiece.match.people import Person, Role, Side, SidePeople, TeamSheet, numbered_id
from setpiece.match.state import Phase, Score, State

ANSWERS = 10_000
ENTRIES = 120
TARGET_S = 1.0
"""10,000 answers from a log of 120 entries take at most this."""

PERSON_TARGET_MS = 5.0
"""One search among 60 people takes at most this."""

KICK_OFF = instant(datetime(2027, 3, 6, 15, 1, 7, tzinfo=UTC))
HALVES = ((0, 2830), (3760, 6700))


def at(seconds: float) -> Instant:
    """So long after kick-off."""
    return instant(KICK_OFF + timedelta(seconds=seconds))


def sheet() -> TeamSheet:
    """Sixty people: thirty of a side."""
    people = tuple(
        Person(
            numbered_id(side, n),
            f"{first}{n} {last}{n}",
            Role.GOALKEEPER if n in (1, 13) else Role.PLAYER,
            side,
            n,
            starts=n <= 11,
        )
        for side, first, last in ((Side.HOME, "Ane", "Holm"), (Side.AWAY, "Bea", "Okoro"))
        for n in range(1, 31)
    )
    return TeamSheet(SidePeople("Northgate", "N"), SidePeople("Elmbridge", "E"), people)


def log() -> list[Entry]:
    """A busy match: whistles, six goals, cards, substitutions, and what else is logged."""
    rows: list[tuple[float, Kind, Side, int, int | None]] = []
    kinds = [Kind.NOTE, Kind.INJURY, Kind.TREATMENT, Kind.YELLOW, Kind.NOTE, Kind.GOAL]
    for index in range(ENTRIES - 4):
        half = HALVES[index % 2]
        when = half[0] + 30 + (index // 2) * (half[1] - half[0] - 60) / (ENTRIES / 2)
        side = Side.HOME if index % 3 else Side.AWAY
        kind = kinds[index % 6] if index % 18 == 5 or index % 6 != 5 else Kind.NOTE
        if index in (80, 82, 84, 86, 88):
            rows.append((when, Kind.SUBSTITUTION, Side.HOME, index // 2 - 36, index // 2 - 26))
        else:
            rows.append((when, kind, side, index % 11 + 1, None))
    whistles = [
        (second, kind, period)
        for period, half in enumerate(HALVES, start=1)
        for second, kind in zip(half, (Kind.KICK_OFF, Kind.PERIOD_END), strict=True)
    ]
    entries = [
        Entry(EntryId(i), kind, at(second), period=period)
        for i, (second, kind, period) in enumerate(whistles, start=1)
    ]
    for i, (when, kind, side, number, other) in enumerate(sorted(rows, key=lambda r: r[0]), 5):
        pinned = Interval.exactly(at(when)) if i % 2 else None
        entries.append(
            Entry(
                EntryId(i),
                kind,
                at(when + 20),
                happened=pinned,
                side=side,
                person=numbered_id(side, number),
                other=None if other is None else numbered_id(side, other),
            )
        )
    return entries


def timed(work: Callable[[], object]) -> float:
    """Seconds of the quickest of five runs."""
    runs = []
    for _ in range(5):
        began = perf_counter()
        work()
        runs.append(perf_counter() - began)
    return min(runs)


def floor(count: int) -> None:
    """What `count` answers cost at least."""
    places = [float(i) for i in range(ENTRIES)]
    side = Fold(FIXTURE, SHEET, []).last().home
    for i in range(count):
        bisect_left(places, i % ENTRIES)
        State(Phase.FIRST_HALF, Score(), side, side)


FIXTURE = Fixture("bench", "Northgate", "Elmbridge", "Cup", KICK_OFF, "Europe/London")
SHEET = sheet()


def main() -> None:
    """Print every figure with its floor or its target."""
    entries = log()
    fold = Fold(FIXTURE, SHEET, entries)
    instants = [at(i * 6700 / ANSWERS) for i in range(ANSWERS)]
    floor_s = timed(lambda: floor(ANSWERS))
    states_s = timed(lambda: [fold.state_at(when) for when in instants])
    built_s = timed(lambda: Fold(FIXTURE, SHEET, entries))
    frames = [Interval.around(at(i * 6.7), 0.5) for i in range(1000)]
    within_s = timed(lambda: [fold.states_within(frame) for frame in frames])
    print(f"log of {len(entries)} entries, {len(SHEET.people)} people")
    print(
        f"{ANSWERS} x state_at: {states_s:.3f} s (target {TARGET_S} s), "
        f"{states_s / floor_s:.1f} x the floor of {floor_s:.3f} s"
    )
    print(f"building the fold: {built_s * 1e3:.1f} ms, {built_s / floor_s:.2f} x the floor")
    print(
        f"1000 x states_within: {within_s:.3f} s, "
        f"{within_s / (floor_s * len(frames) / ANSWERS):.1f} x the floor for as many"
    )
    searches = []
    for person in SHEET.people:
        for words in (person.printed_name, person.printed_name.split()[1][:3], "Hlom12"):
            began = perf_counter()
            find_people(SHEET, words)
            searches.append((perf_counter() - began) * 1e3)
    searches.sort()
    print(
        f"find_people, 60 people: median {statistics.median(searches):.2f} ms, "
        f"99th percentile of {len(searches)} {searches[int(0.99 * len(searches))]:.2f} ms "
        f"(target {PERSON_TARGET_MS} ms)"
    )


if __name__ == "__main__":
    main()
