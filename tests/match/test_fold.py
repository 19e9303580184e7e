"""The match at any instant."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from setpiece.match.entries import Entry, EntryId, How, Kind, Standing
from setpiece.match.fold import Fold
from setpiece.match.instants import Interval, MinuteLabel
from setpiece.match.people import PersonId, Role, Side, numbered_id
from setpiece.match.state import Card, Phase, Score, State

if TYPE_CHECKING:
    from conftest import Match

HOME, AWAY = Side.HOME, Side.AWAY


def test_score_counts_from_just_after_the_goal(tie: Match) -> None:
    """At the instant of a goal the score is the old one, a moment later the new one."""
    tie.whistles(until=1)
    goal = tie.log(Kind.GOAL, 960, exact=True, person="home 9", other="home 10")
    fold = tie.fold()
    assert fold.state_at(tie.at(960)).score == Score(0, 0)
    assert fold.state_at(tie.at(960.001)).score == Score(1, 0)
    assert fold.score_made_by(goal.id) == Score(1, 0)
    assert fold.score_made_by(EntryId(1)) is None


def test_a_minute_means_its_end(tie: Match) -> None:
    """The state at a minute holds everything that happened in it."""
    tie.whistles()
    tie.log(Kind.GOAL, 9, person="home 9", printed="45", imported=True)
    tie.log(Kind.GOAL, 9, person="away 9", printed="45+2", imported=True)
    fold = tie.fold()
    assert fold.state_at(MinuteLabel(44)).score == Score(0, 0)
    assert fold.state_at(MinuteLabel(45)).score == Score(1, 0)
    assert fold.state_at(MinuteLabel(45, 2)).score == Score(1, 1)
    assert fold.state_at(MinuteLabel(45, 2)).label == MinuteLabel(45, 2)
    assert fold.score_after(1) == Score(1, 1)


def test_a_minute_of_a_period_to_come_gives_what_is_known(tie: Match) -> None:
    """Asked for extra time that has not begun, the fold gives the match so far, no minute."""
    tie.whistles()
    state = tie.fold().state_at(MinuteLabel(100))
    assert (state.phase, state.label) == (Phase.FULL_TIME, None)


def test_state_on_the_clock_of_a_period(tie: Match) -> None:
    """The state can be asked by a period's own clock."""
    tie.whistles()
    tie.log(Kind.GOAL, 9, person="home 9", period=2, elapsed_s=100.0, imported=True)
    fold = tie.fold()
    assert fold.state_on_clock(2, 100.0).score == Score(0, 0)
    assert fold.state_on_clock(2, 101.0).score == Score(1, 0)


def test_goals_carry_the_score_they_made(tie: Match) -> None:
    """Each goal so far has scorer, assist, how and its running score; a disallowed one none."""
    tie.whistles()
    tie.log(Kind.GOAL, 600, exact=True, person="home 9", other="home 10")
    tie.log(Kind.GOAL, 900, exact=True, person="away 7", standing=Standing.DISALLOWED)
    tie.log(Kind.GOAL, 1200, exact=True, person="home 4", how="own goal")
    tie.log(Kind.GOAL, 1500, exact=True, person="away 9", how="penalty",
            standing=Standing.UNDER_REVIEW)  # fmt: skip
    goals = tie.fold().last().goals
    assert [g.score for g in goals] == [Score(1, 0), None, Score(1, 1), Score(1, 2)]
    assert [g.side for g in goals] == [HOME, AWAY, AWAY, AWAY]
    assert goals[0].assist == numbered_id(HOME, 10)
    assert goals[2].how is How.OWN_GOAL


