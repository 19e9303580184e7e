"""The clock card in a real browser, its clock held still so that nothing depends on speed."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from importlib.resources import files
from pathlib import Path
from random import Random
from typing import Any

import cv2
import numpy as np
import pytest
import segno
from playwright.sync_api import expect

from setpiece.match.instants import Instant, instant, read_instant, write_instant
from setpiece.pictures.clock_card import CardCode, draw_code, read_codes
from setpiece.work.clocks.card_page import card_page

pytestmark = pytest.mark.browser

AT = datetime(2027, 3, 6, 14, 0, 7, 340_000, tzinfo=UTC)
PAYLOADS = 1000


@pytest.fixture
def offline(tmp_path: Path) -> Path:
    """The card as one file."""
    path = tmp_path / "clock-card.html"
    path.write_text(card_page(), "utf-8")
    return path


def opened(
    chromium: Any, path: Path, at: datetime = AT, width: int = 1280, height: int = 800
) -> Any:
    """The page, its clock standing at that instant, and no network at all."""
    context = chromium.new_context(viewport={"width": width, "height": height}, offline=True)
    page = context.new_page()
    page.clock.install(time=at - timedelta(minutes=10))
    page.goto(path.as_uri())
    page.clock.pause_at(at)
    page.clock.run_for(20)
    return page


def codes(page: Any) -> tuple[CardCode, ...]:
    """The codes that read in what the page shows."""
    png = np.frombuffer(page.screenshot(), np.uint8)
    return read_codes(cv2.cvtColor(cv2.imdecode(png, cv2.IMREAD_COLOR), cv2.COLOR_BGR2RGB))


def seen(page: Any) -> tuple[Instant, ...]:
    """The instants that read in what the page shows."""
    return tuple(code.at for code in codes(page))


def tenth(at: datetime, before: int = 0) -> Instant:
    """The tenth of a second that `at` lies in, or so many before it."""
    return instant(read_instant(write_instant(instant(at))) - timedelta(seconds=before / 10))


def test_the_pages_code_writer_equals_the_library(chromium: Any, tmp_path: Path) -> None:
    """For 1,000 instants of a century the page draws module for module what segno draws."""
    code = (files("setpiece.work.clocks") / "card" / "code.js").read_text("utf-8")
    blank = tmp_path / "blank.html"
    blank.write_text(
        f"<script type='module'>{code.replace('export function', 'function')}"
        "\nwindow.codeFor = codeFor;</script>",
        "utf-8",
    )
    page = chromium.new_page()
    page.goto(blank.as_uri())
    page.wait_for_function("window.codeFor !== undefined")
    draw = Random(2027)
    start = datetime(2000, 1, 1, tzinfo=UTC)
    texts = [
        write_instant(instant(start + timedelta(seconds=draw.uniform(0, 3.15e9))))
        for _ in range(PAYLOADS)
    ]
    drawn = page.evaluate(
        "texts => texts.map(t => codeFor(t).map(r => r.map(d => (d ? 1 : 0)).join('')).join(''))",
        texts,
    )
    page.close()
    assert len(set(texts)) == PAYLOADS
    for text, modules in zip(texts, drawn, strict=True):
        code_of = segno.make_qr(text, version=2, error="m", boost_error=False)
        assert modules == "".join(str(int(bool(m))) for row in code_of.matrix for m in row), text


def test_both_codes_read_and_say_when_they_appeared(chromium: Any, offline: Path) -> None:
    """A picture of the page gives the current tenth of a second and the one before it."""
    page = opened(chromium, offline)
    assert seen(page) == (tenth(AT), tenth(AT, 1))
    assert page.inner_text("[data-seconds]") == "14:00:07.3"
    assert page.inner_text("[data-day]") == "2027-03-06 UTC"
    page.context.close()


def test_the_codes_change_in_turn_each_five_times_a_second(chromium: Any, offline: Path) -> None:
    """Over 1.2 s one code changes at every tenth, left and right in turn, never both."""
    page = opened(chromium, offline, AT.replace(microsecond=340_000))
    look = "[...document.querySelectorAll('canvas')].map(c => c.toDataURL())"
    before, changed = page.evaluate(look), []
    for _ in range(12):
        page.clock.run_for(100)
        now = page.evaluate(look)
        changed.append([i for i in (0, 1) if now[i] != before[i]])
        before = now
    assert all(len(which) == 1 for which in changed)
    assert [which[0] for which in changed] == [0, 1] * 6
    page.context.close()


def test_a_measured_lead_is_taken_off(chromium: Any, tmp_path: Path) -> None:
    """A device known to be 2.5 s ahead shows codes 2.5 s earlier than its clock, and says so; one
    whose lead is not known says that instead."""
    ahead = card_page().replace(
        "<main data-clock-card", '<main data-offset-ms="2500" data-clock-card'
    )
    path = tmp_path / "ahead.html"
    path.write_text(ahead, "utf-8")
    page = opened(chromium, path)
    assert seen(page)[0] == tenth(AT - timedelta(seconds=2.5))
    assert "2.50 s ahead" in page.inner_text("[data-told]")
    page.context.close()
    path.write_text(card_page(), "utf-8")
    page = opened(chromium, path)
    assert "this device's own time" in page.inner_text("[data-told]")
    page.context.close()


@pytest.mark.parametrize(
    ("lead_ms", "told"),
    [("0", "show the match's clock"), ("400", "0.40 s ahead"), ("-1250", "1.25 s behind")],
)
def test_a_lead_is_told_in_words(chromium: Any, tmp_path: Path, lead_ms: str, told: str) -> None:
    """A device that is as the match's clock, ahead of it or behind it says so."""
    path = tmp_path / "card.html"
    lead = f'<main data-offset-ms="{lead_ms}" data'
    path.write_text(card_page().replace("<main data", lead), "utf-8")
    page = opened(chromium, path)
    assert told in page.inner_text("[data-told]")
    page.context.close()


