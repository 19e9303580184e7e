"""Edges of the match that a change to the code showed nobody to be looking at."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest

from setpiece.match.answers import log_answer
from setpiece.match.audit import audit
from setpiece.match.entries import Kind
from setpiece.match.fixture import Fixture, Rules
from setpiece.match.instants import instant
from setpiece.match.people import Person, PersonId, Role, Side, SidePeople
from setpiece.match.sheet_audit import audit_sheet
from setpiece.match.sheet_exchange import read_sheet_csv
from setpiece.match.typed import read_line

if TYPE_CHECKING:
    from conftest import Match

EXTRA = (
    (Kind.KICK_OFF, 7000, 3), (Kind.PERIOD_END, 7930, 3), (Kind.KICK_OFF, 8000, 4),
    (Kind.PERIOD_END, 8930, 4), (Kind.KICK_OFF, 9200, 5), (Kind.PERIOD_END, 9900, 5),
)  # fmt: skip


def long(tie: Match, *, without: int | None = None) -> Match:
    """The match with extra time and a shoot-out, one of its later whistles left out."""
    tie.whistles()
    for at, (kind, at_s, period) in enumerate(EXTRA):
        if at != without:
            tie.log(kind, at_s, exact=True, period=period)
    return tie


@pytest.mark.parametrize(
    ("at_s", "begun"),
    [(-60, 0), (60, 1), (3000, 1), (4000, 2), (6700, 2), (7100, 3), (7950, 3), (8100, 4),
     (9300, 4), (9950, 4)],
)  # fmt: skip
def test_periods_are_counted_once_they_have_begun(tie: Match, at_s: int, begun: int) -> None:
    """In an interval the next one has not, and the shoot-out has no minutes to count."""
    fold = long(tie).fold()
    assert len(log_answer(fold, fold.state_at(tie.at(at_s)), ()).periods) == begun


def test_the_next_whistle_is_the_one_that_is_due(tie: Match) -> None:
    """From the kick-off to the end of extra time, one after the other."""
    entries = []
    for _ in range(8):
        entry = read_line("whistle", tie.sheet, tie.fold().last(), tie.at(700.0 * len(entries)))
        entries.append((entry.kind, entry.period))
        tie.log(entry.kind, 700 * len(entries), exact=True, period=entry.period)
    assert entries == [
        (kind, period) for period in range(1, 5) for kind in (Kind.KICK_OFF, Kind.PERIOD_END)
    ]


@pytest.mark.parametrize(
    ("left_out", "words"),
    [
        (0, "The kick-off of the first half of extra time was not logged"),
        (1, "The end of the first half of extra time was not logged"),
        (2, "The kick-off of the second half of extra time was not logged"),
        (3, "The end of the second half of extra time was not logged"),
        (4, "The kick-off of the shoot-out was not logged"),
    ],
)
def test_a_whistle_nobody_logged_is_named(tie: Match, left_out: int, words: str) -> None:
    """Each period by its name, and what was taken in the whistle's place."""
    long(tie, without=left_out)
    tie.log(Kind.NOTE, 7500, exact=True)
    tie.log(Kind.NOTE, 8500, exact=True)
    (remark,) = [r for r in audit(tie.fold()) if r.about == "whistle not logged"]
    assert remark.says.startswith(f"{words}; it is taken as 1")


def test_the_same_side_does_not_kick_twice_running(tie: Match) -> None:
    """Law 10 (from memory): kicks are taken alternately."""
    long(tie, without=5)
    for at_s, who in ((9300, "home 9"), (9360, "home 8")):
        tie.log(Kind.SHOOT_OUT_KICK, at_s, exact=True, period=5, person=who, how="scored")
    (remark,) = [r for r in audit(tie.fold()) if r.about == "kick out of turn"]
    assert remark.says == "The same side kicks twice running."


def test_a_late_change_in_the_first_half_is_late(tie: Match) -> None:
    """The kick-off is the last moment for it."""
    tie.whistles().log(Kind.LATE_CHANGE, 100, exact=True, person="home 9", other="home 14")
    assert [r.about for r in audit(tie.fold())] == ["late change after kick-off"]


def test_two_corrections_of_one_entry_are_told(tie: Match) -> None:
    """And one of an entry that is not there."""
    goal = tie.whistles().log(Kind.GOAL, 1000, exact=True, person="home 9")
    first = tie.log(Kind.GOAL, 1000, exact=True, person="home 8", supersedes=goal.id)
    second = tie.log(Kind.GOAL, 1000, exact=True, person="home 7", supersedes=goal.id)
    (remark,) = audit(tie.fold())
    assert (remark.about, remark.entries) == ("corrected twice", (first.id, second.id))


def test_lists_of_people_are_in_the_order_of_the_sheet(tie: Match) -> None:
    """The bench as it is printed, whatever the identifiers are."""
    people = tuple(
        Person(PersonId(name), name, Role.PLAYER, Side.HOME, number, starts=number < 3)
        for number, name in enumerate(("Zoe", "Yva", "Xia", "Ada", "Mia"), 1)
    )
    tie.sheet = replace(tie.sheet, people=people)
    state = tie.fold().last().side(Side.HOME)
    assert [w.person for w in state.on_pitch] == ["Zoe", "Yva"]
    assert list(state.bench) == ["Xia", "Ada", "Mia"]


def test_what_is_not_told_of_a_fixture_is_empty() -> None:
    """Place, stage and coordinates are not known until they are told."""
    at = instant(datetime(2027, 3, 6, 12, tzinfo=UTC))
    assert Fixture("m", "A", "B", "Cup", at, "Europe/Vienna") == Fixture(
        "m", "A", "B", "Cup", at, "Europe/Vienna", "", "", "", "", "", "", None, None, Rules()
    )


def test_a_remark_on_a_sheet_names_its_people(tie: Match) -> None:
    """Whoever has no number, is printed twice or plays for no side."""
    bare = replace(tie.sheet.people[3], number=None)
    people = (*tie.sheet.people[:3], bare, *tie.sheet.people[4:])
    (remark,) = audit_sheet(replace(tie.sheet, people=people))
    assert (remark.about, remark.people) == ("no number", (bare.id,))
    assert remark.says == "Dina Holm (Northgate) has no number."


def test_a_sheet_of_names_alone_is_enough() -> None:
    """Sides have plain names; who shares an identifier is told apart; staff go by their role."""
    rows = ("side,number,name,role\nhome,9,Eda,\nhome,9,Fay,\nhome,9,Gro,\n"
            "home,,Tess Lind,coach\n,,Rut Berg,referee\n")  # fmt: skip
    sheet = read_sheet_csv(rows)
    assert (sheet.home, sheet.away) == (SidePeople("Home", "Home"), SidePeople("Away", "Away"))
    assert [p.id for p in sheet.people] == [
        "home-9", "home-9-2", "home-9-3", "home-head-coach-tess-lind", "referee-rut-berg",
    ]  # fmt: skip


def test_who_assists_is_the_second_named_and_a_third_is_a_note(tie: Match) -> None:
    """Two people of a goal are scorer and assist; more words are kept as they were typed."""
    state = tie.whistles(until=1).fold().last()
    goal = read_line("goal 9r 10r 11r", tie.sheet, state, tie.at(100))
    assert (goal.person, goal.other, goal.note) == (tie.who("home 9"), tie.who("home 10"), "11r")
    assisted = read_line("goal 9r assist 10r ada", tie.sheet, state, tie.at(100))
    assert (assisted.person, assisted.other) == (tie.who("home 9"), tie.who("home 10"))
    assert assisted.note == "ada"
