"""What a goal was, and how sides stand, in the words they are looked for by."""

from __future__ import annotations

import pytest

from setpiece.match.entries import EntryId, How, Standing
from setpiece.match.instants import MinuteLabel
from setpiece.match.people import Side
from setpiece.match.state import GoalSoFar, Phase, Score, SideState, State
from setpiece.work.find.situation_words import words_of_goal, words_of_state


def state(home: int, away: int, phase: Phase = Phase.SECOND_HALF, **other: object) -> State:
    """The match at that score."""
    return State(phase, Score(home, away), SideState(), SideState(), **other)  # type: ignore[arg-type]


def goal(home: int, away: int, side: Side, **other: object) -> GoalSoFar:
    """A goal that made that score."""
    values: dict[str, object] = {
        "entry": EntryId(1), "side": side, "scorer": None, "assist": None, "how": How.PLAY,
        "standing": Standing.GIVEN, "label": None, "score": Score(home, away),
    }  # fmt: skip
    return GoalSoFar(**(values | other))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("made", "side", "word", "not_word"),
    [
        ((1, 0), Side.HOME, "opener", "equaliser"),
        ((1, 1), Side.AWAY, "equaliser", "opener"),
        ((2, 1), Side.HOME, "go ahead", "extends"),
        ((3, 1), Side.HOME, "extends lead", "go ahead"),
        ((3, 2), Side.AWAY, "pulls one back", "equaliser"),
    ],
)
def test_a_goal_is_what_its_score_made_it(
    made: tuple[int, int], side: Side, word: str, not_word: str
) -> None:
    """Opener, equaliser, lead, extension and reply follow from the running score."""
    words = words_of_goal(goal(*made, side), state(3, 2))
    assert word in words
    assert not_word not in words


def test_a_winner_exists_only_after_the_end() -> None:
    """The same goal is no winner while the match goes on, nor when it did not decide."""
    lead = goal(2, 1, Side.HOME)
    assert "winner" not in words_of_goal(lead, state(2, 1))
    assert "winner" in words_of_goal(lead, state(2, 1, Phase.FULL_TIME))
    assert "winner" in words_of_goal(lead, state(3, 1, Phase.OVER))
    assert "winner" not in words_of_goal(lead, state(3, 2, Phase.OVER))
    assert "winner" not in words_of_goal(lead, state(2, 2, Phase.OVER))


def test_ways_of_a_goal_are_words() -> None:
    """Own goals, penalties, free kicks and headers have words; so has a disallowed one."""
    assert "own goal" in words_of_goal(goal(1, 1, Side.AWAY, how=How.OWN_GOAL), state(1, 1))
    assert "header" in words_of_goal(goal(1, 0, Side.HOME, how=How.HEADER), state(1, 0))
    off = goal(1, 0, Side.HOME, standing=Standing.DISALLOWED, score=None)
    assert words_of_goal(off, state(0, 0)) == "disallowed goal"


def test_sides_stand_as_the_score_says() -> None:
    """Of the sides shown one leads and one loses; nobody shown, nobody stands."""
    words = words_of_state(state(1, 2, label=MinuteLabel(90, 3)), [Side.HOME])
    assert "losing behind trailing" in words
    assert "leading" not in words
    assert "1to2" in words
    assert "stoppage time" in words
    assert "leading" in words_of_state(state(1, 2), [Side.AWAY])
    assert "level" in words_of_state(state(1, 1), [Side.AWAY])
    assert words_of_state(state(1, 1), []) == "second half 1to1"