def test_a_goal_disallowed_after_review(tie: Match) -> None:
    """Given, under review, disallowed: the score now never had it; what was thought is kept."""
    tie.whistles(until=1)
    goal = tie.log(Kind.GOAL, 600, exact=True, person="home 9")
    tie.log(Kind.GOAL, 640, happened=goal.happened, person="home 9",
            standing=Standing.UNDER_REVIEW, supersedes=goal.id)  # fmt: skip
    tie.log(Kind.GOAL, 720, happened=goal.happened, person="home 9",
            standing=Standing.DISALLOWED, supersedes=EntryId(4))  # fmt: skip
    assert tie.fold().state_at(tie.at(700)).score == Score(0, 0)
    thought = tie.fold(as_known_at=tie.at(700))
    assert thought.state_at(tie.at(700)).score == Score(1, 0)
    assert thought.last().goals[0].standing is Standing.UNDER_REVIEW


def test_a_goal_whose_side_nobody_knows_is_not_counted(tie: Match) -> None:
    """A goal without side and scorer changes nothing."""
    tie.whistles()
    tie.log(Kind.GOAL, 600, exact=True)
    assert tie.fold().last().score == Score(0, 0)
    assert tie.fold().last().goals == ()


def test_a_substitution_changes_the_eleven(tie: Match) -> None:
    """Who comes on is on, who leaves has left with minute and successor."""
    tie.whistles()
    tie.log(Kind.SUBSTITUTION, 5000, exact=True, person="home 9", other="home 14")
    home = tie.fold().last().home
    assert 14 in {w.number for w in home.on_pitch}
    assert home.left[0].person == numbered_id(HOME, 9)
    assert home.left[0].replaced_by == numbered_id(HOME, 14)
    assert str(home.left[0].label) == "67"
    assert numbered_id(HOME, 14) not in home.bench


def test_two_substitutions_at_one_stoppage(tie: Match) -> None:
    """Several at one instant, in any order of the log, end in the same eleven."""
    tie.whistles()
    for person, other in (("home 9", "home 14"), ("home 10", "home 15"), ("home 14", "home 16")):
        tie.log(Kind.SUBSTITUTION, 5000, exact=True, person=person, other=other)
    eleven = tie.on(HOME)
    assert len(eleven) == 11
    assert {15, 16} <= eleven
    tie.entries[4:] = [replace(e, id=EntryId(7 - i)) for i, e in enumerate(tie.entries[4:])]
    assert tie.on(HOME) == eleven


def test_a_substitute_of_the_same_minute_can_leave(tie: Match) -> None:
    """By minutes alone, whoever comes on in a minute can leave in it, in any order of the log."""
    tie.log(Kind.SUBSTITUTION, 9, person="home 14", other="home 15", printed="50", imported=True)
    tie.log(Kind.SUBSTITUTION, 9, person="home 9", other="home 14", printed="50", imported=True)
    assert {9, 14}.isdisjoint(tie.on(HOME))
    assert 15 in tie.on(HOME)


def test_returning_substitutes_go_back_to_the_bench(tie: Match) -> None:
    """Where returns are allowed, who leaves sits on the bench and can come on again."""
    tie.rules(return_substitutions=True).whistles()
    tie.log(Kind.SUBSTITUTION, 1000, exact=True, person="home 9", other="home 14")
    assert numbered_id(HOME, 9) in tie.fold().last().home.bench
    tie.log(Kind.SUBSTITUTION, 2000, exact=True, person="home 14", other="home 9")
    assert 9 in tie.on(HOME)
    swap = tie.rules(return_substitutions=True)
    swap.log(Kind.SUBSTITUTION, 2000, exact=True, person="home 9", other="home 14")
    assert len(swap.on(HOME)) == 11


def test_half_a_substitution_is_half_done(tie: Match) -> None:
    """Without who leaves there are twelve, without who comes on ten, without either eleven."""
    tie.whistles()
    tie.log(Kind.SUBSTITUTION, 5000, exact=True, other="home 14")
    assert len(tie.on(HOME)) == 12
    tie.log(Kind.SUBSTITUTION, 5100, exact=True, person="home 9")
    tie.log(Kind.SUBSTITUTION, 5200, exact=True)
    assert len(tie.on(HOME)) == 11


