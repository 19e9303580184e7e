"""Who is on the pitch, at every minute of every match with a line-up.

Sources: openfootball/worldcup, more/*_full.txt with more/*_squads.txt, openfootball/austria
(CC0 1.0); SkillCorner open data (MIT, Copyright (c) 2020 SkillCorner. https://skillcorner.com).
The files' own text is read a second time, without the fold: from when until when each name is on.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import pytest
from open_football import (
    AUSTRIA,
    FULL_FILES,
    FULL_YEARS,
    KICK_OFF,
    OpenMatch,
    fold_of,
    full_matches,
    log_csv,
    sheet_of,
    squads,
)

from setpiece.match.audit import audit
from setpiece.match.exchange import read_log_csv, write_clock
from setpiece.match.fixture import Fixture
from setpiece.match.fold import Fold
from setpiece.match.instants import MinuteLabel
from setpiece.match.people import Person, Role, Side, SidePeople, TeamSheet, numbered_id

pytestmark = pytest.mark.published

NOT_ELEVEN = {
    "1954_full.txt:117 Turkey v South Korea": "the away line-up has 10 names (KNOWN-DEFECTS)"
}
"""Every match whose count is not 11 less dismissals, and why."""

SCORED_OFF_THE_PITCH = {
    "1990_full.txt:346 West Germany v Colombia": "the scorer is named neither in the line-up nor "
    "as a substitute: the source lacks a substitution",
    "2002_full.txt:105 Senegal v Uruguay": "goal printed 45, came on in 45+1: half-time "
    "substitutions are written 45+1 here, and the goal is of the second half",
}
"""Every goal by somebody who by the source was not on the pitch, and why."""


@dataclass
class Count:
    """What was compared."""

    matches: int = 0
    minutes: int = 0
    wrong_count: list[str] = field(default_factory=list)
    wrong_people: list[str] = field(default_factory=list)
    zero: dict[str, int] = field(default_factory=dict)
    scored_off: list[str] = field(default_factory=list)


def _labels(match: OpenMatch) -> list[MinuteLabel]:
    """Every minute that the match may have had."""
    labels = [MinuteLabel(m) for m in range(1, 91)]
    labels += [MinuteLabel(45, a) for a in range(1, 13)] + [
        MinuteLabel(90, a) for a in range(1, 16)
    ]
    if match.extra_time:
        labels += [MinuteLabel(m) for m in range(91, 121)]
        labels += [MinuteLabel(105, a) for a in range(1, 6)]
        labels += [MinuteLabel(120, a) for a in range(1, 11)]
    return sorted(labels)


def _on_by_text(match: OpenMatch, side: Side, label: MinuteLabel) -> set[str]:
    """Who is on at the end of a minute, straight from the text."""
    on = set(match.line_ups[side])
    told = [t for t in match.told if t.side is side and _minute(t.minute) <= label]
    on |= {t.other for t in told if t.kind == "substitution"}
    gone = {t.name for t in told if t.kind in ("substitution", "red", "second yellow")}
    return on - gone


@cache
def _minute(text: str) -> MinuteLabel:
    """A printed minute; 121 (two matches of 2026, before the kicks) is 120+1 to everybody else."""
    label = MinuteLabel.read(text)
    return MinuteLabel(120, label.minute - 120) if label.minute > 120 else label


@cache
def counts(data: Path) -> Count:
    """Every minute of every match compared."""
    folder = data / "football-open"
    count = Count()
    for file, year in (*zip(FULL_FILES, FULL_YEARS, strict=True), (AUSTRIA, None)):
        squad = squads(folder, year) if year else None
        count.zero[Path(file).name] = 0
        for match in full_matches(folder, file):
            sheet = sheet_of(match, squad)
            fold = fold_of(match, sheet)
            count.matches += 1
            _compare(match, fold, count)
            for remark in audit(fold):
                if remark.about == "counted from zero":
                    count.zero[Path(file).name] += 1
                if remark.about == "not on the pitch":
                    count.scored_off.append(match.name)
    return count


def _compare(match: OpenMatch, fold: Fold, count: Count) -> None:
    names = {p.id: p.printed_name for p in fold.sheet.people}
    for label in _labels(match):
        state = fold.state_at(label)
        for side in Side:
            count.minutes += 1
            on = state.side(side).on_pitch
            sent_off = sum(
                t.kind in ("red", "second yellow") and _minute(t.minute) <= label
                for t in match.told
                if t.side is side and _was_on(match, t.name, t.minute, side)
            )
            if len(on) != 11 - sent_off:
                count.wrong_count.append(match.name)
            if {names[w.person] for w in on} != _on_by_text(match, side, label):
                count.wrong_people.append(f"{match.name} {side} {label}")


def _was_on(match: OpenMatch, name: str, minute: str, side: Side) -> bool:
    """Whether somebody sent off was on the pitch, and not substituted before."""
    left = [
        t.minute
        for t in match.told
        if t.kind == "substitution" and t.side is side and t.name == name
    ]
    came = name in match.line_ups[side] or any(
        t.other == name for t in match.told if t.side is side
    )
    return came and all(_minute(m) > _minute(minute) for m in left)


def test_eleven_less_dismissals_are_on_the_pitch(open_data: Path) -> None:
    """At every minute of all 818 matches, 11 less the dismissed are on; one defect is named."""
    count = counts(open_data)
    assert set(count.wrong_count) == set(NOT_ELEVEN)
    assert count.matches == 818


def test_the_right_eleven_are_on_the_pitch(open_data: Path) -> None:
    """At every minute the fold has the same names on as the text of the line-ups."""
    assert counts(open_data).wrong_people == []


def test_goals_by_somebody_off_the_pitch_are_noticed(open_data: Path) -> None:
    """The two goals whose scorer was off the pitch by the source itself are found, no other."""
    assert set(counts(open_data).scored_off) == set(SCORED_OFF_THE_PITCH)


def test_a_file_counted_from_zero_is_noticed(open_data: Path) -> None:
    """The 2010 file, which counts from zero, draws the question in every match that can tell.

    Minutes alone tell by half-time substitutions: counted from zero they stand at 45. Sources
    that write them 45 though they count from one draw it too; those that write 46 do not.
    """
    zero = counts(open_data).zero
    assert zero["2010_full.txt"] == 26
    assert zero["2018_full.txt"] == zero["2026_full.txt"] == 0
    may_be = {"1974_full.txt": 1, "1998_full.txt": 1, "2002_full.txt": 27}
    others = {name: n for name, n in zero.items() if n and "2010" not in name}
    assert others == {**may_be, "1-bundesliga-full.txt": 101}


@cache
def tracked(data: Path) -> tuple[int, list[str]]:
    """Minutes of the tracked matches compared, and those that differ."""
    compared, differing = 0, []
    for file in sorted((data / "football-open/mit-skillcorner/matches").glob("*/match_data.json")):
        told = json.loads(file.read_text("utf-8"))
        fold, spans = _tracked_fold(told)
        for minute in range(1, 96):
            label = MinuteLabel(minute) if minute <= 90 else MinuteLabel(90, minute - 90)
            for side in Side:
                compared += 1
                end_s = minute * 60
                on = {n for s, n, a, b in spans if s is side and a < end_s and not b < end_s}
                ours = {w.number for w in fold.state_at(label).side(side).on_pitch}
                if ours != on or len(on) != 11:
                    differing.append(f"{file.parent.name} {side} {label}")
    return compared, differing


def _seconds(text: str | None) -> float:
    if text is None:
        return float("inf")
    hours, minutes, seconds = text.split(":")
    return int(hours) * 3600 + int(minutes) * 60 + int(seconds)


def _tracked_fold(told: dict) -> tuple[Fold, list[tuple[Side, int, float, float]]]:
    people, spans = [], []
    changes: dict[tuple[Side, float], tuple[list[int], list[int]]] = {}
    for player in told["players"]:
        side = Side.HOME if player["team_id"] == told["home_team"]["id"] else Side.AWAY
        number, since = player["number"], _seconds(player["start_time"])
        until = _seconds(player["end_time"])
        role = Role.GOALKEEPER if player["player_role"]["acronym"] == "GK" else Role.PLAYER
        people.append(
            Person(
                numbered_id(side, number), player["last_name"], role, side, number,
                starts=since == 0,
            )
        )  # fmt: skip
        if since == float("inf"):
            continue
        spans.append((side, number, since, until))
        if since > 0:
            changes.setdefault((side, since), ([], []))[1].append(number)
        if until < float("inf"):
            changes.setdefault((side, until), ([], []))[0].append(number)
    rows = []
    for (side, at_s), (leave, come) in sorted(changes.items(), key=lambda c: c[0][1]):
        period, elapsed_s = (2, at_s - 2700) if at_s >= 2700 else (1, at_s)
        for off, on in zip(leave, come, strict=True):
            rows.append(
                [str(period), write_clock(elapsed_s), "", "substitution", side.value, str(off),
                 str(on), "", ""]
            )  # fmt: skip
    sheet = TeamSheet(SidePeople("home", "home"), SidePeople("away", "away"), tuple(people))
    log = read_log_csv(log_csv(rows), sheet, typed=KICK_OFF)
    return Fold(Fixture("open", "home", "away", "", KICK_OFF, "UTC"), sheet, log), spans


def test_tracked_matches_have_the_right_numbers_on_the_pitch(open_data: Path) -> None:
    """The five tracked matches have the right eleven numbers of each side on at every minute."""
    compared, differing = tracked(open_data)
    assert differing == []
    assert compared == 5 * 95 * 2
