"""The shot list: coverage, balance, reminders."""

from __future__ import annotations

import pytest

from setpiece.errors import WrongUse
from setpiece.match.entries import EntryId, Kind
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
from setpiece.plan.wants import Want, shot_of

NINE, FOUR = PersonId("home-9"), PersonId("away-4")
LEFT = PersonId("home-11")
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
        shot_of(Want("Boards", subjects=("sponsor boards",), who="North"), 1, ""),
        shot_of(Want("Cover player", person=NINE), 2, "Nine"),
    ]
    whole = coverage(shots, [TACKLE])
    assert [answer.shot.key for answer in whole] == ["want-1", "want-2"]
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
        shot_of(Want("Their captain", person=FOUR), 1, ""),
        shot_of(Want("Cover player", person=NINE), 2, ""),
        shot_of(Want("Debut", person=LEFT), 3, ""),
        shot_of(Want("Debut once more", person=LEFT), 4, ""),
        Shot("goal", "Goal", "match", frozenset({"goals"})),
    ]
    seen = [
        TACKLE,
        Pictured("f2", persons=frozenset({FOUR}), minute=40),
        Pictured("f3", persons=frozenset({NINE}), minute=None),
    ]
    found = reminders(shots, seen, 44)
    assert [(r.title, r.minutes, r.never) for r in found] == [
        ("Debut", 44, True),
        ("Cover player", 32, False),
    ]
    assert reminders(shots, seen, 44, on_the_pitch=frozenset({NINE})) == (found[1],)
    assert reminders(shots, seen, 44, after_min=60) == ()


def test_a_substitute_is_missed_from_her_coming_on() -> None:
    """Somebody who came on ten minutes ago is not called to mind yet; after 25 she is."""
    shots = [shot_of(Want(person=LEFT), 1, "Eleven")]
    assert reminders(shots, [], 70, came_on={LEFT: 60}) == ()
    (found,) = reminders(shots, [], 85, came_on={LEFT: 60})
    assert (found.minutes, found.never) == (25, True)


GOALS = Shot("g", "Goals", "match", frozenset({"goals"}), after=frozenset({Kind.GOAL}), each=True)


def test_every_goal_wants_its_own_picture() -> None:
    """Two pictures of one goal leave the other wanted; a goal's picture is told by its entry."""
    happened = [(Kind.KICK_OFF, EntryId(1)), (Kind.GOAL, EntryId(2)), (Kind.GOAL, EntryId(5))]
    both = [
        Pictured(f"f{n}", frozenset({"goals"}), entries=frozenset({EntryId(2)})) for n in range(2)
    ]
    (answer,) = coverage([GOALS], both, happened)
    assert answer.missing == 1
    other = Pictured("f9", frozenset({"goals"}), entries=frozenset({EntryId(5)}))
    assert coverage([GOALS], [*both, other], happened)[0].done


def test_what_did_not_come_is_not_wanted() -> None:
    """Without a goal so far the list has no line for it; before the match, on paper, it has."""
    assert coverage([GOALS], [], []) == ()
    assert len(coverage([GOALS], [])) == 1


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
