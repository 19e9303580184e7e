"""What is taken in first."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.frames.urgent import (
    AFTER_GOAL_S,
    BEFORE_GOAL_S,
    STRIKE_FIRST,
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
        "second goal",
        "celebration",
        "latest",
        "first goal",
        "warm-up",
        "unknown",
    ]


def burst(camera: str, start_s: float, frames: int) -> list[Waiting]:
    """Frames of one burst, ten a second, called by camera and number."""
    return [
        Waiting(f"{camera} {n}", at=Interval.around(at(start_s + n / 10), 0.05), camera=camera)
        for n in range(frames)
    ]


def test_of_a_goal_the_strike_comes_first_and_then_each_burst_in_turn() -> None:
    """Of a well known goal the nearest frames lead; then the middle of every later burst of each
    camera, then its next; what came before the strike is last."""
    card = [*burst("before", 1990, 2), *burst("strike", 1999.6, 8)]
    card += [*burst("joy", 2004, 3), *burst("bench", 2004.1, 3), *burst("joy again", 2020, 3)]
    found = keys(order(card, [Interval.around(at(2000), 0.5)]))
    assert found[:3] == ["strike 4", "strike 3", "strike 5"]
    assert set(found[:8]) == {f"strike {n}" for n in range(8)}
    assert found[8:11] == ["joy 1", "bench 1", "joy again 1"]
    assert set(found[11:14]) == {"joy 0", "bench 0", "joy again 0"}
    assert set(found[-2:]) == {"before 0", "before 1"}


def test_a_long_strike_leaves_room_for_the_celebration() -> None:
    """Of a strike of 40 frames the nearest ten lead; the celebration does not wait for the rest."""
    card = [*burst("strike", 1998.6, 28), *burst("joy", 2004, 3)]
    found = keys(order(card, [Interval.around(at(2000), 0.5)]))
    assert set(found[:STRIKE_FIRST]) == {f"strike {n}" for n in range(9, 19)}
    assert set(found[STRIKE_FIRST : STRIKE_FIRST + 3]) == {"joy 0", "joy 1", "joy 2"}


def test_where_the_log_leaves_a_goal_open_its_frames_tell_the_strike() -> None:
    """Of a goal typed three minutes late the first burst of the last scene is the strike."""
    card = [*burst("play", 1880, 3), *burst("strike", 1950, 3), *burst("joy", 1956, 3)]
    found = keys(order(card, [Interval(at(1850), at(2030))]))
    assert set(found[:3]) == {"strike 0", "strike 1", "strike 2"}
    assert set(found[3:6]) == {"joy 0", "joy 1", "joy 2"}


def test_a_memo_stays_behind_its_picture() -> None:
    """Of files of one instant the order given is kept, near a goal as elsewhere."""
    card = [w for f in burst("joy", 2004, 5) for w in (f, replace(f, key=f"memo of {f.key}"))]
    found = keys(order(card, [Interval.around(at(2000), 0.5)]))
    for n in range(5):
        assert found.index(f"memo of joy {n}") > found.index(f"joy {n}")


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