def test_a_late_change_is_no_substitution(tie: Match) -> None:
    """A starter hurt in the warm-up is out of the match, and the other one starts."""
    tie.rules(return_substitutions=True)
    tie.log(Kind.LATE_CHANGE, -900, exact=True, person="home 9", other="home 14")
    tie.whistles()
    state = tie.fold().state_at(tie.at(10))
    assert 14 in {w.number for w in state.home.on_pitch}
    assert numbered_id(HOME, 9) not in state.home.bench
    assert state.home.left[0].label is None


def test_cards_and_dismissals(tie: Match) -> None:
    """A yellow leaves eleven; a second yellow or a red leaves ten, for good."""
    tie.whistles()
    tie.log(Kind.YELLOW, 600, exact=True, person="home 4")
    assert len(tie.on(HOME)) == 11
    tie.log(Kind.SECOND_YELLOW, 1200, exact=True, person="home 4")
    tie.log(Kind.RED, 1300, exact=True, person="away 6")
    last = tie.fold().last()
    assert (len(last.home.on_pitch), len(last.away.on_pitch)) == (10, 10)
    assert [c.card for c in last.cards] == [Card.YELLOW, Card.SECOND_YELLOW, Card.RED]
    assert last.home.dismissed == (numbered_id(HOME, 4),)
    assert last.home.left[0].replaced_by is None
    tie.log(Kind.RED, 1400, exact=True, person="home 4")
    assert tie.fold().last().home.dismissed == (numbered_id(HOME, 4),)


def test_cards_to_others_than_players(tie: Match) -> None:
    """A coach and a substitute can be booked and sent off; the eleven stay."""
    tie.whistles()
    tie.log(Kind.YELLOW, 600, exact=True, person=PersonId("home-coach"))
    tie.log(Kind.RED, 700, exact=True, person=PersonId("home-coach"))
    tie.log(Kind.RED, 800, exact=True, person="away 15")
    tie.log(Kind.YELLOW, 900, exact=True)
    last = tie.fold().last()
    assert last.home.dismissed == (PersonId("home-coach"),)
    assert numbered_id(AWAY, 15) not in last.away.bench
    assert (len(last.home.on_pitch), len(last.away.on_pitch)) == (11, 11)
    assert last.cards[-1].side is None


def test_a_dismissed_goalkeeper_and_an_outfield_player_in_goal(tie: Match) -> None:
    """After the goalkeeper's red nobody is in goal until somebody goes in."""
    tie.whistles()
    tie.log(Kind.RED, 6000, exact=True, person="home 1")
    assert tie.fold().last().home.in_goal is None
    tie.log(Kind.IN_GOAL, 6100, exact=True, person="home 6")
    tie.log(Kind.SHIRT, 6110, exact=True, person="home 6", number=40)
    home = tie.fold().last().home
    assert home.in_goal == numbered_id(HOME, 6)
    assert home.number_of(numbered_id(HOME, 6)) == 40
    assert home.wearing(40) == numbered_id(HOME, 6)
    assert not home.is_on(numbered_id(HOME, 1))


def test_a_substitute_goalkeeper_takes_over(tie: Match) -> None:
    """A goalkeeper who comes on for an outfield player after the red keeps goal."""
    tie.whistles()
    tie.log(Kind.RED, 6000, exact=True, person="home 1")
    tie.log(Kind.SUBSTITUTION, 6060, exact=True, person="home 9", other="home 13")
    assert tie.fold().last().home.in_goal == numbered_id(HOME, 13)
    tie.log(Kind.IN_GOAL, 6050, exact=True, person="home 6")
    assert tie.fold().last().home.in_goal == numbered_id(HOME, 13)
    tie.log(Kind.IN_GOAL, 6200, exact=True, person="home 13")
    tie.log(Kind.SUBSTITUTION, 6300, exact=True, person="away 9", other="away 13")
    assert tie.fold().last().away.in_goal == numbered_id(AWAY, 1)


