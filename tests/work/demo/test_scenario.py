"""The demo match: its true course, what is typed of it, and the fold over it."""

from __future__ import annotations

from datetime import timedelta

import pytest

from setpiece.match.entries import Kind, Standing
from setpiece.match.exchange import read_sheet_text
from setpiece.match.fold import Fold
from setpiece.match.instants import MinuteLabel, instant
from setpiece.match.people import Role, Side
from setpiece.match.state import Phase, Score
from setpiece.work.demo.scenario import (
    ENDS,
    EVENTS,
    STARTS,
    at,
    fixture,
    log_lines,
    pinned,
    sheet,
    sheet_text,
    true_eleven,
    true_label,
    true_number,
    true_score,
)


def events(kind: Kind) -> list[tuple[str, Standing]]:
    """The minute and standing of every event of a kind."""
    return [(str(true_label(e.true)), e.standing) for e in EVENTS if e.kind is kind]


def test_the_goals_fall_in_the_minutes_of_the_story():
    """Goals stand at 17', 45+2' and 74'; one at 58' is disallowed after a review."""
    standing = [m for m, s in events(Kind.GOAL) if s is Standing.GIVEN]
    assert standing == ["17", "45+2", "58", "74"]
    assert events(Kind.GOAL)[-2] == ("58", Standing.DISALLOWED)
    assert [m for m, _ in events(Kind.PENALTY_SAVED)] == ["68"]


def test_kick_off_is_late_and_the_halves_have_added_time():
    """Play starts 72 s late; three and five minutes are added, and a little is played on."""
    assert STARTS[1] - fixture().kick_off == timedelta(seconds=72)
    assert timedelta(minutes=48) < ENDS[1] - STARTS[1] < timedelta(minutes=49)
    assert STARTS[2] - ENDS[1] == timedelta(minutes=15, seconds=40)
    assert timedelta(minutes=50) < ENDS[2] - STARTS[2] < timedelta(minutes=51)


def test_one_goal_is_typed_seventy_seconds_late():
    """The goal of the 74th minute happened 70 s before it was typed, inside its interval."""
    late = log_lines()[-6]
    assert late.kind is Kind.GOAL
    assert (late.typed - at(2, "28:40")).total_seconds() == 70
    assert late.happened is not None
    assert late.happened.holds(at(2, "28:40"))


def test_every_entry_may_have_happened_when_it_did():
    """The truth lies inside the interval of every typed entry, never after the typing."""
    for entry, event in zip(log_lines(), EVENTS, strict=True):
        assert entry.happened is not None
        assert entry.happened.holds(event.true), entry
        assert event.true <= entry.typed


def test_the_log_is_typed_in_order():
    """No entry was typed before the one above it."""
    typed = [entry.typed for entry in log_lines()]
    assert typed == sorted(typed)


@pytest.mark.parametrize(
    ("period", "clock", "label", "score"),
    [
        (1, "0:00", "1", Score(0, 0)),
        (1, "16:23.9", "17", Score(0, 0)),
        (1, "16:24", "17", Score(1, 0)),
        (1, "45:00", "45+1", Score(1, 0)),
        (1, "46:31", "45+2", Score(1, 1)),
        (2, "0:00", "46", Score(1, 1)),
        (2, "12:40", "58", Score(1, 1)),
        (2, "28:40", "74", Score(2, 1)),
        (2, "50:11", "90+6", Score(2, 1)),
    ],
)
def test_minute_and_score_at_an_instant(period, clock, label, score):
    """Minutes count from one and run on as added time; a disallowed goal never counts."""
    assert true_label(at(period, clock)) == MinuteLabel.read(label)
    assert true_score(at(period, clock)) == score


def test_no_minute_is_printed_outside_the_halves():
    """Before kick-off, at half-time and after full time there is no minute."""
    for when in (instant(STARTS[1] - timedelta(seconds=1)), ENDS[1], ENDS[2]):
        assert true_label(when) is None


def test_the_fold_agrees_at_every_event_once_it_is_pinned():
    """Minute, score and both elevens from the match room equal those worked out here."""
    fold = Fold(fixture(), sheet(), pinned(log_lines()))
    for event in EVENTS:
        when = instant(event.true + timedelta(seconds=1))
        state = fold.state_at(when)
        assert state.score == true_score(when)
        assert state.label == true_label(when)
        for side, of in ((Side.HOME, state.home), (Side.AWAY, state.away)):
            if state.phase in (Phase.FIRST_HALF, Phase.SECOND_HALF):
                assert {w.person for w in of.on_pitch} == true_eleven(side, when)


def test_eleven_are_on_the_pitch_all_through():
    """Substitutions keep each side at eleven, the goalkeeper among them."""
    for event in EVENTS:
        for side in Side:
            assert len(true_eleven(side, event.true)) == 11


def test_five_substitutions_are_made():
    """One at half-time, two at one stoppage, one more for each side, the last under 18."""
    subs = [e for e in EVENTS if e.kind is Kind.SUBSTITUTION]
    assert len(subs) == 5
    assert subs[0].true < STARTS[2]
    assert subs[1].true == subs[2].true
    last = sheet().person(subs[-1].other)
    assert last is not None
    assert last.under_18


def test_the_plain_shirt_has_no_number_from_then_on():
    """Number 8 wears her number until the 36th minute and none afterwards."""
    wearer = next(e.person for e in EVENTS if e.kind is Kind.SHIRT)
    assert true_number(wearer, at(1, "35:49")) == 8
    assert true_number(wearer, at(1, "35:50")) is None


def test_the_squads_hold_the_names_that_test_captions():
    """Two sisters share a name on the pitch; one player has one name; titles differ by club."""
    known = sheet()
    home = known.players(Side.HOME)
    sisters = [p for p in home if p.family_name == "Kolbrand"]
    assert len(sisters) == 2
    assert {p.id for p in sisters} <= true_eleven(Side.HOME, STARTS[1])
    assert [p.printed_name for p in home if " " not in p.printed_name] == ["Tavinha"]
    assert {p.title for p in known.people if p.role in (Role.HEAD_COACH, Role.MANAGER)} == {
        "head coach",
        "manager",
    }
    assert any(p.printed_name.split()[1:3] == ["van", "der"] for p in known.people)
    assert {p.pronouns for p in home} == {"she", ""}
    for side in Side:
        assert len(known.players(side)) == 20
        assert sum(p.captain for p in known.players(side)) == 1


@pytest.mark.parametrize("side", Side)
def test_the_pasted_squads_read_back_as_the_sheet(side):
    """What a club sent gives the same numbers, names, captain, keepers and starters."""
    read = read_sheet_text(sheet_text()[side], side=side)
    assert not read.not_understood
    marks = [
        [(p.number, p.printed_name, p.captain, p.starts, p.role) for p in s.players(side)]
        for s in (read.sheet, sheet())
    ]
    assert marks[0] == marks[1]
