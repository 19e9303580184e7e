"""The trade's rules for captions as a checklist over every shipped house style.

Rules: AP caption style as taught in photojournalism courses (first sentence: who and what in the
present tense, the place, the date with its year; at most two sentences; placement left to right;
no adjectives); IPTC Photo Metadata Standard 2025.1 (alt text of at most 250 characters, bytes per
field); common practice without a source (score as at the frame's time, the club's own titles).
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent.parent / "captions" / "helpers"))
sys.path.append(str(Path(__file__).parent.parent / "captions" / "oracle"))

import accuracy
import plain_matches
from cup_tie import LONG_LOG, CupTie
from golden import GOLDEN
from mutation import Clean
from said import LOOKS, date_text

from setpiece.captions.fields import over_long
from setpiece.captions.findings import Level
from setpiece.captions.freetext import sentences
from setpiece.work.style_files import load_acts, load_style, style_names

pytestmark = pytest.mark.published

CAPTIONS = 240
"""Captions made over the invented match: sixty in each of the four styles."""


@pytest.fixture(scope="module")
def made() -> list[tuple[Clean, str]]:
    """Captions of random lines in every style in turn."""
    figures = accuracy.Figures()
    return list(accuracy.clean_captions([plain_matches.invented()], CAPTIONS, figures))


def _first(clean: Clean) -> str:
    language = clean.acts.language(clean.style.language)
    return sentences(clean.text, language)[0]


def _present(clean: Clean) -> bool:
    words = clean.acts.language(clean.style.language).words["past"]
    before = re.split(r"\b(?:after|nach)\b", _first(clean))[0].lower().split()
    return not set(before) & set(words)


def _place_and_date(clean: Clean) -> bool:
    from zoneinfo import ZoneInfo

    name = next(n for n in style_names() if load_style(None, n) == clean.style)
    day = clean.match.time(clean.case.at_s).astimezone(ZoneInfo(clean.match.zone))
    first = _first(clean)
    return date_text(LOOKS[name], day) in first and clean.match.venue in first


def _order(clean: Clean) -> bool:
    """Placements that run from left to right stand in that order in the text."""
    places = re.findall(r"\b(left|centre|right|links|Mitte|rechts)\)", clean.text)
    rank = {"left": 0, "links": 0, "centre": 1, "Mitte": 1, "right": 2, "rechts": 2}
    return len(places) < 3 or [rank[p] for p in places] == sorted(rank[p] for p in places)


def _plain(clean: Clean) -> bool:
    words = clean.acts.language(clean.style.language).words
    text = clean.text.lower()
    return not any(re.search(rf"\b{re.escape(w)}\b", text) for w in words["adjectives"])


RULES: dict[str, Callable[[Clean], bool]] = {
    "at most two sentences": lambda c: (
        len(sentences(c.text, c.acts.language(c.style.language))) <= 2
    ),
    "the first sentence is in the present tense": _present,
    "place and date with its year stand in the first sentence": _place_and_date,
    "placement runs left to right": _order,
    "no adjectives": _plain,
    "ends with a full stop": lambda c: c.text.endswith("."),
    "the headline has no full stop": lambda c: not c.caption.fields.headline.endswith("."),
    "alt text has at most 250 characters and no name": lambda c: (
        len(c.caption.fields.alt_text) <= 250
        and not any(p.name in c.caption.fields.alt_text for p in c.match.people)
    ),
    "no field is over its bytes": lambda c: over_long(c.caption.fields) == (),
    "keywords are single and not repeated": lambda c: (
        len(set(c.caption.fields.keywords)) == len(c.caption.fields.keywords)
    ),
    "no winner before full time": lambda c: not re.search(r"\bwinner\b|Siegtreffer", c.text),
    "every person shown has a description": lambda c: all(
        p.description for p in c.caption.fields.persons
    ),
}


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("style", style_names())
def test_a_rule_holds_in_every_style(rule: str, style: str, made: list[tuple[Clean, str]]) -> None:
    """Each rule of the trade holds for every caption of each shipped style."""
    of_style = [clean for clean, name in made if name == style]
    assert len(of_style) >= CAPTIONS // 4 - 1
    assert [c.text for c in of_style if not RULES[rule](c)] == []


@pytest.mark.parametrize("style", style_names())
def test_the_golden_situations_are_sound_in_every_style(style: str) -> None:
    """Each golden line gives a caption without an error in each shipped style."""
    ties = {"tie": CupTie(load_acts()), "long": CupTie(load_acts(), LONG_LOG)}
    for golden in (g for g in GOLDEN if g.tie in ties):
        tie = ties[golden.tie]
        caption = tie.compose(golden.line, golden.at, style, golden.frame)
        found = tie.check(caption, golden.at, style, golden.frame)
        assert [f for f in found if f.level is Level.ERROR] == [], (golden.about, found)