def test_a_page_by_its_own_clock_says_so_in_its_codes(chromium: Any, tmp_path: Path) -> None:
    """Codes of the page without a network end in J, those of a device with a known lead in Z."""
    path = tmp_path / "card.html"
    for page_text, own_clock in (
        (card_page(), True),
        (card_page().replace("<main data", '<main data-offset-ms="0" data'), False),
    ):
        path.write_text(page_text, "utf-8")
        page = opened(chromium, path)
        assert {code.own_clock for code in codes(page)} == {own_clock}
        page.context.close()


def test_a_phone_asks_the_laptop_for_its_time(chromium: Any, tmp_path: Path) -> None:
    """A page that can ask shows the laptop's time, though its own clock is 2.5 s ahead."""
    path = tmp_path / "card.html"
    url = "http://laptop.example/time"
    path.write_text(card_page().replace("<main data", f'<main data-time-url="{url}" data'), "utf-8")
    laptop_ms = round((AT - timedelta(seconds=2.5)).timestamp() * 1000)
    answer = {"json": {"ms": laptop_ms}, "headers": {"access-control-allow-origin": "*"}}
    context = chromium.new_context(viewport={"width": 1280, "height": 800})
    page = context.new_page()
    page.route(url, lambda route: route.fulfill(**answer))
    page.clock.install(time=AT - timedelta(minutes=10))
    page.clock.pause_at(AT)
    page.goto(path.as_uri())
    expect(page.locator("[data-told]")).to_contain_text("2.50 s ahead", timeout=30_000)
    page.clock.run_for(200)
    assert codes(page)[0] == CardCode(tenth(AT - timedelta(seconds=2.3)), False)
    context.close()


def test_a_phone_held_upright_shows_the_codes_above_each_other(
    chromium: Any, offline: Path
) -> None:
    """On a small upright screen both codes fit without scrolling and read."""
    page = opened(chromium, offline, width=390, height=844)
    boxes = page.evaluate(
        "[...document.querySelectorAll('canvas')].map(c => c.getBoundingClientRect().toJSON())"
    )
    assert boxes[0]["bottom"] <= boxes[1]["top"]
    assert all(b["top"] >= 0 and b["bottom"] <= 844 and b["right"] <= 390 for b in boxes)
    assert seen(page) == (tenth(AT), tenth(AT, 1))
    page.context.close()


def test_the_page_is_one_file_that_loads_nothing() -> None:
    """The page names no other file, no address, and leaves no part unfilled."""
    page = card_page()
    assert "src=" not in page
    assert "href=" not in page
    assert "import " not in page
    assert "{css}" not in page
    assert "{js}" not in page
    assert 'lang="en"' in page


def test_the_drawn_card_and_the_page_agree_on_the_code() -> None:
    """The code drawn for the demo is the one that the library makes, with its quiet zone."""
    at = tenth(AT)
    drawn = draw_code(at, module_px=1, quiet_modules=4)
    code = segno.make_qr(write_instant(at), version=2, error="m", boost_error=False)
    expected = np.array([[0 if m else 255 for m in row] for row in code.matrix])
    assert np.array_equal(drawn[4:-4, 4:-4], expected)
    assert (drawn[:4] == 255).all()
