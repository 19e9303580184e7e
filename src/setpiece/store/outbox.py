"""The outbox: deliveries, their states, leases and receipts.

    state      event          next         meaning
    queued     claim          sending      a process has the lease and starts
    queued     wait           waiting      check, care, quota or embargo
    waiting    release        queued
    sending    lost           queued       before the last byte; tried again later
    sending    last byte lost unknown      the server must be asked
    sending    arrived        delivered    the server stated the size
    sending    refuse         refused      for good; the server's words are kept
    unknown    claim          sending      asks first, then sends only what is missing
    refused    again          queued       the photographer decided so
    queued, waiting, unknown, refused   withdraw   withdrawn

A `sending` whose lease ran out (the process died) is claimed like an `unknown`: the server is
asked before a byte is sent. Illegal moves raise and change nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from types import MappingProxyType

from sqlalchemy import Connection, Row, and_, insert, or_, select, update

from setpiece.errors import NotFound, WrongUse
from setpiece.match.instants import Instant
from setpiece.store.matches import Match
from setpiece.store.news import Topic, tell
from setpiece.store.tables import delivery, desk
from setpiece.store.workspace import Workspace

LEASE_S = 120.0
"""A lease is renewed while bytes move; one that was not is free after this long."""


class State(StrEnum):
    """Where a delivery stands."""

    QUEUED = "queued"
    WAITING = "waiting"
    SENDING = "sending"
    UNKNOWN = "unknown"
    DELIVERED = "delivered"
    REFUSED = "refused"
    WITHDRAWN = "withdrawn"


class Event(StrEnum):
    """What happens to a delivery."""

    CLAIM = "claim"
    WAIT = "wait"
    RELEASE = "release"
    LOST = "lost"
    LAST_BYTE_LOST = "last byte lost"
    ARRIVED = "arrived"
    REFUSE = "refuse"
    AGAIN = "again"
    WITHDRAW = "withdraw"


MOVES: MappingProxyType[State, MappingProxyType[Event, State]] = MappingProxyType(
    {
        State.QUEUED: MappingProxyType(
            {
                Event.CLAIM: State.SENDING,
                Event.WAIT: State.WAITING,
                Event.WITHDRAW: State.WITHDRAWN,
            }
        ),
        State.WAITING: MappingProxyType(
            {Event.RELEASE: State.QUEUED, Event.WITHDRAW: State.WITHDRAWN}
        ),
        State.SENDING: MappingProxyType(
            {
                Event.CLAIM: State.SENDING,  # only when the lease ran out
                Event.LOST: State.QUEUED,
                Event.LAST_BYTE_LOST: State.UNKNOWN,
                Event.ARRIVED: State.DELIVERED,
                Event.REFUSE: State.REFUSED,
            }
        ),
        State.UNKNOWN: MappingProxyType(
            {Event.CLAIM: State.SENDING, Event.WITHDRAW: State.WITHDRAWN}
        ),
        State.REFUSED: MappingProxyType(
            {Event.AGAIN: State.QUEUED, Event.WITHDRAW: State.WITHDRAWN}
        ),
        State.DELIVERED: MappingProxyType({}),
        State.WITHDRAWN: MappingProxyType({}),
    }
)


@dataclass(frozen=True, slots=True)
class Delivery:
    """One rendition for one desk. `path` is relative to the match's folder.

    `made_from` tells content, edit and recipe of the rendition, so that the same picture is
    queued once; `content` is the rendition's own hash. `settle_first` is true when the server
    must be asked before anything is sent.
    """

    id: int
    match_id: int
    frame_id: str
    caption_version: int
    desk: str
    made_from: str
    content: str
    path: str
    remote_folder: str
    remote_name: str
    size: int
    state: State
    queued: str
    not_before: str = ""
    attempts: int = 0
    leased_by: str = ""
    leased_until: str = ""
    words: str = ""
    receipt: str | None = None

    @property
    def settle_first(self) -> bool:
        """Whether an earlier try may have arrived."""
        return self.attempts > 1


@dataclass(frozen=True, slots=True)
class StoredDesk:
    """A desk as the workspace keeps it; `address` is the document of the send room."""

    name: str
    address: str
    style: str


def save_desk(space: Workspace, value: StoredDesk, at: Instant) -> None:
    """A new desk, or a known one with new settings. No password ever comes here."""
    with space.writing() as connection:
        known = connection.execute(select(desk.c.name).where(desk.c.name == value.name)).first()
        columns = {"address": value.address, "style": value.style, "made": at.isoformat()}
        if known:
            connection.execute(update(desk).where(desk.c.name == value.name).values(**columns))
        else:
            connection.execute(insert(desk).values(name=value.name, **columns))
        tell(connection, None, Topic.DESKS, value.name)


def desks(space: Workspace) -> tuple[StoredDesk, ...]:
    """Every desk by name."""
    with space.reading() as connection:
        rows = connection.execute(select(desk).order_by(desk.c.name)).all()
    return tuple(StoredDesk(r.name, r.address, r.style) for r in rows)


def find_desk(space: Workspace, name: str) -> StoredDesk:
    """The desk of that name. Raises NotFound with the names there are."""
    known = desks(space)
    for value in known:
        if value.name.lower() == name.strip().lower():
            return value
    names = ", ".join(d.name for d in known)
    raise NotFound(
        "no desk has that name",
        thing=name,
        next_step=f"Known: {names}." if names else "Add one with `setpiece desk add`.",
    )


def queue(space: Workspace, of: Match, value: Delivery) -> tuple[Delivery, bool]:
    """Puts a rendition in the outbox; gives it back and whether it is new.

    The same picture, recipe, caption version and desk is in the outbox only once.
    """
    with space.writing() as connection:
        known = connection.execute(
            select(delivery).where(
                delivery.c.desk == value.desk,
                delivery.c.frame_id == value.frame_id,
                delivery.c.caption_version == value.caption_version,
                delivery.c.made_from == value.made_from,
            )
        ).first()
        if known:
            return _delivery(known), False
        made = connection.execute(
            insert(delivery).values(
                match_id=of.id,
                frame_id=value.frame_id,
                caption_version=value.caption_version,
                desk=value.desk,
                made_from=value.made_from,
                content=value.content,
                path=value.path,
                remote_folder=value.remote_folder,
                remote_name=value.remote_name,
                size=value.size,
                state=State.QUEUED.value,
                queued=value.queued,
            )
        )
        number = int(made.inserted_primary_key[0])  # type: ignore[index]
        tell(connection, of.id, Topic.OUTBOX, str(number))
        row = connection.execute(select(delivery).where(delivery.c.id == number)).one()
        return _delivery(row), True


def _delivery(row: Row[tuple[object, ...]]) -> Delivery:
    values = dict(row._mapping)
    values["state"] = State(values["state"])
    return Delivery(**values)


def deliveries(space: Workspace, of: Match) -> tuple[Delivery, ...]:
    """The whole outbox of a match in the order it was queued."""
    with space.reading() as connection:
        rows = connection.execute(
            select(delivery).where(delivery.c.match_id == of.id).order_by(delivery.c.id)
        ).all()
    return tuple(_delivery(r) for r in rows)


def claim(space: Workspace, of: Match, owner: str, now: Instant) -> Delivery | None:
    """Takes the lease of the next delivery that may go now, None when there is none.

    Free are: queued or unknown ones whose time has come, and sending ones whose lease ran out.
    """
    at = now.isoformat()
    free = or_(
        and_(
            delivery.c.state.in_((State.QUEUED.value, State.UNKNOWN.value)),
            delivery.c.not_before <= at,
        ),
        and_(delivery.c.state == State.SENDING.value, delivery.c.leased_until < at),
    )
    with space.writing() as connection:
        row = connection.execute(
            select(delivery)
            .where(delivery.c.match_id == of.id, free)
            .order_by(delivery.c.queued, delivery.c.id)
        ).first()
        if row is None:
            return None
        return move(
            connection,
            _delivery(row),
            Event.CLAIM,
            leased_by=owner,
            leased_until=(now + timedelta(seconds=LEASE_S)).isoformat(),
            attempts=row.attempts + 1,
        )


def renew(space: Workspace, value: Delivery, now: Instant) -> None:
    """Keeps the lease while bytes move."""
    until = (now + timedelta(seconds=LEASE_S)).isoformat()
    with space.writing() as connection:
        connection.execute(
            update(delivery)
            .where(delivery.c.id == value.id, delivery.c.leased_by == value.leased_by)
            .values(leased_until=until)
        )


def record(space: Workspace, value: Delivery, event: Event, **columns: object) -> Delivery:
    """What happened to a delivery, durably. Raises WrongUse for a move the table forbids."""
    with space.writing() as connection:
        row = connection.execute(select(delivery).where(delivery.c.id == value.id)).first()
        if row is None:
            raise NotFound("no such delivery", thing=str(value.id))
        if value.leased_by and row.leased_by != value.leased_by:
            raise WrongUse("another process has taken this delivery over", thing=value.remote_name)
        return move(connection, _delivery(row), event, **columns)


def move(connection: Connection, value: Delivery, event: Event, **columns: object) -> Delivery:
    """Moves a delivery by the table inside a transaction."""
    following = MOVES[value.state].get(event)
    if following is None:
        raise WrongUse(
            f"a delivery that is {value.state.value} cannot {event.value}", thing=value.remote_name
        )
    connection.execute(
        update(delivery).where(delivery.c.id == value.id).values(state=following.value, **columns)
    )
    tell(connection, value.match_id, Topic.OUTBOX, str(value.id))
    row = connection.execute(select(delivery).where(delivery.c.id == value.id)).one()
    return _delivery(row)
