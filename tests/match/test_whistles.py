"""When periods began and ended, logged or estimated."""

from __future__ import annotations

from typing import TYPE_CHECKING

from setpiece.match.entries import Kind
from setpiece.match.instants import Interval, MinuteLabel
from setpiece.match.state import Phase
from setpiece.match.whistles import begun_periods, spans_of

if TYPE_CHECKING:
    from conftest import Match


def test_logged_whistles_are_exact(tie: Match) -> None:
    """A whistle logged as it is heard is exactly when it was typed."""
    span = spans_of(tie.fixture, tie.whistles().entries)[1]
    assert span.start == Interval.exactly(tie.at(0))
    assert span.end == Interval.exactly(tie.at(2830))
    assert span.start_logged
    assert span.end_logged


def test_a_whistle_is_set_from_a_frame(tie: Match) -> None:
    """A kick-off pinned to a frame counts from the frame's time, with its uncertainty."""
    frame = Interval.around(tie.at(-4), 0.5)
    tie.log(Kind.KICK_OFF, 30, period=1, happened=frame, frame="f1")
    assert spans_of(tie.fixture, tie.entries)[1].start == frame


def test_an_empty_log_has_no_period(tie: Match) -> None:
    """Without an entry nothing has begun, whatever the clock says."""
    assert spans_of(tie.fixture, []) == {}
    state = tie.fold().state_at(tie.at(3000))
    assert (state.phase, state.label) == (Phase.BEFORE, None)
    assert tie.fold().last().phase is Phase.BEFORE


def test_a_scoreboard_dates_an_unseen_kick_off(tie: Match) -> None:
    """A scoreboard at 12:30 at a known instant gives the kick-off to the second."""
    tie.log(Kind.NOTE, 750, exact=True, period=1, elapsed_s=750.0)
    tie.log(Kind.NOTE, 4330, exact=True, printed="56")
    tie.log(Kind.NOTE, 4340, exact=True)
    spans = spans_of(tie.fixture, tie.entries)
    assert spans[1].start == Interval.exactly(tie.at(0))
    assert spans[2].start == Interval(tie.at(4330 - 660), tie.at(4330 - 600))


def test_printed_minutes_date_an_unseen_kick_off(tie: Match) -> None:
    """Two goals with printed minutes and frames bound the kick-off between them."""
    tie.log(Kind.GOAL, 610, exact=True, printed="11", frame="f1")
    tie.log(Kind.GOAL, 1255, exact=True, printed="21", frame="f2")
    span = spans_of(tie.fixture, tie.entries)[1]
    assert span.start == Interval(tie.at(-5), tie.at(10))
    assert not span.start_logged


def test_an_anchor_after_a_suspension_counts_the_stop(tie: Match) -> None:
    """A scoreboard after play stood still dates the kick-off without the stop."""
    tie.log(Kind.SUSPENDED, 600)
    tie.log(Kind.RESUMED, 900)
    tie.log(Kind.NOTE, 1200, exact=True, period=1, elapsed_s=900.0)
    assert spans_of(tie.fixture, tie.entries)[1].start == Interval.exactly(tie.at(0))


def test_a_contradicting_anchor_is_left_out(tie: Match) -> None:
    """Of two anchors that contradict each other the more exact one stands."""
    tie.log(Kind.GOAL, 610, printed="31", happened=Interval.around(tie.at(610), 5))
    tie.log(Kind.NOTE, 750, exact=True, period=1, elapsed_s=750.0)
    assert spans_of(tie.fixture, tie.entries)[1].start == Interval.exactly(tie.at(0))


def test_half_time_dates_an_unseen_kick_off(tie: Match) -> None:
    """From the half-time whistle and the planned kick-off the first is bounded."""
    tie.log(Kind.PERIOD_END, 2830, period=1)
    start = spans_of(tie.fixture, tie.entries)[1].start
    assert start.holds(tie.at(0))
    assert start.width_s < 600


