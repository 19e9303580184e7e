"""The outbox: desks, and deliveries with their receipts.

What a delivery is and how it moves stands in `store/delivery.py`, who may send it just now in
`store/leases.py`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields

from sqlalchemy import Connection, Row, insert, select, update

from setpiece.errors import Busy, NotFound, WrongUse
from setpiece.match.instants import Instant
from setpiece.store.delivery import MOVES, TO_GO, Delivery, Event, Kind, State
from setpiece.store.matches import Match
from setpiece.store.news import Topic, tell
from setpiece.store.tables import delivery, desk
from setpiece.store.workspace import Workspace

_LOOK = "See `setpiece outbox`."

__all__ = ["MOVES", "Delivery", "Event", "State"]


@dataclass(frozen=True, slots=True)
class StoredDesk:
    """A desk as the workspace keeps it; `address` and `settings` are documents."""

    name: str
    address: str
    style: str
    settings: str = "{}"


def save_desk(space: Workspace, value: StoredDesk, at: Instant) -> None:
    """A new desk, or a known one with new settings. No password ever comes here."""
    with space.writing() as connection:
        known = connection.execute(select(desk.c.name).where(desk.c.name == value.name)).first()
        columns = {
            "address": value.address,
            "style": value.style,
            "settings": value.settings,
            "made": at.isoformat(),
        }
        if known:
            connection.execute(update(desk).where(desk.c.name == value.name).values(**columns))
        else:
            connection.execute(insert(desk).values(name=value.name, **columns))
        tell(connection, None, Topic.DESKS, value.name)


def desks(space: Workspace) -> tuple[StoredDesk, ...]:
    """Every desk by name."""
    with space.reading() as connection:
        rows = connection.execute(select(desk).order_by(desk.c.name)).all()
    return tuple(StoredDesk(r.name, r.address, r.style, r.settings) for r in rows)


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


def queue(
    space: Workspace, of: Match, value: Delivery, *, instead_of: Iterable[int] = ()
) -> tuple[Delivery, bool]:
    """Puts a delivery in the outbox as it is; gives it back and whether it is new there.

    What is made from the same, with the same caption version for the same desk, is in the
    outbox only once; one that was withdrawn goes again. `instead_of` are withdrawn in the same
    step; Busy is raised when one of them is under way.
    """
    columns = {f.name: getattr(value, f.name) for f in fields(Delivery) if f.name != "id"}
    columns["match_id"] = of.id
    with space.writing() as connection:
        for number in instead_of:
            _replace(connection, number)
        known = connection.execute(
            select(delivery).where(
                delivery.c.desk == value.desk,
                delivery.c.frame_id == value.frame_id,
                delivery.c.caption_version == value.caption_version,
                delivery.c.made_from == value.made_from,
            )
        ).first()
        if known is not None and known.state != State.WITHDRAWN:
            return delivery_of(known), False
        if known is not None:
            connection.execute(update(delivery).where(delivery.c.id == known.id).values(columns))
            number = int(known.id)
        else:
            made = connection.execute(insert(delivery).values(columns))
            number = int(made.inserted_primary_key[0])  # type: ignore[index]
        tell(connection, of.id, Topic.OUTBOX, str(number))
        return _one(connection, number), True


def _replace(connection: Connection, number: int) -> None:
    value = _one(connection, number)
    if value.state is State.WITHDRAWN:
        return
    if Event.WITHDRAW not in MOVES[value.state]:
        raise Busy(
            "an earlier version is going out just now",
            thing=f"{value.remote_name} to {value.desk}",
            next_step="Send a correction when it has arrived.",
        )
    move(connection, value, Event.WITHDRAW, leftover=value.attempts > 0)


def delivery_of(row: Row[tuple[object, ...]]) -> Delivery:
    """The delivery that a row of the table is."""
    values = dict(row._mapping)
    values["state"], values["kind"] = State(values["state"]), Kind(values["kind"])
    return Delivery(**values)


def _one(connection: Connection, number: int) -> Delivery:
    row = connection.execute(select(delivery).where(delivery.c.id == number)).first()
    if row is None:
        raise NotFound("no such delivery", thing=str(number), next_step="See `setpiece outbox`.")
    return delivery_of(row)


def deliveries(space: Workspace, of: Match) -> tuple[Delivery, ...]:
    """The whole outbox of a match in the order it was queued."""
    with space.reading() as connection:
        rows = connection.execute(
            select(delivery).where(delivery.c.match_id == of.id).order_by(delivery.c.id)
        ).all()
    return tuple(delivery_of(r) for r in rows)


def find_delivery(space: Workspace, of: Match, number: int) -> Delivery:
    """The delivery with that number. Raises NotFound."""
    with space.reading() as connection:
        found = _one(connection, number)
    if found.match_id != of.id:
        raise NotFound(
            "this match has no such delivery", thing=str(number), next_step="See `setpiece outbox`."
        )
    return found


def to_go(space: Workspace, of: Match) -> tuple[Delivery, ...]:
    """What ends by itself as soon as the link allows, in the order it was queued."""
    states = [s.value for s in TO_GO]
    with space.reading() as connection:
        rows = connection.execute(
            select(delivery)
            .where(delivery.c.match_id == of.id, delivery.c.state.in_(states))
            .order_by(delivery.c.id)
        ).all()
    return tuple(delivery_of(r) for r in rows)


def amend(space: Workspace, value: Delivery, **columns: object) -> Delivery:
    """Changes columns of a delivery that stays in its state.

    Raises WrongUse when the state has changed since, or another process has it.
    """
    with space.writing() as connection:
        found = _one(connection, value.id)
        if (found.state, found.leased_by) != (value.state, value.leased_by):
            raise WrongUse("this delivery has moved on", thing=value.remote_name, next_step=_LOOK)
        connection.execute(update(delivery).where(delivery.c.id == value.id).values(**columns))
        tell(connection, value.match_id, Topic.OUTBOX, str(value.id))
        return _one(connection, value.id)


def record(space: Workspace, value: Delivery, event: Event, **columns: object) -> Delivery:
    """What happened to a delivery, durably. Raises WrongUse for a move the table forbids."""
    with space.writing() as connection:
        found = _one(connection, value.id)
        if value.leased_by and found.leased_by != value.leased_by:
            raise WrongUse(
                "another process has taken this delivery over",
                thing=value.remote_name,
                next_step=_LOOK,
            )
        return move(connection, found, event, **columns)


def move(connection: Connection, value: Delivery, event: Event, **columns: object) -> Delivery:
    """Moves a delivery by the table inside a transaction."""
    following = MOVES[value.state].get(event)
    if following is None:
        raise WrongUse(
            f"it is {value.state.value}: `{event.value}` is not for that",
            thing=value.remote_name,
            next_step=_LOOK,
        )
    connection.execute(
        update(delivery).where(delivery.c.id == value.id).values(state=following.value, **columns)
    )
    tell(connection, value.match_id, Topic.OUTBOX, str(value.id))
    return _one(connection, value.id)
