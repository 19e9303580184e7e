"""What `log state` and `minute` print."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from setpiece.match.answers import log_answer, minute_answer
from setpiece.match.clock import label_span_s
from setpiece.match.entries import Kind, Standing
from setpiece.match.fixture import Rules
from setpiece.match.instants import MinuteLabel
from setpiece.match.people import PersonId, Side, SidePeople, TeamSheet
from setpiece.match.state import Phase

if TYPE_CHECKING:
    from conftest import Match


def _played(tie: Match) -> Match:
    tie.whistles()
    tie.log(Kind.GOAL, 960, exact=True, person="home 9")
    tie.log(Kind.GOAL, 4000, exact=True, person="away 9", how="penalty")
    tie.log(Kind.GOAL, 4100, exact=True, side=Side.AWAY, standing=Standing.DISALLOWED)
    tie.log(Kind.YELLOW, 4200, exact=True, person="home 70")
    tie.log(Kind.RED, 4300, exact=True, person=PersonId("stranger"), side=Side.HOME)
    tie.log(Kind.SHIRT, 4400, exact=True, person="home 2", number=None)
    return tie


def test_the_end_of_the_log(tie: Match) -> None:
    """Score, half-time, periods, people and cards at the end, and what looks wrong."""
    fold = _played(tie).fold()
    answer = log_answer(fold, fold.last())
    assert (answer.score, answer.half_time, answer.periods) == ((1, 1), (1, 0), ((1, 0), (0, 1)))
    assert answer.phase is Phase.FULL_TIME
    assert answer.shoot_out is None
    assert answer.on_pitch is not None
    assert answer.on_pitch.home == (1, 3, 4, 5, 6, 7, 8, 9, 10, 11, None)
    assert [(g.minute, g.number, g.name, g.score) for g in answer.goals] == [
        ("17", 9, "Ines Holm", (1, 0)),
        ("50", 9, "Ines Okoro", (1, 1)),
        ("52", None, "", None),
    ]
    assert [(c.number, c.name, c.card) for c in answer.cards] == [
        (70, "", "yellow"),
        (None, "", "red"),
    ]
    assert any("Number 70" in warning for warning in answer.warnings)


def test_a_moment_of_the_match(tie: Match) -> None:
    """Before half-time there is no half-time score, and only what has happened is told."""
    fold = _played(tie).fold()
    early = log_answer(fold, fold.state_at(MinuteLabel(30)), ())
    assert (early.score, early.half_time, early.periods) == ((1, 0), None, ((1, 0),))
    assert (early.minute, early.warnings) == ("30", ())
    before = log_answer(fold, fold.state_at(tie.at(-60)))
    assert (before.half_time, before.periods, before.minute) == (None, (), None)
    interval = log_answer(fold, fold.state_at(tie.at(3000)))
    assert (interval.half_time, interval.periods) == ((1, 0), ((1, 0),))


def test_minutes_alone_are_a_whole_match(tie: Match) -> None:
    """A list of minutes without whistles is read as a whole match: both halves are told."""
    tie.log(Kind.GOAL, 9, person="home 9", printed="12", imported=True)
    fold = tie.fold()
    answer = log_answer(fold, fold.last())
    assert (answer.half_time, answer.periods) == ((1, 0), ((1, 0), (0, 0)))


def test_extra_time_and_kicks(tie: Match) -> None:
    """Extra time has its own periods; the kicks stand apart; an abandoned half has a half-time."""
    tie.whistles()
    tie.log(Kind.GOAL, 9, person="home 9", printed="95", imported=True)
    tie.log(Kind.KICK_OFF, 11_000, period=5)
    tie.log(Kind.SHOOT_OUT_KICK, 11_060, exact=True, person="away 9", how="scored")
    fold = tie.fold()
    answer = log_answer(fold, fold.last())
    assert answer.periods == ((0, 0), (0, 0), (1, 0), (0, 0))
    assert answer.shoot_out == (0, 1)
    assert answer.half_time == (0, 0)


def test_an_abandoned_match(tie: Match) -> None:
    """Abandoned in the second half: the goals of both halves so far, phase and minute."""
    tie.whistles(until=1)
    tie.log(Kind.KICK_OFF, 3730, period=2)
    tie.log(Kind.ABANDONED, 4030)
    fold = tie.fold()
    answer = log_answer(fold, fold.last())
    assert (answer.phase, answer.minute, answer.half_time) == (Phase.ABANDONED, "51", (0, 0))
    assert answer.periods == ((0, 0), (0, 0))
    tie.entries = tie.entries[:1]
    running = tie.fold()
    assert log_answer(running, running.last()).half_time is None


def test_without_a_sheet_nobody_is_on_the_pitch(tie: Match) -> None:
    """Who is on the pitch is not known without a sheet, and is not guessed."""
    tie.sheet = TeamSheet(SidePeople("A", "A"), SidePeople("B", "B"))
    fold = tie.whistles().fold()
    assert log_answer(fold, fold.last()).on_pitch is None


@pytest.mark.parametrize(("minute", "clock"), [("1", "00:00 to 00:59"), ("45+2", "46:00 to 46:59")])
def test_a_minute_and_its_time(minute: str, clock: str) -> None:
    """A minute is told with its period and the clock it covers."""
    label = MinuteLabel.read(minute)
    answer = minute_answer(label, label_span_s(label, Rules()))
    assert (answer.minute, answer.period, answer.clock) == (minute, 1, clock)
