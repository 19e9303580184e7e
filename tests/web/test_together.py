"""Two laptops' browsers and a phone at one match at the same time: no act is lost."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
import small_match
from served import Page, serve
from test_in_a_browser import Tab
from test_phones import code_on, log_now

from setpiece.match.entries import Kind
from setpiece.store.captions import captions_of
from setpiece.store.frames import Decision, frames_of
from setpiece.store.workspace import Workspace

pytestmark = pytest.mark.browser

ALL_SENT = "document.querySelector('[data-waiting]').textContent === 'all sent'"
DECIDED = range(21, 33)
"""Frames that both browsers walk through, deciding each in turn."""


@pytest.fixture
def shared(own: small_match.Made) -> Iterator[Page]:
    """The page with phones let in, ten minutes before the end."""
    for page in serve(own, phones=("127.0.0.1:1",)):
        page.now[0] = small_match.at(2, 80)
        yield page


@pytest.fixture
def three(chromium, shared: Page) -> Iterator[tuple[Tab, Tab, Tab]]:
    """Two browsers on the report and a paired phone."""
    tabs = Tab(chromium), Tab(chromium), Tab(chromium, viewport={"width": 390, "height": 844})
    one, two, phone = tabs
    phone.page.goto(f"{shared.address}/phone#{code_on(shared)}")
    phone.page.fill("#name", "left pocket")
    phone.page.click("button")
    phone.page.wait_for_selector("[data-score]")
    phone.until("document.querySelector('[data-score]').textContent === '2–1'")
    for tab in (one, two):
        tab.page.goto(f"{shared.address}{shared.match}?frame={shared.made.frames[DECIDED[0]]}")
        tab.page.wait_for_selector("[data-opened]")
    yield tabs
    for tab in tabs:
        tab.context.close()
        assert tab.trouble == []


def taken(tab: Tab, text: str) -> None:
    """Types a line and waits until the page has taken it."""
    tab.line(text)
    tab.until("document.querySelector('#line').value === ''")


def pressed(phone: Tab, *names: str) -> None:
    """Presses keys of the phone by what stands on them."""
    for name in names:
        phone.page.get_by_role("button", name=name).first.click()


def test_no_act_is_lost_when_three_work_at_once(three, shared: Page) -> None:
    """Decisions, log lines and the phone's keys of all three are in the match, each once."""
    one, two, phone = three
    frames = shared.made.frames
    before = len(log_now(shared))
    for number in DECIDED:
        tab, other = (one, two) if number % 2 else (two, one)
        word = "spike" if number % 3 == 0 else "hold"
        taken(tab, f"{word} {_handle(shared, frames[number])}")
        if number % 4 == 0:
            taken(other, f"yellow {number % 4 + 2}b at 80")
            pressed(phone, "Yellow card", "Eastmere", "2 Tove Lindqvarn")
    phone.until(ALL_SENT)
    space = Workspace.open(shared.made.folder)
    stored = {f.id: f.decision for f in frames_of(space, shared.made.match)}
    for number in DECIDED:
        wanted = Decision.SPIKE if number % 3 == 0 else Decision.HOLD
        assert stored[frames[number]] is wanted
    added = log_now(shared)[before:]
    assert [e.kind for e in added] == [Kind.YELLOW] * 6
    assert len({e.id for e in added}) == 6
    for tab in (one, two):
        tab.until("document.querySelectorAll('.say.yellow').length >= 7")


def _handle(page: Page, frame: str) -> str:
    space = Workspace.open(page.made.folder)
    return next(f.handle for f in frames_of(space, page.made.match) if f.id == frame)


def test_a_caption_over_anothers_is_told_and_both_are_kept(three, shared: Page) -> None:
    """Two captions written on what each saw: the second says that the first was there."""
    one, two, _ = three
    frame = shared.made.frames[DECIDED[0]]
    for tab in (one, two):
        tab.line("9r celebrates", enter=False)
    one.page.keyboard.press("Enter")
    one.page.wait_for_selector(".capt h3")
    two.page.wait_for_selector(".capt h3")
    assert two.page.input_value("#line") == "9r celebrates"
    two.page.keyboard.type(" alone")
    two.page.fill("#line", "11r celebrates")
    two.saw(version=0)
    two.page.keyboard.press("Enter")
    two.said("Another screen had written version 1 meanwhile")
    one.until("document.querySelector('.capt h3').textContent.includes('Maud Ostmark')")
    space = Workspace.open(shared.made.folder)
    assert captions_of(space, shared.made.match)[frame].version == 2


def test_the_phone_and_a_browser_see_each_others_goals(three, shared: Page) -> None:
    """A goal of the phone is in both reports, one typed at the laptop is on the phone."""
    one, two, phone = three
    pressed(phone, "Goal", "Calder Haven", "9 Ngozi Adembe")
    phone.until(ALL_SENT)
    for tab in (one, two):
        tab.until("document.querySelector('.goals').textContent === '2–2'")
    taken(one, "goal 9r at 90")
    two.until("document.querySelector('.goals').textContent === '3–2'")
    phone.page.evaluate("dispatchEvent(new Event('visibilitychange'))")
    phone.until("document.querySelector('[data-score]').textContent === '3–2'")
