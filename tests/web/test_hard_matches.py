"""Matches that are hard on a page: long, without a log, without times, with hostile names."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
import small_match
from served import Page, serve
from test_in_a_browser import Tab

from setpiece.match.instants import instant
from setpiece.match.people import TeamSheet
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.store.files import StoredFile, add_file
from setpiece.store.forms import to_json
from setpiece.store.frames import FrameDraft, save_frames
from setpiece.store.matches import Match, add_entries, add_fixture, add_sheet, newest_sheet
from setpiece.store.outbox import StoredDesk, save_desk
from setpiece.store.workspace import Workspace
from setpiece.work.caption import write_caption
from setpiece.work.intake.look import previews
from setpiece.work.job import Unattended

LATER, HOSTILE = small_match.LATER, small_match.HOSTILE
PASSAGES, LONG = 100, 400
TINY_PX = 96


def shots() -> list[small_match.Shot]:
    """A hundred passages, one of them of four hundred frames."""
    taken = [
        small_match.Shot(small_match.at(1 if n < 45 else 2, n + 0.5))
        for n in range(PASSAGES)
        if n not in (60, 61)
    ]
    start = small_match.at(2, 60.1)
    taken += [small_match.Shot(instant(start + timedelta(seconds=0.15 * n))) for n in range(LONG)]
    return [*taken, small_match.Shot(small_match.at(2, 63.9))]


@pytest.fixture(scope="module")
def long_match(tmp_path_factory: pytest.TempPathFactory) -> small_match.Made:
    """The long match."""
    folder = tmp_path_factory.mktemp("long") / "workspace"
    made = small_match.make(folder, shots(), long_side_px=TINY_PX)
    return made


def unlogged(folder: Path) -> small_match.Made:
    """A match with frames and a sheet, and nothing in its log."""
    space = Workspace.create(folder)
    match = add_fixture(space, small_match.fixture(), LATER)
    add_sheet(space, match, small_match.sheet(), LATER)
    taken = small_match.burst(small_match.at(1, 10), 5) + small_match.burst(
        small_match.at(2, 70), 12
    )
    ids = small_match.add_frames(space, match, taken, long_side_px=TINY_PX)
    space.close()
    return small_match.Made(folder, match, ids)


def timeless(folder: Path) -> small_match.Made:
    """A match whose camera wrote no time into its frames, nor where they were taken from."""
    space = Workspace.create(folder)
    match = add_fixture(space, small_match.fixture(), LATER)
    add_sheet(space, match, small_match.sheet(), LATER)
    add_entries(space, match, small_match.log())
    ids = tuple(_without_time(space, match, number) for number in range(1, 13))
    space.close()
    return small_match.Made(folder, match, ids)


def _without_time(space: Workspace, match: Match, number: int) -> str:
    from setpiece.frames.identity import FileFacts
    from setpiece.pictures.metadata import CameraMetadata

    content, name = f"{number:032x}", f"X{number:04d}.JPG"
    facts = FileFacts(content, name, "card", "JPEG", 10, "", None, None)
    told = to_json(CameraMetadata("", "", "", "", "", None, None))
    add_file(space, match, StoredFile(content, f"frames/{name}", name, "card", "JPEG", 10, False,
                                      facts, told), LATER)  # fmt: skip
    frame = f"f{number:012x}"
    draft = FrameDraft(frame, f"?-{number:04d}", None, None, None, told, f"frames/{name}",
                       False, False, "", (content,))  # fmt: skip
    save_frames(space, match, [draft], LATER)
    previews(space).mkdir(exist_ok=True)
    return frame


def hostile_sheet() -> TeamSheet:
    """Hostile names for players, a coach and both sides, and a hostile colour."""
    sheet = small_match.hostile_sheet()
    home = replace(sheet.home, name=HOSTILE[0], short_name=HOSTILE[0][:20])
    away = replace(sheet.away, name=HOSTILE[3][:200], short_name=HOSTILE[1])
    people = tuple(
        replace(p, printed_name=HOSTILE[0]) if p.id == "home-coach" else p for p in sheet.people
    )
    return replace(sheet, home=home, away=away, people=people)


def hostile(folder: Path) -> small_match.Made:
    """The small match with hostile names everywhere a photographer or a desk can type one."""
    made = small_match.make(folder)
    space = Workspace.open(folder)
    add_sheet(space, made.match, hostile_sheet(), LATER)
    address = DeskAddress(Protocol.FTP, "ftp.example", None, HOSTILE[1], "/" + HOSTILE[0])
    save_desk(space, StoredDesk(HOSTILE[0], to_json(address), "north"), LATER)
    caller = Unattended(LATER)
    line = f'2r celebrates "{HOSTILE[0]} {HOSTILE[2]} {HOSTILE[5]}"'
    write_caption(space, made.match, made.frames[40], line, caller)
    named = replace(
        small_match.fixture(), home=HOSTILE[3][:250], away=HOSTILE[5], venue=HOSTILE[0],
        city=HOSTILE[2], competition=HOSTILE[1], stage=HOSTILE[4],
    )  # fmt: skip
    add_fixture(space, named, LATER)
    space.close()
    return made


KINDS = {"no log": unlogged, "no times": timeless, "hostile": hostile}
serving = contextmanager(serve)


@pytest.fixture(scope="module", params=list(KINDS))
def hard(request, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """The page over one of the hard matches."""
    folder = tmp_path_factory.mktemp("hard") / "workspace"
    yield from serve(KINDS[request.param](folder))


@pytest.fixture(scope="module")
def long_page(long_match: small_match.Made) -> Iterator[Page]:
    """The page over the long match."""
    yield from serve(long_match)


def addresses(page: Page) -> tuple[str, ...]:
    """Every page and fragment of a match."""
    match, frame = page.match, page.made.frames[len(page.made.frames) // 2]
    rows = ",".join(k for k, _ in page.ask(f"{match}/standing").value["rows"])
    return (
        "/", match, f"{match}?frame={frame}", f"{match}/frame/{frame}", f"{match}/desk",
        f"{match}/before", f"{match}/after", f"{match}/pad", f"{match}/standing",
        f"{match}/rows?keys={rows}&frame={frame}", f"{match}/kits.css", "/fixtures/new", "/doctor",
    )  # fmt: skip


def test_every_page_of_a_hard_match_stands(hard: Page) -> None:
    """Each page answers in both languages, and no name becomes markup."""
    for address in addresses(hard):
        for language in ("en", "de"):
            answer = hard.ask(address, headers={"accept-language": language})
            assert answer.status == 200, address
            assert "<img src=x" not in answer.text, address
            assert "Traceback" not in answer.text


def test_a_match_without_a_log_tells_its_frames_by_the_clock(tmp_path: Path) -> None:
    """With nothing logged passages stand at the venue's time, and captions can be typed."""
    with serving(unlogged(tmp_path / "workspace")) as page:
        text = page.ask(page.match).text
        assert text.count("data-passage=") == 2
        assert "CET" in text
        frame = page.made.frames[3]
        sent = {"line": "9r warms up", "frame": frame}
        assert page.post(f"{page.match}/line", sent).status == 200
        assert "Freya Ostmark" in page.ask(f"{page.match}?frame={frame}").text


