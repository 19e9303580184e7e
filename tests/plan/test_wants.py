"""Single wants: people with an angle, and stories."""

from __future__ import annotations

import pytest

from setpiece.errors import WrongUse
from setpiece.match.people import PersonId
from setpiece.plan.sheet import shot_line
from setpiece.plan.shotlist import Pictured, answers
from setpiece.plan.wants import STORIES, Angle, Want, shot_of

NINE = PersonId("home-9")


def test_a_person_is_wanted_for_her_angle() -> None:
    """The line names her, why she is a story, and the note; any picture of her answers it."""
    shot = shot_of(Want(person=NINE, angle=Angle.MILESTONE, note="100th match"), 7, "Ada Nine")
    assert shot_line(shot) == "Ada Nine (milestone), 100th match"
    assert answers(shot, Pictured("f", persons=frozenset({NINE})))
    assert not answers(shot, Pictured("f"))


def test_a_story_is_answered_by_what_a_picture_shows() -> None:
    """Subjects are compared without case."""
    shot = shot_of(Want("Mascot", subjects=("Mascot ", "")), 1, "")
    assert shot.subjects == {"mascot"}


@pytest.mark.parametrize("name", STORIES)
def test_every_story_to_begin_with_is_a_line(name: str) -> None:
    """Each is a want that some picture answers."""
    want = STORIES[name]
    shot = shot_of(want, 1, "")
    assert answers(shot, Pictured("f", shot.subjects, upright=want.upright))


@pytest.mark.parametrize(
    "make",
    [
        lambda: Want(),
        lambda: Want("A title alone"),
        lambda: Want("A", subjects=("play",), angle=Angle.DEBUT),
        lambda: Want("A", subjects=("play",), when="tomorrow"),
        lambda: Want("A", subjects=("play",), count=0),
    ],
)
def test_a_want_that_nothing_answers_is_refused(make) -> None:
    """A want names somebody or something, a part of the day and a number."""
    with pytest.raises(WrongUse):
        make()
