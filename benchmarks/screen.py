"""The page in a real browser over a match of 3,000 frames, quiet and while it sends and takes in.

Prints first paint, key to painted next frame, key to suggestion, gaps while scrolling, how long a
receipt takes to be seen, and the renderer's memory after a first and a second pass through the
match, each with its target. The server is `setpiece serve` in a process of its own; the browser
is Debian's Chromium, or another by CHROMIUM=/path/to/it, without a graphics card.

Run: python -m benchmarks.screen [--quick] [--keep FOLDER]
"""

from __future__ import annotations

import argparse
import os
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import timedelta
from importlib import import_module
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

from benchmarks.plain_browser import PlainPage, plain_page
from setpiece.match.instants import instant
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.send.sender import Receipt
from setpiece.store.delivery import Delivery, Event, State
from setpiece.store.forms import to_json
from setpiece.store.frames import Decision, decide
from setpiece.store.leases import claim
from setpiece.store.outbox import queue, record
from setpiece.store.workspace import Workspace
from setpiece.work.caption import write_caption
from setpiece.work.desk.desks import Desk, DeskSettings, add_desk
from setpiece.work.job import Unattended
from setpiece.work.settings import Settings, write_settings

ROOT = Path(__file__).resolve().parent.parent
sys.path.append(str(ROOT / "tests" / "web"))
small_match = import_module("small_match")
"""The small match of the tests, drawn larger."""

FRAMES, ROWS, OPENED = 3000, 100, 240
PREVIEW_PX = 1600
USED = 60
WIDE = {"width": 1440, "height": 900}
CHROMIUM = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
).split()

PAINT_MS, NEXT_MS, SUGGEST_MS, GAP_MS, RECEIPT_MS = 500, 100, 50, 50, 300
MEMORY_MB, GROWTH, LOADED = 450, 0.10, 2

NEXT_FRAME = """() => new Promise((done) => {
  const report = document.querySelector('[data-report]');
  let began = 0;
  addEventListener('keydown', () => { began = performance.now(); }, { capture: true, once: true });
  const seen = new MutationObserver(() => {
    const picture = report.querySelector('[data-opened] .pic :is(canvas, img)');
    if (!began || !(picture?.width && picture.complete !== false)) return;
    seen.disconnect();
    requestAnimationFrame(() => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => done(performance.now() - began);
      port2.postMessage(0);
    });
  });
  seen.observe(report, { childList: true, subtree: true });
})"""
"""From a key to the task after the picture with the next frame in it was painted."""

SUGGESTED = """() => new Promise((done) => {
  const heard = document.querySelector('[data-heard]');
  let began = 0;
  addEventListener('keydown', () => { began = performance.now(); }, { capture: true, once: true });
  const seen = new MutationObserver(() => {
    if (!began) return;
    seen.disconnect();
    requestAnimationFrame(() => done(performance.now() - began));
  });
  seen.observe(heard, { childList: true });
})"""

SCROLL = """async () => {
  const gaps = [];
  const frame = () => new Promise(requestAnimationFrame);
  scrollTo(0, 0);
  await frame();
  let last = await frame();
  for (;;) {
    const before = scrollY;
    scrollBy(0, 120);
    const now = await frame();
    gaps.push(now - last);
    last = now;
    if (scrollY === before) return gaps;
  }
}"""
"""Gaps between painted pictures while the whole report scrolls by, 120 px a picture."""

READ = """(async () => {
  for (let y = 0; y < document.documentElement.scrollHeight; y += 600) {
    scrollTo(0, y);
    await new Promise((done) => setTimeout(done, 60));
    const seen = [...document.images].filter((image) => {
      const place = image.getBoundingClientRect();
      return place.bottom > 0 && place.top < innerHeight && !image.complete;
    });
    const loaded = seen.map((image) => new Promise((done) => {
      image.onload = image.onerror = done;
    }));
    await Promise.race([Promise.all(loaded), new Promise((done) => setTimeout(done, 2000))]);
  }
  scrollTo(0, 0);
})()"""
"""The whole report looked through: on as soon as the pictures in view are there."""

RECEIVED = """(count) => new Promise((done) => {
  const look = () => {
    const sent = document.querySelectorAll('.part.sent li.right').length;
    const rest = document.querySelector('.part.sent h2 small')?.textContent ?? '';
    if (`${sent}/${rest}` !== count) done(Date.now());
    else requestAnimationFrame(look);
  };
  look();
})"""
COUNT_SENT = """() => `${document.querySelectorAll('.part.sent li.right').length}/` +
  (document.querySelector('.part.sent h2 small')?.textContent ?? '')"""


@dataclass(frozen=True)
class Served:
    """The page over the large match."""

    address: str
    made: small_match.Made

    @property
    def report(self) -> str:
        """The match's report."""
        return f"{self.address}/match/{self.made.match.folder}"