def test_frames_without_time_stand_together_and_are_decided(tmp_path: Path) -> None:
    """They stand last, say why, and may be used; a caption asks for a time."""
    with serving(timeless(tmp_path / "workspace")) as page:
        frame = page.made.frames[4]
        text = page.ask(f"{page.match}?frame={frame}").text
        assert "The camera wrote no time into these frames" in text
        assert page.post(f"{page.match}/line", {"line": "use", "frame": frame}).status == 200
        answer = page.post(f"{page.match}/line", {"line": "9r shoots", "frame": frame})
        assert answer.status == 422
        assert "no time" in answer.value["wrong"]["text"]


def test_a_long_match_shows_no_wall_of_thumbnails(long_page: Page) -> None:
    """Every closed passage shows at most eight frames and its count; far rows are shells."""
    text = long_page.ask(long_page.match).text
    assert text.count("data-passage=") == PASSAGES
    assert text.count("data-shell") > PASSAGES // 2
    passage = re.search(rf'data-passage="(\w[^"]*)"[^>]*data-first="{_first_of_long(long_page)}"',
                        text)  # fmt: skip
    assert passage
    closed = long_page.ask(f"{long_page.match}/passage/{passage[1]}").text
    assert closed.count('class="th') == 8
    assert f"{LONG} frames" in closed
    middle = long_page.made.frames[PASSAGES - 2 + LONG // 2]
    opened = long_page.ask(f"{long_page.match}/frame/{middle}").text
    assert opened.count('class="th') == 16
    assert "192 earlier" in opened
    assert "191 later" in opened


def _first_of_long(page: Page) -> str:
    keys = [k for k, _ in page.ask(f"{page.match}/standing").value["rows"]]
    text = page.ask(f"{page.match}/rows?keys={','.join(keys)}").text
    rows = re.findall(r'data-first="(\w+)"', text)
    long_ones = set(page.made.frames[PASSAGES - 2 : PASSAGES - 2 + LONG])
    return next(r for r in rows if r in long_ones)


def test_the_hostile_names_are_all_there_as_text(tmp_path: Path) -> None:
    """What was typed is shown as it was typed, on the sheet and in what the phone takes along."""
    made = hostile(tmp_path / "workspace")
    with serving(made, phones=("127.0.0.1:1",)) as page:
        sheet = newest_sheet(Workspace.open(made.folder), made.match)
        assert sheet is not None
        text = html.unescape(page.ask(f"{page.match}/before").text)
        for person in sheet.people:
            assert person.printed_name in text
        told = page.ask(f"{page.match}/line/point", method="POST", send={"line": "x", "frame": "y"})
        assert told.status == 404


@pytest.mark.browser
def test_hostile_names_run_nothing_and_widen_nothing(chromium, tmp_path: Path) -> None:
    """In a browser no page of a hostile match runs a script, fails, or is wider than a phone."""
    made = hostile(tmp_path / "workspace")
    with serving(made) as page:
        tab = Tab(chromium, viewport={"width": 360, "height": 740})
        tab.page.on("dialog", lambda dialog: tab.trouble.append(dialog.message))
        for address in addresses(page):
            if re.search(r"/(frame|standing|rows|kits)", address.partition("?")[0]):
                continue
            tab.page.goto(page.address + address)
            assert tab.page.locator("img[src=x]").count() == 0
            width = tab.page.evaluate("document.documentElement.scrollWidth")
            assert width <= 360, address
        tab.context.close()
        assert tab.trouble == []


@pytest.mark.browser
def test_a_long_match_is_walked_from_end_to_end(chromium, long_page: Page) -> None:
    """The arrows go through the passage of four hundred; rows far from the window hold nothing."""
    tab = Tab(chromium)
    middle = long_page.made.frames[PASSAGES - 2 + LONG // 2]
    tab.page.goto(f"{long_page.address}{long_page.match}?frame={middle}")
    for _ in range(12):
        following = tab.page.get_attribute("[data-opened]", "data-next")
        tab.page.keyboard.press("ArrowRight")
        tab.opens(following)
    assert tab.page.locator("[data-opened]").count() == 1
    tab.page.keyboard.press("ArrowUp")
    tab.until("f => document.querySelector('[data-opened]')?.dataset.opened !== f", following)
    tab.page.evaluate("scrollTo(0, document.body.scrollHeight)")
    tab.until("document.querySelectorAll('[data-row]:not([data-shell])').length < 60")
    last = "[...document.querySelectorAll('[data-row]')].at(-1).querySelector('img')"
    tab.until(f"{last}?.complete === true")
    tab.context.close()
    assert tab.trouble == []
