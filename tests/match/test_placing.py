"""When an entry happened, and what bounds it."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from setpiece.match.entries import Kind
from setpiece.match.instants import Interval, MinuteLabel, instant
from setpiece.match.people import Side
from setpiece.match.placing import TYPED_LATE_S, place
from setpiece.match.state import Phase

if TYPE_CHECKING:
    from conftest import Match


def test_typing_alone_means_the_three_minutes_before(tie: Match) -> None:
    """A goal typed at 20:00 happened between 17:00 and 20:00."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    goal = tie.log(Kind.GOAL, 1200, person="home 9")
    assert tie.fold().when(goal) == Interval(tie.at(1200 - TYPED_LATE_S), tie.at(1200))


def test_a_kick_off_bounds_it(tie: Match) -> None:
    """A goal typed 40 s after kick-off happened since kick-off."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    goal = tie.log(Kind.GOAL, 40, person="home 9")
    card = tie.log(Kind.YELLOW, 40, person="home 4")
    fold = tie.fold()
    assert fold.when(goal) == Interval(tie.at(0), tie.at(40))
    assert fold.when(card) == Interval(tie.at(-140), tie.at(40))


def test_a_given_period_bounds_it(tie: Match) -> None:
    """A card said to be of the second half was not shown before it."""
    tie.whistles()
    card = tie.log(Kind.YELLOW, 3800, person="home 4", period=2)
    assert tie.fold().when(card) == Interval(tie.at(3730), tie.at(3800))


def test_a_period_that_bounds_nothing(tie: Match) -> None:
    """A goal typed long after its period keeps its three minutes; the audit tells."""
    tie.whistles()
    goal = tie.log(Kind.GOAL, 9000, person="home 9")
    assert tie.fold().when(goal).end == tie.at(9000)


def test_a_frame_pins_it(tie: Match) -> None:
    """An entry pinned to a frame happened at the frame, not before it was typed."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    frame = Interval.around(tie.at(960), 0.4)
    goal = tie.log(Kind.GOAL, 1100, person="home 9", happened=frame, frame="f7", printed="30")
    fold = tie.fold()
    assert fold.when(goal) == frame
    assert fold.pins("f7") == goal.id
    assert fold.pins("f8") is None
    assert fold.minute_of(goal) == MinuteLabel(30)


def test_a_printed_minute_pins_it(tie: Match) -> None:
    """Typed at 20:10 and printed 20: it happened in the 20th minute."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    goal = tie.log(Kind.GOAL, 1210, person="home 9", printed="20")
    window = Interval(tie.at(1100), tie.at(1210))
    windowed = tie.log(Kind.GOAL, 1210, person="home 9", printed="20", happened=window)
    end = instant(tie.at(1200) - timedelta(microseconds=1))
    assert tie.fold().when(goal) == Interval(tie.at(1140), end)
    assert tie.fold().when(windowed) == Interval(tie.at(1140), end)


def test_nothing_happens_after_it_was_typed(tie: Match) -> None:
    """Typed within its printed minute, it happened before the typing."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    goal = tie.log(Kind.GOAL, 1170, person="home 9", printed="20")
    assert tie.fold().when(goal) == Interval(tie.at(1140), tie.at(1170))


def test_a_printed_minute_may_contradict_the_typing(tie: Match) -> None:
    """A minute that the typing cannot meet wins over the three minutes, not over a frame."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    window = Interval(tie.at(1100), tie.at(1210))
    goal = tie.log(Kind.GOAL, 1210, person="home 9", printed="8", happened=window)
    fold = tie.fold()
    assert fold.when(goal).start == tie.at(420)
    assert fold.state_at(tie.at(600)).score.home == 1


def test_a_printed_minute_wins_for_print_alone(tie: Match) -> None:
    """An exact time keeps its place in the match; the edited minute is what is printed."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    goal = tie.log(Kind.GOAL, 1141, exact=True, person="home 9", printed="19")
    fold = tie.fold()
    assert fold.minute_of(goal) == MinuteLabel(19)
    assert fold.label_at(tie.at(1141)) == MinuteLabel(20)
    assert fold.last().goals[0].label == MinuteLabel(19)
    assert fold.state_at(MinuteLabel(19)).score.home == 0