def large_match(folder: Path, frames: int) -> small_match.Made:
    """A match of so many frames in a hundred minutes, some captioned and in use."""
    shots = []
    rows = max(1, ROWS * frames // FRAMES)
    for number in range(frames):
        minute, place = number * rows // frames, number % max(1, frames // rows)
        period = 1 if minute < 45 else 2
        when = small_match.at(period, minute + 0.1 + (0.35 if place % 3 else 0))
        shots.append(small_match.Shot(
            instant(when + timedelta(seconds=0.2 * place)), "AB"[number % 7 == 0],
            blur_px=float(number % 4), upright=number % 11 == 0,
        ))  # fmt: skip
    with few_pictures():
        made = small_match.make(folder, shots, long_side_px=PREVIEW_PX)
    space, caller = Workspace.open(folder), Unattended(small_match.LATER)
    write_settings(space, Settings("Ida Fenwright"))
    step = max(1, frames // USED)
    for frame in made.frames[::step]:
        write_caption(space, made.match, frame, "9r in action", caller)
        decide(space, made.match, frame, Decision.USE)
    space.close()
    return made


@contextmanager
def few_pictures() -> Iterator[None]:
    """While it lasts a picture is drawn and encoded once and stands for many frames."""
    draw, encode = small_match.drawn, small_match.jpeg
    pictures: dict[tuple[object, ...], Any] = {}
    files: dict[int, bytes] = {}

    def drawn(shot: small_match.Shot, long_side_px: int, seed: int) -> Any:
        key = (shot.upright, shot.blur_px, seed % 12)
        if key not in pictures:
            pictures[key] = draw(shot, long_side_px, seed)
            files[id(pictures[key])] = encode(pictures[key])
        return pictures[key]

    small_match.drawn = drawn
    small_match.jpeg = lambda picture: files.get(id(picture)) or encode(picture)
    try:
        yield
    finally:
        small_match.drawn, small_match.jpeg = draw, encode


@contextmanager
def serving(made: small_match.Made) -> Iterator[Served]:
    """`setpiece serve` until the block ends."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    words = [sys.executable, "-m", "setpiece", "serve", "--no-show", "--port", str(port)]
    process = subprocess.Popen([*words, "--workspace", str(made.folder)], stdout=subprocess.PIPE)
    assert process.stdout is not None
    process.stdout.readline()
    try:
        yield Served(f"http://127.0.0.1:{port}", made)
    finally:
        process.terminate()
        process.wait()


def first_paint(browser: Browser, served: Served, times: int) -> list[float]:
    """Milliseconds from navigation to the first paint with the report in it; the server is warm."""
    found = []
    for _ in range(times):
        tab = browser.new_page(viewport=WIDE)
        tab.goto(served.report)
        found.append(tab.evaluate(
            "performance.getEntriesByName('first-contentful-paint')[0].startTime"
        ))  # fmt: skip
        tab.close()
    return found


def next_frames(tab: Page, times: int) -> list[float]:
    """Milliseconds from a key to the painted next frame, decoded ahead."""
    found = []
    for number in range(times):
        if tab.get_attribute("[data-opened]", "data-next") == "":
            tab.keyboard.press("ArrowDown")
            tab.wait_for_timeout(400)
        waiting = tab.evaluate_handle(f"() => {{ window.told = ({NEXT_FRAME})(); }}")
        tab.keyboard.press("ArrowRight")
        found.append(tab.evaluate("window.told"))
        waiting.dispose()
        tab.wait_for_timeout(150 + 20 * (number % 5))
    return found


def suggestions(tab: Page, times: int) -> list[float]:
    """Milliseconds from a key to what the line understood, letter by letter."""
    text, found = "9r celebrates with 11r right", []
    while len(found) < times:
        for letter in text:
            tab.evaluate(f"() => {{ window.told = ({SUGGESTED})(); }}")
            tab.keyboard.press("Space" if letter == " " else letter)
            found.append(tab.evaluate("window.told"))
            tab.wait_for_timeout(40)
        for _ in text:
            tab.keyboard.press("Backspace")
        tab.wait_for_timeout(200)
    return found[:times]


def receipts(tab: Page, made: small_match.Made, times: int) -> list[float]:
    """Milliseconds from the receipt's commit, by another process, to its line in the margin.

    On a page at rest: in the second after the whole report was scrolled it still decodes.
    """
    tab.wait_for_timeout(4000)
    space, found = Workspace.open(made.folder), []
    address = DeskAddress(Protocol.FOLDER, path=made.folder)
    paused = DeskSettings(paused=True)  # so that the server leaves these to us
    add_desk(space, Desk("elsewhere", address, "north", paused), Unattended(small_match.LATER))
    for number in range(times):
        frame = made.frames[number * 3 + 1]
        name = f"receipt-{number}.jpg"
        row = Delivery(0, made.match.id, frame, 1, "elsewhere", f"x{number}", "x", f"set/{name}",
                       "/in", name, 1000, State.QUEUED, small_match.LATER.isoformat())  # fmt: skip
        queue(space, made.match, row)
        item = claim(space, made.match, "benchmark", small_match.LATER)
        assert item is not None
        tab.wait_for_timeout(700)
        before = tab.evaluate(COUNT_SENT)
        tab.evaluate(f"(count) => {{ window.told = ({RECEIVED})(count); }}", before)
        receipt = Receipt(f"/in/{name}", 1000, small_match.LATER, 0.5, 0, "226")
        record(space, item, Event.ARRIVED, receipt=to_json(receipt))
        committed = time.time() * 1000
        found.append(tab.evaluate("window.told") - committed)
    space.close()
    return found


def passing(tab: PlainPage, opened: int) -> None:
    """One pass: the whole report looked through, and so many frames opened, passage by passage."""
    tab.evaluate(READ)
    for key in ("Escape", "Escape", "ArrowDown"):
        tab.press(key)
    tab.wait_for("document.querySelector('[data-opened]') !== null")
    for _ in range(opened):
        last = tab.evaluate("document.querySelector('[data-opened]')?.dataset.next === ''")
        tab.press("ArrowDown" if last else "ArrowRight")
        time.sleep(0.09)
    time.sleep(1.5)


def renderer(browser_pid: int) -> int:
    """The process that holds the page: the largest renderer below the browser."""
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            with suppress(OSError):
                command = (entry / "cmdline").read_bytes().decode()
                if "--type=renderer" in command and _is_below(int(entry.name), browser_pid):
                    found.append((memory_mb(int(entry.name))["Pss"], int(entry.name)))
    return max(found)[1]


def _is_below(pid: int, ancestor: int) -> bool:
    while pid > 1:
        if pid == ancestor:
            return True
        pid = int(Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[1])
    return False


def memory_mb(pid: int) -> dict[str, float]:
    """The process's share of memory, and its own (anonymous) and shared parts, in megabytes."""
    found = {}
    for line in Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()[1:]:
        name, kilobytes = line.split()[:2]
        found[name.rstrip(":")] = int(kilobytes) / 1024
    return found


def p95(values: Sequence[float]) -> float:
    """The 95th percentile."""
    return statistics.quantiles(values, n=20)[18] if len(values) > 1 else values[0]


def line(what: str, values: Sequence[float], target: float) -> bool:
    """Prints one figure with its target; whether it is met."""
    met = p95(values) <= target
    print(
        f"  {what:42} median {statistics.median(values):6.0f} ms   p95 {p95(values):6.0f} ms"
        f"   target {target:.0f} ms   {'met' if met else 'MISSED'}"
    )
    return met


def measured(tab: Page, served: Served, scale: int, factor: int) -> list[bool]:
    """The figures that hold while the page is open, each against its target times `factor`."""
    tab.goto(served.report)
    tab.keyboard.press("ArrowDown")
    tab.wait_for_selector("[data-opened]")
    tab.wait_for_timeout(800)
    met = [line("key to painted next frame", next_frames(tab, scale), NEXT_MS * factor)]
    met.append(line("key to suggestion", suggestions(tab, scale), SUGGEST_MS * factor))
    tab.keyboard.press("Escape")
    met.append(line("gap while scrolling", tab.evaluate(SCROLL), GAP_MS * factor))
    return met


def busy(tab: Page, served: Served, folder: Path, frames: int) -> None:
    """Starts sending the set to a desk that is not fast, and takes a card in."""
    from benchmarks.goal import HEIGHT_PX, WIDTH_PX, tagged

    space = Workspace.open(served.made.folder)
    there = folder / "desk"
    there.mkdir()
    address = DeskAddress(Protocol.FOLDER, path=there)
    settings = DeskSettings()
    add_desk(space, Desk("near", address, "north", settings), Unattended(small_match.LATER))
    space.close()
    place = folder / "card" / "DCIM" / "100OSTR"
    place.mkdir(parents=True)
    picture = small_match.drawn(small_match.Shot(small_match.LATER), WIDTH_PX, 3)
    assert picture.shape[0] <= HEIGHT_PX + 1
    data = small_match.jpeg(picture)
    for number in range(frames):
        at = small_match.at(2, 80) + timedelta(seconds=number)
        (place / f"OSP_{number:04d}.JPG").write_bytes(tagged(data, at))
    for text in (f"take {folder / 'card'}", "send near"):
        tab.fill("#line", text)
        tab.keyboard.press("Enter")
        while tab.input_value("#line"):
            tab.wait_for_timeout(50)


def still_busy(tab: Page) -> bool:
    """Whether a job still shows on the page."""
    return bool(tab.evaluate("!document.querySelector('[data-jobs]').hidden"))


def run(made: small_match.Made, folder: Path, *, quick: bool) -> bool:
    """Every figure once, printed; whether all are met."""
    scale, opened = (20, 40) if quick else (100, OPENED)
    met: list[bool] = []
    with serving(made) as served, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium(), args=CHROMIUM)
        load = os.getloadavg()[0]
        print(f"{len(made.frames)} frames, {os.cpu_count()} cores, load {load:.1f} at the start")
        first_paint(browser, served, 1)
        met.append(line("first paint", first_paint(browser, served, 3 if quick else 9), PAINT_MS))
        tab = browser.new_page(viewport=WIDE)
        tab.set_default_timeout(60_000)
        met += measured(tab, served, scale, 1)
        met.append(line("receipt seen", receipts(tab, made, 5 if quick else 20), RECEIPT_MS))
        tab.close()
        met += memory(served, opened)
        met += measured_busy(browser, served, folder, quick=quick)
        browser.close()
    return all(met)


def measured_busy(browser: Browser, served: Served, folder: Path, *, quick: bool) -> list[bool]:
    """The same figures while the set is sent and a card comes in."""
    tab = browser.new_page(viewport=WIDE)
    tab.set_default_timeout(60_000)
    tab.goto(served.report)
    print(f"while it sends and takes in, load {os.getloadavg()[0]:.1f}")
    other = browser.new_page(viewport=WIDE)
    other.goto(served.report)
    busy(other, served, folder, 40 if quick else 500)
    met = measured(tab, served, 20 if quick else 100, LOADED)
    print(f"  {'still busy at the end' if still_busy(other) else 'the jobs ended before'}")
    return met


def memory(served: Served, opened: int) -> list[bool]:
    """The renderer's memory after a first and a second pass through the match.

    The browser is one that nobody records, and garbage is collected first.
    """
    if not Path("/proc/self/smaps_rollup").exists():
        print("  the renderer's memory is read on Linux only")
        return []
    found = []
    with plain_page(chromium(), CHROMIUM, served.report, WIDE["width"], WIDE["height"]) as tab:
        for which in ("first", "second"):
            passing(tab, opened)
            tab.collect_garbage()
            time.sleep(0.5)
            part = memory_mb(renderer(tab.browser_pid))
            found.append(part["Pss"])
            print(
                f"  memory after the {which + ' pass':12} {part['Pss']:6.0f} MB of which own "
                f"{part['Pss_Anon']:.0f}, shared pictures {part.get('Pss_Shmem', 0):.0f}"
                f"   target {MEMORY_MB} MB"
            )
    growth = found[1] / found[0] - 1
    print(f"  growth by the second pass {growth:+.0%}   target {GROWTH:.0%}")
    return [max(found) <= MEMORY_MB, growth <= GROWTH]


def chromium() -> str:
    """Where the browser is."""
    path = os.environ.get("CHROMIUM") or shutil.which("chromium")
    assert path, "no Chromium is installed"
    return path


def main() -> int:
    """Runs it over a fresh match, or one kept from an earlier run."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--quick", action="store_true", help="600 frames, fewer rounds")
    options.add_argument("--keep", type=Path, help="where the match is drawn once and kept")
    options.add_argument("--only", choices=("memory", "busy"), help="that part alone")
    given = options.parse_args()
    with tempfile.TemporaryDirectory() as name:
        scratch = Path(name)
        kept = given.keep or scratch / "kept"
        if not kept.exists():
            large_match(kept, 600 if given.quick else FRAMES)
        folder = scratch / "workspace"
        shutil.copytree(kept, folder, copy_function=os.link)
        for database in kept.glob("*.db*"):
            (folder / database.name).unlink()
            shutil.copy2(database, folder / database.name)
        made = opened(folder)
        if given.only:
            with serving(made) as served, sync_playwright() as play:
                browser = play.chromium.launch(executable_path=chromium(), args=CHROMIUM)
                if given.only == "memory":
                    memory(served, 40 if given.quick else OPENED)
                else:
                    tab = browser.new_page(viewport=WIDE)
                    measured(tab, served, 20 if given.quick else 100, 1)
                    tab.close()
                    measured_busy(browser, served, scratch, quick=given.quick)
                browser.close()
            return 0
        run(made, scratch, quick=given.quick)
    return 0


def opened(folder: Path) -> small_match.Made:
    """The match in a workspace that was made before."""
    from setpiece.store.frames import frames_of
    from setpiece.store.matches import matches

    space = Workspace.open(folder)
    match = matches(space)[0]
    frames = tuple(f.id for f in frames_of(space, match))
    space.close()
    return small_match.Made(folder, match, frames)


if __name__ == "__main__":
    sys.exit(main())
