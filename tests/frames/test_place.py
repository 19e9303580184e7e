"""A frame's place in the match."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from setpiece.errors import WrongUse
from setpiece.frames.place import chance_of_wrong_minute, place
from setpiece.match.entries import EntryId
from setpiece.match.instants import Instant, Interval, MinuteLabel, instant
from setpiece.match.people import PersonId
from setpiece.match.state import Phase, Score, SideState, State, Worn

KICK_OFF = datetime(2027, 3, 6, 14, 0, tzinfo=UTC)
BEFORE = State(Phase.BEFORE, Score(), SideState(), SideState())
PLAY = State(
    Phase.FIRST_HALF,
    Score(),
    SideState(on_pitch=(Worn(PersonId("h9"), 9),)),
    SideState(),
    period=1,
    label=MinuteLabel(17),
)
GOAL = replace(PLAY, score=Score(1, 0))
CHANGED = replace(PLAY, home=SideState(on_pitch=(Worn(PersonId("h17"), 17),)))


class TwoStates:
    """A fold that changes once, a second after kick-off."""

    def __init__(self, before: State, after: State, pinned: str = "") -> None:
        self.before, self.after, self.pinned = before, after, pinned
        self.change = instant(KICK_OFF + timedelta(seconds=1))

    def state_at(self, at: Instant, /) -> State:
        return self.after if at > self.change else self.before

    def states_within(self, interval: Interval, /) -> tuple[State, ...]:
        return tuple(dict.fromkeys((self.state_at(interval.start), self.state_at(interval.end))))

    def pins(self, frame_id: str, /) -> EntryId | None:
        return EntryId(3) if frame_id == self.pinned else None


def around(second: float, uncertainty_s: float) -> Interval:
    return Interval.around(instant(KICK_OFF + timedelta(seconds=second)), uncertainty_s)


def test_a_place_away_from_every_boundary_is_sure() -> None:
    """Where nothing changes within the uncertainty there is one state and no doubt."""
    found = place("f1", around(5, 0.6), TwoStates(PLAY, GOAL))
    assert (found.state, found.states, found.doubts) == (GOAL, (GOAL,), ())
    assert found.sure


def test_the_state_is_that_of_the_middle() -> None:
    """Of what the uncertainty leaves open, the middle's state is shown."""
    assert place("f1", around(1.2, 0.6), TwoStates(PLAY, GOAL)).state == GOAL
    assert place("f1", around(0.8, 0.6), TwoStates(PLAY, GOAL)).state == PLAY


@pytest.mark.parametrize(
    ("after", "doubt"),
    [
        (GOAL, "a goal lies within the uncertainty: 0–0 or 1–0"),
        (replace(PLAY, label=MinuteLabel(18)), "the minute is not sure: 17 or 18"),
        (CHANGED, "a substitution or a dismissal lies within the uncertainty"),
        (replace(PLAY, shoot_out=Score(1, 0)), "a kick lies within the uncertainty: none or 1–0"),
    ],
)
def test_a_boundary_within_the_uncertainty_is_named(after: State, doubt: str) -> None:
    """A minute, goal, kick or substitution that lies within the uncertainty is a doubt."""
    found = place("f1", around(1, 0.6), TwoStates(PLAY, after))
    assert found.doubts == (doubt,)
    assert not found.sure
    assert found.states == (PLAY, after)


def test_a_whistle_changes_phase_and_minute() -> None:
    """At kick-off both the whistle and the first minute are named."""
    found = place("f1", around(1, 0.6), TwoStates(BEFORE, replace(PLAY, home=SideState())))
    assert found.doubts == (
        "a whistle lies within the uncertainty: before kick-off or first half",
        "the minute is not sure: none or 17",
    )


def test_what_only_counts_on_is_no_doubt() -> None:
    """A running clock and an earlier card change nothing that a caption prints."""
    found = place("f1", around(1, 0.6), TwoStates(PLAY, replace(PLAY, elapsed_s=961.0)))
    assert found.sure


def test_the_frame_of_a_goal_does_not_doubt_the_goal() -> None:
    """A frame that pins an entry is not asked whether it shows before or after it."""
    after = replace(GOAL, label=MinuteLabel(18))
    found = place("f1", around(1, 0.6), TwoStates(PLAY, after, pinned="f1"))
    assert found.doubts == ("the minute is not sure: 17 or 18",)
    assert len(place("f2", around(1, 0.6), TwoStates(PLAY, after, pinned="f1")).doubts) == 2


def test_chance_of_wrong_minute_is_a_share() -> None:
    """The chance is none for an exact time and never more than certain."""
    assert chance_of_wrong_minute(0) == 0
    assert chance_of_wrong_minute(1e6) == 1
    with pytest.raises(WrongUse):
        chance_of_wrong_minute(-1)
