"""What is taken in first."""

from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.frames.urgent import (
    AFTER_GOAL_S,
    BEFORE_GOAL_S,
    Waiting,
    around_goal,
    order,
    quick_pass,
)
from setpiece.match.instants import Instant, Interval, instant

KICK_OFF = datetime(2027, 3, 6, 14, 0, tzinfo=UTC)


def at(second: float) -> Instant:
    return instant(KICK_OFF + timedelta(seconds=second))


def waiting(key: str, second: float | None, protected: bool = False) -> Waiting:
    return Waiting(key, protected, None if second is None else Interval.around(at(second), 0.5))


CARD = [
    waiting("warm-up", -600),
    waiting("first goal", 1000),
    waiting("protected", 500, protected=True),
    waiting("second goal", 2010),
    waiting("celebration", 2055),
    waiting("latest", 2400),
    waiting("unknown", None),
    waiting("protected, unknown", None, protected=True),
]
GOALS = [Interval.around(at(2000), 2), Interval.around(at(1000), 2)]


def keys(found: tuple[Waiting, ...]) -> list[str]:
    return [w.key for w in found]


def test_protected_then_the_goal_then_the_newest() -> None:
    """Protected frames come first, then those of the newest goal, then the newest."""
    assert keys(order(CARD, GOALS)) == [
        "protected",
        "protected, unknown",
        "celebration",
        "second goal",
        "latest",
        "first goal",
        "warm-up",
        "unknown",
    ]


def test_without_a_goal_the_newest_come_first() -> None:
    """Before any goal the order is protected, then newest."""
    assert keys(order(CARD))[2:4] == ["latest", "celebration"]


def test_a_goals_frames_reach_from_the_move_to_the_celebration() -> None:
    """The time of a goal is widened by the move before it and the celebration after."""
    near = around_goal(Interval.exactly(at(100)))
    assert near == Interval(at(100 - BEFORE_GOAL_S), at(100 + AFTER_GOAL_S))


def test_a_quick_pass_takes_what_meets_every_condition() -> None:
    """Only protected, since and goal narrow a first pass, alone and together."""
    assert keys(quick_pass(CARD)) == keys(tuple(CARD))
    assert keys(quick_pass(CARD, only_protected=True)) == ["protected", "protected, unknown"]
    assert keys(quick_pass(CARD, since=at(2050))) == ["celebration", "latest"]
    assert keys(quick_pass(CARD, goal=GOALS[0])) == ["second goal", "celebration"]
    assert keys(quick_pass(CARD, goal=GOALS[0], since=at(2050))) == ["celebration"]
    assert keys(quick_pass(CARD, only_protected=True, since=at(0))) == ["protected"]


@settings(deadline=None)
@given(st.lists(st.tuples(st.booleans(), st.none() | st.floats(-1e4, 1e4)), max_size=30))
def test_no_frame_is_left_out_of_the_order(card: list[tuple[bool, float | None]]) -> None:
    """Every frame of a card is in the order once, protected ones before all others."""
    frames = [waiting(str(i), second, mark) for i, (mark, second) in enumerate(card)]
    ordered = order(frames, GOALS)
    assert sorted(keys(ordered)) == sorted(w.key for w in frames)
    assert [w.protected for w in ordered] == sorted((w.protected for w in ordered), reverse=True)
