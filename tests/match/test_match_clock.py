"""True time to period and minute and back, in one match."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.match.entries import Kind
from setpiece.match.instants import Interval, MinuteLabel, instant
from setpiece.match.match_clock import STRETCH_S, split
from setpiece.match.state import Phase

if TYPE_CHECKING:
    from conftest import Match


@pytest.mark.parametrize(
    ("at_s", "phase", "label"),
    [
        (-600, Phase.BEFORE, None),
        (0, Phase.FIRST_HALF, "1"),
        (2699.999999, Phase.FIRST_HALF, "45"),
        (2700, Phase.FIRST_HALF, "45+1"),
        (2830, Phase.HALF_TIME, None),
        (3730, Phase.SECOND_HALF, "46"),
        (6500, Phase.SECOND_HALF, "90+2"),
        (6640, Phase.FULL_TIME, None),
    ],
)
def test_phase_and_minute_follow_the_whistles(
    tie: Match, at_s: float, phase: Phase, label: str | None
) -> None:
    """Between whistles the minute runs; between periods there is none."""
    state = tie.whistles().fold().state_at(tie.at(at_s))
    assert state.phase is phase
    assert (None if state.label is None else str(state.label)) == label


@given(at_s=st.floats(0, 6639))
def test_minute_and_true_time_are_inverse(played: Match, at_s: float) -> None:
    """The true time of a minute begins and ends in that minute, and holds what lies in it."""
    fold = played.fold()
    when = played.at(round(at_s, 3))
    label = fold.label_at(when)
    if label is None:
        return
    span = fold.true_time(label)
    assert span is not None
    assert span.holds(when)
    assert fold.label_at(span.start) == label
    assert fold.label_at(instant(span.end - timedelta(microseconds=1))) == label


def test_a_minute_the_match_did_not_have_has_no_true_time(tie: Match) -> None:
    """45+9 of a half that ended at 47:10, and any minute of a period not begun, were never."""
    fold = tie.whistles().fold()
    assert fold.true_time(MinuteLabel(45, 9)) is None
    assert fold.true_time(MinuteLabel(100)) is None
    assert fold.true_time(MinuteLabel(45, 3)) == Interval(tie.at(2820), tie.at(2830))


def test_a_minute_to_come_has_its_expected_time(tie: Match) -> None:
    """While the half runs, a later minute of it already has its time."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    span = tie.fold().true_time(MinuteLabel(30))
    assert span is not None
    assert span.start == tie.at(29 * 60)


def test_suspended_play_stops_the_clock(tie: Match) -> None:
    """The minute stands still while play is suspended and goes on from there, days later too."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    tie.log(Kind.SUSPENDED, 2600)
    day = 86_400
    tie.log(Kind.RESUMED, 2 * day)
    fold = tie.fold()
    assert fold.state_at(tie.at(day)).phase is Phase.SUSPENDED
    assert fold.state_at(tie.at(day)).label == MinuteLabel(44)
    later = fold.state_at(tie.at(2 * day + 100))
    assert (later.phase, later.label, later.elapsed_s) == (
        Phase.FIRST_HALF,
        MinuteLabel(45, 1),
        2700.0,
    )
    assert fold.true_time(MinuteLabel(44)) == Interval(
        tie.at(43 * 60), instant(tie.at(2 * day + 40) - timedelta(microseconds=1))
    )
    assert fold.clock.place_of(1, 2700.0) == STRETCH_S + 2 * day + 100


def test_play_resumed_at_another_minute(tie: Match) -> None:
    """The entry that resumes play may say at which minute or clock it does."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    tie.log(Kind.SUSPENDED, 2600)
    tie.log(Kind.RESUMED, 9000, happened=Interval.exactly(tie.at(9000)), printed="40")
    assert tie.fold().state_at(tie.at(9001)).label == MinuteLabel(40)
    tie.entries.pop()
    tie.log(Kind.RESUMED, 9000, happened=Interval.exactly(tie.at(9000)), period=1, elapsed_s=2610.0)
    assert tie.fold().state_at(tie.at(9020)).elapsed_s == 2630.0
    tie.entries.pop()
    tie.log(Kind.RESUMED, 9000, happened=Interval.exactly(tie.at(9000)), printed="44")
    assert tie.fold().state_at(tie.at(9001)).elapsed_s == 2601.0


