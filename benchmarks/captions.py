"""How long a caption with its check takes, and a completion, against named floors.

The floor of a caption is filling one house-style pattern with its values, as often as a caption
has text fields; that of a completion, one pass over the 60 names of the sheet for a beginning.
Run: python benchmarks/captions.py
"""

from __future__ import annotations

import random
import statistics
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from time import process_time

from setpiece.captions.check import check
from setpiece.captions.completion import complete
from setpiece.captions.compose import Creator, compose
from setpiece.captions.patterns import fill
from setpiece.captions.situation import Situation, situation_for
from setpiece.match.entries import Entry, EntryId, How, Kind
from setpiece.match.fixture import Fixture
from setpiece.match.fold import Fold
from setpiece.match.instants import Instant, Interval, instant
from setpiece.match.people import Kit, Person, Role, Side, SidePeople, TeamSheet, numbered_id
from setpiece.work.style_files import load_acts, load_style, style_names

CAPTIONS = 2_000
TARGET_MS = 10.0
"""Caption and check together, 99 of 100, take at most this."""

COMPLETION_TARGET_MS = 5.0
"""A completion for 60 people and 120 entries, 99 of 100, takes at most this."""

TEXT_FIELDS = 12
KICK_OFF = instant(datetime(2027, 3, 6, 14, 30, tzinfo=UTC))
SECOND_HALF_S = 63 * 60


def at(seconds: float) -> Instant:
    """So long after kick-off."""
    return instant(KICK_OFF + timedelta(seconds=seconds))


def sheet() -> TeamSheet:
    """Sixty people: thirty of a side, with names of two words."""
    people = tuple(
        Person(
            numbered_id(side, n), f"{first}{chr(96 + n % 26 + 1)}a {last}{chr(97 + n % 25)}en",
            Role.GOALKEEPER if n in (1, 13) else Role.PLAYER, side, n, starts=n <= 11,
            pronouns="she", position="midfielder",
        )
        for side, first, last in ((Side.HOME, "An", "Holm"), (Side.AWAY, "Be", "Okor"))
        for n in range(1, 31)
    )  # fmt: skip
    home = (Kit("r", "red", "#bb0000"), Kit("g", "green", "#00bb00", goalkeeper=True))
    away = (Kit("w", "white", "#ffffff"), Kit("y", "yellow", "#bbbb00", goalkeeper=True))
    return TeamSheet(SidePeople("Northgate", "N", home), SidePeople("Elmbridge", "E", away), people)


def log() -> list[Entry]:
    """A busy match of 120 entries: whistles, ten goals, cards and notes."""
    rows: list[tuple[float, dict[str, object]]] = [
        (0, {"kind": Kind.KICK_OFF, "period": 1}), (2880, {"kind": Kind.PERIOD_END, "period": 1}),
        (SECOND_HALF_S, {"kind": Kind.KICK_OFF, "period": 2}),
        (SECOND_HALF_S + 2880, {"kind": Kind.PERIOD_END, "period": 2}),
    ]  # fmt: skip
    for n in range(116):
        half_s = 60 + n * 48 % 2700
        when = half_s if n < 58 else SECOND_HALF_S + half_s
        side = Side.HOME if n % 2 else Side.AWAY
        kind = Kind.GOAL if n % 12 == 5 else Kind.YELLOW if n % 12 == 7 else Kind.NOTE
        person = numbered_id(side, n % 9 + 2) if kind is not Kind.NOTE else None
        rows.append((when, {"kind": kind, "side": side, "person": person,
                            "how": How.HEADER if kind is Kind.GOAL else How.PLAY}))  # fmt: skip
    entries = sorted(rows, key=lambda row: row[0])
    return [
        Entry(EntryId(i), typed=at(when), happened=Interval.around(at(when), 0.2), **more)  # type: ignore[arg-type]
        for i, (when, more) in enumerate(entries, 1)
    ]


