"""The shot plan: every passage can have happened as it is drawn."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

from setpiece.match.entries import Kind
from setpiece.match.people import Side
from setpiece.work.demo.exposures import exposures
from setpiece.work.demo.poses import poses
from setpiece.work.demo.scenario import (
    ENDS,
    EVENTS,
    sheet,
    true_eleven,
    true_period,
)
from setpiece.work.demo.shots import passages, supporters, team
from setpiece.work.demo.staging import person_of


def spans():
    """First and last exposure of every passage, in order."""
    found = {}
    for e in exposures():
        first, last = found.get(e.passage, (e.true, e.true))
        found[e.passage] = (min(first, e.true), max(last, e.true))
    return sorted(found.items(), key=lambda item: item[1])


def test_passages_lie_well_apart():
    """At least ten seconds lie between one passage and the next."""
    for (_, (_, end)), (name, (start, _)) in pairwise(spans()):
        assert start - end >= timedelta(seconds=10), name


def test_a_passage_is_short_and_without_a_long_pause():
    """Within a passage no pause is longer than four seconds."""
    for one in passages():
        times = sorted(e.true for e in exposures() if e.passage == one.id)
        assert all(b - a < timedelta(seconds=4) for a, b in pairwise(times)), one.id


def test_who_is_drawn_in_play_is_on_the_pitch():
    """During the halves every player in a frame is one of the eleven, but at a substitution."""
    known = sheet()
    for one in passages():
        if true_period(one.start) is None or one.id.startswith("change"):
            continue
        on = true_eleven(Side.HOME, one.start) | true_eleven(Side.AWAY, one.start)
        for take in one.takes:
            for part in take.parts:
                person = known.person(person_of(part) or "")
                if person is not None and person.role.plays:
                    assert person.id in on, (one.id, part.who)


def test_every_named_pose_exists():
    """The plan asks for no attitude that the table does not have."""
    wanted = {p for one in passages() for t in one.takes for part in t.parts for p in part.poses}
    assert wanted <= set(poses())


def test_every_event_was_photographed():
    """Within 20 s of every goal, card, save, shirt and substitution a passage begins."""
    starts = [one.start for one in passages()]
    seen = (
        Kind.GOAL, Kind.YELLOW, Kind.PENALTY_SAVED, Kind.SUBSTITUTION, Kind.SHIRT,
        Kind.ADDED_TIME, Kind.REVIEW, Kind.PERIOD_END,
    )  # fmt: skip
    for event in EVENTS:
        if event.kind in seen:
            nearest = min(abs((start - event.true).total_seconds()) for start in starts)
            assert nearest <= 22, event


def test_the_late_goal_is_celebrated_before_it_is_typed():
    """Frames of the celebration lie in the 70 s between the goal and its typing."""
    late = next(e for e in EVENTS if e.typed_after_s == 70)
    between = {e.passage for e in exposures() if late.true < e.true < late.typed}
    assert {"joy-74", "three-74", "supporters-74", "coach-74"} <= between


def test_both_long_cameras_hold_the_goals():
    """The header and the free kick were taken by A and B within a second."""
    for name in ("goal-17", "free-kick", "penalty-68", "goal-58"):
        cameras = {e.camera for e in exposures() if e.passage == name}
        assert cameras == {"A", "B"}, name


def test_a_team_picture_has_eleven_people():
    """Six stand and five crouch; nobody is there twice."""
    for side in Side:
        assert len({part.who for part in team(side)}) == 11


def test_supporters_are_strangers():
    """Nobody in a block of supporters is on the sheet."""
    assert all(person_of(part) is None for part in supporters(Side.HOME, 3, 9))


def test_the_plan_goes_on_after_full_time():
    """The last passages are after the final whistle."""
    assert sum(one.start > ENDS[2] for one in passages()) >= 4
