"""The plan of the day on one page."""

from __future__ import annotations

import re
import subprocess
import tomllib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from setpiece.match.fixture import Fixture
from setpiece.match.instants import read_instant
from setpiece.plan.answers.sheet import sheet_answer
from setpiece.plan.caution import CAUTIONS
from setpiece.plan.day import Contact
from setpiece.plan.ground import Ground
from setpiece.plan.light import match_day
from setpiece.plan.optics import Lens
from setpiece.plan.sheet import DaySheet
from setpiece.plan.sheet_page import sheet_html
from setpiece.plan.tables import ground_from
from setpiece.plan.templates import template

DEMO = Path(__file__).parents[2] / "src/setpiece/work/demo/ground.toml"
GROUND = ground_from(tomllib.loads(DEMO.read_text(encoding="utf-8")))
KICK_OFF = read_instant("2027-03-06T14:30:00Z")
SHEET = DaySheet(
    Fixture(
        "f",
        "SK Lethenbruck",
        "TSV Marnstein",
        "Women's Lantern Cup",
        KICK_OFF,
        "Europe/Vienna",
        stage="semi-final",
        venue="Stadion an der Leth",
        city="Lethenbruck",
    ),
    GROUND,
    GROUND.seats,
    (Lens(400, 400), Lens(70, 200), Lens(24, 70, 4)),
    template("final"),
    travel_min=75,
    contacts=(Contact("Media office", "ground", "+43 1 000"),),
    light=match_day(GROUND, KICK_OFF, ZoneInfo("Europe/Vienna")),
)


def test_the_page_holds_everything_for_the_pocket() -> None:
    """Fixture, drawing, times, light, penalty, exposure, bag, contacts, shots, cautions."""
    page = sheet_html(SHEET)
    for words in (
        "SK Lethenbruck v TSV Marnstein",
        "Saturday, 6 March 2027, kick-off 15:30 CET",
        "From seat A, West End, left",
        "Team sheets",
        "Sunset 17:51",
        "400 mm portrait",
        "floodlights 820 lx",
        "head torch",
        "Media office, ground: +43 1 000",
        "3 × Duels: faces and ball (each side)",
    ):
        assert words in page
    for caution in CAUTIONS:
        assert caution.source.split(",")[0] in page


def test_the_page_loads_nothing() -> None:
    """No address of anything outside stands in it."""
    page = sheet_html(SHEET)
    assert not re.findall(r'(?:src|href)="', page)
    assert "@import" not in page


def test_a_bare_sheet_leaves_out_what_is_not_known() -> None:
    """Without a place no light, without floodlights no ISO, without contacts nobody to ring."""
    bare = replace(
        SHEET, ground=Ground(), seats=(GROUND.seats[0],), light=None, contacts=(), shots=()
    )
    page = sheet_html(bare)
    for heading in ("Light", "ISO wide open", "Ring"):
        assert f"<h2>{heading}" not in page
    assert "head torch" not in page


def test_names_never_become_markup() -> None:
    """What is typed is printed as it is."""
    hostile = replace(SHEET, contacts=(Contact("<script>x</script>", "a", "b"),))
    assert "<script" not in sheet_html(hostile)


def test_in_the_dark_the_page_says_so() -> None:
    """Lenses too slow for the light get a word, not a number."""
    dim = replace(SHEET, ground=replace(GROUND, floodlight_lx=5))
    assert "too dark" in sheet_html(dim)


def test_the_answer_holds_the_same_lists() -> None:
    """Times, bag and shots as values, with instants in UTC and the ground's clock."""
    answer = sheet_answer(SHEET)
    assert answer["kick_off"] == "2027-03-06T14:30:00.0Z"
    assert answer["times"][0] == {
        "at": "2027-03-06T10:45:00.0Z",
        "clock": "11:45",
        "what": "Set out",
        "lasts_min": 75,
    }
    assert set(answer["bag"]) == {"Pictures", "Desk", "Person"}
    assert len(answer["shots"]) == len(template("final"))


@pytest.mark.browser
def test_the_longest_sheet_prints_on_one_page(
    need_tool: Callable[[str], str], tmp_path: Path
) -> None:
    """The sheet with the longest shot list is one sheet of A4 when printed."""
    page, paper = tmp_path / "plan.html", tmp_path / "plan.pdf"
    page.write_text(sheet_html(SHEET), encoding="utf-8")
    subprocess.run(
        [
            need_tool("chromium"),
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-pdf-header-footer",
            f"--user-data-dir={tmp_path / 'profile'}",
            f"--print-to-pdf={paper}",
            page.as_uri(),
        ],
        check=True,
        capture_output=True,
        timeout=120,
    )
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", paper.read_bytes())) == 1