def test_a_clock_reading_is_exact(tie: Match) -> None:
    """The clock of a period dates to the second once its kick-off is known."""
    tie.whistles()
    goal = tie.log(Kind.GOAL, 9999, person="home 9", period=2, elapsed_s=1630.0, imported=True)
    fold = tie.fold()
    assert fold.when(goal) == Interval.exactly(tie.at(3730 + 1630))
    assert fold.minute_of(goal) == MinuteLabel(73)


def test_an_entry_with_its_period_alone(tie: Match) -> None:
    """A file's goal without clock and minute lies anywhere in its half, and has no minute."""
    tie.whistles()
    goal = tie.log(Kind.GOAL, 9999, person="home 9", period=2, imported=True)
    fold = tie.fold()
    assert fold.minute_of(goal) is None
    assert fold.when(goal) == Interval(tie.at(3730), tie.at(6640))
    assert fold.score_after(1).home == 0
    assert fold.score_after(2).home == 1
    assert fold.period_of(goal) == 2
    assert goal.id in fold.state_at(tie.at(5000)).unsure


def test_an_entry_that_says_nothing_of_when(tie: Match) -> None:
    """A file's row with neither period nor minute lies somewhere in the match."""
    tie.whistles(until=1)
    card = tie.log(Kind.YELLOW, 9999, person="home 4", imported=True)
    fold = tie.fold()
    assert fold.period_of(card) is None
    assert fold.minute_of(card) is None
    assert fold.last().cards[0].entry == card.id
    assert fold.when(card) == Interval.exactly(card.typed)


