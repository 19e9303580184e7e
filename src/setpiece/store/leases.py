"""Leases: which delivery goes next, whose it is, and what must be looked at before it goes."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from datetime import timedelta

from sqlalchemy import ColumnElement, and_, exists, not_, or_, select, update

from setpiece.match.instants import Instant
from setpiece.store.delivery import Delivery, Event, Reason, State
from setpiece.store.matches import Match
from setpiece.store.news import Topic
from setpiece.store.outbox import delivery_of, move
from setpiece.store.tables import delivery, news
from setpiece.store.workspace import Workspace

LEASE_S = 120.0
"""A lease is renewed while its process lives; one that was not is free after this long."""

_OF_THE_MATCH = (Topic.FIXTURE, Topic.LOG, Topic.CLOCKS, Topic.DESKS)
_OF_ONE_FRAME = (Topic.CAPTIONS, Topic.DECISIONS)
"""News that may change what is queued: it is looked at again before it goes."""

Choose = Callable[[Sequence[Delivery]], Delivery | None]
"""Which of the deliveries that may go now goes first; None for none of them."""


def first_come(free: Sequence[Delivery]) -> Delivery | None:
    """First come, first served."""
    return free[0] if free else None


def claim(
    space: Workspace,
    of: Match,
    owner: str,
    now: Instant,
    *,
    desk_name: str | None = None,
    choose: Choose = first_come,
    gone: Collection[str] = (),
) -> Delivery | None:
    """Takes the lease of the next delivery that may go now, None when there is none.

    Free are: queued or unknown ones whose time has come, and sending ones whose lease ran out
    or whose owner is `gone`. A queued one whose facts have changed is not, until it was looked
    at again (`to_look_at`).
    """
    at = now.isoformat()
    free = or_(
        and_(delivery.c.state == State.QUEUED.value, delivery.c.not_before <= at, not_(_stale())),
        and_(delivery.c.state == State.UNKNOWN.value, delivery.c.not_before <= at),
        and_(
            delivery.c.state == State.SENDING.value,
            or_(delivery.c.leased_until < at, delivery.c.leased_by.in_(gone)),
        ),
    )
    wanted = select(delivery).where(delivery.c.match_id == of.id, free)
    if desk_name is not None:
        wanted = wanted.where(delivery.c.desk == desk_name)
    with space.writing() as connection:
        rows = connection.execute(wanted.order_by(delivery.c.queued, delivery.c.id)).all()
        chosen = choose([delivery_of(r) for r in rows])
        if chosen is None:
            return None
        return move(
            connection,
            chosen,
            Event.CLAIM,
            leased_by=owner,
            leased_until=(now + timedelta(seconds=LEASE_S)).isoformat(),
            attempts=chosen.attempts + 1,
        )


def _stale() -> ColumnElement[bool]:
    """Whether facts that a delivery rests on changed since it was looked at."""
    return exists().where(
        news.c.id > delivery.c.looked,
        or_(news.c.match_id == delivery.c.match_id, news.c.match_id.is_(None)),
        or_(
            news.c.topic.in_([t.value for t in _OF_THE_MATCH]),
            and_(
                news.c.topic.in_([t.value for t in _OF_ONE_FRAME]),
                news.c.about.startswith(delivery.c.frame_id),
            ),
        ),
    )


def to_look_at(
    space: Workspace, of: Match, now: Instant, *, reasons: Collection[Reason] = ()
) -> tuple[Delivery, ...]:
    """What is queued or waits and must be held against the facts again.

    That is where facts changed, where an embargo is over, and what waits for one of `reasons`.
    """
    due = or_(
        _stale(),
        and_(
            delivery.c.state == State.WAITING.value,
            or_(
                delivery.c.reason.in_([r.value for r in reasons]),
                and_(delivery.c.not_before != "", delivery.c.not_before <= now.isoformat()),
            ),
        ),
    )
    states = (State.QUEUED.value, State.WAITING.value)
    with space.reading() as connection:
        rows = connection.execute(
            select(delivery)
            .where(delivery.c.match_id == of.id, delivery.c.state.in_(states), due)
            .order_by(delivery.c.id)
        ).all()
    return tuple(delivery_of(r) for r in rows)


def looked_at(space: Workspace, numbers: Iterable[int], newest: int) -> None:
    """Notes that these deliveries were held against everything up to that piece of news."""
    with space.writing() as connection:
        connection.execute(
            update(delivery).where(delivery.c.id.in_(list(numbers))).values(looked=newest)
        )


def renew(space: Workspace, owner: str, now: Instant, moved: dict[int, int]) -> frozenset[int]:
    """Keeps the owner's leases and notes how many bytes moved, by delivery; gives those lost.

    A lost one was taken over by another process, or ended: nothing more may be done for it.
    """
    until = (now + timedelta(seconds=LEASE_S)).isoformat()
    lost = set()
    with space.writing() as connection:
        for number, count in moved.items():
            done = connection.execute(
                update(delivery)
                .where(
                    delivery.c.id == number,
                    delivery.c.leased_by == owner,
                    delivery.c.state == State.SENDING.value,
                )
                .values(leased_until=until, moved_bytes=count)
            )
            if done.rowcount == 0:
                lost.add(number)
    return frozenset(lost)


def hurry(space: Workspace, of: Match, desk_name: str) -> None:
    """Ends the pauses of what waits for its next try at a desk: the link has changed."""
    with space.writing() as connection:
        connection.execute(
            update(delivery)
            .where(
                delivery.c.match_id == of.id,
                delivery.c.desk == desk_name,
                delivery.c.state.in_((State.QUEUED.value, State.UNKNOWN.value)),
            )
            .values(not_before="")
        )


def leftovers(space: Workspace, of: Match, desk_name: str) -> tuple[Delivery, ...]:
    """Withdrawn deliveries that left a part at that desk."""
    with space.reading() as connection:
        rows = connection.execute(
            select(delivery).where(
                delivery.c.match_id == of.id,
                delivery.c.desk == desk_name,
                delivery.c.leftover.is_(True),
                delivery.c.state == State.WITHDRAWN.value,
            )
        ).all()
    return tuple(delivery_of(r) for r in rows)
