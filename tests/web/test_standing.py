"""The match as it stands, kept between requests."""

from __future__ import annotations

import pytest
import small_match

from setpiece.errors import NotFound
from setpiece.store.frames import Decision, decide
from setpiece.store.matches import add_entries
from setpiece.store.news import Topic
from setpiece.store.workspace import Workspace
from setpiece.web.standing import STALE, Standing
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
    views = {n for n in dir(Matchday) if not n.startswith("_")} | {"findings_kept", "edits_kept"}
    assert set().union(*STALE.values()) <= views


def test_an_unknown_match_is_not_guessed(own: small_match.Made) -> None:
    """Only the whole name of a match's folder finds it."""
    with pytest.raises(NotFound):
        Standing(Workspace.open(own.folder)).of("2027-03-06")