def test_a_half_that_still_runs_holds_its_undated_entry(tie: Match) -> None:
    """While the half runs, an undated entry of it lies in its regular length."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    card = tie.log(Kind.YELLOW, 9, person="home 4", period=1, imported=True)
    kick = tie.log(Kind.SHOOT_OUT_KICK, 9, person="home 4", period=5, imported=True)
    fold = tie.fold()
    assert fold.when(card).start == tie.at(0)
    assert fold.when(kick).width_s >= 0


def test_a_kick_with_a_minute_is_still_a_kick(tie: Match) -> None:
    """A shoot-out kick that a file prints with a minute lies in the shoot-out."""
    tie.log(Kind.SHOOT_OUT_KICK, 9, person="home 4", side=Side.HOME, period=5, printed="120",
            how="scored", imported=True)  # fmt: skip
    assert tie.fold().last().shoot_out is not None


def test_late_changes_come_before_kick_off(tie: Match) -> None:
    """A late change of a file is made before the match begins."""
    tie.log(Kind.LATE_CHANGE, 9, person="home 9", other="home 14", imported=True)
    tie.log(Kind.KICK_OFF, 0, period=1)
    state = tie.fold().state_at(tie.at(0))
    assert state.phase is Phase.FIRST_HALF
    assert 14 in {w.number for w in state.home.on_pitch}


def test_a_late_change_logged_late_is_still_of_the_warm_up(tie: Match) -> None:
    """A change seen only after kick-off was made before it: the right eleven kick off."""
    tie.whistles()
    soon = tie.log(Kind.LATE_CHANGE, 60, person="home 9", other="home 14")
    late = tie.log(Kind.LATE_CHANGE, 900, person="home 8", other="home 15")
    fold = tie.fold()
    assert fold.when(soon) == Interval(tie.at(-120), tie.at(0))
    assert fold.when(late) == Interval(tie.at(0), tie.at(0))
    assert {14, 15} <= {w.number for w in fold.state_at(tie.at(1)).home.on_pitch}


def test_a_printed_minute_bounds_it_by_an_uncertain_kick_off(tie: Match) -> None:
    """With the whistle set from a frame, a printed minute bounds as far as that is known."""
    tie.log(Kind.KICK_OFF, 9, period=1, happened=Interval.around(tie.at(0), 2), frame="f1")
    window = Interval(tie.at(1000), tie.at(1210))
    goal = tie.log(Kind.GOAL, 1210, person="home 9", printed="19", happened=window)
    end = instant(tie.at(1142) - timedelta(microseconds=1))
    assert tie.fold().when(goal) == Interval(tie.at(1078), end)


def test_minutes_alone_are_unsure_at_an_instant(tie: Match) -> None:
    """Asked by an instant, an entry that only its minute dates is unsure as far as kick-off is."""
    tie.log(Kind.KICK_OFF, 9, period=1, happened=Interval.around(tie.at(0), 20), frame="f1")
    card = tie.log(Kind.YELLOW, 9, person="home 4", printed="10", imported=True)
    fold = tie.fold()
    assert fold.state_at(tie.at(610)).unsure == (card.id,)
    assert fold.state_at(tie.at(630)).unsure == ()
    assert fold.state_at(tie.at(510)).unsure == ()


def test_a_penalty_in_the_shoot_out_is_a_kick(tie: Match) -> None:
    """A goal typed during the shoot-out is one of its kicks, not a goal of the match."""
    tie.whistles()
    tie.log(Kind.KICK_OFF, 7000, period=5)
    tie.log(Kind.GOAL, 7060, exact=True, person="home 9")
    tie.log(Kind.SHOOT_OUT_KICK, 7100, person="away 9", how="missed")
    fold = tie.fold()
    assert fold.last().score.home == 0
    assert str(fold.last().shoot_out) == "1–0"
    assert fold.when(tie.entries[-1]) == Interval(tie.at(7000), tie.at(7100))


def test_a_half_time_substitution_has_the_next_minute(tie: Match) -> None:
    """A substitution in the interval is printed 46; a card shown there has no minute."""
    tie.whistles()
    change = tie.log(Kind.SUBSTITUTION, 3500, person="home 9", other="home 14")
    card = tie.log(Kind.YELLOW, 3500, exact=True, person="home 4")
    after = tie.log(Kind.SUBSTITUTION, 6900, exact=True, person="home 8", other="home 15")
    fold = tie.fold()
    assert fold.minute_of(change) == MinuteLabel(46)
    assert fold.minute_of(card) is None
    assert fold.minute_of(after) is None


def test_an_entry_not_in_the_log_can_be_placed(tie: Match) -> None:
    """The fold dates a draft that is not logged yet."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    fold = tie.fold()
    draft = tie.log(Kind.GOAL, 700, exact=True, person="home 9")
    assert fold.minute_of(draft) == MinuteLabel(12)
    assert fold.entry(draft.id) is None
    assert place(draft, fold.clock).true == Interval.exactly(tie.at(700))


def test_a_printed_minute_of_a_half_nobody_dated(tie: Match) -> None:
    """Without an exact kick-off a printed minute leaves the typing's three minutes."""
    window = Interval(tie.at(1100), tie.at(1210))
    goal = tie.log(Kind.GOAL, 1210, person="home 9", printed="20", happened=window)
    assert tie.fold().when(goal) == window


def test_unrelated_changes_of_one_moment_stay_in_log_order(tie: Match) -> None:
    """A late change and a substitution of one moment that share nobody count in log order."""
    tie.log(Kind.YELLOW, 9, person="home 4", printed="50", imported=True)
    tie.log(Kind.SUBSTITUTION, 9, person="home 9", other="home 14", printed="50", imported=True)
    tie.log(Kind.SUBSTITUTION, 9, person="home 8", other="home 15", printed="50", imported=True)
    tie.log(Kind.SUBSTITUTION, 9, person="home 7", printed="50", imported=True)
    fold = tie.fold()
    assert [p.entry.id for p in fold.placed] == [2, 3, 4, 1]


def test_two_who_swap_in_one_moment_stay_in_log_order(tie: Match) -> None:
    """Where returns are allowed, two opposite substitutions of one minute count as logged."""
    tie.rules(return_substitutions=True)
    tie.log(Kind.SUBSTITUTION, 9, person="home 9", other="home 14", printed="50", imported=True)
    tie.log(Kind.SUBSTITUTION, 9, person="home 14", other="home 9", printed="50", imported=True)
    assert {9, 14} & tie.on(Side.HOME) == {9}
