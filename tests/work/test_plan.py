"""The plan of a match in its workspace: ground, seats, and the page for the pocket."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import icalendar
import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from setpiece.cli.plan import app
from setpiece.errors import NotFound, WrongUse
from setpiece.match.instants import Instant
from setpiece.plan.ground import Ground
from setpiece.plan.templates import template
from setpiece.store.matches import Match, add_fixture, match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.before.plan import (
    FIRST_SEAT,
    GROUND,
    day_sheet,
    ground_of,
    read_ground,
    seats_of,
)
from setpiece.work.before.plan_pdf import sheet_pdf
from setpiece.work.before.wants import choices_of
from setpiece.work.demo import scenario
from setpiece.work.demo.planning import demo_ground_text, plan_the_demo
from setpiece.work.job import Unattended
from setpiece.work.matchday import Matchday


@pytest.fixture
def planned(space: Workspace, played: Match, now: Instant) -> Match:
    """The demo's match as its photographer planned it."""
    plan_the_demo(space, played, Unattended(now))
    return played


def test_a_match_without_a_file_has_a_pitch_at_its_place(space: Workspace, played: Match) -> None:
    """The usual pitch, at the fixture's place and zone; one seat to begin with."""
    ground = ground_of(space, played)
    assert ground.pitch == Ground().pitch
    assert (ground.latitude_deg, ground.time_zone) == (47.21, "Europe/Vienna")
    assert seats_of(ground, choices_of(space, played)) == (FIRST_SEAT,)


def test_the_matchs_own_ground_is_taken(space: Workspace, planned: Match) -> None:
    """The file in the match's folder is its ground, with its seats."""
    ground = ground_of(space, planned)
    assert len(ground.stands) == 4
    assert seats_of(ground, choices_of(space, planned)) == ground.seats


def test_a_ground_that_cannot_be_read_is_said(tmp_path: Path) -> None:
    """A missing file and a broken one each have their sentence."""
    with pytest.raises(NotFound):
        read_ground(tmp_path / "none.toml")
    broken = tmp_path / "ground.toml"
    broken.write_text("name = ", "utf-8")
    with pytest.raises(WrongUse, match="cannot be understood"):
        read_ground(broken)


def test_the_page_for_the_pocket_is_one_sheet_of_paper(space: Workspace, planned: Match) -> None:
    """The PDF has one page with fixture, times, wants, shots and cautions; twice it is the same."""
    day = Matchday(space, planned)
    sheet = day_sheet(day, ground_of(space, planned))
    made = sheet_pdf(sheet)
    paper = PdfReader(BytesIO(made))
    assert len(paper.pages) == 1
    text = " ".join(paper.pages[0].extract_text().split())
    for words in (
        "SK Lethenbruck v TSV Marnstein",
        "15:30",
        "Signe Ørbeck (programme cover)",
        "The scoreboard with the score",
        "Penalty at 28 m/s",
        "Media office, at the ground: +43 3100 550",
        "The ground's own media rules come first",
    ):
        assert words in text
    assert sheet_pdf(sheet) == made


def test_the_longest_list_still_fits_one_page(space: Workspace, planned: Match) -> None:
    """With a final's list twice over the type shrinks and the page stays one."""
    day = Matchday(space, planned)
    sheet = day_sheet(day, ground_of(space, planned))
    crowded = replace(sheet, shots=template("final") * 2)
    assert len(PdfReader(BytesIO(sheet_pdf(crowded))).pages) == 1


def test_one_command_makes_page_paper_and_calendar(space: Workspace, planned: Match) -> None:
    """`plan sheet` in the workspace writes all three into the match's folder."""
    shown = CliRunner().invoke(
        app, ["sheet", "--workspace", str(space.folder)], catch_exceptions=False
    )
    assert shown.exit_code == 0
    folder = match_folder(space, planned) / "plan"
    assert "Signe Ørbeck (programme cover)" in (folder / "plan.html").read_text("utf-8")
    assert (folder / "plan.pdf").read_bytes().startswith(b"%PDF-")
    calendar = icalendar.Calendar.from_ical((folder / "plan.ics").read_bytes())
    events = {str(e["SUMMARY"]): e for e in calendar.walk("VEVENT")}
    kick_off = events["Kick-off: SK Lethenbruck v TSV Marnstein"]
    assert kick_off["DTSTART"].dt == scenario.fixture().kick_off
    assert (events["Set out"]["DTEND"].dt - events["Set out"]["DTSTART"].dt).seconds == 75 * 60
    sheets = events["Team sheets: type them in, read them back"]
    assert (kick_off["DTSTART"].dt - sheets["DTSTART"].dt).seconds == 3600


def test_commands_take_the_matchs_ground(space: Workspace, planned: Match) -> None:
    """Seat, light and exposure need nothing typed in the workspace."""
    for command, says in (
        (["seat"], "West End, left"),
        (["light"], "side-lit"),
        (["exposure"], "400/2.8"),
        (["penalty", "--focal", "200", "--seat", "River side"], "West End"),
    ):
        words = [*command, "--workspace", str(space.folder)]
        shown = CliRunner().invoke(app, words, catch_exceptions=False, env={"COLUMNS": "200"})
        assert says in shown.stdout, command


def test_of_several_matches_the_planned_one_is_taken(
    space: Workspace, planned: Match, now: Instant
) -> None:
    """The one that has a ground; where two have one, or none, the match must be named."""
    other = add_fixture(space, replace(scenario.fixture(), home="FC Wiesenau"), now)
    words = ["seat", "--workspace", str(space.folder)]
    taken = CliRunner().invoke(app, words, catch_exceptions=False)
    assert "West End, left" in taken.stdout
    named = CliRunner().invoke(app, [*words, "--match", "wiesenau"], catch_exceptions=False)
    assert FIRST_SEAT.name in named.stdout
    (match_folder(space, other) / GROUND).write_text(demo_ground_text(), "utf-8")
    assert "more than one match fits" in str(CliRunner().invoke(app, words).exception)
    typed = CliRunner().invoke(app, [*words, "--ground", str(match_folder(space, other) / GROUND)])
    assert typed.exit_code == 0


def test_nothing_to_plan_is_said() -> None:
    """Without a match, and half of one typed, the sheet says what it needs."""
    for words in (["sheet"], ["sheet", "--home", "A"]):
        shown = CliRunner().invoke(app, words)
        assert "Give --" in str(shown.exception)