def situations() -> list[Situation]:
    """Frames over the whole match."""
    fixture = Fixture("f", "Northgate", "Elmbridge", "Lantern Cup", KICK_OFF, "Europe/Berlin",
                      "semi-final", "Kiln Lane", "Northgate", country="Nordmark")  # fmt: skip
    people = sheet()
    fold = Fold(fixture, people, log())
    chance = random.Random(1)
    times = [chance.choice((0, SECOND_HALF_S)) + chance.uniform(20, 2800) for _ in range(200)]
    return [
        situation_for(fixture, people, fold, f"f{n}", Interval.around(at(t), 0.15))
        for n, t in enumerate(times)
    ]


LINES = (
    "{a}r tackles {b}w", "{a}r shoots from distance", "{a}r embraces {c}r left",
    "{a}w challenges {b}r in midfield", "r supporters wave flags", "{a}r reacts",
    "{a}r {c}r 11r look on in order", "{a}w runs with ball",
)  # fmt: skip
TYPED = (
    "",
    "9",
    "9r ",
    "9r cel",
    "9r celebrates with 1",
    "an",
    "9r celebrates after ",
    "9r second l",
)


def timed(call: Callable[[], object]) -> float:
    """Milliseconds of this process's own time that one call takes."""
    began = process_time()
    call()
    return (process_time() - began) * 1000


def caption_times(frames: list[Situation]) -> list[float]:
    """One caption with its check, so many times, in every style in turn."""
    acts, creator, chance = load_acts(), Creator("Kim Arnesen"), random.Random(2)
    styles = [load_style(None, name) for name in style_names()]
    times: list[float] = []
    for number in range(CAPTIONS):
        a, b = chance.sample(range(2, 11), 2)
        line = chance.choice(LINES).format(a=a, b=b, c=b)
        frame, style = frames[number % len(frames)], styles[number % len(styles)]

        def both() -> None:
            caption = compose(line, frame, style, acts, creator=creator)  # noqa: B023
            check(caption, frame, style, acts)  # noqa: B023

        times.append(timed(both))
    return times[len(styles) * 10 :]


def completion_times(frames: list[Situation]) -> list[float]:
    """One completion, so many times."""
    acts = load_acts()
    times = []
    for number in range(CAPTIONS):
        text, frame = TYPED[number % len(TYPED)], frames[number % len(frames)]
        times.append(timed(lambda t=text, f=frame: complete(t, len(t), f, acts)))  # type: ignore[misc]
    return times[100:]


def p99(times: list[float]) -> float:
    """The time that 99 of 100 stay below."""
    return statistics.quantiles(times, n=100)[98]


def main() -> None:
    """Prints both figures, their floors and ratios in this run."""
    frames = situations()
    style = load_style(None, "north")
    values = dict.fromkeys(
        ("clause", "minute", "when", "event", "venue", "city", "weekday", "date", "quotes"), "words"
    )
    filled = [
        timed(lambda: [fill(style.description, values) for _ in range(TEXT_FIELDS)])
        for _ in range(CAPTIONS)
    ]
    names = [p.name.lower() for p in frames[0].sheet.people]
    passed = [timed(lambda: [n for n in names if n.startswith("an")]) for _ in range(CAPTIONS)]
    for what, times, floor, floor_name, target_ms in (
        ("caption + check", caption_times(frames), filled, f"{TEXT_FIELDS} patterns filled",
         TARGET_MS),
        ("completion", completion_times(frames), passed, "one pass over 60 names",
         COMPLETION_TARGET_MS),
    ):  # fmt: skip
        median, most = statistics.median(times), p99(times)
        base = statistics.fmean(floor)
        print(
            f"{what}: median {median:.2f} ms, p99 {most:.2f} ms (target {target_ms:.0f} ms); "
            f"floor, {floor_name}: {base:.3f} ms; the median is {median / base:.0f} times it"
        )


if __name__ == "__main__":
    main()
