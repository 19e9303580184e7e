"""The outbox: a table of moves, leases, and each picture once."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from setpiece.errors import Busy, NotFound, WrongUse
from setpiece.match.instants import Instant, instant, read_instant
from setpiece.store.delivery import MOVES, Delivery, Event, State
from setpiece.store.leases import LEASE_S, claim, hurry, looked_at, renew, to_look_at
from setpiece.store.matches import Match
from setpiece.store.news import Topic, newest_number, tell
from setpiece.store.outbox import StoredDesk, deliveries, find_desk, queue, record, save_desk
from setpiece.store.workspace import Workspace


def _later(now: Instant, seconds: float) -> Instant:
    return instant(now + timedelta(seconds=seconds))


@pytest.fixture
def queued(space: Workspace, match: Match, frame_id: str, now: Instant) -> Delivery:
    """One rendition in the outbox of one desk."""
    save_desk(space, StoredDesk("City", "{}", "plain"), now)
    draft = Delivery(
        id=0,
        match_id=match.id,
        frame_id=frame_id,
        caption_version=1,
        desk="City",
        made_from="m",
        content="c",
        path="set/City/x.jpg",
        remote_folder="in",
        remote_name="x.jpg",
        size=5,
        state=State.QUEUED,
        queued=now.isoformat(),
    )
    made, new = queue(space, match, draft)
    assert new
    return made


def test_the_same_rendition_is_queued_once(
    space: Workspace, match: Match, queued: Delivery
) -> None:
    """Queueing the same content, version and desk again gives back the one that is there."""
    again, new = queue(space, match, queued)
    assert (again.id, new) == (queued.id, False)


def test_a_claimed_delivery_is_nobody_elses(
    space: Workspace, match: Match, queued: Delivery, now: Instant
) -> None:
    """While a lease holds nobody else claims; when it ran out the next one does, and asks first."""
    mine = claim(space, match, "one", now)
    assert mine is not None
    assert not mine.settle_first
    assert claim(space, match, "two", now) is None
    assert renew(space, "one", _later(now, 60), {mine.id: 3}) == frozenset()
    assert claim(space, match, "two", _later(now, LEASE_S + 1)) is None
    theirs = claim(space, match, "two", _later(now, 61 + LEASE_S))
    assert theirs is not None
    assert theirs.settle_first
    with pytest.raises(WrongUse, match="taken this delivery over"):
        record(space, mine, Event.ARRIVED)
    assert renew(space, "one", _later(now, 62 + LEASE_S), {mine.id: 4}) == {mine.id}


def test_a_lost_delivery_waits_for_its_time(
    space: Workspace, match: Match, queued: Delivery, now: Instant
) -> None:
    """A delivery lost before the last byte is queued again and not claimed before its time."""
    mine = claim(space, match, "one", now)
    assert mine is not None
    record(space, mine, Event.LOST, not_before=_later(now, 30).isoformat())
    assert claim(space, match, "one", _later(now, 10)) is None
    assert claim(space, match, "one", _later(now, 31)) is not None


def test_every_move_not_in_the_table_is_refused(
    space: Workspace, match: Match, queued: Delivery
) -> None:
    """A queued delivery cannot arrive; the refusal changes nothing."""
    for event in set(Event) - set(MOVES[State.QUEUED]):
        with pytest.raises(WrongUse):
            record(space, queued, event)
    assert deliveries(space, match)[0].state is State.QUEUED


def test_ends_are_ends_and_every_state_has_its_moves() -> None:
    """Nothing follows delivered, and every other state can be left."""
    assert set(MOVES) == set(State)
    ends = {state for state, moves in MOVES.items() if not moves}
    assert ends == {State.DELIVERED}


def test_desks_are_found_by_name_whatever_its_case(space: Workspace, queued: Delivery) -> None:
    """A desk is found by its name in any case; an unknown one lists those known."""
    assert find_desk(space, " city ").style == "plain"
    with pytest.raises(NotFound, match="Known: City"):
        find_desk(space, "Moon")


def test_a_newer_version_takes_the_place_of_a_queued_one(
    space: Workspace, match: Match, queued: Delivery
) -> None:
    """The older is withdrawn in the same step; one that is being sent keeps the newer out."""
    newer, new = queue(space, match, replace(queued, caption_version=2), instead_of=[queued.id])
    assert new
    assert [d.state for d in deliveries(space, match)] == [State.WITHDRAWN, State.QUEUED]
    mine = claim(space, match, "one", read_instant(newer.queued))
    assert mine is not None
    with pytest.raises(Busy, match="going out just now"):
        queue(space, match, replace(queued, caption_version=3), instead_of=[newer.id])
    assert len(deliveries(space, match)) == 2


def test_what_was_withdrawn_can_be_queued_again(
    space: Workspace, match: Match, queued: Delivery
) -> None:
    """The same rendition queued after it was withdrawn goes again, as one delivery."""
    record(space, queued, Event.WITHDRAW)
    again, new = queue(space, match, queued)
    assert (again.id, again.state, new) == (queued.id, State.QUEUED, True)


def test_an_unknown_outcome_cannot_be_withdrawn(
    space: Workspace, match: Match, queued: Delivery, now: Instant
) -> None:
    """What may be at the desk is asked after, not taken back."""
    mine = claim(space, match, "one", now)
    assert mine is not None
    unknown = record(space, mine, Event.LAST_BYTE_LOST)
    with pytest.raises(WrongUse, match="`withdraw` is not for that"):
        record(space, unknown, Event.WITHDRAW)


def test_a_delivery_whose_facts_changed_is_looked_at_before_it_goes(
    space: Workspace, match: Match, queued: Delivery, now: Instant
) -> None:
    """News of its own frame or of the log holds it; news of another frame does not."""
    row, _ = queue(space, match, replace(queued, caption_version=5, looked=newest_number(space)))
    record(space, queued, Event.WITHDRAW)

    def said(topic: Topic, about: str) -> None:
        with space.writing() as connection:
            tell(connection, match.id, topic, about)

    said(Topic.CAPTIONS, "f999999999999.v1")
    assert to_look_at(space, match, now) == ()
    said(Topic.CAPTIONS, f"{row.frame_id}.v6")
    assert [d.id for d in to_look_at(space, match, now)] == [row.id]
    assert claim(space, match, "one", now) is None
    looked_at(space, [row.id], newest_number(space))
    assert to_look_at(space, match, now) == ()
    said(Topic.LOG, "e7")
    assert claim(space, match, "one", now) is None
    looked_at(space, [row.id], newest_number(space))
    assert claim(space, match, "one", now) is not None


def test_the_lease_of_an_owner_that_is_gone_is_free(
    space: Workspace, match: Match, queued: Delivery, now: Instant
) -> None:
    """A lease that has not run out is free when its owner is known to be gone."""
    assert claim(space, match, "one", now) is not None
    assert claim(space, match, "two", now) is None
    theirs = claim(space, match, "two", now, gone=["one"])
    assert theirs is not None
    assert theirs.settle_first


def test_another_link_ends_the_pauses_of_its_desk(
    space: Workspace, match: Match, queued: Delivery, now: Instant
) -> None:
    """What waits for its next try goes at once when the link to its desk has changed."""
    mine = claim(space, match, "one", now)
    assert mine is not None
    record(space, mine, Event.LOST, not_before=_later(now, 300).isoformat())
    hurry(space, match, "Moon")
    assert claim(space, match, "one", now) is None
    hurry(space, match, "City")
    assert claim(space, match, "one", now) is not None
