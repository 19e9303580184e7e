"""The plan in a real browser: a seat dragged, moved by keys, kept; who cannot see it; on paper."""

from __future__ import annotations

import re
from collections.abc import Iterator
from io import BytesIO

import pytest
from pypdf import PdfReader

from setpiece.plan.camera import Seat
from setpiece.plan.drawings.seat import seat_map
from setpiece.store.matches import match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.before.plan import GROUND, ground_of
from setpiece.work.before.wants import choices_of
from setpiece.work.demo.planning import demo_ground_text

pytestmark = pytest.mark.browser

WIDE, PHONE = {"width": 1440, "height": 900}, {"width": 390, "height": 844}


@pytest.fixture
def planned(own_page):
    """The page of a match that has the demo's ground."""
    space = Workspace.open(own_page.made.folder)
    (match_folder(space, own_page.made.match) / GROUND).write_text(demo_ground_text(), "utf-8")
    return own_page


@pytest.fixture
def tab(chromium, planned) -> Iterator:
    """The page before the match in a tab; every error in it fails the test."""
    context = chromium.new_context(viewport=WIDE)
    tab = context.new_page()
    tab.set_default_timeout(60_000)
    trouble: list[str] = []
    tab.on("pageerror", lambda error: trouble.append(str(error)))
    tab.goto(f"{planned.address}{planned.match}/before")
    yield tab
    context.close()
    assert trouble == []


def says(tab, text: str) -> None:
    """Waits until the drawing's own words hold that."""
    tab.locator("[data-plan-spot]", has_text=text).wait_for()


def kept(tab, planned, x_m: float, y_m: float) -> Seat:
    """The first seat as kept in the workspace, once it is there."""
    space = Workspace.open(planned.made.folder)
    for _ in range(1200):
        seats = choices_of(space, planned.made.match).seats
        if seats and (seats[0].x_m, seats[0].y_m) == (x_m, y_m):
            return seats[0]
        tab.wait_for_timeout(25)
    pytest.fail("the seat was never kept")


def place(tab, planned, seat: Seat) -> tuple[float, float]:
    """Where a seat is drawn, in the window's own pixels."""
    space = Workspace.open(planned.made.folder)
    ground = ground_of(space, planned.made.match)
    map_, _ = seat_map(ground, ground.seats)
    box = tab.locator("[data-plan-map] svg").bounding_box()
    scale = box["width"] / 480
    return box["x"] + map_.x(seat.x_m) * scale, box["y"] + map_.y(seat.y_m) * scale


def test_the_arrows_move_the_seat_and_it_is_kept(tab, planned) -> None:
    """Focused, the map moves the chosen seat half a metre a key; the form follows; it is kept."""
    tab.locator("[data-plan-map]").focus()
    for key in ("ArrowLeft", "ArrowLeft", "ArrowUp"):
        tab.keyboard.press(key)
    says(tab, "West End, left: -15, -4.5 m")
    assert tab.locator("[name=seat-x]").first.input_value() == "-15"
    assert kept(tab, planned, -15, -4.5).name == "West End, left"
    tab.reload()
    says(tab, "West End, left: -15, -4.5 m")


def test_what_moved_is_kept_when_the_page_is_left_at_once(tab, planned) -> None:
    """A seat moved just before another page is opened is kept all the same."""
    tab.locator("[data-plan-map]").focus()
    tab.keyboard.press("ArrowRight")
    tab.goto(f"{planned.address}/")
    assert kept(tab, planned, -13.5, -5)


def test_a_seat_is_dragged(tab, planned) -> None:
    """A pressed seat follows the pointer over the ground; another one pressed is chosen."""
    tab.locator("[data-plan-map]").scroll_into_view_if_needed()
    x, y = place(tab, planned, Seat("", -14, -5))
    to_x, to_y = place(tab, planned, Seat("", -4, -5))
    tab.mouse.move(x, y)
    tab.mouse.down()
    for part in (0.3, 0.7, 1.0):
        tab.mouse.move(x + part * (to_x - x), y + part * (to_y - y))
    tab.mouse.up()
    says(tab, "West End, left: -4, -5 m")
    assert kept(tab, planned, -4, -5)
    x, y = place(tab, planned, Seat("", 17, -5))
    tab.mouse.click(x, y)
    says(tab, "West End, right: 17, -5 m")
    assert tab.locator("[name=chosen]").nth(1).is_checked()


def test_a_lens_that_is_typed_is_drawn(tab) -> None:
    """Another lens changes the drawing; a wrong one says so and leaves the drawing."""
    tab.locator("[name=lens]").first.fill("600/4")
    tab.locator("[data-plan-map] text", has_text="600 mm").wait_for()
    tab.locator("[name=lens]").first.fill("long")
    tab.locator("[data-plan-said].wrong", has_text="this is not a lens").wait_for()
    assert tab.locator("[data-plan-map] text", has_text="600 mm").count() == 1


def test_a_new_row_becomes_a_seat_with_a_letter(tab) -> None:
    """A place typed into the empty row stands in the drawing, and the next row is there."""
    for part, value in (("name", "Corner"), ("x", "30"), ("y", "-5")):
        tab.locator(f"[name=seat-{part}]").nth(3).fill(value)
    tab.locator("[data-plan-map]").focus()
    tab.locator("[data-plan-rows] tr").nth(4).wait_for()
    assert tab.locator("[name=seat-name]").nth(3).input_value() == "Corner"


def test_a_want_is_typed_by_keyboard(tab) -> None:
    """Somebody is chosen with her angle, Enter keeps it, and she stands first in the list."""
    tab.locator("#person-new-person").select_option("home-9")
    tab.locator("#angle-new-person").select_option("debut")
    tab.locator("#note-new-person").fill("from the youth side")
    tab.keyboard.press("Enter")
    tab.locator(".stages .own", has_text="Freya Ostmark (debut), from the youth side").wait_for()


@pytest.mark.parametrize("view", [WIDE, PHONE], ids=["wide", "phone"])
def test_anybody_can_use_the_plan(chromium, planned, view: dict) -> None:
    """With a whole plan axe finds no violation of WCAG 2.2 AA, by day and by night, wide or
    narrow, and nothing is wider than the window."""
    from axe_playwright_python.sync_playwright import Axe

    rules = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
    for edition in ("day", "night"):
        context = chromium.new_context(viewport=view)
        context.add_cookies([{"name": "edition", "value": edition, "url": planned.address}])
        tab = context.new_page()
        tab.set_default_timeout(60_000)
        tab.goto(f"{planned.address}{planned.match}/before")
        found = Axe().run(tab, options=rules).response["violations"]
        width = tab.evaluate("document.documentElement.scrollWidth")
        context.close()
        assert [(v["id"], [n["target"] for n in v["nodes"]]) for v in found] == [], edition
        assert width <= view["width"]


def test_the_plan_prints(tab) -> None:
    """On paper the drawings and the list stand without their forms, black on white."""
    tab.emulate_media(media="print")
    assert not tab.locator("form[data-plan]").is_visible()
    assert tab.locator("[data-plan-map] svg").is_visible()
    fill = "getComputedStyle(document.querySelector('.plan .title')).fill"
    assert tab.evaluate(fill) == "rgb(0, 0, 0)"
    text = " ".join(p.extract_text() for p in PdfReader(BytesIO(tab.pdf(format="A4"))).pages)
    words = re.sub(r"\s+", " ", text)
    for said in ("From seat A, West End, left", "Seats side by side", "Team sheets"):
        assert said in words
