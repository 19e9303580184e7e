"""Verdicts on cuttings, and what a person says of them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.books.cuttings import (
    STANDARD,
    FrameTest,
    Publication,
    State,
    Verdict,
    doubts_of,
    judged,
    moved_on,
)
from setpiece.errors import WrongUse

SAME = FrameTest(changed=0.01, alike=0.99, beyond=0.0, shown=1.0)


@pytest.mark.parametrize(
    ("score", "test", "verdict"),
    [
        (0, None, Verdict.NOT_MINE),
        (5, SAME, Verdict.NOT_MINE),
        (6, SAME, Verdict.LOOK),
        (11, SAME, Verdict.LOOK),
        (12, SAME, Verdict.THIS_FRAME),
        (200, None, Verdict.SAME_MOMENT),
        (200, FrameTest(3.0, 0.99, 0.0, 1.0), Verdict.SAME_MOMENT),
        (200, FrameTest(0.01, 0.99, 0.0, 1.0, softened=True), Verdict.SAME_MOMENT),
        (200, FrameTest(0.01, 0.80, 0.0, 1.0), Verdict.SAME_MOMENT),
        (200, FrameTest(0.01, 0.99, 0.05, 1.0), Verdict.SAME_MOMENT),
        (200, FrameTest(0.01, 0.99, 0.0, 0.2), Verdict.SAME_MOMENT),
    ],
)
def test_verdicts_by_their_numbers(score: int, test: FrameTest | None, verdict: Verdict) -> None:
    """5 points are not mine, 6 a look, 12 a claim, and this frame only where nothing changed."""
    said = judged(score, test)
    assert said.verdict is verdict
    assert said.why[0] == f"{score} points agree"
    assert all(said.why)


@given(
    st.integers(0, 400),
    st.builds(
        FrameTest,
        st.floats(0, 50),
        st.floats(-1, 1),
        st.floats(0, 1),
        st.floats(0, 1),
        st.booleans(),
    ),
)
def test_a_frame_is_claimed_only_without_doubt(score: int, test: FrameTest) -> None:
    """This frame is said exactly where 12 points agree and no limit of the frame test is passed."""
    claimed = judged(score, test).verdict is Verdict.THIS_FRAME
    assert claimed == (score >= STANDARD.claim and not doubts_of(test))


def test_a_word_is_said_once() -> None:
    """An open cutting is confirmed or rejected, a rejection taken back, a confirmation not."""
    assert moved_on(State.OPEN, State.CONFIRMED) is State.CONFIRMED
    assert moved_on(State.REJECTED, State.OPEN) is State.OPEN
    with pytest.raises(WrongUse, match="reverse that entry"):
        moved_on(State.CONFIRMED, State.REJECTED)
    with pytest.raises(WrongUse, match="already"):
        moved_on(State.REJECTED, State.CONFIRMED)


def test_typed_words_stand_before_the_files() -> None:
    """What is typed replaces what the file says; what is not typed stays."""
    told = Publication("Gazette", "", "Late winner", told_by="the file")
    typed = told.typed_over(outlet="", day="2027-03-07", title="")
    assert typed == Publication("Gazette", "2027-03-07", "Late winner", told_by="typed")
    assert told.typed_over(outlet="") is told


@pytest.mark.parametrize(
    ("test", "doubts"),
    [
        (None, ("too little of it can be compared with the frame",)),
        (SAME, ()),
        (FrameTest(9, 0.1, 0.0, 1.0, softened=True),
         ("it is coarse like print: frames of one burst cannot be told apart",)),
        (FrameTest(9, 0.9, 0.0, 1.0), ("it is too coarse to tell frames of one burst apart",)),
        (FrameTest(0.031, 0.95, 0.0, 1.0),
         ("something in it changed: another frame, or text laid over it",)),
        (FrameTest(0.03, 0.95, 0.004, 0.3), ()),
        (FrameTest(0.03, 0.95, 0.005, 0.29),
         ("only 29% of the frame is seen", "0.5% of it lies outside the frame")),
    ],
)  # fmt: skip
def test_every_doubt_has_its_words(test: FrameTest | None, doubts: tuple[str, ...]) -> None:
    """At a limit nothing is doubted yet; beyond it each doubt is told, print before all else."""
    assert doubts_of(test) == doubts
    whys = judged(12, test).why
    assert whys == ("12 points agree", *(doubts or ("nothing moved between the two",)))
    assert judged(6, test).why == ("6 points agree", "12 are needed")


def test_what_is_typed_goes_over_what_the_file_says() -> None:
    """Empty words change nothing; who typed is kept."""
    known = Publication("Gazette", "2027-03-07", told_by="file")
    assert known.typed_over(title="Joy", outlet="") == Publication(
        "Gazette", "2027-03-07", "Joy", "", "", "typed"
    )
    assert known.typed_over(title="", outlet="") is known
