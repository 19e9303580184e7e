"""A log as CSV and JSON."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.match.entries import Entry, EntryId, How, Kind, Standing, current
from setpiece.match.exchange import (
    read_clock,
    read_log_csv,
    read_log_json,
    write_clock,
    write_log_csv,
    write_log_json,
)
from setpiece.match.fold import Fold
from setpiece.match.instants import Interval, MinuteLabel
from setpiece.match.people import PersonId, Side, numbered_id

if TYPE_CHECKING:
    from conftest import Match

HEADING = "period,clock,minute,kind,side,shirt,other_shirt,how,note\n"

LOG = HEADING + (
    "1,,,kick-off,,,,,\n"
    "1,12:31,,goal,home,9,11,,\n"
    "1,,24,disallowed,away,9,,,offside\n"
    "1,,45+1,yellow,away,5,,,\n"
    "1,47:02,,half-time,,,,,\n"
    "2,,,kick-off,,,,,\n"
    "2,,46,substitution,away,5,14,concussion,\n"
    "2,27:10.5,,goal,away,2,,own goal,\n"
    "2,,70,shirt,home,9,,,torn\n"
    "2,,71,shirt,home,8,44,,\n"
    "2,,,full-time,,,,,\n"
    "3,,,kick-off,,,,,\n"
    "3,,,period end,,,,,\n"
    "5,,,kick-off,,,,,\n"
    '5,,,shoot-out kick,home,9,,scored,"low, left"\n'
)


def _read(tie: Match, text: str) -> tuple[Entry, ...]:
    return read_log_csv(text, tie.sheet, typed=tie.at(9000))


def test_a_log_is_read(tie: Match) -> None:
    """Kinds, sides, people, clocks and minutes become entries."""
    entries = _read(tie, LOG)
    goal = entries[1]
    assert (goal.kind, goal.side, goal.period, goal.elapsed_s) == (Kind.GOAL, Side.HOME, 1, 751.0)
    assert (goal.person, goal.other) == (numbered_id(Side.HOME, 9), numbered_id(Side.HOME, 11))
    assert entries[2].standing is Standing.DISALLOWED
    assert entries[4].kind is Kind.PERIOD_END
    own = entries[7]
    assert (own.side, own.person, own.how) == (
        Side.AWAY, numbered_id(Side.HOME, 2), How.OWN_GOAL,
    )  # fmt: skip
    assert entries[6].how is How.CONCUSSION
    assert entries[8].number is None
    assert entries[9].number == 44
    assert all(e.imported for e in entries)


def test_a_log_goes_round_in_csv(tie: Match) -> None:
    """Written again, a read log is the same text."""
    fold = Fold(tie.fixture, tie.sheet, _read(tie, LOG))
    assert write_log_csv(fold) == LOG
    assert str(fold.last().score) == "1–1"


def test_headings_and_words_may_vary(tie: Match) -> None:
    """Any order of columns, semicolons or tabs, a byte-order mark, other spellings."""
    text = (
        "\ufeffKind;Side;Shirt;Minute\nGoal;HOME;9;45+2'\nYellow card;away;5;50\nsub;home;9;60\n\n"
    )
    entries = _read(tie, text)
    assert [e.kind for e in entries] == [Kind.GOAL, Kind.YELLOW, Kind.SUBSTITUTION]
    assert entries[0].printed == MinuteLabel(45, 2)
    tabs = _read(tie, "kind\tperiod\nKick off\t\nhalf time\t\nkickoff\t\nperiod_end\t\n")
    assert [e.period for e in tabs] == [1, 1, 2, 2]


def test_numbers_that_the_sheet_lacks_are_kept(tie: Match) -> None:
    """A number off the sheet keeps side and number; an earlier number finds its person."""
    people = tuple(
        replace(p, number=19, earlier_number=16) if p.id == "home-16" else p
        for p in tie.sheet.people
    )
    tie.sheet = replace(tie.sheet, people=people)
    entries = _read(tie, "kind,side,shirt\ngoal,home,77\ngoal,home,16\ngoal,home,19\n")
    assert [e.person for e in entries] == ["home-77", "home-16", "home-16"]


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("1,,,gaol,home,9,,,", "Did you mean goal"),
        ("1,,,zzzzzzzz,home,9,,,", "docs/formats.md"),
        ("1,,,,home,9,,,", "(empty)"),
        ("1,,,goal,left,9,,,", "home or away"),
        ("1,,,goal,home,nine,,,", "shirt is no number"),
        ("1,,,goal,home,9999,,,", "shirt is no number"),
        ("1,,,goal,,9,,,", "a shirt needs its side"),
        ("1,,,goal,home,9,,sideways,", "no such how"),
        ("1,12.31,,goal,home,9,,,", "no clock reading"),
        ("1,12:61,,goal,home,9,,,", "no clock reading"),
        (",12:31,,goal,home,9,,,", "of a period"),
        ("1,,early,goal,home,9,,,", "no match minute"),
        ("1,,0,goal,home,9,,,", "counted from zero"),
        ("9,,,goal,home,9,,,", "periods 1 to 5"),
        ("1,,,goal,home,9,,,,,x", "more cells"),
        ('1,,,"goal,home,9,,,', "no CSV"),
    ],
)
def test_a_wrong_row_is_named(tie: Match, row: str, says: str) -> None:
    """An error says which line, what is wrong and what to write instead."""
    with pytest.raises(WrongUse) as caught:
        _read(tie, HEADING + "1,,,kick-off,,,,,\n" + row + "\n")
    assert "line 3" in str(caught.value)
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "no heading"),
        ("minute,side\n12,home\n", "missing"),
        ("kind,colour\ngoal,red\n", "no such column"),
        ("kind,kind\ngoal,goal\n", "twice"),
        ("x" * 20_000_001, "too long"),
    ],
)
def test_a_wrong_file_is_named(tie: Match, text: str, says: str) -> None:
    """A heading that cannot be is told before any row."""
    with pytest.raises(WrongUse, match=says):
        _read(tie, text)


def test_goal_and_disallowed_of_one_moment_are_one(tie: Match) -> None:
    """A row `disallowed` of a goal's own minute takes its place; of another minute it does not."""
    text = "minute,kind,side,shirt\n12,goal,home,9\n12,disallowed,home,9\n30,goal,home,9\n"
    later = "33,disallowed,home,9\n40,disallowed,home,\n"
    assert [e.standing for e in current(_read(tie, text))] == [
        Standing.DISALLOWED,
        Standing.GIVEN,
    ]
    fold = Fold(tie.fixture, tie.sheet, _read(tie, text + later))
    assert fold.last().score.home == 1


