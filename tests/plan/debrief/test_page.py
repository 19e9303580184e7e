"""The page of the debrief."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser

from made_up import at, delivery, facts

from setpiece.plan.debrief.debrief import debrief, standfirst
from setpiece.plan.debrief.facts import (
    CorrectionFact,
    CoverageFact,
    EarlierFact,
    KickFact,
    MoneyFact,
)
from setpiece.plan.debrief.page import Linked, debrief_css, debrief_html
from setpiece.plan.debrief.sections import sections

NASTY = '<script>alert("x")</script> & Söhne'
WHOLE = facts(
    deliveries=(delivery(1, 1801.0, 1900.0, event=at(1800.0), entry=2, card=at(1850.0)),),
    kicks=(
        KickFact(2, "31", "Goal, Nine", "free kick", "A", (0.0, 0.1), 300.0, 10.0, 0.9, 0.15, 1.5,
                 (0.0,), goal=True, seat="West"),
        KickFact(3, "60", "Penalty saved", "penalty", "A", (-0.1, 0.1)),
    ),
    corrections=(CorrectionFact("A-0028", "46", "Four", "Five", ("City",), cause="the log"),
                 CorrectionFact("A-0029", "", "", "", ("City",), kill=True)),
    coverage=CoverageFact(3, 20, ("Warm-up",), ("Captain (for City)",), 5, 4, 1, ("Five",), 22),
    earlier=(EarlierFact("2027-01-01", "Home v Other", 10, 2, 300.0, 240.0),),
    money=MoneyFact(2, ("Gazette",), ("140.00 EUR",), (), 2, ("9.50 EUR",)),
    colours=("#b5382a", "javascript:x"),
)  # fmt: skip


class Tags(HTMLParser):
    """Every tag with its attributes."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))


def tags(html: str) -> list[tuple[str, dict[str, str | None]]]:
    """The tags of a page."""
    reader = Tags()
    reader.feed(html)
    return reader.found


def test_the_page_needs_nothing_from_outside() -> None:
    """No script, no address, no picture file, no style attribute: the page is whole by itself."""
    html = debrief_html(debrief(WHOLE))
    for tag, attributes in tags(html):
        assert tag not in ("script", "img", "link", "iframe")
        assert not {"style", "src", "href", "onclick"} & set(attributes)
    assert "url(" not in html
    assert "@import" not in html


def test_a_served_page_links_its_style_and_the_way_back() -> None:
    """Under a content policy the style is a sheet of its own; the edition is the reader's."""
    html = debrief_html(debrief(WHOLE), Linked("/x.css", "/after", "After", "night"))
    assert "<style" not in html
    found = tags(html)
    assert ("link", {"rel": "stylesheet", "href": "/x.css"}) in found
    assert ("a", {"href": "/after"}) in found
    assert found[0][1]["data-edition"] == "night"


def test_names_are_shown_and_never_run() -> None:
    """A side that is called like a script is printed as text, in the page and its drawings."""
    html = debrief_html(debrief(replace(WHOLE, home=NASTY, folio=NASTY, photographer=NASTY)))
    assert "<script" not in html
    assert "&lt;script&gt;" in html


def test_only_colours_reach_the_style_sheet() -> None:
    """What is no colour of a kit is left out."""
    css = debrief_css(WHOLE.colours)
    assert ".home{fill:#b5382a}" in css
    assert "javascript" not in css


def test_every_section_has_its_heading_once() -> None:
    """The sections of a whole match stand on the page, each under its own name."""
    names = [s.name for s in sections(debrief(WHOLE))]
    assert names == ["timeline", "log", "desk", "kicks", "sharp", "coverage", "wrong", "money",
                     "ways", "settings"]  # fmt: skip
    html = debrief_html(debrief(WHOLE))
    for section in sections(debrief(WHOLE)):
        assert html.count(f'id="{section.name}"') == 1


