"""Cuttings in the workspace. What was found in one is a document of the jobs' room."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, Row, insert, select, update

from setpiece.books.cuttings import Publication, State, moved_on
from setpiece.errors import NotFound, WrongUse
from setpiece.match.instants import Instant
from setpiece.store.cutting_tables import cutting as table
from setpiece.store.forms import from_json, to_json
from setpiece.store.workspace import Workspace


@dataclass(frozen=True, slots=True)
class StoredCutting:
    """One cutting. `path` is its file in the workspace, `part` the page in it (0: no pages).

    `found` is what was found, `entry` the use in the ledger, `reason` why it was rejected.
    """

    number: int
    content: str
    part: int
    name: str
    path: str
    state: State
    publication: Publication
    found: str
    entry: int | None = None
    reason: str = ""


def put_cutting(space: Workspace, value: StoredCutting, at: Instant) -> StoredCutting:
    """Keeps a cutting; `number` is given. One seen before keeps its number.

    What was found is brought up to date while it is open; what a person said stays.
    """
    with space.writing() as connection:
        same = (table.c.content == value.content, table.c.part == value.part)
        known = connection.execute(select(table).where(*same)).first()
        if known is None:
            made = connection.execute(
                insert(table).values(
                    content=value.content,
                    part=value.part,
                    name=value.name,
                    path=value.path,
                    state=State.OPEN.value,
                    publication=to_json(value.publication),
                    found=value.found,
                    made=at.isoformat(),
                )
            )
            return _one(connection, made.inserted_primary_key[0])  # type: ignore[index]
        if known.state == State.OPEN.value:
            connection.execute(
                update(table).where(table.c.number == known.number).values(found=value.found)
            )
        return _one(connection, known.number)


def cuttings_of(space: Workspace, state: State | None = None) -> tuple[StoredCutting, ...]:
    """Every cutting, or those in a state, in the order they came."""
    wanted = select(table).order_by(table.c.number)
    if state is not None:
        wanted = wanted.where(table.c.state == state.value)
    with space.reading() as connection:
        return tuple(_stored(r) for r in connection.execute(wanted).all())


def find_cutting(space: Workspace, number: int) -> StoredCutting:
    """The cutting of that number. Raises NotFound."""
    with space.reading() as connection:
        return _one(connection, number)


def save_publication(space: Workspace, number: int, value: Publication) -> None:
    """Keeps who published it, where and when. Raises NotFound, or WrongUse once it is decided."""
    with space.writing() as connection:
        known = _one(connection, number)
        if known.state is not State.OPEN:
            raise WrongUse(f"this cutting is {known.state} already", thing=str(number))
        connection.execute(
            update(table).where(table.c.number == number).values(publication=to_json(value))
        )


def decide_cutting(
    connection: Connection,
    number: int,
    to: State,
    at: Instant,
    *,
    entry: int | None = None,
    reason: str = "",
    publication: Publication | None = None,
) -> None:
    """Keeps a person's word inside a transaction. Raises NotFound, WrongUse."""
    known = _one(connection, number)
    values = {
        "state": moved_on(known.state, to).value,
        "entry": entry,
        "reason": reason,
        "decided": at.isoformat(),
    }
    if publication is not None:
        values["publication"] = to_json(publication)
    connection.execute(update(table).where(table.c.number == number).values(values))


def _one(connection: Connection, number: int) -> StoredCutting:
    row = connection.execute(select(table).where(table.c.number == number)).first()
    if row is None:
        raise NotFound(
            "there is no such cutting",
            thing=str(number),
            next_step="`setpiece cuttings list` shows them.",
        )
    return _stored(row)


def _stored(row: Row[tuple[object, ...]]) -> StoredCutting:
    r = row._mapping
    return StoredCutting(
        r["number"], r["content"], r["part"], r["name"], r["path"], State(r["state"]),
        from_json(Publication, r["publication"]), r["found"], r["entry"], r["reason"],
    )  # fmt: skip
