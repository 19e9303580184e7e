"""Writing the log: rulings on goals, pins, withdrawals."""

from __future__ import annotations

from datetime import timedelta

import pytest

from setpiece.errors import NotFound
from setpiece.match.entries import Kind, Standing
from setpiece.match.instants import Instant, instant
from setpiece.match.state import Score
from setpiece.store.matches import Match, add_fixture, add_sheet
from setpiece.store.workspace import Workspace
from setpiece.work.demo import scenario
from setpiece.work.job import Unattended
from setpiece.work.logbook import When, add_line, pin, proposals, withdraw
from setpiece.work.matchday import Matchday


@pytest.fixture
def early() -> Instant:
    """A day before the match."""
    return instant(scenario.KICK_OFF_PLANNED - timedelta(days=1))


@pytest.fixture
def late() -> Instant:
    """A minute after the free kick."""
    return scenario.at(2, "29:50")


def test_a_goal_goes_under_review_and_stands_or_does_not(
    space: Workspace, played: Match, late: Instant
) -> None:
    """Each ruling replaces the goal's entry, and the score follows."""
    caller = Unattended(late)
    for line, standing, score in (
        ("under review 9r", Standing.UNDER_REVIEW, Score(2, 1)),
        ("stands 9r", Standing.STANDS, Score(2, 1)),
        ("disallowed 9r offside", Standing.DISALLOWED, Score(1, 1)),
    ):
        entry = add_line(space, played, line, caller)
        assert (entry.kind, entry.standing) == (Kind.GOAL, standing)
        assert Matchday(space, played).fold.last().score == score
    assert entry.note == "offside"


def test_a_ruling_without_a_goal_is_refused(space: Workspace, played: Match, late: Instant) -> None:
    """Nothing can be ruled on a goal that somebody did not score."""
    with pytest.raises(NotFound, match="no goal"):
        add_line(space, played, "disallowed 4w", Unattended(late))


def test_a_logged_goal_proposes_its_frame_and_one_word_pins_it(
    space: Workspace, played: Match, celebration: str, late: Instant
) -> None:
    """The frame made in the goal's interval is proposed; pinned, the entry happened then."""
    goal = add_line(space, played, "goal 9r free kick", Unattended(late))
    day = Matchday(space, played)
    assert proposals(day, goal) == ("A-0231",)
    made = pin(space, played, goal.id, "A-0231", Unattended(late))
    assert (made.frame, made.happened) == (celebration, day.times[celebration])
    assert Matchday(space, played).fold.pins(celebration) == made.id
    assert proposals(Matchday(space, played), made) == ()


def test_a_whistle_that_is_logged_by_the_clock_is_the_one_due_then(
    space: Workspace, early: Instant
) -> None:
    """What is typed before or after the match, with its time, is read as the match stood then."""
    match = add_fixture(space, scenario.fixture(), early)
    add_sheet(space, match, scenario.sheet(), early)
    for at, kind, period in (
        (scenario.at(1, "0:00"), Kind.KICK_OFF, 1),
        (scenario.at(1, "47:50"), Kind.PERIOD_END, 1),
        (scenario.at(2, "0:00"), Kind.KICK_OFF, 2),
    ):
        entry = add_line(space, match, "whistle", Unattended(early), when=When(at=at))
        assert (entry.kind, entry.period) == (kind, period)


def test_a_withdrawn_entry_no_longer_counts(space: Workspace, played: Match, late: Instant) -> None:
    """Taking the free kick back leaves the score it found; an unknown entry is said to be."""
    goal = next(e for e in Matchday(space, played).log if e.how.value == "free kick")
    withdraw(space, played, goal.id, Unattended(late))
    assert Matchday(space, played).fold.last().score == Score(1, 1)
    with pytest.raises(NotFound):
        withdraw(space, played, 999, Unattended(late))
