"""`log state` and `minute`, without a workspace."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import typer
from typer.testing import CliRunner, Result

from setpiece.cli.log_state import minute, state
from setpiece.errors import NotFound, WrongUse
from setpiece.match.exchange import write_log_json, write_sheet_csv, write_sheet_json
from setpiece.match.instants import MinuteLabel

if TYPE_CHECKING:
    from conftest import Match

APP = typer.Typer()
APP.command()(state)
APP.command()(minute)

LOG = (
    "period,clock,minute,kind,side,shirt,other_shirt,how,note\n"
    "1,,,kick-off,,,,,\n"
    "1,12:31,,goal,home,9,11,,\n"
    "1,,45+1,yellow,away,5,,,\n"
    "1,47:02,,half-time,,,,,\n"
    "2,,,kick-off,,,,,\n"
    "2,,46,substitution,away,5,14,,\n"
    "2,27:10,,goal,away,2,,own goal,\n"
    "2,,80,red,home,4,,,\n"
    "2,,,full-time,,,,,\n"
    "5,,,kick-off,,,,,\n"
    "5,,,shoot-out kick,home,9,,scored,\n"
    "5,,,shoot-out kick,away,9,,missed,\n"
)


@pytest.fixture
def files(tie: Match, tmp_path: Path) -> tuple[str, str]:
    """A log and a sheet as CSV files."""
    log, sheet = tmp_path / "log.csv", tmp_path / "sheet.csv"
    log.write_text(LOG, encoding="utf-8")
    sheet.write_text(write_sheet_csv(tie.sheet), encoding="utf-8")
    return str(log), str(sheet)


def run(*words: str) -> Result:
    """The command's result; errors are raised as the caller sees them."""
    return CliRunner().invoke(APP, list(words), catch_exceptions=False)


def asked(*words: str) -> dict:
    """The JSON answer of `state`."""
    found: dict = json.loads(run("state", *words, "--json").stdout)
    return found


def test_the_end_of_a_log(files: tuple[str, str]) -> None:
    """Score, half-time, periods, shoot-out, numbers on the pitch and cards of a whole log."""
    log, sheet = files
    answer = asked("--log", log, "--sheet", sheet)
    assert answer["score"] == [1, 1]
    assert answer["half_time"] == [1, 0]
    assert answer["periods"] == [[1, 0], [0, 1]]
    assert answer["shoot_out"] == [1, 0]
    assert answer["on_pitch"]["home"] == [1, 2, 3, 5, 6, 7, 8, 9, 10, 11]
    assert answer["on_pitch"]["away"] == [1, 2, 3, 4, 6, 7, 8, 9, 10, 11, 14]
    assert [(c["card"], c["side"], c["number"]) for c in answer["cards"]] == [
        ("yellow", "away", 5),
        ("red", "home", 4),
    ]
    assert answer["warnings"] == []


@pytest.mark.parametrize(
    ("at", "score", "minute"),
    [
        ("12", [0, 0], "12"),
        ("13", [1, 0], "13"),
        ("45+2", [1, 0], "45+2"),
        ("2:27:09", [1, 0], "73"),
        ("2:27:10", [1, 1], "73"),
    ],
)
def test_a_moment_of_a_log(files: tuple[str, str], at: str, score: list, minute: str) -> None:
    """A minute means its end, a clock reading the end of that second."""
    answer = asked("--log", files[0], "--at", at)
    assert (answer["score"], answer["minute"], answer["on_pitch"]) == (score, minute, None)


def test_logs_and_sheets_as_json(tie: Match, tmp_path: Path) -> None:
    """A log and a sheet in JSON are read as well; the warnings are the audit's."""
    log, sheet = tmp_path / "log.json", tmp_path / "sheet.json"
    tie.whistles()
    from setpiece.match.entries import Kind

    tie.log(Kind.GOAL, 960, exact=True, person="home 14")
    log.write_text(write_log_json(tie.entries), encoding="utf-8")
    sheet.write_text(write_sheet_json(tie.sheet), encoding="utf-8")
    answer = asked("--log", str(log), "--sheet", str(sheet))
    assert answer["score"] == [1, 0]
    assert "scored but is on the bench" in answer["warnings"][0]
    assert tie.fold().minute_of(tie.entries[-1]) == MinuteLabel(17)


def test_the_answer_in_words(files: tuple[str, str]) -> None:
    """Without --json the answer is lines to read, with what looks wrong marked."""
    log, sheet = files
    text = run("state", "--log", log, "--sheet", sheet).stdout
    assert "1–1  shoot-out" in text
    assert "half-time 1–0" in text
    assert "shoot-out 1–0" in text
    assert "on the pitch, home: 1 2 3 5 6 7 8 9 10 11 (10)" in text
    assert "80' red home 4" in text
    early = run("state", "--log", log, "--at", "30").stdout
    assert early.splitlines()[0] == "1–0  first half, 30'"


def test_an_empty_log(tmp_path: Path) -> None:
    """A log with a heading alone is a match that has not begun."""
    log = tmp_path / "log.csv"
    log.write_text("kind,minute\n", encoding="utf-8")
    assert asked("--log", str(log))["phase"] == "before kick-off"


def test_shortened_halves(tmp_path: Path) -> None:
    """Halves of 35 minutes are told with --half."""
    log = tmp_path / "log.csv"
    log.write_text("kind,minute,side,shirt\ngoal,35+1,home,9\ngoal,36,away,9\n", encoding="utf-8")
    assert asked("--log", str(log), "--half", "35")["periods"] == [[1, 0], [0, 1]]


def test_what_cannot_be_read_is_told(files: tuple[str, str]) -> None:
    """A missing file and a moment that is none are errors for the photographer."""
    with pytest.raises(NotFound):
        run("state", "--log", "nowhere.csv")
    for at in ("soon", "9:10:00", "2:10"):
        with pytest.raises(WrongUse):
            run("state", "--log", files[0], "--at", at)


def test_minutes_both_ways() -> None:
    """A period's clock gives the printed minute, a minute its period and clock."""
    assert run("minute", "--period", "2", "--elapsed", "27:10").stdout == "73\n"
    assert run("minute", "--label", "45+2").stdout == "period 1, 46:00 to 46:59\n"
    assert run("minute", "--label", "92", "--period", "2").stdout == "period 2, 46:00 to 46:59\n"
    answer = json.loads(run("minute", "--label", "73", "--json").stdout)
    assert answer == {
        "minute": "73", "period": 2, "from_s": 1620.0, "until_s": 1680.0,
        "clock": "27:00 to 27:59",
    }  # fmt: skip


@pytest.mark.parametrize(
    "words", [[], ["--elapsed", "27:10"], ["--label", "73", "--elapsed", "27:10", "--period", "2"]]
)
def test_half_a_question_is_refused(words: list[str]) -> None:
    """`minute` is asked with a period and its clock, or with a label."""
    with pytest.raises(WrongUse):
        run("minute", *words)
