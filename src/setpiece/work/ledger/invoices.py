"""Invoices: written under the next number, printed, cancelled, reminded of.

The number belongs to the invoice once it is durable; its PDF can be made again at any time.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from setpiece.books.entries import BookEntry, Kind, Payment, Reminder, Use, standing
from setpiece.books.invoices import (
    Invoice,
    Line,
    Party,
    Standing,
    cancelling,
    gaps,
    standing_of,
)
from setpiece.errors import NotFound, WrongUse
from setpiece.store import books as store
from setpiece.store.copying import write_proved
from setpiece.store.workspace import Workspace
from setpiece.work.job import Caller
from setpiece.work.ledger.invoice_pdf import invoice_pdf, reminder_pdf

FOLDER = "ledger/invoices"


@dataclass(frozen=True, slots=True)
class Written:
    """An invoice or reminder that was written, and where its PDF is, relative to the workspace."""

    invoice: Invoice
    path: str


@dataclass(frozen=True, slots=True)
class TaxSetting:
    """The tax that lines get: percent and its name as printed; None for no tax."""

    percent: Decimal | None = None
    name: str = ""


def write_invoice(
    space: Workspace,
    customer: str,
    lines: Sequence[Line],
    day: datetime.date,
    caller: Caller,
    *,
    uses: Sequence[int] = (),
    tax: TaxSetting | None = None,
    series: str = "",
    service: str = "",
    note: str = "",
) -> Written:
    """Writes an invoice under the next number of its series (the year, if not named).

    `uses` become lines of what they are worth. Raises NotFound for an unknown customer or use,
    WrongUse for uses that have no fee or are invoiced already.
    """
    known = store.parties(space)
    seller, buyer = _party(known, store.OWN), _party(known, customer)
    setting = tax or TaxSetting()
    every = [*lines, *(_line_of(space, number, setting) for number in uses)]
    currency = every[0].price.currency if every else buyer.currency

    def make(number: str) -> Invoice:
        due = day + datetime.timedelta(days=buyer.terms_days)
        return Invoice(number, seller, buyer, tuple(every), day, due, currency, service, note=note)

    made = store.issue(space, series or str(day.year), make, caller.now())
    return Written(made, print_invoice(space, made))


def print_invoice(space: Workspace, invoice: Invoice) -> str:
    """Writes an invoice's PDF into the workspace, again if it is there; its path."""
    path = f"{FOLDER}/{invoice.number}.pdf"
    write_proved(invoice_pdf(invoice), space.folder / path)
    return path


def cancel(
    space: Workspace, number: str, reason: str, day: datetime.date, caller: Caller
) -> Written:
    """Takes an invoice back by one of its own number. Raises WrongUse when that was done."""
    found = store.find_invoice(space, number)
    if found.number in _cancelled(store.invoices_of(space)):
        raise WrongUse(
            "this invoice is cancelled already",
            thing=number,
            next_step="`setpiece ledger invoice list` shows by which.",
        )
    series = found.number.rsplit("-", 1)[0]
    made = store.issue(space, series, lambda new: cancelling(found, new, day, reason), caller.now())
    return Written(made, print_invoice(space, made))


def invoices(space: Workspace, today: datetime.date) -> tuple[Standing, ...]:
    """Every invoice and where it stands today."""
    every = store.invoices_of(space)
    entries = standing(store.entries_of(space))
    gone = _cancelled(every) | {i.number for i in every if i.cancels}
    return tuple(_standing(i, entries, today, i.number in gone) for i in every)


def missing_numbers(space: Workspace) -> tuple[str, ...]:
    """Numbers that are missing in a series: there are none, unless the database was changed."""
    places: dict[str, set[int]] = {}
    for found in store.invoices_of(space):
        series, _, place = found.number.rpartition("-")
        places.setdefault(series, set()).add(int(place))
    return tuple(f"{s}-{n:04}" for s, there in places.items() for n in gaps(there))


def remind(
    space: Workspace, number: str, today: datetime.date, caller: Caller
) -> tuple[Standing, str]:
    """Writes the reminder that is due for an invoice and notes it; its path.

    Raises WrongUse where none is due.
    """
    found = next((s for s in invoices(space, today) if s.invoice.number == number), None)
    if found is None:
        raise NotFound(
            "there is no such invoice",
            thing=number,
            next_step="`setpiece ledger invoice list` shows them.",
        )
    level = found.reminder_due
    if level is None:
        raise WrongUse(
            "no reminder is due for it today",
            thing=number,
            next_step="`setpiece ledger invoice list` shows what is open since when.",
        )
    path = f"{FOLDER}/{number}-reminder-{level}.pdf"
    write_proved(reminder_pdf(found, level, today), space.folder / path)
    entry = (today, found.invoice.customer.name, Reminder(number, level))
    store.add_entries(space, [entry], caller.now())
    return found, path


def _standing(
    invoice: Invoice, entries: Sequence[BookEntry], today: datetime.date, cancelled: bool
) -> Standing:
    paid = [
        e.content.amount
        for e in entries
        if isinstance(e.content, Payment) and e.content.invoice == invoice.number
    ]
    reminded = [
        e.day
        for e in entries
        if isinstance(e.content, Reminder) and e.content.invoice == invoice.number
    ]
    return standing_of(invoice, paid, reminded, today, cancelled=cancelled)


def _cancelled(every: Sequence[Invoice]) -> set[str]:
    return {i.cancels for i in every if i.cancels}


def _party(known: dict[str, Party], name: str) -> Party:
    if name in known:
        return known[name]
    fitting = [p for n, p in known.items() if n and n.casefold() == name.casefold()]
    if fitting:
        return fitting[0]
    if name == store.OWN:
        raise NotFound(
            "your own name and address are not set",
            next_step="Set them: setpiece ledger invoice me NAME --address ...",
        )
    raise NotFound(
        "no customer has that name",
        thing=name,
        next_step="Add one: setpiece ledger invoice customer NAME --address ...",
    )


def _line_of(space: Workspace, number: int, tax: TaxSetting) -> Line:
    """A published use as a line of an invoice."""
    entry = store.find_entry(space, number, Kind.USE)
    use = entry.content
    assert isinstance(use, Use)
    if use.due is None:
        raise WrongUse(
            "no fee is known for this use",
            thing=str(number),
            next_step="Note it again with its --fee, or give the desk a rate card.",
        )
    cancelled = _cancelled(store.invoices_of(space))
    for invoice in store.invoices_of(space):
        if not invoice.cancels and invoice.number not in cancelled:
            if any(line.use == number for line in invoice.lines):
                raise WrongUse(
                    f"this use is on invoice {invoice.number}",
                    thing=str(number),
                    next_step="Cancel that invoice first, or leave the use out.",
                )
    words = ", ".join(w for w in (use.outlet, use.placement, use.size) if w)
    text = f"{words}, {entry.day.isoformat()} ({use.match} {use.frame})"
    return Line(text, use.due, Decimal(1), tax.percent, tax.name, number)
