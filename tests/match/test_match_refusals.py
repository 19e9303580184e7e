"""What the match refuses, and the thing that each refusal names: the one to be mended."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

import pytest

from setpiece.errors import SetpieceError, WrongUse
from setpiece.match.clock import label_span_s, minute_label, minutes_before, period_length_s
from setpiece.match.entries import Entry, EntryId, Kind, Standing
from setpiece.match.fixture import Fixture, Rules
from setpiece.match.forms import LONGEST_TEXT, check_length, read_document, read_rows
from setpiece.match.instants import (
    CameraTime,
    Instant,
    Interval,
    MinuteLabel,
    instant,
    read_instant,
)
from setpiece.match.log_exchange import COLUMNS, read_clock, read_log_csv, read_log_json
from setpiece.match.people import Kit, Role
from setpiece.match.sheet_exchange import read_sheet_csv, read_sheet_json
from setpiece.match.typed import KINDS, read_line

if TYPE_CHECKING:
    from conftest import Match

NOON = instant(datetime(2027, 3, 6, 12, 0, tzinfo=UTC))
BEFORE = Instant(NOON - timedelta(seconds=1))
RULES = Rules()


def entry(**more: Any) -> Entry:
    """The third entry of a log."""
    return Entry(EntryId(3), more.pop("kind", Kind.NOTE), NOON, **more)


def fixture(**more: Any) -> Fixture:
    """A fixture."""
    return Fixture("m", "A", "B", "Cup", NOON, more.pop("time_zone", "Europe/Vienna"), **more)


VALUES: list[tuple[Callable[[], object], str, str | bool]] = [
    (lambda: instant(datetime(2027, 3, 6, 12, 0)), "2027-03-06T12:00:00",
     True),
    (lambda: read_instant("2027-03-06 noon"), "2027-03-06 noon",
     True),
    (lambda: Interval(NOON, BEFORE), "2027-03-06 12:00:00+00:00", False),
    (lambda: CameraTime(NOON), "2027-03-06T12:00:00+00:00", False),
    (lambda: CameraTime(datetime(2027, 3, 6), 2.5), "2027-03-06 00:00:00", False),
    (lambda: CameraTime(datetime(2027, 3, 6), 0), "2027-03-06 00:00:00", False),
    (lambda: MinuteLabel(0), "0", True),
    (lambda: MinuteLabel(241), "241", True),
    (lambda: MinuteLabel(45, 100), "45+100", True),
    (lambda: MinuteLabel(45, -1), "45+-1", True),
    (lambda: MinuteLabel.read("half past"), "half past", True),
    (lambda: minute_label(1, -0.5, RULES), "-0.5 s", False),
    (lambda: minute_label(5, 1.0, RULES), "period 5", False),
    (lambda: period_length_s(0, RULES), "period 0", False),
    (lambda: minutes_before(5, RULES), "period 5", False),
    (lambda: label_span_s(MinuteLabel(121), RULES), "121",
     True),
    (lambda: label_span_s(MinuteLabel(44, 2), RULES, period=1), "44+2", False),
    (lambda: label_span_s(MinuteLabel(45), RULES, period=2), "45", False),
    (lambda: label_span_s(MinuteLabel(5), RULES, period=5), "period 5", False),
    (lambda: entry(period=6), "e3", False),
    (lambda: entry(period=0), "e3", False),
    (lambda: entry(kind=Kind.WITHDRAWN), "e3", False),
    (lambda: entry(kind=Kind.KICK_OFF), "e3", False),
    (lambda: entry(kind=Kind.PERIOD_END), "e3", False),
    (lambda: entry(elapsed_s=-1.0, period=1), "e3", False),
    (lambda: entry(elapsed_s=1.0), "e3", False),
    (lambda: entry(supersedes=EntryId(3)), "e3", False),
    (lambda: fixture(time_zone="Europe/Nowhere"), "Europe/Nowhere",
     True),
    (lambda: fixture(country_code="AT"), "AT", False),
    (lambda: Kit("R", "red", "#b5382a"), "R", False),
    (lambda: Kit("rb", "red", "#b5382a"), "rb", False),
    (lambda: Kit("7", "red", "#b5382a"), "7", False),
    (lambda: read_clock("45:60"), "45:60", True),
    (lambda: check_length("x" * (LONGEST_TEXT + 1)), "", True),
]  # fmt: skip


def told(refused: Callable[[], object]) -> SetpieceError:
    """How it is refused."""
    with pytest.raises(SetpieceError) as error:
        refused()
    return error.value


def leads_on(error: SetpieceError, step: str | bool) -> bool:
    """Whether it says the step; True asks for any, False for none: their words may be bettered."""
    return error.next_step == step if isinstance(step, str) else bool(error.next_step) >= step


@pytest.mark.parametrize(("refused", "thing", "next_step"), VALUES)
def test_a_value_that_cannot_be_is_named(
    refused: Callable[[], object], thing: str, next_step: str | bool
) -> None:
    """The refusal says which value, and how it is written where that is not plain."""
    error = told(refused)
    assert error.thing == thing
    assert leads_on(error, next_step)
    assert error.what


@pytest.mark.parametrize(
    "allowed",
    [
        lambda: MinuteLabel(1), lambda: MinuteLabel(240, 99), lambda: entry(period=1),
        lambda: entry(period=5), lambda: entry(elapsed_s=0.0, period=1),
        lambda: entry(supersedes=EntryId(2)), lambda: CameraTime(datetime(2027, 3, 6), 2.0),
        lambda: Interval(NOON, NOON), lambda: minute_label(1, 0.0, RULES),
        lambda: check_length("x" * LONGEST_TEXT), lambda: fixture(country_code="AUT"),
        lambda: Entry(EntryId(0), Kind.NOTE, NOON, supersedes=EntryId(9)),
    ],
)  # fmt: skip
def test_the_last_value_that_can_be_is_taken(allowed: Callable[[], object]) -> None:
    """Limits belong to what is allowed; an entry without an id yet may replace any."""
    assert allowed() is None or allowed() == allowed()


def rows(text: str) -> object:
    """A small table read."""
    return read_rows(text, ("name", "number"), other_words={"no": "number"}, needed=("name",))


TABLES: list[tuple[str, str, str, str | bool]] = [
    ("", "there is no heading line", "", "Begin with name,number."),
    ("name,colour\n", "no such column", "colour", "Columns: name, number."),
    ("name,number,no\n", "a column stands twice", "number", False),
    ("number\n9\n", "a column is missing", "name", "Columns: name, number."),
    ("name,number\n\nEda,9,x\n", "more cells than the heading has", "line 3", False),
    ('name,number\n"Eda,9\n', "this is no CSV (unexpected end of data)", "line 2",
     True),
]  # fmt: skip


@pytest.mark.parametrize(("text", "what", "thing", "next_step"), TABLES)
def test_a_table_that_is_none_is_told_by_its_line(
    text: str, what: str, thing: str, next_step: str | bool
) -> None:
    """Headings and rows of a CSV file are refused with the column or the line."""
    error = told(lambda: rows(text))
    assert (error.what, error.thing) == (what, thing)
    assert leads_on(error, next_step)


@pytest.mark.parametrize("between", [",", ";", "\t"])
def test_a_table_may_be_parted_by_any_common_sign(between: str) -> None:
    """Comma, semicolon and tab; a mark in front, blank lines and empty cells behind do not harm."""
    text = "\ufeff\n No ,Name,\n9,Eda,,\n,,\n,Fay\n".replace(",", between)
    found: Any = rows(text)
    assert [(r.line, r["name"], r["number"], r["club"]) for r in found] == [
        (3, "Eda", "9", ""),
        (5, "Fay", "", ""),
    ]
    assert [r.whole_number("number") for r in found] == [9, None]


LOG_LINES: list[tuple[str, str, str | bool]] = [
    ("goaal,,,,,,", "no such kind of entry: goaal", "Did you mean goal?"),
    (",,,,,,x", "no such kind of entry: (empty)", True),
    ("goal,,,up,,,", "no such side: up", True),
    ("goal,,,,9,,", "a shirt needs its side", True),
    ("goal,,,home,nine,,", "shirt is no number: nine", True),
    ("goal,,,home,1000,,", "shirt is no number: 1000", True),
    ("goal,,0,,,,", "minutes count from 1: this log looks counted from zero",
     True),
    ("goal,,0',,,,", "minutes count from 1: this log looks counted from zero",
     True),
    ("goal,,late,,,,", "no match minute: late", True),
    ("goal,12.30,,,,,", "no clock reading: 12.30", True),
    ("goal,,,,,bicycle,", "no such how: bicycle",
     "Words: header, penalty, free kick, own goal, scored, saved, missed, concussion."),
    ("goal,12:30,,,,,", "a clock reading is 0:00 or more, of a period", False),
]  # fmt: skip


@pytest.mark.parametrize(("cells", "what", "next_step"), LOG_LINES)
def test_a_row_of_a_log_is_refused_with_its_line(
    tie: Match, cells: str, what: str, next_step: str | bool
) -> None:
    """The line, the word in it and the way out are named."""
    text = f"kind,clock,minute,side,shirt,how,note\nnote,,,,,,\n{cells}\n"
    error = told(lambda: read_log_csv(text, tie.sheet, typed=NOON))
    assert (error.thing, error.what) == ("line 3", what)
    assert leads_on(error, next_step)


ROLES = ", ".join(role.value for role in Role)
SHEET_LINES: list[tuple[str, str, str | bool]] = [
    ("left,9,Eda,,,", "no such side: left", True),
    ("home,9,,,,", "a person needs a name", False),
    ("home,9,Eda,xe,,", "no pronouns to write a caption with: xe",
     True),
    ("home,9,Eda,,juggler,", "no such role: juggler", f"Roles: {ROLES}."),
    ("home,9,Eda,,,maybe", "captain is neither yes nor no: maybe", False),
]  # fmt: skip


@pytest.mark.parametrize(("cells", "what", "next_step"), SHEET_LINES)
def test_a_row_of_a_sheet_is_refused_with_its_line(
    cells: str, what: str, next_step: str | bool
) -> None:
    """The line, the word in it and the way out are named."""
    error = told(lambda: read_sheet_csv(f"side,number,name,pronouns,role,captain\n{cells}\n"))
    assert (error.thing, error.what) == ("line 2", what)
    assert leads_on(error, next_step)


DOCUMENT = {"form": "match log", "version": 1}
ENTRY = {"id": 1, "kind": "goal", "typed": "2027-03-06T15:00:00Z"}
DOCUMENTS: list[tuple[object, str, str, str | bool]] = [
    ([], "this is no match log", "", 'A document begins with "form": "match log".'),
    ({"form": "team sheet"}, "this is no match log", "",
     'A document begins with "form": "match log".'),
    ({"form": "match log", "version": 2}, "this version of the form is not known", "2",
     True),
    (DOCUMENT, "this must be a list", "log.entries", False),
    ({**DOCUMENT, "entries": [7]}, "this must be an object", "log.entries[0]", False),
    ({**DOCUMENT, "entries": [{"id": 1}]}, "a field is missing", "log.entries[0].kind", False),
    ({**DOCUMENT, "entries": [{**ENTRY, "id": "1"}]}, "this must be a whole number",
     "log.entries[0].id", False),
    ({**DOCUMENT, "entries": [{**ENTRY, "id": True}]}, "this must be a whole number",
     "log.entries[0].id", False),
    ({**DOCUMENT, "entries": [{**ENTRY, "elapsed_s": "x"}]}, "this must be a number",
     "log.entries[0].elapsed_s", False),
    ({**DOCUMENT, "entries": [{**ENTRY, "note": 5}]}, "this must be a text",
     "log.entries[0].note", False),
    ({**DOCUMENT, "entries": [{**ENTRY, "imported": 1}]}, "this must be a true or false",
     "log.entries[0].imported", False),
    ({**DOCUMENT, "entries": [{**ENTRY, "side": "up"}]}, "no such word: up",
     "log.entries[0].side", "Words: home, away."),
    ({**DOCUMENT, "entries": [{**ENTRY, "how": "bicycle"}]}, "no such word: bicycle",
     "log.entries[0].how",
     'Words: "", header, penalty, free kick, own goal, scored, saved, missed, concussion.'),
    ({**DOCUMENT, "entries": [ENTRY, {**ENTRY, "id": 2}, {**ENTRY, "id": 2}]},
     "an id stands twice", "e2", False),
]  # fmt: skip


@pytest.mark.parametrize(("document", "what", "thing", "next_step"), DOCUMENTS)
def test_a_document_is_refused_with_the_place_in_it(
    document: object, what: str, thing: str, next_step: str | bool
) -> None:
    """What is wrong with a log as JSON stands with the way to it from the outside in."""
    error = told(lambda: read_log_json(json.dumps(document)))
    assert (error.what, error.thing) == (what, thing)
    assert leads_on(error, next_step)


def test_a_document_names_the_fields_there_are() -> None:
    """A field that nobody knows is answered with those that are known."""
    error = told(lambda: read_sheet_json(
        '{"form": "team sheet", "version": 1, "home": {"colour": "red"}}'))  # fmt: skip
    assert (error.what, error.thing) == ("no such field", "sheet.home.colour")
    assert error.next_step.startswith("Fields: name, short_name, kits")
    broken = told(lambda: read_document("{", "match log"))
    assert broken.what.startswith("this is no JSON (")
    assert broken.next_step == "Look at the file."


def test_whole_numbers_stand_for_seconds_and_nothing_else_does() -> None:
    """A clock of 751 is 751.0 seconds; `true` is no number of seconds."""
    text = json.dumps({**DOCUMENT, "entries": [{**ENTRY, "period": 1, "elapsed_s": 751}]})
    (read,) = read_log_json(text)
    assert isinstance(read.elapsed_s, float)
    assert read.standing is Standing.GIVEN
    broken = text.replace("751", "true")
    assert told(lambda: read_log_json(broken)).thing == "log.entries[0].elapsed_s"


TYPED: list[tuple[str, str, str, str | bool]] = [
    ("gaol 9r", "this opens no log entry", "gaol",
     "Begin with one of: whistle, " + ", ".join(KINDS) + "."),
    ("goal 9q", "no side's kit has that letter", "q", True),
    ("goal 77r", "nobody of the home side has that number", "77r",
     True),
    ("sub 14r", "a substitution names two players", "",
     True),
    ("late change", "a substitution names two players", "",
     True),
    ("goal holm", "several people fit", "holm", True),
]  # fmt: skip


@pytest.mark.parametrize(("line", "what", "thing", "next_step"), TYPED)
def test_a_typed_line_is_refused_with_its_word(
    tie: Match, line: str, what: str, thing: str, next_step: str | bool
) -> None:
    """Whoever types in the rain reads which word it was."""
    error = told(lambda: read_line(line, tie.sheet, tie.whistles(until=1).fold().last(), NOON))
    assert (error.what, error.thing) == (what, thing)
    assert leads_on(error, next_step)


def test_no_whistle_is_due_once_play_was_abandoned(tie: Match) -> None:
    """The phase is named, and what may be logged instead."""
    tie.whistles(until=1).log(Kind.ABANDONED, 4000, exact=True)
    error = told(lambda: read_line("Whistle", tie.sheet, tie.fold().last(), NOON))
    assert (error.what, error.thing) == ("no whistle is due now", "abandoned")
    assert error.next_step == "Log `resumed` or a note."
    assert isinstance(error, WrongUse)


def test_the_columns_of_a_log_are_those_of_the_docs() -> None:
    """A log written today is read by last year's spreadsheet."""
    assert ",".join(COLUMNS) == "period,clock,minute,kind,side,shirt,other_shirt,how,note"
