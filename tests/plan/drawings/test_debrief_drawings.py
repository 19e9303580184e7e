"""The debrief's drawings."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest

sys.path.append(str(Path(__file__).parent.parent / "debrief"))
from made_up import at, delivery, entry, facts

from setpiece.match.entries import Kind
from setpiece.plan.debrief.debrief import debrief
from setpiece.plan.debrief.facts import EarlierFact, KickFact
from setpiece.plan.debrief.sharpness import Share
from setpiece.plan.drawings.canvas import Drawing
from setpiece.plan.drawings.debrief_bars import (
    draw_earlier,
    draw_kick,
    draw_shares,
    draw_ways,
)
from setpiece.plan.drawings.debrief_timeline import draw_timeline

MATCH = facts(
    entries=(
        *facts().entries,
        entry(3, Kind.GOAL, 1860.0, words="Goal, Ten from a penalty, 2–0"),
        entry(4, Kind.YELLOW, 1900.0),
        entry(5, Kind.SUBSTITUTION, 4200.0),
        entry(6, Kind.PENALTY_SAVED, 4315.0),
    ),
    deliveries=(delivery(1, 1801.0, 1900.0, event=at(1800.0), entry=2),),
    earlier=(EarlierFact("2027-01-01", "Home v Other", 10, 2, 300.0),),
)
KICK = KickFact(2, "31", "Goal, Nine", "free kick", "A", (-0.9, -0.1, 0.0, 0.1, 0.2), 300.0, 10.0,
                0.9, 0.15, 1.5, (0.0, 0.1))  # fmt: skip


def drawings() -> list[Drawing]:
    """Every drawing of the match."""
    made = debrief(MATCH)
    return [
        draw_timeline(made),
        draw_timeline(made, [1]),
        draw_timeline(made, [2]),
        draw_ways(made),
        draw_earlier(made),
        draw_kick(KICK),
        draw_kick(replace(KICK, marked=None, window_s=None, flight_s=None)),
        draw_shares("shutter", (Share("1/500 s", 3, 4), Share("1/1600 s", 8, 8))),
    ]


@pytest.mark.parametrize("drawing", drawings(), ids=lambda d: d.title)
def test_everything_lies_on_the_paper(drawing: Drawing) -> None:
    """Each shape and the start of each text lies within the drawing; no inline style."""
    root = ElementTree.fromstring(drawing.svg(alone=False))
    assert drawing.description
    for element in root.iter():
        assert "style" not in element.attrib
        for name, most in (("x", drawing.width), ("x1", drawing.width), ("cx", drawing.width),
                           ("y", drawing.height), ("y1", drawing.height),
                           ("cy", drawing.height)):  # fmt: skip
            if name in element.attrib:
                assert -0.5 <= float(element.attrib[name]) <= most + 0.5


def words(drawing: Drawing) -> list[str]:
    """The texts of a drawing."""
    root = ElementTree.fromstring(drawing.svg(alone=False))
    return [e.text or "" for e in root.iter() if e.tag.endswith("text")]


def test_goals_near_each_other_stand_in_rows_of_their_own() -> None:
    """Two goals a minute apart have their words at two heights."""
    root = ElementTree.fromstring(draw_timeline(debrief(MATCH)).svg(alone=False))
    heights = {
        e.text: e.attrib["y"] for e in root.iter()
        if e.tag.endswith("text") and "name" in e.attrib.get("class", "")
    }  # fmt: skip
    assert set(heights) == {"31' Nine 1–0", "32' Ten 2–0"}
    assert len(set(heights.values())) == 2


def test_a_missed_entry_is_named_in_the_lane() -> None:
    """A card in the log without a frame has the word under its sign."""
    bare = replace(MATCH, frames=MATCH.frames[:2])
    assert words(draw_timeline(debrief(bare))).count("missed") == 5
    assert "missed" not in words(draw_timeline(debrief(MATCH)))


def test_this_match_stands_below_the_earlier_ones() -> None:
    """The middle times are printed, this match last."""
    said = words(draw_earlier(debrief(MATCH)))
    assert said.index("Home v Other") < said.index("Home v Away")
    assert "5 min" in said
    assert "1 min 39 s" in said


def test_frames_of_a_kick_are_full_where_they_hold_both() -> None:
    """Marked frames are full, the others hollow; those long before the strike are not drawn."""
    svg = draw_kick(KICK).svg(alone=False)
    assert svg.count('class="shot-held"') == 2
    assert svg.count('class="shot-lost"') == 2
    by_plan = draw_kick(replace(KICK, marked=None)).svg(alone=False)
    assert by_plan.count('class="shot-held"') == 2
