"""Makes the pictures of docs/screens.md: every page of the demo match, in both editions.

    python tools/screenshots.py [--demo FOLDER]

Draws the demo match unless FOLDER holds one already. Needs Debian's Chromium, or another by
CHROMIUM=/path/to/it, and Playwright (`pip install -e .[dev]`).
"""

from __future__ import annotations

import argparse
import io
import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from setpiece.match.instants import Instant, instant
from setpiece.store.matches import matches
from setpiece.store.workspace import Workspace
from setpiece.web.app import make_app
from setpiece.web.serving import PageServer
from setpiece.work.matchday import Matchday

ROOT = Path(__file__).resolve().parent.parent
SCREENS = ROOT / "docs" / "screens"
WIDE, PHONE = (1440, 900), (390, 844)
COLOURS = 256
SETTLE_MS = 2000
"""So long a page is left alone before its picture: thumbnails come, words are read."""

LAN = "192.168.7.20:8027"
"""An address of a local network, for the page that pairs phones."""
CHROMIUM = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
).split()


@dataclass(frozen=True)
class Screen:
    """One picture to make: the page's path, and what is done on it first."""

    name: str
    path: str
    size: tuple[int, int] = WIDE
    act: Callable[[Page], None] = lambda page: None
    language: str = "en-GB"


def main() -> None:
    """Makes every picture and says which."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--demo", type=Path, default=ROOT / "build" / "screens")
    options.add_argument("--only", default="", help="the names of some pictures, by comma")
    given = options.parse_args()
    folder: Path = given.demo
    workspace = folder / "workspace"
    if not workspace.exists():
        command = Path(sys.executable).with_name("setpiece")
        subprocess.run([str(command), "demo", str(folder), "--no-serve"], check=False)
    SCREENS.mkdir(parents=True, exist_ok=True)
    day = _match(workspace)
    with _served(workspace, _after(day)) as address, sync_playwright() as play:
        path = os.environ.get("CHROMIUM") or shutil.which("chromium")
        browser = play.chromium.launch(executable_path=path, args=CHROMIUM)
        for screen in (
            s for s in screens(day) if not given.only or s.name in given.only.split(",")
        ):
            for edition in ("day", "night"):
                _picture(browser, address, screen, edition, folder.resolve())
                print(f"{screen.name}-{edition}.png")
        browser.close()


def screens(day: Matchday) -> tuple[Screen, ...]:
    """The pictures, in the order of docs/screens.md."""
    match = f"/match/{day.match.folder}"
    goal = _captioned(day, "celebrates with")
    return (
        Screen("matches", "/"),
        Screen("before", f"{match}/before"),
        Screen("wanted", f"{match}/before", act=_down_to("#wanted")),
        Screen("sheet", f"{match}/before", act=_down_to("#sheet")),
        Screen("before-phone", f"{match}/before", PHONE),
        Screen("pocket", f"{match}/plan/sheet", (900, 1270)),
        Screen("report", match, act=_to_goal),
        Screen("opened", f"{match}?frame={goal}"),
        Screen("line", f"{match}?frame={goal}", act=_typing("9r left celebrates with 11r")),
        Screen("wrong", f"{match}?frame={goal}", act=_typing("9r celebrates with 29r")),
        Screen("keys", f"{match}?frame={goal}", act=lambda page: page.keyboard.press("F1")),
        Screen("desk", f"{match}/desk"),
        Screen("after", f"{match}/after"),
        Screen("debrief", f"{match}/debrief"),
        Screen("debrief-phone", f"{match}/debrief", PHONE),
        Screen("report-phone", match, PHONE, _to_goal),
        Screen("opened-phone", f"{match}?frame={goal}", PHONE),
        Screen("crop", f"{match}?frame={goal}", act=_cropping),
        Screen("compare", f"{match}?frame={goal}", act=_comparing),
        Screen("pointing", f"{match}?frame={goal}", act=_pointing),
        Screen("german", f"{match}?frame={goal}", language="de-DE"),
        Screen("doctor", "/doctor"),
        Screen("new-fixture", "/fixtures/new"),
        Screen("phone", "/phones", PHONE, _paired),
        Screen("phone-number", "/phones", PHONE, _to_number),
        Screen("clock-card", "/clock-card"),
    )


def _captioned(day: Matchday, words: str) -> str:
    """The newest frame in the second half whose headline has those words."""
    fitting = [
        i
        for i, known in day.captions.items()
        if words in known.caption.fields.headline and day.places[i].state.period == 2
    ]
    return max(fitting, key=lambda i: day.times[i].middle)


def _to_goal(page: Page) -> None:
    page.locator(".say.goal").first.scroll_into_view_if_needed()
    page.mouse.wheel(0, 120)


def _down_to(selector: str) -> Callable[[Page], None]:
    """Brings a part of the page to the window's top."""
    return lambda page: page.evaluate("s => document.querySelector(s).scrollIntoView()", selector)


