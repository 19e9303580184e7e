"""The match as it stands, kept between requests."""

from __future__ import annotations

import pytest
import small_match

from setpiece.errors import NotFound
from setpiece.match.instants import Interval
from setpiece.store.delivery import Event, State
from setpiece.store.frames import Decision, decide, type_time
from setpiece.store.matches import add_entries
from setpiece.store.news import Topic
from setpiece.store.outbox import record
from setpiece.store.workspace import Workspace
from setpiece.web.standing import STALE, Standing
from setpiece.web.touchline.checked import findings_of
from setpiece.web.touchline.live_rows import reported
from setpiece.web.wording import Wording
from setpiece.work.matchday import Matchday


def test_nothing_is_read_again_while_nothing_changes(own: small_match.Made) -> None:
    """Without news the same view is given."""
    standing = Standing(Workspace.open(own.folder))
    assert standing.of(own.match.folder) is standing.of(own.match.folder)


def test_a_decision_is_seen_and_leaves_the_places_alone(own: small_match.Made) -> None:
    """A decision by another process is in the next view, which keeps what it cannot change."""
    standing = Standing(Workspace.open(own.folder))
    before = standing.of(own.match.folder)
    places = before.places
    decide(Workspace.open(own.folder), own.match, own.frames[5], Decision.HOLD)
    after = standing.of(own.match.folder)
    assert after.frames[own.frames[5]].decision is Decision.HOLD
    assert after.places is places


def test_a_log_entry_moves_the_score(own: small_match.Made) -> None:
    """A goal logged by another process gives frames after it their new score."""
    standing = Standing(Workspace.open(own.folder))
    last = own.frames[-1]
    assert str(standing.of(own.match.folder).places[last].state.score) == "2–1"
    goal = small_match.entry(
        small_match.Kind.GOAL, small_match.at(2, 80), side=small_match.Side.AWAY
    )
    add_entries(Workspace.open(own.folder), own.match, [goal])
    assert str(standing.of(own.match.folder).places[last].state.score) == "2–2"


def test_every_kind_of_news_has_its_line() -> None:
    """Each topic says which views it makes stale, by names that the view has."""
    assert set(STALE) == set(Topic)
    views = {n for n in dir(Matchday) if not n.startswith("_")} | {
        "findings_kept",
        "edits_kept",
        "doubts_kept",
    }
    assert set().union(*STALE.values()) <= views


def test_an_unknown_match_is_not_guessed(own: small_match.Made) -> None:
    """Only the whole name of a match's folder finds it."""
    with pytest.raises(NotFound):
        Standing(Workspace.open(own.folder)).of("2027-03-06")


def test_rows_are_made_anew_only_where_news_may_change_them(
    own: small_match.Made, words: Wording
) -> None:
    """A delivery leaves the report's rows as they are; a decision makes them anew."""
    space = Workspace.open(own.folder)
    standing = Standing(space)
    first = reported(standing.of(own.match.folder), words)
    row = next(d for d in standing.of(own.match.folder).outbox if d.state is State.QUEUED)
    record(space, row, Event.WITHDRAW)
    after = standing.of(own.match.folder)
    assert next(d for d in after.outbox if d.id == row.id).state is State.WITHDRAWN
    assert reported(after, words) is first
    decide(space, own.match, own.frames[3], Decision.HOLD)
    again = reported(standing.of(own.match.folder), words)
    assert again is not first
    assert again.marks != first.marks


def test_a_frame_that_moves_leaves_the_others_where_they_stand(
    own: small_match.Made, words: Wording
) -> None:
    """News of frames places only those whose time changed, and checks only their captions anew."""
    space = Workspace.open(own.folder)
    standing = Standing(space)
    before = standing.of(own.match.folder)
    places, captioned = before.places, sorted(before.captions)
    found = {i: findings_of(before, i, words) for i in captioned}
    moved = captioned[0]
    type_time(space, own.match, moved, Interval.around(small_match.at(2, 40), 1.0))
    after = standing.of(own.match.folder)
    assert after.places[moved] != places[moved]
    assert all(after.places[i] is p for i, p in places.items() if i != moved)
    assert set(vars(after)["findings_kept"]) == set(captioned) - {moved}
    assert findings_of(after, captioned[1], words) is found[captioned[1]]


def test_an_opened_frame_may_be_a_moment_behind_a_card(own: small_match.Made) -> None:
    """While only frames come the view at hand is given; a decision, a frame that is not in it, or
    a first look gives the newest."""
    space = Workspace.open(own.folder)
    standing = Standing(space)
    before = standing.lately(own.match.folder)
    type_time(space, own.match, own.frames[3], Interval.around(small_match.at(2, 40), 1.0))
    assert standing.lately(own.match.folder, own.frames[3]) is before
    assert standing.lately(own.match.folder, "f00000000ffff") is not before
    newest = standing.of(own.match.folder)
    decide(space, own.match, own.frames[3], Decision.HOLD)
    after = standing.lately(own.match.folder, own.frames[3])
    assert after is not newest
    assert after.frames[own.frames[3]].decision is Decision.HOLD