def test_play_suspended_twice(tie: Match) -> None:
    """Two suspensions of one half both stop its clock; a second stop while stopped is none."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    for at_s, kind in (
        (600, Kind.SUSPENDED),
        (650, Kind.SUSPENDED),
        (900, Kind.RESUMED),
        (1200, Kind.SUSPENDED),
        (1500, Kind.RESUMED),
    ):
        tie.log(kind, at_s)
    state = tie.fold().state_at(tie.at(1560))
    assert state.elapsed_s == 960.0
    assert tie.fold().clock.place_of(1, 960.0) == STRETCH_S + 1560


def test_suspended_at_half_time_leaves_the_clock_alone(tie: Match) -> None:
    """A suspension in the interval ends with the kick-off of the second half."""
    tie.whistles(until=1)
    tie.log(Kind.SUSPENDED, 3000)
    tie.log(Kind.KICK_OFF, 7000, period=2)
    fold = tie.fold()
    assert fold.state_at(tie.at(3100)).phase is Phase.SUSPENDED
    assert fold.state_at(tie.at(3100)).label is None
    assert fold.state_at(tie.at(7060)).label == MinuteLabel(47)


def test_abandoned_keeps_its_minute(tie: Match) -> None:
    """An abandoned match keeps minute and score for ever."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    tie.log(Kind.ABANDONED, 4020 - 1320)
    state = tie.fold().state_at(tie.at(90_000))
    assert (state.phase, state.label) == (Phase.ABANDONED, MinuteLabel(45, 1))
    assert tie.fold().last().label == MinuteLabel(45, 1)


def test_extra_time_and_shoot_out_have_their_phases(tie: Match) -> None:
    """The phases run through extra time to the shoot-out, which has no minute."""
    tie.whistles()
    at_s = 6640.0
    expected = []
    for period, length_s in ((3, 930.0), (4, 960.0), (5, 400.0)):
        tie.log(Kind.KICK_OFF, at_s + 120, period=period)
        tie.log(Kind.PERIOD_END, at_s + 120 + length_s, period=period)
        expected.append((at_s + 130, at_s + 120 + length_s + 5))
        at_s += 120 + length_s
    fold = tie.fold()
    phases = [fold.state_at(tie.at(t)).phase for pair in expected for t in pair]
    assert phases == [
        Phase.EXTRA_FIRST,
        Phase.EXTRA_INTERVAL,
        Phase.EXTRA_SECOND,
        Phase.OVER,
        Phase.SHOOT_OUT,
        Phase.OVER,
    ]
    assert fold.state_at(tie.at(expected[2][0])).label is None
    assert fold.state_at(tie.at(expected[0][0])).label == MinuteLabel(91)


def test_places_split_into_stretch_and_seconds() -> None:
    """A place before kick-off is negative; a later one has its stretch."""
    assert split(-30.0) == (0, -30.0)
    assert split(3 * STRETCH_S + 12.5) == (3, 12.5)


def test_a_true_range_needs_a_stretch_that_has_begun(tie: Match) -> None:
    """What lies in a stretch not begun, or before kick-off, has the time that is known of it."""
    clock = tie.whistles(until=1).fold().clock
    assert clock.true_range(3 * STRETCH_S, 3 * STRETCH_S + 5) is None
    before = clock.true_range(-60.0, -30.0)
    assert before == Interval(tie.at(-60), tie.at(-30))
    assert clock.true_range(2 * STRETCH_S, 2 * STRETCH_S + 60) == Interval(
        tie.at(2830), tie.at(2890)
    )
    running = tie.fold().clock
    assert running.true_range(4 * STRETCH_S, 4 * STRETCH_S) is None
    assert running.exact(1)
    assert not running.exact(2)


def test_the_end_of_a_running_half_has_no_true_time(tie: Match) -> None:
    """The interval after a half that still runs cannot be dated."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    assert tie.fold().clock.true_range(2 * STRETCH_S, 2 * STRETCH_S + 1) is None


def test_midnight_and_summer_time_change_nothing(tie: Match) -> None:
    """A match over midnight counts on: instants are UTC throughout."""
    late = timedelta(hours=8, minutes=30)
    tie.log(Kind.KICK_OFF, late.total_seconds(), period=1)
    state = tie.fold().state_at(instant(tie.at(late.total_seconds()) + timedelta(minutes=40)))
    assert state.label == MinuteLabel(41)


def test_a_match_without_a_log_answers(tie: Match) -> None:
    """Before anything is logged every stretch of time is before kick-off, at nil-nil."""
    fold = tie.fold()
    around = Interval.around(tie.at(600), 30)
    (state,) = fold.states_within(around)
    assert (state.phase, str(state.score)) == (Phase.BEFORE, "0–0")
