"""Entries of the log: what stands, what was thought, what happened to an entry."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from setpiece.errors import WrongUse
from setpiece.match.entries import Entry, EntryId, Kind, current, history, known
from setpiece.match.instants import MinuteLabel

if TYPE_CHECKING:
    from conftest import Match


def test_a_log_without_corrections_stands_as_it_is(tie: Match) -> None:
    """Every entry stands, in the order of the ids."""
    entries = tuple(tie.whistles().entries)
    assert current(reversed(entries)) == entries
    assert known(entries, None) == entries


def test_a_correction_takes_the_place_of_its_entry(tie: Match) -> None:
    """The corrected entry is gone, also through a chain of corrections."""
    goal = tie.log(Kind.GOAL, 600, person="home 9", printed="11")
    second = tie.log(Kind.GOAL, 700, person="home 10", printed="11", supersedes=goal.id)
    third = tie.log(Kind.GOAL, 800, person="home 11", printed="11", supersedes=second.id)
    assert current(tie.entries) == (third,)
    assert current(tie.entries, as_known_at=tie.at(750)) == (second,)
    assert current(tie.entries, as_known_at=tie.at(650)) == (goal,)
    assert current(tie.entries, as_known_at=tie.at(500)) == ()


def test_a_correction_keeps_the_time_it_does_not_state(tie: Match) -> None:
    """A scorer corrected ten minutes later leaves the goal when it was."""
    goal = tie.log(Kind.GOAL, 600, exact=True, person="home 9", frame="f1")
    second = tie.log(Kind.GOAL, 1200, person="home 10", supersedes=goal.id)
    tie.log(Kind.GOAL, 1300, person="home 11", supersedes=second.id)
    (stands,) = current(tie.entries)
    assert stands.happened == goal.happened
    assert stands.frame == "f1"
    assert stands.person == tie.who("home 11")
    assert stands.says_when


def test_a_correction_keeps_the_clock_with_its_period(tie: Match) -> None:
    """The clock and the period of a file's row go together into its correction."""
    tie.log(Kind.GOAL, 600, person="home 9", period=2, elapsed_s=100.0, imported=True)
    tie.log(Kind.GOAL, 1200, person="home 10", supersedes=EntryId(1))
    (stands,) = current(tie.entries)
    assert (stands.period, stands.elapsed_s, stands.imported) == (2, 100.0, True)


def test_a_correction_of_what_says_nothing(tie: Match) -> None:
    """A correction of an entry without a time takes over when that was typed."""
    tie.log(Kind.GOAL, 600, person="home 9")
    tie.log(Kind.GOAL, 1200, person="home 10", supersedes=EntryId(1))
    assert current(tie.entries)[0].typed == tie.at(600)
    lost = tie.log(Kind.GOAL, 1300, person="home 9", supersedes=EntryId(1))
    assert current([lost]) == (lost,)


def test_of_two_corrections_the_later_stands(tie: Match) -> None:
    """Two people who correct the same goal do not make two goals."""
    goal = tie.log(Kind.GOAL, 600, exact=True, person="home 9")
    tie.log(Kind.GOAL, 700, exact=True, person="home 10", supersedes=goal.id)
    later = tie.log(Kind.GOAL, 800, exact=True, person="home 11", supersedes=goal.id)
    assert current(tie.entries) == (later,)
    tie.log(Kind.WITHDRAWN, 900, supersedes=goal.id)
    assert current(tie.entries) == ()


def test_a_withdrawal_can_be_taken_back(tie: Match) -> None:
    """Withdrawing a withdrawal restores the entry."""
    goal = tie.log(Kind.GOAL, 600, exact=True, person="home 9")
    gone = tie.log(Kind.WITHDRAWN, 700, supersedes=goal.id)
    assert current(tie.entries) == ()
    tie.log(Kind.WITHDRAWN, 800, supersedes=gone.id)
    assert current(tie.entries) == (goal,)


def test_the_history_of_an_entry(tie: Match) -> None:
    """Every version of an entry is kept, oldest first, whichever one is asked for."""
    goal = tie.log(Kind.GOAL, 600, person="home 9")
    other = tie.log(Kind.YELLOW, 650, person="home 4")
    second = tie.log(Kind.GOAL, 700, person="home 10", supersedes=goal.id)
    gone = tie.log(Kind.WITHDRAWN, 800, supersedes=second.id)
    assert history(tie.entries, goal.id) == (goal, second, gone)
    assert history(tie.entries, gone.id) == (goal, second, gone)
    assert history(tie.entries, other.id) == (other,)
    assert history(tie.entries, EntryId(99)) == ()


@pytest.mark.parametrize(
    "wrong",
    [
        {"period": 6},
        {"kind": Kind.WITHDRAWN},
        {"kind": Kind.KICK_OFF},
        {"elapsed_s": 100.0},
        {"elapsed_s": -1.0, "period": 1},
        {"supersedes": EntryId(3)},
    ],
)
def test_an_entry_that_cannot_be(tie: Match, wrong: dict) -> None:
    """Impossible entries are refused when they are built, and name themselves."""
    good = Entry(EntryId(3), Kind.NOTE, tie.at(0))
    with pytest.raises(WrongUse, match="e3"):
        replace(good, **wrong)


def test_a_draft_may_name_what_it_corrects(tie: Match) -> None:
    """A draft without an id of its own may already supersede an entry."""
    draft = Entry(EntryId(0), Kind.NOTE, tie.at(0), supersedes=EntryId(7))
    assert draft.supersedes == 7
    assert not draft.says_when
    assert replace(draft, printed=MinuteLabel(3)).says_when
