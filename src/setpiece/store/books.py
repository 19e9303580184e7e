"""The ledger in the workspace: entries only ever added, invoices numbered without a gap."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Sequence

from sqlalchemy import Connection, func, insert, select
from sqlalchemy.dialects.sqlite import insert as upsert

from setpiece.books.entries import (
    KIND_OF,
    BookEntry,
    Content,
    Kind,
    Reversal,
    Use,
    reversal_of,
)
from setpiece.books.invoices import Invoice, Party, number_of
from setpiece.books.rates import CardRate, MileageRate
from setpiece.errors import NotFound
from setpiece.match.instants import Instant
from setpiece.store.archive_tables import (
    book_entry,
    book_party,
    book_rate,
)
from setpiece.store.archive_tables import invoice as invoice_table
from setpiece.store.forms import from_json, to_json
from setpiece.store.workspace import Workspace

OWN = ""
"""The name under which the photographer's own address is kept."""

_TYPE_OF = {kind.value: type_ for type_, kind in KIND_OF.items()}
_CARD, _MILEAGE = "card", "mileage"


# ----- entries -----


def add_entries(
    space: Workspace, new: Sequence[tuple[datetime.date, str, Content]], at: Instant
) -> tuple[BookEntry, ...]:
    """Adds entries in one transaction: each as its day, its desk or customer, what it says."""
    with space.writing() as connection:
        return tuple(put_entry(connection, day, desk, content, at) for day, desk, content in new)


def put_entry(
    connection: Connection, day: datetime.date, desk: str, content: Content, at: Instant
) -> BookEntry:
    """Adds one entry inside a transaction."""
    made = connection.execute(
        insert(book_entry).values(
            kind=KIND_OF[type(content)].value,
            day=day.isoformat(),
            desk=desk,
            frame_id=content.frame if isinstance(content, Use) else "",
            reverses=content.reverses if isinstance(content, Reversal) else None,
            entry=to_json(content),
            made=at.isoformat(),
        )
    )
    return BookEntry(made.inserted_primary_key[0], day, desk, content)  # type: ignore[index]


def entries_of(space: Workspace) -> tuple[BookEntry, ...]:
    """Every entry in the order it was made."""
    with space.reading() as connection:
        return _entries(connection)


def _entries(connection: Connection) -> tuple[BookEntry, ...]:
    rows = connection.execute(select(book_entry).order_by(book_entry.c.number)).all()
    return tuple(
        BookEntry(
            r.number,
            datetime.date.fromisoformat(r.day),
            r.desk,
            from_json(_TYPE_OF[r.kind], r.entry),
        )
        for r in rows
    )


def reverse(
    space: Workspace, number: int, reason: str, day: datetime.date, at: Instant
) -> BookEntry:
    """Takes an entry back with a reason. Raises NotFound, or WrongUse where it cannot be."""
    with space.writing() as connection:
        known = _entries(connection)
        taken_back = reversal_of(known, number, reason)
        desk = next(e.desk for e in known if e.number == number)
        return put_entry(connection, day, desk, taken_back, at)


def find_entry(space: Workspace, number: int, kind: Kind) -> BookEntry:
    """The entry of that number and kind. Raises NotFound."""
    for entry in entries_of(space):
        if entry.number == number and entry.kind is kind:
            return entry
    raise NotFound(f"the ledger has no such {kind.value}", thing=str(number))


# ----- parties and rates -----


def save_party(space: Workspace, name: str, value: Party, at: Instant) -> None:
    """Keeps who writes (`OWN`) or gets invoices; issued ones keep what they were sent with."""
    values = {"party": to_json(value), "made": at.isoformat()}
    with space.writing() as connection:
        connection.execute(
            upsert(book_party)
            .values(name=name, **values)
            .on_conflict_do_update(index_elements=["name"], set_=values)
        )


def parties(space: Workspace) -> dict[str, Party]:
    """Everybody by the name they are kept under; the photographer under `OWN`."""
    with space.reading() as connection:
        rows = connection.execute(select(book_party).order_by(book_party.c.name)).all()
    return {r.name: from_json(Party, r.party) for r in rows}


def add_card(space: Workspace, rates: Iterable[CardRate], at: Instant) -> None:
    """Adds lines to the rate card; earlier ones stay for the days they held."""
    _add_rates(space, _CARD, [to_json(r) for r in rates], at)


def card_of(space: Workspace) -> tuple[CardRate, ...]:
    """The whole rate card."""
    return tuple(from_json(CardRate, text) for text in _rates(space, _CARD))


def add_mileage(space: Workspace, rates: Iterable[MileageRate], at: Instant) -> None:
    """Adds lines to the mileage tables; earlier ones stay for the days they held."""
    _add_rates(space, _MILEAGE, [to_json(r) for r in rates], at)


def mileage_of(space: Workspace) -> tuple[MileageRate, ...]:
    """Every mileage rate."""
    return tuple(from_json(MileageRate, text) for text in _rates(space, _MILEAGE))


def _add_rates(space: Workspace, kind: str, texts: Sequence[str], at: Instant) -> None:
    if texts:
        rows = [{"kind": kind, "rate": text, "made": at.isoformat()} for text in texts]
        with space.writing() as connection:
            connection.execute(insert(book_rate), rows)


def _rates(space: Workspace, kind: str) -> list[str]:
    wanted = select(book_rate.c.rate).where(book_rate.c.kind == kind).order_by(book_rate.c.id)
    with space.reading() as connection:
        return list(connection.execute(wanted).scalars())


# ----- invoices -----


def issue(space: Workspace, series: str, make: Callable[[str], Invoice], at: Instant) -> Invoice:
    """Makes an invoice under the next number of its series, in one transaction.

    Whatever fails before it is durable uses no number up.
    """
    number_of(series, 1)
    with space.writing() as connection:
        last = connection.execute(
            select(func.max(invoice_table.c.place)).where(invoice_table.c.series == series)
        ).scalar()
        place = (last or 0) + 1
        made = make(number_of(series, place))
        connection.execute(
            insert(invoice_table).values(
                number=made.number,
                series=series,
                place=place,
                invoice=to_json(made),
                made=at.isoformat(),
            )
        )
    return made


def invoices_of(space: Workspace) -> tuple[Invoice, ...]:
    """Every invoice, by series and place."""
    wanted = select(invoice_table.c.invoice).order_by(invoice_table.c.series, invoice_table.c.place)
    with space.reading() as connection:
        return tuple(from_json(Invoice, text) for text in connection.execute(wanted).scalars())


def find_invoice(space: Workspace, number: str) -> Invoice:
    """The invoice of that number. Raises NotFound."""
    for found in invoices_of(space):
        if found.number == number.strip():
            return found
    raise NotFound(
        "there is no such invoice",
        thing=number,
        next_step="`setpiece ledger invoice list` shows them.",
    )