def test_a_match_with_nothing_but_frames_has_a_page() -> None:
    """Without log, deliveries, kicks or money the page holds what there is."""
    bare = facts(entries=(), frames=facts().frames[:3])
    names = [s.name for s in sections(debrief(bare))]
    assert names == ["timeline", "settings"]
    assert "<h1>" in debrief_html(debrief(bare))
    assert debrief_html(debrief(facts(frames=(), entries=(), lengths_s={})))


def test_what_was_missed_is_told_by_mark_and_word() -> None:
    """A missed entry has a cross and the word, not a colour alone."""
    html = debrief_html(debrief(replace(WHOLE, frames=WHOLE.frames[:2])))
    assert "✗ missed" in html
    assert re.search(r">missed</text>", html)


def test_the_standfirst_counts_frames_pictures_and_goals() -> None:
    """Frames, cameras, the set, pictures at desks and the time of the goal stand in it."""
    assert standfirst(debrief(WHOLE)) == (
        "80 frames from one camera, 0 of them in the set; one picture at one desk. "
        "The goal was at North 1 min 40 s after it."
    )


def test_a_score_is_never_broken() -> None:
    """The dash of a score is held to its figures by word joiners."""
    assert "1\u2060–\u20600" in debrief_html(debrief(WHOLE))


def test_the_foot_says_for_whom_the_page_is() -> None:
    """The photographer's name, where it is known, and where the rules stand."""
    html = debrief_html(debrief(WHOLE))
    rules = "How the findings are made: docs/debrief.md.</footer></body></html>\n"
    assert html.endswith(f"<footer>For Ida Marlow alone. {rules}")
    assert debrief_html(debrief(replace(WHOLE, photographer=""))).endswith(f"<footer>{rules}")


def test_cells_say_what_they_hold() -> None:
    """Minutes in the gutter, figures set right, what is wrong marked; headings like their cells."""
    html = debrief_html(debrief(replace(WHOLE, frames=WHOLE.frames[:2])))
    assert '<th class="minute">min.</th><th>entry</th><th>first frame</th>' in html
    assert '<th class="n">after it</th><th class="n">frames</th></tr></thead>' in html
    assert (
        '<tr><td class="minute">31\'</td><td>Goal, Nine, 1\u2060–\u20600</td><td></td>'
        '<td class="n wrong-word">✗ missed</td><td class="n"></td></tr>'
    ) in html.replace("&#x27;", "'")


def test_left_and_right_stand_beside_each_other() -> None:
    """Sections of the left come before those of the right; whole ones stand outside the columns."""
    html = debrief_html(debrief(WHOLE))
    names = "timeline log desk kicks sharp coverage wrong money ways".split()
    places = [html.index(f'id="{name}"') for name in names]
    assert places == sorted(places)
    assert html.count('<div class="two">') == 2
    assert html.count('<div class="together">') == 1
    assert html.index('id="timeline"') < html.index('<div class="two">') < html.index('id="log"')
    assert html.count('<figure class="wide">') == html.count('<figure class="narrow">') == 1
    assert '<p class="alone">Camera A, 300\u00a0mm at 10 frames a second, from West.' in html
    assert "<dt>31'</dt><dd>Goal, Nine</dd>" in html.replace("&#x27;", "'")


def test_the_head_names_the_match_and_its_sides() -> None:
    """Day, folio, sides with their shirts, the score between; findings as stories."""
    html = debrief_html(debrief(WHOLE), Linked("/x.css", "/after", "After"))
    assert "<title>Debrief: Home 1\u2060–\u20600 Away</title>" in html
    assert "<span>Saturday, 6 March 2027</span><span>Cup – Ground</span>" in html
    assert '<span><a href="/after">After</a>Debrief</span>' in html
    assert html.count('class="shirt home"') == html.count('class="shirt away"') == 1
    assert '<section class="findings" aria-label="Findings"><article><p class="figure">' in html
    assert '<html lang="en"><head>' in html
    quiet = debrief_html(debrief(facts()))
    assert 'aria-label="Findings"' not in quiet
