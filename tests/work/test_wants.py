"""The shot list of the demo's match: what is still wanted, and whom to look for."""

from __future__ import annotations

from datetime import timedelta

import pytest
from desk_match import shoot

from setpiece.errors import NotFound, WrongUse
from setpiece.match.instants import Instant, instant
from setpiece.match.people import Side
from setpiece.plan.templates import AFTER, BEFORE, MATCH
from setpiece.plan.wants import STORIES, Angle, Want
from setpiece.store.frames import Decision, decide
from setpiece.store.matches import Match
from setpiece.store.wants import strike_want
from setpiece.store.workspace import Workspace
from setpiece.work.before.wants import (
    all_wants,
    change_choices,
    choices_of,
    shot_list,
    still_wanted,
    strike_shot,
    write_want,
)
from setpiece.work.caption import write_caption
from setpiece.work.demo import scenario, squads
from setpiece.work.job import Unattended
from setpiece.work.matchday import Matchday

NINE = squads.person_id(Side.HOME, 9)
SUBSTITUTE = squads.person_id(Side.HOME, 15)  # comes on in the 63rd minute
COVER = Want(person=NINE, angle=Angle.COVER)


@pytest.fixture
def caller(now: Instant) -> Unattended:
    """Somebody who asks nothing."""
    return Unattended(now)


def missing(space: Workspace, of: Match, at: Instant) -> list[str]:
    """The keys of what is still wanted."""
    return [a.shot.key for a in still_wanted(Matchday(space, of), at).missing]


def test_the_list_begins_with_single_wants(
    space: Workspace, played: Match, caller: Unattended
) -> None:
    """Wants stand before the template's lines, under the person's name."""
    write_want(space, played, COVER, caller)
    change_choices(space, played, caller, template="cup")
    shots = shot_list(Matchday(space, played))
    assert (shots[0].title, shots[0].about) == ("Signe Ørbeck", "programme cover")
    assert "scoreboard" in {s.key for s in shots}


def test_a_want_is_changed_and_struck(space: Workspace, played: Match, caller: Unattended) -> None:
    """A changed want keeps its number; a struck one is gone and can come back."""
    number = write_want(space, played, COVER, caller)
    other = write_want(space, played, STORIES["supporters"], caller)
    write_want(space, played, Want(person=NINE, angle=Angle.DEBUT), caller, number)
    assert [(n, w.angle) for n, w in all_wants(space, played)] == [(1, Angle.DEBUT), (2, None)]
    strike_want(space, played, number)
    assert [n for n, _ in all_wants(space, played)] == [other]
    strike_want(space, played, number, struck=False)
    assert len(all_wants(space, played)) == 2
    with pytest.raises(NotFound):
        strike_want(space, played, 99)


def test_a_line_of_the_template_is_struck_and_put_back(
    space: Workspace, played: Match, caller: Unattended
) -> None:
    """What is struck is not wanted; an unknown line is refused."""
    strike_shot(space, played, "boards", caller)
    assert "boards" not in {s.key for s in shot_list(Matchday(space, played))}
    strike_shot(space, played, "boards", caller, struck=False)
    assert "boards" in {s.key for s in shot_list(Matchday(space, played))}
    with pytest.raises(WrongUse):
        strike_shot(space, played, "nothing", caller)


def test_choices_change_one_by_one(space: Workspace, played: Match, caller: Unattended) -> None:
    """A second change leaves the first as it was; a wrong one leaves both."""
    change_choices(space, played, caller, template="final")
    change_choices(space, played, caller, travel_min=75)
    with pytest.raises(WrongUse):
        change_choices(space, played, caller, shutter="fast")
    kept = choices_of(space, played)
    assert (kept.template, kept.travel_min) == ("final", 75)


def test_a_goal_is_wanted_until_its_picture_is_in_the_set(
    space: Workspace, played: Match, celebration: str, caller: Unattended
) -> None:
    """A frame of the passage answers at hand; captioned and used it is the set's; the own goal and
    the header still want theirs."""
    at = instant(scenario.at(2, "32:00"))
    wanted = still_wanted(Matchday(space, played), at)
    goals = next(a for a in wanted.missing if a.shot.key == "goal")
    assert goals.missing == 3
    write_caption(space, played, celebration, "9r scores", caller)
    decide(space, played, celebration, Decision.HOLD)
    held = still_wanted(Matchday(space, played), at)
    assert held.at_hand["goal"] == (celebration,)
    assert next(a for a in held.missing if a.shot.key == "goal").missing == 3
    decide(space, played, celebration, Decision.USE)
    used = still_wanted(Matchday(space, played), at)
    assert next(a for a in used.missing if a.shot.key == "goal").missing == 2
    assert used.balance.home == 1


def test_frames_without_a_caption_are_at_hand_by_the_log(space: Workspace, played: Match) -> None:
    """A frame of the very passage of a card is offered for the card."""
    at = instant(scenario.at(1, "28:10"))
    frame = shoot(space, played, 7, at, decision=Decision.NONE)
    wanted = still_wanted(Matchday(space, played), instant(scenario.at(1, "30:00")))
    assert wanted.at_hand["cards"] == (frame,)


def test_what_can_be_got_now_stands_first(space: Workspace, played: Match) -> None:
    """Before the match its own lines stand first; at full time what comes after does."""
    kick_off = scenario.at(1, "0:00")
    early = still_wanted(Matchday(space, played), instant(kick_off - timedelta(hours=1)))
    late = still_wanted(Matchday(space, played), instant(kick_off + timedelta(hours=3)))
    assert (early.stage, early.missing[0].shot.when) == (BEFORE, BEFORE)
    assert (late.stage, late.missing[0].shot.when) == (AFTER, AFTER)
    during = still_wanted(Matchday(space, played), instant(scenario.at(1, "10:00")))
    assert (during.stage, during.missing[0].shot.when) == (MATCH, MATCH)
    assert during.missing[-1].shot.when == BEFORE


def test_whoever_is_wanted_and_not_seen_is_called_to_mind(
    space: Workspace, played: Match, caller: Unattended
) -> None:
    """From kick-off for those who started, from her coming on for a substitute, and not after."""
    write_want(space, played, COVER, caller)
    write_want(space, played, Want(person=SUBSTITUTE, angle=Angle.DEBUT), caller)

    def told(clock: str, period: int = 2) -> list[tuple[str, int]]:
        found = still_wanted(Matchday(space, played), instant(scenario.at(period, clock)))
        return [(r.person, r.minutes) for r in found.reminders]

    assert told("20:00", 1) == []
    assert told("26:30", 1) == [(NINE, 27)]
    assert told("30:00") == [(NINE, 76)]
    assert told("44:00") == [(NINE, 90), (SUBSTITUTE, 27)]


def test_a_person_no_longer_on_the_sheet_is_not_wanted(
    space: Workspace, played: Match, caller: Unattended
) -> None:
    """A want for somebody whom a later sheet has not is left out."""
    write_want(space, played, Want(person=squads.person_id(Side.HOME, 98)), caller)
    assert not any(s.person for s in shot_list(Matchday(space, played)))