def _typing(text: str) -> Callable[[Page], None]:
    def act(page: Page) -> None:
        page.focus("#line")
        page.keyboard.type(text)
        page.wait_for_selector(".bit.name")

    return act


def _cropping(page: Page) -> None:
    for key in ("F3", " ", " ", " ", " "):
        page.keyboard.press(key)


def _comparing(page: Page) -> None:
    opened = page.get_attribute("[data-opened]", "data-opened")
    page.keyboard.press("ArrowRight")
    page.wait_for_selector(f'[data-opened]:not([data-opened="{opened}"])')
    page.keyboard.press("F10")
    page.wait_for_selector(".beside img")


def _pointing(page: Page) -> None:
    """Two people in the line, the first pointed at."""
    _typing("9r celebrates with 11r")(page)
    page.keyboard.press("F6")
    page.wait_for_selector(".pic.pointing")
    box = page.locator(".pic").bounding_box()
    if box:
        page.mouse.click(box["x"] + box["width"] * 0.37, box["y"] + box["height"] * 0.4)
    page.wait_for_selector(".pic .point")


def _paired(page: Page) -> None:
    code = page.inner_text(".code")
    page.goto(page.url.replace("/phones", f"/phone#{code}"))
    page.locator("[data-pair] button").click()
    page.wait_for_selector("[data-what]")


def _to_number(page: Page) -> None:
    _paired(page)
    page.wait_for_timeout(600)
    page.locator("[data-what=goal]").click()
    page.locator("[data-side='0']").click()


AT_HOME = """folder => {
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    texts.currentNode.data = texts.currentNode.data.replaceAll(folder, '~/season-2027');
  }
}"""
"""The folder in which the pictures are made stands on some pages; nobody else has it."""


def _picture(browser: Browser, address: str, screen: Screen, edition: str, home: Path) -> None:
    width, height = screen.size
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme="dark" if edition == "night" else "light",
        reduced_motion="reduce",
        has_touch=screen.size == PHONE,
        locale=screen.language,
    )
    page = context.new_page()
    page.goto(address + screen.path)
    page.wait_for_load_state("load")
    screen.act(page)
    page.wait_for_timeout(SETTLE_MS)
    page.evaluate(AT_HOME, str(home))
    picture = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    picture.quantize(COLOURS, dither=Image.Dither.NONE).save(
        SCREENS / f"{screen.name}-{edition}.png", optimize=True
    )
    context.close()


def _match(workspace: Path) -> Matchday:
    space = Workspace.open(workspace)
    return Matchday(space, matches(space)[0])


def _after(day: Matchday) -> Instant:
    """Some minutes after all that is logged."""
    last = max(day.fold.when(e).end for e in day.fold.entries)
    return instant(last + timedelta(minutes=12))


@contextmanager
def _served(workspace: Path, now: Instant) -> Iterator[str]:
    app = make_app(workspace, now=lambda: now, hosts=frozenset({"127.0.0.1"}), phone_hosts=(LAN,))
    server = PageServer(app, "127.0.0.1", 0)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        thread.join(0.05)
    yield f"http://127.0.0.1:{server.port}"
    server.should_exit = True
    thread.join(10)


if __name__ == "__main__":
    main()
