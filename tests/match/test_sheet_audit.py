"""The team sheet held against itself."""

from __future__ import annotations

from dataclasses import replace
from math import dist
from typing import TYPE_CHECKING

import pytest

from setpiece.match.fixture import Rules
from setpiece.match.people import Kit, Person, PersonId, Role, Side, TeamSheet
from setpiece.match.sheet_audit import audit_sheet, colour_distance

if TYPE_CHECKING:
    from conftest import Match


def about(sheet: TeamSheet, rules: Rules | None = None) -> list[str]:
    """What the remarks are about."""
    return [r.about for r in audit_sheet(sheet, rules)]


def changed(sheet: TeamSheet, whose: int, **fields: object) -> TeamSheet:
    """The sheet with a home player changed."""
    people = tuple(
        replace(p, **fields) if p.side is Side.HOME and p.number == whose else p  # type: ignore[arg-type]
        for p in sheet.people
    )
    return replace(sheet, people=people)


def test_a_good_sheet_draws_no_remark(tie: Match) -> None:
    """Eleven of each side, a goalkeeper, a captain, kits apart: nothing to say."""
    assert about(tie.sheet) == []


@pytest.mark.parametrize(
    ("number", "fields", "remark"),
    [
        (9, {"number": 8}, "number twice"),
        (9, {"number": None}, "no number"),
        (14, {"earlier_number": 9}, "number corrected"),
        (1, {"role": Role.PLAYER}, "no goalkeeper"),
        (2, {"role": Role.GOALKEEPER}, "two goalkeepers"),
        (9, {"starts": False}, "wrong count"),
        (9, {"captain": True}, "captain"),
        (5, {"captain": False}, "captain"),
        (9, {"printed_name": "Ada Hólm"}, "same name"),
        (9, {"printed_name": "Inеs Holm"}, "letters of another script"),
        (9, {"id": PersonId("home-8")}, "identifier twice"),
        (14, {"side": None}, "no side"),
    ],
)
def test_what_could_put_a_wrong_name_into_a_caption(
    tie: Match, number: int, fields: dict, remark: str
) -> None:
    """Each defect of a sheet draws its remark."""
    assert remark in about(changed(tie.sheet, number, **fields))


def test_a_lookalike_letter_is_named(tie: Match) -> None:
    """A Cyrillic letter in a Latin name is said by its Unicode name; a Cyrillic name is not."""
    sheet = changed(tie.sheet, 9, printed_name="Inеs Мария O'Dea-2")
    (remark,) = [r for r in audit_sheet(sheet) if r.about == "letters of another script"]
    assert "cyrillic small letter ie" in remark.says
    assert remark.people == (PersonId("home-9"),)


def test_a_corrected_number_that_nobody_else_has_is_fine(tie: Match) -> None:
    """Both numbers are kept; only a number that is now another's misleads."""
    assert about(changed(tie.sheet, 14, earlier_number=41)) == []


def test_a_side_without_players(tie: Match) -> None:
    """A side that is missing altogether is one remark."""
    sheet = replace(tie.sheet, people=tuple(p for p in tie.sheet.people if p.side is Side.HOME))
    assert about(sheet) == ["wrong count"]


def test_smaller_sides_are_the_competitions_setting(tie: Match) -> None:
    """Nine-a-side rules make eleven the wrong count."""
    assert about(tie.sheet, Rules(players=9)) == ["wrong count", "wrong count"]


def _kits(sheet: TeamSheet, home: tuple[Kit, ...], officials: tuple[Kit, ...] = ()) -> TeamSheet:
    return replace(sheet, home=replace(sheet.home, kits=home), officials_kits=officials)


def test_kits_that_cannot_be_told_apart(tie: Match) -> None:
    """White against off-white, a letter used twice, and a goalkeeper like the referee."""
    white = Kit("x", "cream", "#f0f0f0")
    assert about(_kits(tie.sheet, (white,))) == ["kits alike"]
    assert about(_kits(tie.sheet, (Kit("w", "red", "#b5382a"),))) == ["letter twice"]
    keeper = Kit("g", "green", "#107030", goalkeeper=True)
    red = tie.sheet.home.kits[0]
    assert about(_kits(tie.sheet, (red, keeper), (Kit("o", "green", "#0f7232"),))) == ["kits alike"]
    second = Kit("s", "scarlet", "#b53020")
    assert about(_kits(tie.sheet, (red, second))) == []
    assert about(_kits(tie.sheet, (Kit("x", "cream", "white"),))) == []


def test_colour_distance() -> None:
    """Black and white are 100 apart, a colour is 0 from itself, a bad colour has no distance."""
    assert colour_distance("#000000", "#ffffff") == pytest.approx(100, abs=0.1)
    assert colour_distance("#b5382a", "#B5382A") == 0
    assert colour_distance("#b5382a", "red") is None
    assert colour_distance("#zzzzzz", "#000000") is None


@pytest.mark.parametrize(
    ("colour", "lab"),
    [
        ("#ff0000", (53.24, 80.09, 67.20)),
        ("#00ff00", (87.73, -86.18, 83.18)),
        ("#0000ff", (32.30, 79.19, -107.86)),
        ("#808080", (53.59, 0.0, 0.0)),
        ("#0a0a0a", (2.74, 0.0, 0.0)),
    ],
)
def test_colours_have_the_coordinates_of_cielab(
    colour: str, lab: tuple[float, float, float]
) -> None:
    """The primaries of sRGB, a grey and a near black are as far from black and white as they are.

    L*, a*, b* of sRGB colours under D65: common tables (from memory); the last by hand:
    903.3 * (10/255/12.92) = 2.74.
    """
    lightness, a, b = lab
    assert colour_distance(colour, "#000000") == pytest.approx(dist(lab, (0, 0, 0)), abs=0.05)
    white = dist((lightness - 100, a, b), (0, 0, 0))
    assert colour_distance(colour, "#ffffff") == pytest.approx(white, abs=0.05)


def test_a_sheet_without_people() -> None:
    """An empty sheet is two remarks, one for each side."""
    from setpiece.match.people import SidePeople

    empty = TeamSheet(SidePeople("A", "A"), SidePeople("B", "B"))
    assert about(empty) == ["wrong count", "wrong count"]
    stray = replace(empty, people=(Person(PersonId("x"), "Ann"),))
    assert "no side" in about(stray)
