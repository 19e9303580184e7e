"""The papers before the match: fixture, team sheet, kits."""

from __future__ import annotations

import re

import pytest

from setpiece.match.people import Side
from setpiece.store.matches import find_match, newest_sheet
from setpiece.store.workspace import Workspace

FIXTURE = {
    "home": "Wend Athletic",
    "away": "Calder Haven",
    "competition": "Vale Cup",
    "kick_off": "2027-04-03 15:30",
    "zone": "Europe/Vienna",
    "venue": "Mill Bank",
}

SHEET = """Wend Athletic
1 Ada Millrace (gk)
9 Cleo Fairweather (c)
Calder Haven
1 Delphine Roquefeuil (gk)
9 Ngozi Adembe
~~ nobody can read this ~~"""


def sheet_of(page):
    """The sheet of the page's match as it holds now."""
    return newest_sheet(Workspace.open(page.made.folder), page.made.match)


def test_a_fixture_is_made_and_shown(own_page) -> None:
    """A fixture typed into the form is in the workspace, with its local time as an instant."""
    answer = own_page.post("/fixtures", FIXTURE)
    folder = answer.value["go"].split("/")[2]
    made = find_match(Workspace.open(own_page.made.folder), folder)
    assert made.fixture is not None
    assert made.fixture.kick_off.isoformat() == "2027-04-03T13:30:00+00:00"
    assert "Mill Bank" in own_page.ask(answer.value["go"]).text


@pytest.mark.parametrize(
    ("field", "value", "told"),
    [
        ("home", " ", "must be filled in"),
        ("kick_off", "tomorrow", "not understood"),
        ("zone", "Mars/Base", "not understood"),
        ("country_code", "XY", "three letters"),
    ],
)
def test_a_form_that_is_wrong_says_what(own_page, field: str, value: str, told: str) -> None:
    """What cannot be a fixture is refused with a sentence, and none is made."""
    answer = own_page.post("/fixtures", FIXTURE | {field: value})
    assert answer.status == 422
    assert told in answer.value["wrong"]
    assert "Wend" not in own_page.ask("/").text


def test_a_correction_of_the_fixture_keeps_its_rules_and_place(own_page) -> None:
    """Facts of the fixture are corrected; the folder and the competition's rules stay."""
    before = find_match(Workspace.open(own_page.made.folder), own_page.made.match.folder)
    answer = own_page.post(f"{own_page.match}/fixture", FIXTURE)
    assert answer.status == 200
    after = find_match(Workspace.open(own_page.made.folder), own_page.made.match.folder)
    assert after.fixture is not None
    assert before.fixture is not None
    assert after.fixture.venue == "Mill Bank"
    assert (after.folder, after.fixture.rules) == (before.folder, before.fixture.rules)
    assert after.fixture.id == before.fixture.id


def test_a_pasted_sheet_is_read_and_what_is_not_is_said(own_page) -> None:
    """Pasted lines become the sheet; a line that is not understood is handed back."""
    made = own_page.post("/fixtures", FIXTURE).value["go"].removesuffix("/before")
    answer = own_page.post(f"{made}/sheet", {"text": SHEET})
    assert answer.status == 200
    assert "nobody can read this" in answer.value["said"]
    text = own_page.ask(f"{made}/before").text
    assert "Cleo Fairweather" in text
    assert "Ngozi Adembe" in text


def test_a_row_is_corrected_in_place(own_page) -> None:
    """A corrected name and number are in the next sheet; the person stays the same one."""
    form = {"id": "home-9", "name": "Freya Østmark", "number": "19", "starts": "on",
            "pronouns": "she", "position": "FW", "role": "player"}  # fmt: skip
    assert own_page.post(f"{own_page.match}/person", form).status == 200
    person = sheet_of(own_page).person("home-9")
    assert (person.printed_name, person.number, person.earlier_number) == ("Freya Østmark", 19, 9)
    assert not person.captain
    assert "Freya Østmark" in own_page.ask(own_page.match).text


def test_a_person_who_is_not_there_is_not_made(own_page) -> None:
    """A correction of nobody on the sheet is refused, and so is a number that is none."""
    nobody = {"id": "home-99", "name": "Nobody"}
    assert own_page.post(f"{own_page.match}/person", nobody).status == 422
    wrong = {"id": "home-9", "name": "Freya Ostmark", "number": "nine"}
    assert own_page.post(f"{own_page.match}/person", wrong).status == 422
    assert sheet_of(own_page).person("home-9").number == 9


def test_remarks_stand_at_their_row(own_page) -> None:
    """Two shirts with one number are remarked at the rows of both."""
    form = {"id": "home-11", "name": "Maud Ostmark", "number": "9", "starts": "on"}
    own_page.post(f"{own_page.match}/person", form)
    text = own_page.ask(f"{own_page.match}/before").text
    rows = re.findall(r"<summary>.*?</summary>", text, re.DOTALL)
    told = [r for r in rows if "remark" in r]
    assert any("Maud Ostmark" in r for r in told)
    assert any("Freya Ostmark" in r for r in told)
    assert not any("Orla Tannahay" in r for r in told)


def test_a_kit_is_added_and_its_letter_kept_apart(own_page) -> None:
    """A new kit is on the sheet; a letter that the other side has is refused."""
    kit = {"wearer": "away", "letter": "W", "colour": "white", "shown": "#f0f0f0"}
    assert own_page.post(f"{own_page.match}/kit", kit).status == 200
    kits = sheet_of(own_page).side(Side.AWAY).kits
    assert ("w", "white", "#f0f0f0") in [(k.letter, k.colour, k.hex_colour) for k in kits]
    taken = own_page.post(f"{own_page.match}/kit", kit | {"wearer": "home"})
    assert taken.status == 422
    assert "another kit has that letter" in taken.value["wrong"]


def test_the_clock_card_is_served_without_anything_inline(page) -> None:
    """The clock card is one page whose style and script come from the server."""
    text = page.ask("/clock-card").text
    assert "<style" not in text
    assert '<script type="module" src=' in text
    assert page.ask("/clock-card/card.js").headers["content-type"].startswith("text/javascript")
    assert page.ask("/clock-card/card.css").status == 200
    assert page.ask("/clock-card/code.js").status == 404