def test_an_export_gives_clock_or_minute(tie: Match) -> None:
    """Pinned entries are written with their clock, others with their minute; no ids are lost."""
    tie.whistles()
    tie.log(Kind.GOAL, 961.7, exact=True, person="home 9", side=Side.HOME)
    tie.log(Kind.YELLOW, 1300, person="home 77", side=Side.HOME)
    tie.log(Kind.YELLOW, 1310, person=PersonId("stranger"))
    tie.log(Kind.SUBSTITUTION, 3500, exact=True, side=Side.AWAY, person="away 9", other="away 14")
    text = write_log_csv(tie.fold())
    assert text.splitlines()[1:] == [
        "1,,,kick-off,,,,,",
        "1,47:10,,half-time,,,,,",
        "2,,,kick-off,,,,,",
        "2,48:30,,full-time,,,,,",
        "1,16:01,,goal,home,9,,,",
        "1,,22,yellow,home,77,,,",
        "1,,22,yellow,,,,,",
        ",,46,substitution,away,9,14,,",
    ]
    again = write_log_csv(Fold(tie.fixture, tie.sheet, _read(tie, text)))
    assert again == text


INSTANTS = st.datetimes(
    datetime(2000, 1, 1),
    datetime(2040, 1, 1),
    timezones=st.just(UTC),
)
MINUTES = st.builds(MinuteLabel, st.integers(1, 120), st.integers(0, 15))


@st.composite
def entries_(draw: st.DrawFn, entry_id: int) -> Entry:
    """Any entry that can be built."""
    kind = draw(st.sampled_from([k for k in Kind if k is not Kind.WITHDRAWN]))
    period = draw(st.integers(1, 5))
    from_, until = sorted((draw(INSTANTS), draw(INSTANTS)))
    return Entry(
        EntryId(entry_id),
        kind,
        draw(INSTANTS),
        happened=draw(st.none() | st.just(Interval(from_, until))),
        printed=draw(st.none() | MINUTES),
        period=period,
        side=draw(st.none() | st.sampled_from(Side)),
        person=draw(st.none() | st.sampled_from([PersonId("home-9"), PersonId("ø")])),
        how=draw(st.sampled_from(How)),
        standing=draw(st.sampled_from(Standing)),
        number=draw(st.none() | st.integers(0, 99)),
        note=draw(st.text(max_size=20)),
        supersedes=draw(st.none() | st.just(EntryId(entry_id - 1))) if entry_id > 1 else None,
        frame=draw(st.text(max_size=4)),
        elapsed_s=draw(st.none() | st.floats(0, 4000)),
        imported=draw(st.booleans()),
    )