def test_the_armband_is_passed_on(tie: Match) -> None:
    """When the captain leaves nobody has the armband until somebody takes it."""
    tie.whistles()
    assert tie.fold().last().home.captain == numbered_id(HOME, 5)
    tie.log(Kind.SUBSTITUTION, 5000, exact=True, person="home 5", other="home 14")
    assert tie.fold().last().home.captain is None
    tie.log(Kind.CAPTAIN, 5010, exact=True, person="home 8")
    assert tie.fold().last().home.captain == numbered_id(HOME, 8)


def test_a_shirt_without_a_number(tie: Match) -> None:
    """A torn shirt changed for one without a number is worn from that instant on."""
    tie.whistles()
    tie.log(Kind.SHIRT, 4000, exact=True, person="home 9", number=None)
    fold = tie.fold()
    nine = numbered_id(HOME, 9)
    assert fold.state_at(tie.at(3990)).home.number_of(nine) == 9
    assert fold.state_at(tie.at(4001)).home.number_of(nine) is None
    assert fold.last().home.is_on(nine)


def test_off_for_a_time_and_back(tie: Match) -> None:
    """A temporary dismissal leaves ten until the return; nobody is dismissed."""
    tie.whistles()
    tie.log(Kind.TEMPORARY_DISMISSAL, 1000, exact=True, person="home 9")
    tie.log(Kind.TEMPORARY_DISMISSAL, 1001, exact=True, person="home 17")
    away = tie.fold().last().home
    assert (len(away.on_pitch), away.off, away.dismissed) == (10, (numbered_id(HOME, 9),), ())
    tie.log(Kind.RETURN, 1600, exact=True, person="home 9")
    tie.log(Kind.RETURN, 1700, exact=True, person="home 8")
    assert len(tie.on(HOME)) == 11
    assert tie.fold().last().home.off == ()


def test_a_changed_kit(tie: Match) -> None:
    """A side that comes out in another kit after half-time wears it from then."""
    tie.whistles()
    tie.log(Kind.KIT, 3700, exact=True, side=AWAY, note="B blue")
    fold = tie.fold()
    assert fold.state_at(tie.at(100)).away.kit == "w"
    assert fold.last().away.kit == "b"


def test_entries_that_name_nobody_change_nobody(tie: Match) -> None:
    """In goal, captain, shirt, kit and dismissal without side or person leave all as it is."""
    tie.whistles()
    before = tie.fold().last()
    for kind in (Kind.IN_GOAL, Kind.CAPTAIN, Kind.SHIRT, Kind.KIT, Kind.TEMPORARY_DISMISSAL,
                 Kind.RETURN, Kind.NOTE, Kind.SUBSTITUTION):  # fmt: skip
        tie.log(kind, 5000, exact=True)
    after = tie.fold().last()
    assert (after.home, after.away, after.score) == (before.home, before.away, before.score)


def test_a_shoot_out_has_its_own_score(tie: Match) -> None:
    """Kicks are counted apart, each with the tally it made; the score of the match stays."""
    tie.whistles()
    tie.log(Kind.KICK_OFF, 7000, period=5)
    assert tie.fold().state_at(tie.at(7001)).shoot_out == Score()
    tie.log(Kind.SHOOT_OUT_KICK, 7060, exact=True, person="home 9", how="scored")
    tie.log(Kind.SHOOT_OUT_KICK, 7120, exact=True, person="away 9", how="saved")
    tie.log(Kind.PENALTY_MISSED, 7180, exact=True, person="home 10")
    tie.log(Kind.SHOOT_OUT_KICK, 7240, exact=True, how="scored")
    last = tie.fold().last()
    assert last.score == Score(0, 0)
    assert last.shoot_out == Score(1, 0)
    assert [k.how for k in last.kicks] == [How.SCORED, How.SAVED, How.MISSED, How.SCORED]
    assert last.kicks[0].tally == Score(1, 0)
    assert last.phase is Phase.SHOOT_OUT


def test_a_penalty_missed_in_the_match_is_no_kick(tie: Match) -> None:
    """A penalty missed or saved in play leaves score and shoot-out alone."""
    tie.whistles()
    tie.log(Kind.PENALTY_MISSED, 1000, exact=True, person="home 9")
    last = tie.fold().last()
    assert (last.score, last.shoot_out, last.kicks) == (Score(), None, ())


