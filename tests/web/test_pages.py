"""The pages as the server makes them."""

from __future__ import annotations

import html
import re
from dataclasses import replace

import pytest
import small_match

from setpiece.store.matches import add_fixture, add_sheet
from setpiece.store.workspace import Workspace
from setpiece.web.front import STALE


def test_the_report_tells_the_match(page) -> None:
    """The report has the score, the goals as sentences and the minutes, the newest first."""
    text = page.ask(page.match).text
    assert "<b>Goal.</b> Freya Ostmark from a free kick" in text
    assert "<b>Own goal.</b> Júlia Vasarhegyi, for Calder Haven" in text
    assert text.index("74&#39;") < text.index("68&#39;") < text.index("45+2&#39;")
    assert '<span class="goals">2–1</span>' in text


def test_the_opened_frame_stands_in_its_row(page) -> None:
    """An opened frame shows its credit sentence, its caption and the check where it was shot."""
    frame = page.made.frames[73]
    text = page.ask(f"{page.match}?frame={frame}").text
    goal, opened, penalty = (
        text.index("Goal.</b> Freya"),
        text.index("data-opened"),
        text.index("Penalty saved"),
    )
    assert goal < opened < penalty
    assert f'data-opened="{frame}"' in text
    assert "16:31:49.8 CET within a tenth of a second. In use." in text
    assert "Freya Ostmark (left) of Eastmere Rovers Women celebrates" in text
    assert "both on the pitch" in text
    assert "2–1 as logged" in text


@pytest.mark.parametrize(
    "path",
    [
        "/match/nothing",
        "/match/..",
        "{match}?frame=f0",
        "{match}/frame/x",
        "{match}/passage/x",
        "/x",
    ],
)
def test_what_is_not_there_is_said_plainly(page, path: str) -> None:
    """An unknown match, frame, passage or page is a 404 with a sentence and a way back."""
    answer = page.ask(path.format(match=page.match))
    assert answer.status == 404
    assert "Back to the matches" in answer.text
    assert "Traceback" not in answer.text


def test_the_margin_tells_what_is_still_wanted(own_page) -> None:
    """The margin counts the shot list and names what is missing; a frame in use answers it."""

    def wanted() -> tuple[int, int, str]:
        text = own_page.ask(own_page.match).text
        found = re.search(r'part wanted"(.*?)</section>', text, re.DOTALL)
        assert found
        done = re.search(r"(\d+) of (\d+)", found[1])
        assert done
        return int(done[1]), int(done[2]), found[1]

    before, total, shown = wanted()
    assert 0 < before < total
    assert shown.count("<li") <= 7
    frame = own_page.made.frames[106]
    for line in ("9r shakes hands with 9b", "use"):
        sent = {"line": line, "frame": frame}
        assert own_page.post(f"{own_page.match}/line", sent).status == 200
    assert wanted()[0] > before


def test_the_desks_show_receipts_and_refusals(page) -> None:
    """A desk's page gives what it has with its receipt, and its own words for a refusal."""
    text = page.ask(f"{page.match}/desk").text
    assert "1.4 MB in 6 s" in text
    assert "552 quota exceeded" in text
    assert text.index("Must be put right first") < text.index("has 2 pictures")


def test_the_first_page_tells_where_each_match_stands(page) -> None:
    """The first page has the match with its score and what it is known by; during it, first."""
    text = page.ask("/").text
    assert "Covered" in text
    assert "2–1" in text
    assert "107 frames" in text
    assert "Vale Cup, semi-final" in text


def test_what_is_missing_stands_on_the_first_page(own_page) -> None:
    """A match to come without a sheet says that nobody can be named yet."""
    space = Workspace.open(own_page.made.folder)
    coming = replace(small_match.fixture(), home="Wend Athletic", kick_off=own_page.now[0] + STALE)
    add_fixture(space, coming, small_match.LATER)
    text = own_page.ask("/").text
    assert "Wend Athletic" in text
    assert "nobody can be named yet" in text


def test_a_match_with_nothing_in_it_stands(own_page) -> None:
    """Without sheet, log and frames the page of a match still stands and says so."""
    space = Workspace.open(own_page.made.folder)
    other = add_fixture(
        space, replace(small_match.fixture(), home="Wend Athletic"), small_match.LATER
    )
    answer = own_page.ask(f"/match/{other.folder}")
    assert answer.status == 200
    assert "Nothing is logged and no frame is taken in yet." in answer.text
    assert own_page.ask(f"/match/{other.folder}/desk").status == 200


def test_hostile_names_are_only_text(own_page) -> None:
    """Markup, quotes, long and right-to-left names on the sheet never become markup."""
    space = Workspace.open(own_page.made.folder)
    add_sheet(space, own_page.made.match, small_match.hostile_sheet(), small_match.LATER)
    frame = own_page.made.frames[73]
    for path in (own_page.match, f"{own_page.match}?frame={frame}", f"{own_page.match}/desk", "/"):
        text = own_page.ask(path).text
        assert "<img src=x" not in text
    assert html.escape(small_match.HOSTILE[0]) in own_page.ask(own_page.match).text


def test_the_edition_follows_the_cookie(page) -> None:
    """The edition chosen is set by the server; any other value leaves it to the system."""
    night = page.ask("/", headers={"cookie": "edition=night"}).text
    assert '<html lang="en" data-edition="night">' in night
    for cookie in ("edition=auto", 'edition="><script>', ""):
        assert 'data-edition="' not in page.ask("/", headers={"cookie": cookie}).text


def test_kits_come_as_a_style_sheet(page) -> None:
    """The sides' colours are variables of a style sheet of the match."""
    answer = page.ask(f"{page.match}/kits.css")
    assert answer.text.startswith(":root{--kit-home:#b5382a;--kit-away:#2d4f8b;}\n")