@given(st.data())
def test_json_is_exact(data: st.DataObject) -> None:
    """Any log comes back from JSON as it was, history included."""
    log = tuple(data.draw(entries_(i)) for i in range(1, data.draw(st.integers(1, 4)) + 1))
    assert read_log_json(write_log_json(log)) == log


CELLS = st.fixed_dictionaries(
    {
        "period": st.sampled_from(["1", "2", "3", "4"]),
        "clock": st.sampled_from(["", "03:10", "44:59.25"]),
        "minute": st.sampled_from(["", "12", "45+2", "73"]),
        "kind": st.sampled_from(
            ["goal", "disallowed", "goal under review", "goal stands", "yellow", "red", "note",
             "second yellow", "in goal", "substitution", "added time", "penalty saved"]
        ),
        "side": st.sampled_from(["home", "away"]),
        "shirt": st.sampled_from(["", "9", "14", "77"]),
        "other_shirt": st.sampled_from(["", "10"]),
        "how": st.sampled_from(["", "penalty", "free kick", "own goal", "header"]),
        "note": st.sampled_from(["", "x", 'say "so", he said', "ø"]),
    }
)  # fmt: skip


@given(rows=st.lists(CELLS, max_size=6, unique_by=lambda r: r["minute"] + r["clock"]))
def test_csv_is_exact_for_its_columns(played: Match, rows: list[dict[str, str]]) -> None:
    """Any log in CSV, read and written, is the same text."""
    import csv
    import io

    out = io.StringIO()
    writer = csv.DictWriter(out, HEADING.strip().split(","), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    text = out.getvalue()
    entries = read_log_csv(text, played.sheet, typed=played.at(0))
    assert write_log_csv(Fold(played.fixture, played.sheet, entries)) == text


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"form": "diary"}, "this is no match log"),
        ({"version": 2}, "version"),
        ({"entries": None}, "must be a list"),
        ({"entries": [7]}, "must be an object"),
        ({"entries": [{"id": 1, "kind": "goal"}]}, "a field is missing"),
        ({"entries": [{"id": 1, "kind": "gaol", "typed": "x"}]}, "no such word"),
        ({"entries": [{"id": 1, "kind": "goal", "typed": "noon"}]}, "ISO 8601"),
        ({"entries": [{"id": "1", "kind": "goal", "typed": "x"}]}, "whole number"),
        ({"entries": [{"id": True, "kind": "goal", "typed": "x"}]}, "whole number"),
        ({"entries": [{"nr": 1}]}, "no such field"),
    ],
)
def test_a_wrong_document_is_named(change: dict, says: str) -> None:
    """An error in JSON says where it is."""
    document = {"form": "match log", "version": 1, "entries": [], **change}
    with pytest.raises(WrongUse, match=says):
        read_log_json(json.dumps(document))


def test_what_is_no_json_is_told() -> None:
    """Broken JSON, JSON that is no document, and a text without end are told."""
    for text in ("{", "[1]", "[" * 100_000):
        with pytest.raises(WrongUse):
            read_log_json(text)
    with pytest.raises(WrongUse, match="too long"):
        read_log_json("x" * 20_000_001)


def test_an_id_that_stands_twice_is_refused(tie: Match) -> None:
    """Two entries of one id make no log."""
    entry = tie.log(Kind.NOTE, 0)
    with pytest.raises(WrongUse, match="twice"):
        read_log_json(write_log_json([entry, entry]))


def test_numbers_of_json_may_be_whole(tie: Match) -> None:
    """A clock written as a whole number is read as seconds."""
    text = write_log_json([tie.log(Kind.NOTE, 0, period=1, elapsed_s=60.0)])
    entry = read_log_json(text.replace("60.0", "60"))[0]
    assert entry.elapsed_s == 60.0


@given(st.integers(0, 900_000_000).map(lambda us: us / 1_000_000))
def test_clock_readings_go_round(elapsed_s: float) -> None:
    """A clock reading comes back to the microsecond."""
    assert read_clock(write_clock(elapsed_s)) == pytest.approx(elapsed_s, abs=1e-6)


def test_a_clock_reading_that_is_none() -> None:
    """What is no mm:ss is told."""
    with pytest.raises(WrongUse):
        read_clock("27.10")
    assert write_clock(1630.0) == "27:10"