def test_abandoned_and_resumed_on_another_day(tie: Match) -> None:
    """An abandoned match that is played on goes on from its minute and score."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    tie.log(Kind.GOAL, 600, exact=True, person="home 9")
    tie.log(Kind.FLOODLIGHTS, 1190, exact=True)
    tie.log(Kind.ABANDONED, 1200)
    fold = tie.fold()
    assert (fold.last().phase, fold.last().score) == (Phase.ABANDONED, Score(1, 0))
    week = 7 * 86_400
    tie.log(Kind.RESUMED, week)
    state = tie.fold().state_at(tie.at(week + 60))
    assert (state.phase, state.label, state.score) == (
        Phase.FIRST_HALF,
        MinuteLabel(22),
        Score(1, 0),
    )


def test_a_person_who_is_not_on_the_sheet_plays_all_the_same(tie: Match) -> None:
    """A number that the sheet lacks keeps its side and its number."""
    tie.whistles()
    tie.log(Kind.SUBSTITUTION, 5000, exact=True, person="home 9", other="home 77")
    tie.log(Kind.GOAL, 5100, exact=True, person="home 77")
    tie.log(Kind.GOAL, 5200, exact=True, person=PersonId("stranger"))
    last = tie.fold().last()
    assert 77 in {w.number for w in last.home.on_pitch}
    assert last.score == Score(1, 0)
    tie.log(Kind.SUBSTITUTION, 5300, exact=True, side=HOME, other=PersonId("stranger"))
    assert None in tie.on(HOME)


def test_before_or_after_is_answered_with_both(tie: Match) -> None:
    """A frame inside a goal's interval gets the state before and the state after."""
    tie.whistles(until=1)
    goal = tie.log(Kind.GOAL, 600, person="home 9")
    fold = tie.fold()
    frame = Interval.around(tie.at(500), 0.5)
    assert [s.score for s in fold.states_within(frame)] == [Score(0, 0), Score(1, 0)]
    assert fold.undecided(frame) == (goal.id,)
    assert fold.state_at(tie.at(500)).unsure == (goal.id,)
    assert [s.score for s in fold.states_within(Interval.around(tie.at(700), 0.5))] == [Score(1, 0)]


def test_a_minute_boundary_is_a_possibility(tie: Match) -> None:
    """A frame across a minute boundary gets both minutes, paired with the right score."""
    tie.whistles(until=1)
    goal = tie.log(Kind.GOAL, 605, exact=True, person="home 9")
    fold = tie.fold()
    found = fold.states_within(Interval(tie.at(590), tie.at(610)))
    assert [(str(s.label), str(s.score)) for s in found] == [
        ("10", "0–0"),
        ("11", "0–0"),
        ("11", "1–0"),
    ]
    assert fold.undecided(Interval(tie.at(590), tie.at(610))) == (goal.id,)
    assert fold.undecided(Interval(tie.at(590), tie.at(600))) == ()


def test_a_whistle_is_a_possibility(tie: Match) -> None:
    """Around a whistle both phases are possible; at a kick-off that was exact, one."""
    tie.whistles()
    fold = tie.fold()
    around = fold.states_within(Interval.around(tie.at(2830), 2))
    assert [s.phase for s in around] == [Phase.FIRST_HALF, Phase.HALF_TIME]
    assert [s.phase for s in fold.states_within(Interval.exactly(tie.at(0)))] == [Phase.FIRST_HALF]
    assert [s.phase for s in fold.states_within(Interval(tie.at(-60), tie.at(-30)))] == [
        Phase.BEFORE
    ]


