"""The log on the phone in a real browser, with and without the laptop."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
import small_match
from served import Page, serve
from test_phones import code_on, log_now

from setpiece.match.entries import How, Kind

pytestmark = pytest.mark.browser

A_KEY_PX = 94
"""15 mm where a CSS pixel is 0.16 mm, as on phones of 160 reference pixels an inch."""


@pytest.fixture
def lan(own: small_match.Made) -> Iterator[Page]:
    """The page with phones let in."""
    yield from serve(own, phones=("127.0.0.1:1",))


@pytest.fixture
def phone(chromium, lan: Page) -> Iterator[object]:
    """A paired phone with the log open."""
    context = chromium.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    tab = context.new_page()
    trouble: list[str] = []
    tab.on("pageerror", lambda error: trouble.append(str(error)))
    tab.set_default_timeout(60_000)
    tab.goto(f"{lan.address}/phone#{code_on(lan)}")
    tab.fill("#name", "test")
    tab.click("button")
    tab.wait_for_selector("[data-score]")
    until(tab, "document.querySelector('[data-score]')?.textContent === '2–1'")
    yield tab
    context.close()
    assert trouble == []


def pressed(tab, *names: str) -> None:
    """Presses keys by what stands on them."""
    for name in names:
        tab.get_by_role("button", name=name).first.click()


def until(tab, expression: str) -> None:
    """Waits until that is true in the page."""
    for _ in range(2400):
        if tab.evaluate(expression):
            return
        tab.wait_for_timeout(25)
    pytest.fail(f"never true: {expression}")


ALL_SENT = "document.querySelector('[data-waiting]').textContent === 'all sent'"


def test_a_goal_in_three_keys(phone, lan: Page) -> None:
    """Goal, side, number: the entry is in the log, with the score on top."""
    before = len(log_now(lan))
    pressed(phone, "Goal", "Calder Haven", "9 Ngozi Adembe")
    until(phone, "document.querySelector('[data-score]').textContent === '2–2'")
    until(phone, ALL_SENT)
    entry = log_now(lan)[-1]
    assert len(log_now(lan)) == before + 1
    assert (entry.kind, entry.person) == (Kind.GOAL, "away-9")


def test_an_own_goal_shows_the_other_sides_numbers(phone, lan: Page) -> None:
    """An own goal counts for the side chosen and is by a player of the other."""
    pressed(phone, "Goal", "Calder Haven", "own goal", "4 Júlia Vasarhegyi")
    until(phone, "document.querySelector('[data-score]').textContent === '2–2'")
    until(phone, ALL_SENT)
    entry = log_now(lan)[-1]
    assert (entry.how, entry.person, entry.side) == (How.OWN_GOAL, "home-4", "away")


def test_a_substitution_asks_who_comes_and_who_goes(phone, lan: Page) -> None:
    """Only the bench may come on, only the pitch may leave."""
    pressed(phone, "Substitution", "Eastmere")
    assert phone.locator("[data-numbers] button").count() == 1
    pressed(phone, "14 Pia Hollenstedt", "8 Orla Tannahay")
    until(phone, ALL_SENT)
    entry = log_now(lan)[-1]
    assert (entry.person, entry.other) == ("home-8", "home-14")


def test_undo_takes_the_last_one_back(phone, lan: Page) -> None:
    """The undo takes back what was sent already."""
    before = [e.id for e in log_now(lan)]
    pressed(phone, "Red card", "Eastmere", "5 Nell Garrowby")
    until(phone, ALL_SENT)
    pressed(phone, "Take back")
    until(phone, ALL_SENT)
    assert [e.id for e in log_now(lan)] == before


def test_out_of_reach_it_goes_on_and_sends_later(phone, lan: Page) -> None:
    """Entries made without the laptop stay in the phone and arrive with their own instants."""
    phone.context.set_offline(True)
    pressed(phone, "Yellow card", "Eastmere", "2 Tove Lindqvarn")
    pressed(phone, "Goal", "Eastmere", "9 Freya Ostmark")
    until(phone, "document.querySelector('[data-score]').textContent === '3–1'")
    assert "2 to send" in phone.inner_text("[data-waiting]")
    pressed(phone, "Take back")
    until(phone, "document.querySelector('[data-score]').textContent === '2–1'")
    before = len(log_now(lan))
    phone.context.set_offline(False)
    phone.evaluate("dispatchEvent(new Event('online'))")
    until(phone, ALL_SENT)
    added = log_now(lan)[before:]
    assert [e.kind for e in added] == [Kind.YELLOW]
    assert added[0].typed != added[0].happened


def test_keys_are_large_and_the_lock_holds(phone) -> None:
    """Every key of an entry is at least 15 mm high and wide; a touch does not unlock."""
    for name in ("Goal", "Calder Haven"):
        boxes = [b.bounding_box() for b in phone.locator("[data-stage] button:visible").all()]
        assert min(min(b["width"], b["height"]) for b in boxes if b["height"] > 60) >= A_KEY_PX
        pressed(phone, name)
    pressed(phone, "Lock")
    phone.locator("[data-unlock]").click()
    assert phone.locator("[data-locked]").is_visible()
    box = phone.locator("[data-unlock]").bounding_box()
    phone.mouse.move(box["x"] + 20, box["y"] + 20)
    phone.mouse.down()
    phone.wait_for_selector("[data-locked]", state="hidden")
    phone.mouse.up()


def test_the_phones_page_keeps_the_guidelines(phone) -> None:
    """axe finds no violation of WCAG 2.2 AA on the log of the phone."""
    from axe_playwright_python.sync_playwright import Axe

    rules = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
    found = [v["id"] for v in Axe().run(phone, options=rules).response["violations"]]
    assert found == []
