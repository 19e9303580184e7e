"""A whole match by keyboard alone: from the fixture to the receipts, and a fact put right.

With SETPIECE_STORY=FOLDER it leaves its screenshots there; `make screens` draws docs/screens so.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
import small_match
from keyboard import Keyboard
from served import Page, serve

from setpiece.match.instants import instant
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.store.forms import to_json
from setpiece.store.outbox import StoredDesk, save_desk
from setpiece.store.workspace import Workspace
from setpiece.work.demo.exif import with_exif
from setpiece.work.settings import Settings, write_settings

pytestmark = pytest.mark.browser

SHEET = "\n".join(
    ["Eastmere Rovers Women"]
    + [f"{n} {name} {place}" for n, name, place in small_match.HOME_NAMES[:11]]
    + ["Substitutes", "14 Pia Hollenstedt MF", "Head coach: Marta Quillfeather", "Calder Haven"]
    + [f"{n} {name} {place}" for n, name, place in small_match.AWAY_NAMES[:11]]
    + ["Substitutes", "17 Ada Wintersloe FW", "Manager: Joan Brackenridge"]
)

CAPTIONS = (
    "9r heads", "9r celebrates", "9r celebrates with 11r right", "11r celebrates",
    "4r reacts", "9b celebrates", "5b tackles 9r", "9b reacts", "10b reacts", "1g saves",
    "9r shoots", "r supporters celebrate",
)  # fmt: skip
"""Twelve captions, one a passage."""

WRONG = "9r celebrates quote making it 2-0 unquote"
"""What is typed first for `9r celebrates`; the check finds that it was 1-0."""

ASKED_FOR = "4r reacts"
"""The one that is not in the set, until a desk asks for it."""


HAS_KIT = "l => [...document.querySelectorAll('.kits kbd')].some(k => k.textContent === l)"
NO_OWN_GOAL = (
    "![...document.querySelectorAll('.say')].some(s => s.textContent.includes('Own goal'))"
)


def card(folder: Path) -> Path:
    """A card with a passage of two frames every other minute, as a camera writes them."""
    place = folder / "DCIM" / "100STORY"
    place.mkdir(parents=True)
    for number in range(len(CAPTIONS) * 2):
        when = small_match.at(1, 2 * (number // 2) + 2.5) + timedelta(seconds=number % 2)
        shot = small_match.Shot(instant(when), blur_px=number % 2)
        picture = small_match.drawn(shot, 960, number)
        stamp = f"{when + timedelta(hours=1):%Y:%m:%d %H:%M:%S}"
        tags = {
            "Exif.Image.Make": "Nordlys",
            "Exif.Image.Model": "Mark II",
            "Exif.Photo.BodySerialNumber": "7765",
            "Exif.Photo.DateTimeOriginal": stamp,
            "Exif.Photo.SubSecTimeOriginal": "00",
            "Exif.Photo.OffsetTimeOriginal": "+01:00",
        }
        thumb = small_match.jpeg(picture[::6, ::6])
        data = with_exif(small_match.jpeg(picture), tags, thumb)
        (place / f"NOR_{number + 1:04d}.JPG").write_bytes(data)
    return folder


@pytest.fixture
def desk_folder(tmp_path: Path) -> Path:
    """Where the desk receives: a folder of this computer."""
    folder = tmp_path / "desk"
    folder.mkdir()
    return folder


@pytest.fixture
def empty(tmp_path: Path, desk_folder: Path) -> Iterator[Page]:
    """The page over a workspace with a desk and nothing else."""
    folder = tmp_path / "workspace"
    space = Workspace.create(folder)
    address = DeskAddress(Protocol.FOLDER, path=desk_folder)
    save_desk(space, StoredDesk("north", to_json(address), "north"), small_match.LATER)
    write_settings(space, Settings("Ida Fenwright"))
    yield from serve(small_match.Made(folder, None, ()))


class Photographer(Keyboard):
    """A photographer at the served page who never touches the mouse."""

    def __init__(self, browser, page: Page) -> None:
        super().__init__(browser)
        self.served = page

    def picture(self, name: str) -> None:
        """A screenshot of the story, where a folder for them is named."""
        if folder := os.environ.get("SETPIECE_STORY"):
            self.tab.wait_for_timeout(500)
            self.tab.screenshot(path=Path(folder) / f"story-{name}.png")

    def log(self, minute: float, text: str) -> None:
        """Logs something at that minute of the first half."""
        self.served.now[0] = small_match.at(1, minute)
        self.line(text)


def test_a_whole_match_by_keyboard_alone(
    chromium, empty: Page, desk_folder: Path, tmp_path: Path
) -> None:
    """Fixture, sheet, log, card, twelve captions, a finding, a request, receipts, a correction."""
    empty.now[0] = small_match.at(1, -60)
    hand = Photographer(chromium, empty)
    hand.tab.goto(empty.address)

    hand.tab_to("/fixtures/new")
    hand.press("Enter")
    hand.tab.wait_for_selector("form[data-send]")
    hand.fill(
        home="Eastmere Rovers Women", away="Calder Haven", competition="Vale Cup",
        stage="semi-final", kick_off="2027-03-06 15:00", zone="Europe/Berlin",
        venue="Fennel Lane", city="Eastmere", country="Valeland", country_code="VAL",
    )  # fmt: skip
    hand.press("Enter")
    hand.tab.wait_for_selector(".before")

    hand.tab_to("paste")
    hand.type(SHEET)
    hand.tab_to("Read the sheet")
    hand.press("Enter")
    hand.until("document.querySelectorAll('.sides li').length === 26")
    hand.picture("1-sheet")
    for wearer, letter, colour, keeper in (
        ("home", "r", "red", False), ("home", "g", "green", True),
        ("away", "b", "blue", False), ("away", "y", "yellow", True),
    ):  # fmt: skip
        hand.tab.evaluate("document.querySelector('main').focus()")
        if not keeper:
            for _ in range(2 if wearer == "away" else 1):
                hand.tab_to("Another kit")
            hand.press("Enter")
        elif wearer == "away":
            hand.tab_to("letter")
        hand.fill(letter=letter, colour=colour)
        if keeper:
            hand.tab_to("goalkeeper")
            hand.press("Space")
        hand.tab_to("Keep")
        hand.press("Enter")
        hand.until(HAS_KIT, letter)

    hand.tab.evaluate("document.querySelector('main').focus()")
    hand.tab.goto(hand.tab.url.replace("/before", ""))
    hand.tab.wait_for_selector("#line")
    hand.log(0, "whistle")
    hand.log(3.1, "goal 9r header")
    hand.log(13.2, "goal 4r own goal")
    hand.log(17, "yellow 5b")
    hand.until("document.querySelector('.goals').textContent === '1–1'")

    empty.now[0] = small_match.at(1, 30)
    hand.line(f"take {card(tmp_path / 'card')}")
    hand.said("24 files taken in.")
    hand.until("document.querySelectorAll('[data-passage]').length === 12")
    hand.press("ArrowDown")
    hand.tab.wait_for_selector("[data-opened]")
    for text in reversed(CAPTIONS):
        if text == "9r celebrates":
            corrected_after_the_check(hand)
        hand.line(text)
        hand.tab.wait_for_selector(".capt h3")
        hand.until("t => document.querySelector('.capt .typed kbd')?.textContent === t", text)
        if text != ASKED_FOR:
            hand.press("F2")
            hand.tab.wait_for_selector(".pic.use")
        frame = hand.tab.get_attribute("[data-opened]", "data-opened")
        if text != CAPTIONS[0]:
            hand.press("ArrowDown")
            hand.until("f => document.querySelector('[data-opened]')?.dataset.opened !== f", frame)

    hand.line("send")
    hand.said("11 pictures delivered.")
    hand.picture("3-delivered")
    hand.line("ask north 4r")
    hand.until("document.querySelector('.part.asks')?.textContent.includes('fit')")
    hand.picture("4-asked")
    hand.line("answer")
    hand.said("1 picture delivered.")
    hand.until("!document.querySelector('.part.asks')")
    assert len(list(desk_folder.rglob("*.jpg"))) == 12
    hand.until("document.querySelector('.part.sent h2').textContent.includes('12')")

    hand.line("correct 3 goal 9b")
    hand.until(NO_OWN_GOAL)
    hand.until("/Goal\\. Ngozi Adembe/.test(document.querySelector('main').innerText)")
    hand.until("document.querySelector('.part.put-right')?.textContent.includes('send correc')")
    hand.picture("5-wrong-at-the-desk")
    hand.line("send corrections")
    hand.said("1 correction queued.")
    hand.said("1 picture delivered.")
    hand.until("!document.querySelector('.part.put-right')?.textContent.includes('send correc')")
    assert len(list(desk_folder.rglob("*.jpg"))) == 13
    hand.picture("6-corrected")
    assert hand.trouble == []
    hand.context.close()


def corrected_after_the_check(hand: Photographer) -> None:
    """A wrong score is found by the check, stands in the margin, and goes with the next line."""
    wrong = "document.querySelector('.checks .wrong')?.textContent"
    listed = "document.querySelector('.part.put-right')?.textContent"
    hand.line(WRONG)
    hand.until(f"{wrong}?.includes('The log gives 1–0 here')")
    hand.until(f"{listed}?.includes('The log gives 1–0 here')")
    hand.picture("2-check")
    hand.line("9r celebrates")
    hand.until(f"!{wrong} && !{listed}?.includes('The log gives 1–0 here')")
