"""The rows that the room of the match adds to the accuracy report.

`report_rows(data)` gives the counts against open data, `disagreements(data)` every case that
does not agree, by name and with its reason.
"""

from __future__ import annotations

import os
from pathlib import Path

import test_lineups_against_open_data as lineups
import test_minutes_against_open_data as minutes
import test_names_against_open_data as names
import test_scores_against_open_data as scores
from test_laws_against_the_game import CHECKS

Row = tuple[str, str, str, float, float, float, str]
"""Quantity, source, section, published, ours, tolerance, why."""

OPENFOOTBALL = "openfootball (CC0 1.0)"
TIMED = "Soccer match event dataset, figshare 4415000, 2019 (CC BY 4.0)"
TRACKED = "SkillCorner open data, 2020 (MIT)"


def open_data() -> Path:
    """Where the open data lie."""
    beside = Path(__file__).resolve().parents[2].parent / "shared" / "data"
    return Path(os.environ.get("SETPIECE_OPEN_DATA", beside))


def report_rows(data: Path | None = None) -> list[Row]:
    """Each count and each figure of the Laws; without open data the Laws alone."""
    place = data or open_data()
    rows: list[Row] = []
    if place.is_dir():
        rows += [*_minutes(place), *_scores(place), *_lineups(place), *_names(place)]
    rows += [
        (c.quantity, c.source, c.section, c.published, c.value(), c.tolerance, c.why)
        for c in CHECKS
    ]
    return rows


def disagreements(data: Path | None = None) -> list[tuple[str, str]]:
    """Everything that does not agree: what, and why."""
    place = data or open_data()
    if not place.is_dir():
        return []
    printed = [
        (f"{match}, printed {minute}", why) for (match, minute), why in minutes.REASONS.items()
    ]
    return [
        *printed,
        *scores.HALF_TIME_DEFECTS.items(),
        *lineups.NOT_ELEVEN.items(),
        *lineups.SCORED_OFF_THE_PITCH.items(),
    ]


def _row(
    quantity: str, source: str, section: str, of: int, ours: int, why: str, named: int = 0
) -> Row:
    """One count; `named` cases that do not agree are listed by name and reason in the tests."""
    return (quantity, source, section, float(of), float(ours), float(named), why)


_NAMED_HALF_TIMES = {
    "printed minutes": sum(":" in name for name in scores.HALF_TIME_DEFECTS),
    "elapsed goals": sum(":" not in name for name in scores.HALF_TIME_DEFECTS),
}
"""Half-time scores the sources have wrong."""

_WHEN = {"final": "at the end", "half-time": "at half-time", "shoot-out": "of the shoot-out"}

_MINUTES_OF_THE_TEN = 117
"""Minutes of the side of 1954 whose line-up has ten names."""


def _minutes(data: Path) -> list[Row]:
    return [
        _row(
            "printed minutes that the minute rule gives",
            f"{OPENFOOTBALL} and {TIMED}",
            "World Cup 2018, every goal",
            minutes.PRINTED_GOALS,
            minutes.agreeing(data),
            "the others lie within 6 s of a boundary or were printed late; named in the test",
            len(minutes.REASONS),
        )
    ]


def _scores(data: Path) -> list[Row]:
    rows = [
        _row(
            f"scores {_WHEN.get(what, what)}, from printed minutes",
            OPENFOOTBALL,
            "World Cups, Euro 2021, Copa 2021, Austria 2025-26",
            tally.compared,
            tally.agreeing,
            "any other is a named defect of the source",
            _NAMED_HALF_TIMES["printed minutes"] if what == "half-time" else 0,
        )
        for what, tally in scores.by_minutes(data).items()
    ]
    return rows + [
        _row(
            f"scores {_WHEN.get(what, what)}, from elapsed goals",
            TIMED,
            "France, Italy 2017-18, World Cup 2018",
            tally.compared,
            tally.agreeing,
            "any other is a named defect of the source",
            _NAMED_HALF_TIMES["elapsed goals"] if what == "half-time" else 0,
        )
        for what, tally in scores.by_elapsed(data).items()
    ]


def _lineups(data: Path) -> list[Row]:
    count = lineups.counts(data)
    compared, differing = lineups.tracked(data)
    zero = count.zero
    return [
        _row(
            "minutes with 11 less the dismissed on the pitch, both sides",
            OPENFOOTBALL,
            "World Cups with line-ups, Austria 2025-26",
            count.minutes,
            count.minutes - len(count.wrong_count),
            "one line-up of 1954 has 10 names",
            _MINUTES_OF_THE_TEN,
        ),
        _row(
            "minutes with the right people on the pitch, both sides",
            OPENFOOTBALL,
            "the same",
            count.minutes,
            count.minutes - len(count.wrong_people),
            "every minute",
        ),
        _row(
            "minutes with the right numbers on the pitch",
            TRACKED,
            "five matches of 2019-20",
            compared,
            compared - len(differing),
            "every minute",
        ),
        _row(
            "matches of the file counted from zero that draw the question",
            OPENFOOTBALL,
            "more/2010_full.txt; minutes alone, no clock",
            64,
            zero["2010_full.txt"],
            "the others have no substitution at half-time to tell by",
            64 - 26,
        ),
        _row(
            "matches counted from one that draw the same question",
            OPENFOOTBALL,
            "all other files; 0 would be best",
            0,
            sum(n for name, n in zero.items() if "2010" not in name),
            "these sources write half-time substitutions 45, as a log counted from zero does",
            130,
        ),
    ]


def _names(data: Path) -> list[Row]:
    looked_for, missing = names.missed(data)
    people = {m.split(":")[0] for m in missing}
    return [
        _row(
            "people found by last word, folded name and number",
            f"{OPENFOOTBALL} and {TIMED}",
            "squads and players",
            looked_for,
            looked_for - len(people),
            "everybody",
        )
    ]
