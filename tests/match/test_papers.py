"""docs/match-log.md and docs/formats.md say what the code does."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from setpiece.match.audit import audit
from setpiece.match.entries import Entry, Kind
from setpiece.match.exchange import (
    read_log_csv,
    read_log_json,
    read_sheet_csv,
    read_sheet_json,
    read_sheet_text,
)
from setpiece.match.fold import Fold
from setpiece.match.log_exchange import COLUMNS
from setpiece.match.people import Role, Side
from setpiece.match.sheet_exchange import COLUMNS as SHEET_COLUMNS
from setpiece.match.typed import read_line

if TYPE_CHECKING:
    from conftest import Match

DOCS = Path(__file__).resolve().parents[2] / "docs"
LOG = (DOCS / "match-log.md").read_text(encoding="utf-8")
FORMATS = (DOCS / "formats.md").read_text(encoding="utf-8")
ROWS = re.findall(r"^\| ([a-z -]+) \| .* \| (.+?) \| (?:`(.*?)`|\(.*\)) \|$", LOG, re.MULTILINE)
HEADING = ",".join(COLUMNS) + "\n"


def blocks(language: str) -> list[str]:
    """The examples of docs/formats.md in that language."""
    return re.findall(rf"```{language}\n(.*?)```", FORMATS, re.DOTALL)


def test_every_kind_is_explained() -> None:
    """Each kind of entry has its line in docs/match-log.md and its word in docs/formats.md."""
    assert [word for word, _, _ in ROWS] == [*dict.fromkeys(word for word, _, _ in ROWS)]
    assert {word for word, _, _ in ROWS} == {kind.value for kind in Kind}
    for kind in Kind:
        assert kind is Kind.WITHDRAWN or f"`{kind.value}`" in FORMATS


@pytest.mark.parametrize("row", [r for r in ROWS if r[2]], ids=lambda r: r[0])
def test_every_row_of_a_csv_is_read(tie: Match, row: tuple[str, str, str]) -> None:
    """The CSV row of a kind is read as that kind."""
    (entry,) = read_log_csv(HEADING + row[2], tie.sheet, typed=tie.at(0))
    assert entry.kind.value == row[0]


@pytest.mark.parametrize("row", [r for r in ROWS if "log add" not in r[1]], ids=lambda r: r[0])
def test_every_typed_line_is_read(tie: Match, row: tuple[str, str, str]) -> None:
    """The typed line of a kind is read as that kind."""
    state = (
        tie.fold().last()
        if row[0] == "kick-off"
        else tie.whistles(until=1).fold().state_at(tie.at(100))
    )
    for line in re.findall(r"`(.*?)`", row[1]):
        entry: Entry = read_line(line, tie.sheet, state, tie.at(0))
        assert entry.kind.value == row[0]


def test_the_examples_of_the_formats_are_read(tie: Match) -> None:
    """Each example in docs/formats.md is read, and the log of it draws no remark but on people."""
    log, sheet = blocks("csv")
    entries = read_log_csv(log, tie.sheet, typed=tie.at(0))
    fold = Fold(tie.fixture, tie.sheet, entries)
    assert str(fold.last().score) == "2–0"
    assert str(fold.last().shoot_out) == "1–0"
    assert audit(fold) == ()
    assert [p.captain for p in read_sheet_csv(sheet).people] == [False, True, False]
    match_log, team_sheet = blocks("json")
    assert read_log_json(match_log)[2].supersedes == 2
    assert read_sheet_json(team_sheet).people[0].number == 9
    (pasted,) = blocks("text")
    found = read_sheet_text(pasted)
    assert found.not_understood == ()
    assert [p.number for p in found.sheet.players(Side.AWAY)] == [1, 9, 12]


def test_every_column_is_explained() -> None:
    """Each column of the CSV forms and each role stands in docs/formats.md."""
    for column in (*COLUMNS, *SHEET_COLUMNS):
        assert f"`{column}`" in FORMATS
    for role in Role:
        assert role.value in FORMATS
