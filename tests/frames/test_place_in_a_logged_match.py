"""Frames placed by the fold of a real log."""

from datetime import UTC, datetime, timedelta

import pytest

from setpiece.frames.place import place
from setpiece.match.entries import Entry, EntryId, Kind
from setpiece.match.fixture import Fixture
from setpiece.match.fold import Fold
from setpiece.match.instants import Interval, MinuteLabel, instant
from setpiece.match.people import Person, PersonId, Role, Side, SidePeople, TeamSheet
from setpiece.match.state import Score

KICK_OFF = datetime(2027, 3, 6, 14, 2, 0, tzinfo=UTC)
GOAL_S, CHANGE_S = 16 * 60 + 30, 30 * 60 + 30
FIXTURE = Fixture(
    "semi-final", "Ashmere", "Brackholt", "Lantern Cup", instant(KICK_OFF), "Europe/London"
)
SHEET = TeamSheet(
    SidePeople("Ashmere Women", "Ashmere"),
    SidePeople("Brackholt Ladies", "Brackholt"),
    tuple(
        Person(PersonId(f"h{n}"), f"Player {n}", Role.PLAYER, Side.HOME, n, starts=n <= 11)
        for n in range(1, 15)
    ),
)


def exactly(second: float) -> Interval:
    return Interval.exactly(instant(KICK_OFF + timedelta(seconds=second)))


def entry(number: int, kind: Kind, second: float, **said: object) -> Entry:
    happened = exactly(second)
    return Entry(EntryId(number), kind, happened.end, happened, **said)


FOLD = Fold(
    FIXTURE,
    SHEET,
    [
        entry(1, Kind.KICK_OFF, 0, period=1),
        entry(2, Kind.GOAL, GOAL_S, side=Side.HOME, person=PersonId("h9"), frame="f-goal"),
        entry(
            3,
            Kind.SUBSTITUTION,
            CHANGE_S,
            side=Side.HOME,
            person=PersonId("h8"),
            other=PersonId("h14"),
        ),
    ],
)


def around(second: float, uncertainty_s: float = 0.6) -> Interval:
    return Interval.around(instant(KICK_OFF + timedelta(seconds=second)), uncertainty_s)


def test_a_frame_has_its_minute_and_score() -> None:
    """Minute and score are those of the log at the frame's true time, without a doubt."""
    before, after = place("f1", around(GOAL_S - 5), FOLD), place("f2", around(GOAL_S + 5), FOLD)
    assert (before.state.label, before.state.score) == (MinuteLabel(17), Score(0, 0))
    assert (after.state.label, after.state.score) == (MinuteLabel(17), Score(1, 0))
    assert before.sure
    assert after.sure


@pytest.mark.parametrize(
    ("second", "doubts"),
    [
        (GOAL_S, ("a goal lies within the uncertainty: 0–0 or 1–0",)),
        (CHANGE_S, ("a substitution or a dismissal lies within the uncertainty",)),
        (20 * 60, ("the minute is not sure: 20 or 21",)),
        (
            0,
            (
                "a whistle lies within the uncertainty: before kick-off or first half",
                "the minute is not sure: none or 1",
            ),
        ),
    ],
)
def test_a_frame_beside_a_boundary_is_doubted(second: float, doubts: tuple[str, ...]) -> None:
    """A goal, a substitution, a minute or the kick-off within the uncertainty is named."""
    assert place("f1", around(second), FOLD).doubts == doubts


def test_the_frame_that_shows_the_goal_is_not_asked_about_it() -> None:
    """The frame that pins the goal has no doubt about it, whatever its clock leaves open."""
    assert place("f-goal", around(GOAL_S), FOLD).sure


def test_an_unfitted_camera_leaves_the_whole_match_open() -> None:
    """A camera that may be an hour off has every doubt there is."""
    assert len(place("f1", around(GOAL_S, 3900), FOLD).doubts) == 4
