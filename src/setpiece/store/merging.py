"""Two frames that turn out to be one exposure: what was said of the one goes to the other."""

from __future__ import annotations

from sqlalchemy import Connection, Text, cast, delete, func, select, update
from sqlalchemy.dialects.sqlite import insert as upsert

from setpiece.store.archive_tables import book_entry
from setpiece.store.cutting_tables import cutting
from setpiece.store.tables import (
    caption,
    clock_pair,
    delivery,
    entry,
    frame,
    handling,
    overrule,
    passage_pin,
)

_SAID_IN = ((entry, "entry"), (passage_pin, "pin"), (book_entry, "entry"), (cutting, "found"))
"""Documents that name frames by their ids: a log entry's pin, passages made by hand, the ledger,
what was found in a cutting."""


def merge(connection: Connection, former: str, into: str) -> None:
    """Carries everything said of the frame `former` over to `into`, and forgets `former`.

    What was said of `into` itself stays; `former`'s captions and receipts come after its own.
    """
    row = connection.execute(select(frame).where(frame.c.id == former)).first()
    if row is None:
        return
    _move_captions(connection, former, into)
    _move_handling(connection, former, into)
    for table in (clock_pair, book_entry):
        moved = update(table).where(table.c.frame_id == former).values(frame_id=into)
        connection.execute(moved)
    for table, column in _SAID_IN:
        document = table.c[column]
        renamed = func.replace(document, f'"{former}"', f'"{into}"')
        connection.execute(
            update(table)
            .where(document.contains(f'"{former}"', autoescape=True))
            .values({column: cast(renamed, Text)})
        )
    unsaid = {"decision": frame.c.decision == "", "typed_time": frame.c.typed_time.is_(None)}
    for column, where in unsaid.items():
        said = {column: row._mapping[column]}
        connection.execute(update(frame).where(frame.c.id == into, where).values(said))
    connection.execute(delete(frame).where(frame.c.id == former))


def _move_captions(connection: Connection, former: str, into: str) -> None:
    """Captions, what was overruled in them, and the deliveries made of them: their versions count
    on from those that `into` has."""
    newest = select(func.coalesce(func.max(caption.c.version), 0)).where(caption.c.frame_id == into)
    last: int = connection.execute(newest).scalar_one()
    for table, version in (
        (caption, "version"),
        (overrule, "version"),
        (delivery, "caption_version"),
    ):
        moved = {"frame_id": into, version: table.c[version] + last}
        connection.execute(update(table).where(table.c.frame_id == former).values(moved))


def _move_handling(connection: Connection, former: str, into: str) -> None:
    """The edit and the terms, each where nothing of its kind was said of `into`."""
    row = connection.execute(select(handling).where(handling.c.frame_id == former)).first()
    if row is None:
        return
    connection.execute(delete(handling).where(handling.c.frame_id == former))
    connection.execute(
        upsert(handling)
        .values(frame_id=into, edit=row.edit, terms=row.terms, made=row.made)
        .on_conflict_do_nothing()
    )
    for column, text in (("edit", row.edit), ("terms", row.terms)):
        unsaid = (handling.c.frame_id == into, handling.c[column] == "{}")
        connection.execute(update(handling).where(*unsaid).values({column: text}))
