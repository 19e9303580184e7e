"""Golden lines, each with a twin that carries one wrong fact."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cup_tie import CupTie
from golden import GOLDEN, Golden

from setpiece.captions.findings import Level
from setpiece.captions.typed_over import typed_over


@pytest.fixture(scope="module")
def ties(tie: CupTie, long_tie: CupTie, dark_tie: CupTie) -> dict[str, CupTie]:
    """The three logs of the tie."""
    return {"tie": tie, "long": long_tie, "dark": dark_tie}


@pytest.mark.parametrize("golden", GOLDEN, ids=lambda g: g.about)
def test_a_golden_line_prints_what_it_should(golden: Golden, ties: dict[str, CupTie]) -> None:
    """The clause is the one written down, and the check finds no error in the caption."""
    tie = ties[golden.tie]
    caption = tie.compose(golden.line, golden.at, frame=golden.frame)
    clause = caption.fields.description
    assert clause.startswith(golden.says + " "), clause
    found = tie.check(caption, golden.at, frame=golden.frame)
    assert [f for f in found if f.level is Level.ERROR] == []


@pytest.mark.parametrize("golden", GOLDEN, ids=lambda g: g.about)
def test_its_twin_is_caught(golden: Golden, ties: dict[str, CupTie]) -> None:
    """With one fact made wrong the check finds that kind of error."""
    tie = ties[golden.tie]
    caption = tie.compose(golden.line, golden.at, frame=golden.frame)
    text = caption.fields.description
    assert golden.right in text
    values = replace(caption.fields, description=text.replace(golden.right, golden.wrong))
    situation = tie.situation(golden.at, golden.frame)
    twin = typed_over(caption, values, situation, tie.style(), tie.acts)
    found = tie.check(twin, golden.at, frame=golden.frame)
    assert golden.code in {f.code for f in found if f.level is Level.ERROR}


def test_there_are_sixty_situations() -> None:
    """At least sixty situations are written down, no two alike."""
    assert len(GOLDEN) >= 60
    assert len({g.about for g in GOLDEN}) == len(GOLDEN)
