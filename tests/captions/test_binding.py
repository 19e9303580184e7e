"""Which entry of the log a line speaks of."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cup_tie import LOG, LONG_LOG, CupTie, extra, first, home, kicks, second

from setpiece.captions.acts import Acts
from setpiece.captions.compose import read_line
from setpiece.captions.line import Question
from setpiece.captions.reading import Bound
from setpiece.match.entries import How, Kind
from setpiece.match.instants import Instant
from setpiece.match.people import Side
from setpiece.match.state import Score

GOAL = second(73, 30)


def bound(tie: CupTie, line: str, at: Instant) -> Bound | None:
    """What a line is bound to."""
    return read_line(line, tie.situation(at), tie.acts).bound


@pytest.mark.parametrize(
    ("line", "at", "entry", "event", "said"),
    [
        ("9r celebrates", GOAL, 10, "goal", False),
        ("someone r scores", GOAL, 10, "goal", False),
        ("9r reacts after 74", second(76), 10, "goal", True),
        ("someone r scores own goal", first(46, 30), 3, "own goal", False),
        ("1y beaten", GOAL, 10, "goal", False),
        ("1g beaten", first(46, 30), 3, "goal", False),
        ("10r sets up 9r", GOAL, 10, "assist", False),
        ("someone r injured", second(88, 5), 14, "injury", False),
        ("7r injured", second(88, 5), 14, "injury", False),
        ("17w replaces 8w", second(62, 20), 8, "substitution", False),
        ("5w sees red", second(80, 20), 11, "red", False),
    ],
)
def test_a_line_is_bound_to_the_entry_it_is_about(
    tie: CupTie, line: str, at: Instant, entry: int, event: str, said: bool
) -> None:
    """Who is named, what is done to whom and when decide; an own goal beats its own side."""
    found = bound(tie, line, at)
    assert found is not None
    assert (found.entry, found.event, found.said) == (entry, event, said)


@pytest.mark.parametrize(
    ("line", "at"),
    [
        ("1g beaten", GOAL),
        ("9w celebrates", GOAL),
        ("9r injured", second(88, 5)),
        ("9r celebrates", second(80)),
        ("5r shoots", GOAL),
    ],
)
def test_what_is_not_about_a_line_is_not_bound(tie: CupTie, line: str, at: Instant) -> None:
    """A goal for the goalkeeper's own side, somebody else's injury, a goal long ago: nothing."""
    assert bound(tie, line, at) is None


def test_a_goal_without_a_side_counts_for_its_scorers_or_against_it(acts: Acts) -> None:
    """The sheet tells whose goal it is; an own goal is the other side's."""
    bare = tuple(replace(e, side=None) if e.kind is Kind.GOAL else e for e in LOG)
    tie = CupTie(acts, bare)
    goal = bound(tie, "9r celebrates", GOAL)
    own = bound(tie, "jo kemp celebrates", first(46, 40))
    assert goal is not None
    assert own is not None
    assert (goal.side, goal.score, str(goal.label)) == (Side.HOME, Score(2, 1), "74")
    assert (own.side, own.score, str(own.label)) == (Side.AWAY, Score(1, 1), "45+2")
    nobody = tuple(replace(e, person=None) if e.kind is Kind.GOAL else e for e in bare)
    unknown = bound(CupTie(acts, nobody), "9r celebrates", GOAL)
    assert unknown is None or unknown.side is None


def test_a_kick_of_the_shoot_out_is_no_goal(acts: Acts) -> None:
    """A goal logged in period 5 is not taken for one of the match."""
    log = tuple(
        replace(e, kind=Kind.GOAL, how=How.PLAY) if e.kind is Kind.SHOOT_OUT_KICK else e
        for e in LONG_LOG
    )
    with pytest.raises(Question) as asked:
        bound(CupTie(acts, log), "9r scores", kicks(1))
    assert asked.value.choices == ("108' goal, Nora Lindqvist",)


def test_the_entry_named_is_the_one_of_that_minute(tie: CupTie) -> None:
    """With several goals the minute tells which; without one all of them are asked about."""
    found = bound(tie, "9r reacts after 17 goal", second(90))
    assert found is not None
    assert (found.entry, found.said, found.scorer) == (2, True, home(9))
    with pytest.raises(Question) as asked:
        bound(tie, "9r reacts after goal", second(90))
    assert len(asked.value.choices) == 4
    recent = bound(tie, "9r celebrates after goal", second(76))
    assert recent is not None
    assert recent.entry == 10


def test_a_goal_under_review_says_so(long_tie: CupTie) -> None:
    """The entry's standing and the score it made come with it."""
    found = bound(long_tie, "9w celebrates after goal", extra(95))
    assert found is not None
    assert (found.standing, found.score, found.side) == ("under review", Score(1, 2), Side.AWAY)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("red 9 shoots", "Nora Lindqvist"), ("r 9 shoots", "Nora Lindqvist"),
        ("home coach reacts", "Mara Feld"), ("white coach reacts", "Tom Birch"),
        ("whitmoor coach reacts", "Tom Birch"),
    ],
)  # fmt: skip
def test_a_side_is_told_by_letter_colour_or_name(tie: CupTie, words: str, name: str) -> None:
    """Whatever is typed for a side leads to its people."""
    reading = read_line(words, tie.situation(first(30)), tie.acts)
    assert [p.name for p in reading.people] == [name]