def test_two_undecided_entries_give_every_combination(tie: Match) -> None:
    """Two goals that overlap give four states, a note none; the same score twice is one."""
    tie.whistles(until=1)
    tie.log(Kind.GOAL, 600, person="home 9")
    tie.log(Kind.GOAL, 610, person="away 9")
    tie.log(Kind.NOTE, 620)
    found = tie.fold().states_within(Interval.exactly(tie.at(550)))
    assert {str(s.score) for s in found} == {"0–0", "1–0", "0–1", "1–1"}
    assert len(found) == 4
    assert tie.fold().undecided(Interval(tie.at(400), tie.at(700))) == (3, 4)
    fold = tie.fold()
    moment = Interval.exactly(tie.at(550))
    assert fold.states_within(moment) == fold.states_within(moment)


def test_many_undecided_entries_come_in_log_order(tie: Match) -> None:
    """More undecided entries than six are not combined freely but taken in order."""
    tie.whistles(until=1)
    for n in range(7):
        tie.log(Kind.GOAL, 600 + n, person="home 9")
    found = tie.fold().states_within(Interval.exactly(tie.at(550)))
    assert [s.score.home for s in found] == list(range(8))


def test_minutes_alone_leave_order_open(tie: Match) -> None:
    """Two changes of one minute, asked by an instant of it, are possible in both ways."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    tie.log(Kind.YELLOW, 9, person="home 4", printed="10", imported=True)
    tie.log(Kind.GOAL, 9, person="home 9", printed="10", imported=True)
    found = tie.fold().states_within(Interval.exactly(tie.at(570)))
    assert len(found) == 4


def test_steps_go_from_state_to_state(tie: Match) -> None:
    """Every entry in order has the state before it and after it."""
    tie.whistles(until=1)
    goal = tie.log(Kind.GOAL, 600, exact=True, person="home 9")
    steps = {p.entry.id: (before.score, after.score) for p, before, after in tie.fold().steps()}
    assert steps[goal.id] == (Score(0, 0), Score(1, 0))
    assert tie.fold().entry(goal.id) == goal


def test_an_entry_on_its_clock(tie: Match) -> None:
    """An entry known to the second has period and clock; others only their period."""
    tie.whistles()
    pinned = tie.log(Kind.GOAL, 3730 + 100.4, exact=True, person="home 9")
    typed = tie.log(Kind.YELLOW, 5000, person="home 4")
    between = tie.log(Kind.NOTE, 3000, exact=True)
    read = tie.log(Kind.NOTE, 3000, period=2, elapsed_s=12.5)
    kick = tie.log(Kind.KICK_OFF, 7000, period=5)
    over = tie.log(Kind.PERIOD_END, 7400, period=5)
    fold = tie.fold()
    assert fold.on_clock(pinned) == (2, 100.0)
    assert fold.on_clock(typed) == (2, None)
    assert fold.on_clock(between) == (None, None)
    assert fold.on_clock(read) == (2, 12.5)
    assert fold.on_clock(tie.entries[1]) == (1, 2830.0)
    assert fold.on_clock(kick) == (5, None)
    assert fold.on_clock(over) == (5, None)
    assert fold.period_of(between) is None


def test_a_final_whistle_without_its_kick_off_has_no_clock(tie: Match) -> None:
    """The clock of a final whistle is known only from an exact kick-off to an exact end."""
    tie.log(Kind.PERIOD_END, 2830, period=1)
    fold = tie.fold()
    assert fold.on_clock(tie.entries[0]) == (1, None)
    tie.entries[0] = replace(tie.entries[0], happened=Interval.around(tie.at(2830), 20), period=1)
    tie.log(Kind.KICK_OFF, 0, period=1)
    assert tie.fold().on_clock(tie.entries[0]) == (1, None)


PEOPLE = st.sampled_from([f"{side} {n}" for side in ("home", "away") for n in range(1, 19)])
FACTS = st.tuples(
    st.sampled_from(
        [Kind.GOAL, Kind.YELLOW, Kind.SECOND_YELLOW, Kind.RED, Kind.SUBSTITUTION, Kind.SHIRT,
         Kind.TEMPORARY_DISMISSAL, Kind.RETURN, Kind.NOTE]
    ),
    PEOPLE,
    st.integers(1, 6600),
    st.integers(1, 7),
)  # fmt: skip


def _entries(played: Match, facts: list[tuple[Kind, str, int, int]], first: int) -> list[Entry]:
    found = []
    for i, (kind, who, at_s, other) in enumerate(facts):
        side = Side(who.split()[0])
        found.append(
            Entry(
                EntryId(first + i),
                kind,
                played.at(at_s + 30),
                Interval.exactly(played.at(at_s)),
                side=side,
                person=played.who(who),
                other=numbered_id(side, other + 11) if kind is Kind.SUBSTITUTION else None,
            )
        )
    return found


def _facts_of(state: State) -> tuple[object, ...]:
    """A state without entry ids, which renumbering changes."""
    return (
        state.phase,
        state.score,
        state.home,
        state.away,
        sorted((g.side, str(g.scorer), str(g.label)) for g in state.goals),
        sorted((str(c.person), c.card, str(c.label)) for c in state.cards),
    )


def _fold(played: Match, log: list[Entry]) -> Fold:
    return Fold(played.fixture, played.sheet, log)


@given(facts=st.lists(FACTS, max_size=12), at_s=st.integers(0, 6700))
def test_the_score_never_falls(
    played: Match, facts: list[tuple[Kind, str, int, int]], at_s: int
) -> None:
    """Without a correction the score of a later instant is never lower."""
    fold = _fold(played, played.entries + _entries(played, facts, 10))
    earlier, later = fold.state_at(played.at(at_s)), fold.state_at(played.at(at_s + 60))
    assert later.score.home >= earlier.score.home
    assert later.score.away >= earlier.score.away


@given(facts=st.lists(FACTS, min_size=1, max_size=8), data=st.data())
def test_superseding_equals_never_having_made_it(
    played: Match, facts: list[tuple[Kind, str, int, int]], data: st.DataObject
) -> None:
    """A log with a corrected entry gives the states of the log that had it right at once."""
    log = _entries(played, facts, 10)
    at = data.draw(st.integers(0, len(log) - 1))
    right = _entries(played, [data.draw(FACTS)], 100)[0]
    corrected = [*log, replace(right, supersedes=log[at].id)]
    at_once = [*log[:at], *log[at + 1 :], right]
    for at_s in (0, 2000, 4000, 6639):
        ours = _fold(played, played.entries + corrected).state_at(played.at(at_s))
        theirs = _fold(played, played.entries + at_once).state_at(played.at(at_s))
        assert ours == theirs
    withdrawn = [*log, Entry(EntryId(100), Kind.WITHDRAWN, played.at(9), supersedes=log[at].id)]
    never = [*log[:at], *log[at + 1 :]]
    assert (
        _fold(played, played.entries + withdrawn).last()
        == _fold(played, played.entries + never).last()
    )


INSTANT_KINDS = st.sampled_from([Kind.GOAL, Kind.YELLOW, Kind.RED, Kind.SUBSTITUTION, Kind.NOTE])


@given(
    facts=st.lists(
        st.tuples(INSTANT_KINDS, PEOPLE, st.just(1500), st.integers(1, 7)),
        min_size=2,
        max_size=6,
        unique_by=(lambda f: f[1], lambda f: f[3]),
    ),
    data=st.data(),
)
def test_the_order_of_equal_instants_does_not_matter(
    played: Match, facts: list[tuple[Kind, str, int, int]], data: st.DataObject
) -> None:
    """Entries of one and the same instant, logged in any order, give the same state."""
    facts = [f for f in facts if int(f[1].split()[1]) < 12 or f[0] is Kind.GOAL]
    order = data.draw(st.permutations(facts))
    one = _fold(played, played.entries + _entries(played, facts, 10)).last()
    other = _fold(played, played.entries + _entries(played, order, 10)).last()
    assert _facts_of(one) == _facts_of(other)


def test_equal_boards_are_equal_states(tie: Match) -> None:
    """Roles that do not play are never on the pitch, whoever the sheet lists first."""
    assert all(p.role.plays or p.role in (Role.HEAD_COACH, Role.REFEREE) for p in tie.sheet.people)
    assert tie.fold().last() == tie.fold().last()
