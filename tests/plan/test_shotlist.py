"""The shot list: coverage, balance, reminders."""

from __future__ import annotations

import pytest

from setpiece.errors import WrongUse
from setpiece.match.people import PersonId, Role, Side
from setpiece.plan.shotlist import (
    Pictured,
    Shot,
    answers,
    balance,
    coverage,
    covered,
    reminders,
)
from setpiece.plan.templates import person_wanted, story_wanted

NINE, FOUR = PersonId("home-9"), PersonId("away-4")
TACKLE = Pictured("f1", frozenset({"tackles", "play"}), frozenset({NINE, FOUR}), Side.HOME, 12)


@pytest.mark.parametrize(
    ("shot", "answered"),
    [
        (Shot("a", "A", "match", frozenset({"tackles"})), True),
        (Shot("a", "A", "match", frozenset({"saves", "play"})), True),
        (Shot("a", "A", "match", frozenset({"saves"})), False),
        (Shot("a", "A", "match", frozenset({"play"}), people=2), True),
        (Shot("a", "A", "match", frozenset({"play"}), people=3), False),
        (Shot("a", "A", "match", frozenset({"play"}), upright=True), False),
        (Shot("a", "A", "match", person=NINE), True),
        (Shot("a", "A", "match", person=PersonId("home-1")), False),
        (Shot("a", "A", "match", frozenset({"play"}), roles=frozenset({Role.MANAGER})), False),
    ],
)
def test_a_picture_answers_what_it_shows(shot: Shot, answered: bool) -> None:
    """Subject, number of people, person, role and orientation must all fit."""
    assert answers(shot, TACKLE) is answered


def test_a_role_is_answered_by_somebody_who_has_it() -> None:
    """A coach's shot needs a coach in the picture, whatever she does."""
    shot = Shot("coach", "Coach", "match", roles=frozenset({Role.HEAD_COACH, Role.MANAGER}))
    assert answers(shot, Pictured("f", roles=frozenset({Role.MANAGER})))
    assert not answers(shot, TACKLE)


def test_each_side_is_counted_apart() -> None:
    """Three of one side leave the other side's wanted."""
    shot = Shot("duels", "Duels", "match", frozenset({"tackles"}), each_side=True, count=2)
    home = [Pictured(f"h{n}", frozenset({"tackles"}), side=Side.HOME) for n in range(3)]
    (answer,) = coverage([shot], home)
    assert answer.missing == 2
    assert answer.missing_sides == (Side.AWAY,)
    assert not answer.done
    away = [Pictured(f"a{n}", frozenset({"tackles"}), side=Side.AWAY) for n in range(2)]
    (answer,) = coverage([shot], home + away)
    assert answer.done
    assert answer.frames == ("h0", "h1", "h2", "a0", "a1")


def test_coverage_keeps_the_lists_order_and_counts_what_is_done() -> None:
    """One answer a shot; done of all."""
    shots = [
        story_wanted("boards", "Boards", ("sponsor boards",), who="North"),
        person_wanted(NINE, "Cover player"),
    ]
    whole = coverage(shots, [TACKLE])
    assert [answer.shot.key for answer in whole] == ["boards", f"person {NINE}"]
    assert covered(whole) == (1, 2)
    assert covered([]) == (0, 0)
    assert shots[0].who == "North"


def test_balance_tells_which_side_lacks_pictures() -> None:
    """Less than a third of those that show a side is too little; a few pictures say nothing."""
    home, away = Pictured("h", side=Side.HOME), Pictured("a", side=Side.AWAY)
    lean = balance([home] * 5 + [away, Pictured("n")])
    assert (lean.home, lean.away, lean.neither) == (5, 1, 1)
    assert lean.wanted is Side.AWAY
    assert lean.lean == pytest.approx(4 / 6)
    assert balance([away] * 5 + [home]).wanted is Side.HOME
    assert balance([home, away, home, away]).wanted is None
    assert balance([home]).wanted is None
    assert balance([]).lean == 0


def test_reminders_name_who_was_not_seen_longest_first() -> None:
    """Whoever was seen lately is left out; never seen counts from kick-off."""
    shots = [
        person_wanted(FOUR, "Their captain"),
        person_wanted(NINE, "Cover player"),
        person_wanted(PersonId("home-11"), "Debut"),
        Shot("goal", "Goal", "match", frozenset({"goals"})),
    ]
    seen = [
        TACKLE,
        Pictured("f2", persons=frozenset({FOUR}), minute=40),
        Pictured("f3", persons=frozenset({NINE}), minute=None),
    ]
    found = reminders(shots, seen, 44)
    assert [r.text for r in found] == [
        "Debut not seen yet, 44 minutes played",
        "Cover player not seen for 32 minutes",
    ]
    assert reminders(shots, seen, 44, on_the_pitch=frozenset({NINE})) == (found[1],)
    assert reminders(shots, seen, 44, after_min=60) == ()


@pytest.mark.parametrize(
    "make",
    [
        lambda: Shot("a", "A", "match"),
        lambda: Shot("a", "A", "match", frozenset({"play"}), count=0),
    ],
)
def test_a_shot_that_asks_for_nothing_is_refused(make) -> None:
    """A shot wants something, and at least one of it."""
    with pytest.raises(WrongUse):
        make()