def test_a_forgotten_second_kick_off_is_estimated(tie: Match) -> None:
    """A goal long after the half-time whistle means that the second half began."""
    tie.whistles(until=1)
    tie.log(Kind.GOAL, 4500, exact=True, side=None, person="home 9")
    spans = spans_of(tie.fixture, tie.entries)
    assert tuple(spans) == (1, 2)
    assert spans[2].start.holds(tie.at(3730))
    assert not spans[2].start_logged


def test_a_goal_typed_at_half_time_begins_nothing(tie: Match) -> None:
    """A goal typed right after the half-time whistle belongs to the first half."""
    tie.whistles(until=1)
    goal = tie.log(Kind.GOAL, 2900, person="home 9")
    fold = tie.fold()
    assert fold.clock.periods == (1,)
    assert fold.when(goal) == Interval(tie.at(2720), tie.at(2830))


def test_a_forgotten_period_end_is_estimated(tie: Match) -> None:
    """Without the half-time whistle the half ends 10 to 20 minutes before the next begins."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    tie.log(Kind.KICK_OFF, 3730, period=2)
    end = spans_of(tie.fixture, tie.entries)[1].end
    assert end == Interval(tie.at(2700), tie.at(3130))
    fold = tie.fold()
    phases = {s.phase for s in fold.states_within(Interval(tie.at(2800), tie.at(2801)))}
    assert phases == {Phase.FIRST_HALF, Phase.HALF_TIME}


def test_a_period_end_by_its_clock(tie: Match) -> None:
    """A final whistle in a file is dated by its clock or by its minute."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    tie.log(Kind.PERIOD_END, 9000, period=1, elapsed_s=2832.0, imported=True)
    assert spans_of(tie.fixture, tie.entries)[1].end == Interval.exactly(tie.at(2832))
    tie.entries.pop()
    tie.log(Kind.PERIOD_END, 9000, period=1, printed="45+3", imported=True)
    assert spans_of(tie.fixture, tie.entries)[1].end == Interval(tie.at(2820), tie.at(2880))
    tie.entries.pop()
    tie.log(Kind.PERIOD_END, 9000, period=1, imported=True)
    end = spans_of(tie.fixture, tie.entries)[1].end
    assert end == Interval(tie.at(2700), tie.at(3900))


def test_periods_that_have_begun(tie: Match) -> None:
    """A later period implies those before it; kicks right after 90 minutes imply no extra time."""
    tie.log(Kind.SHOOT_OUT_KICK)
    assert begun_periods(tie.entries, tie.fixture.rules) == (1, 2, 5)
    tie.log(Kind.GOAL, printed="117")
    assert begun_periods(tie.entries, tie.fixture.rules) == (1, 2, 3, 4, 5)
    assert begun_periods(tie.entries[1:], tie.fixture.rules) == (1, 2, 3, 4)
    assert begun_periods([tie.log(Kind.NOTE)], tie.fixture.rules) == ()


def test_a_log_of_minutes_alone_is_dated_by_the_plan(tie: Match) -> None:
    """Minutes alone have a true time by the planned kick-off, as wide as that is unsure."""
    goal = tie.log(Kind.GOAL, 9000, printed="30", person="home 9", imported=True)
    fold = tie.fold()
    when = fold.when(goal)
    assert when.holds(tie.at(29 * 60))
    assert when.width_s > 2000
    assert fold.state_at(MinuteLabel(30)).score.home == 1
    assert len({s.score for s in fold.states_within(Interval.exactly(tie.at(1750)))}) == 2


def test_a_shoot_out_that_contradicts_everything_still_stands(tie: Match) -> None:
    """Whistles in an impossible order are taken as they are; nothing fails."""
    tie.log(Kind.PERIOD_END, 0, period=1)
    tie.log(Kind.KICK_OFF, 100, period=1)
    tie.log(Kind.PERIOD_END, 50, period=4)
    tie.log(Kind.SHOOT_OUT_KICK, 90_000, exact=True, side=None, person="home 9")
    spans = spans_of(tie.fixture, tie.entries)
    assert tuple(spans) == (1, 2, 3, 4, 5)
    assert tie.fold().last().score.home == 0
