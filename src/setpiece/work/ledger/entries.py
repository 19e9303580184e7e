"""The ledger's entries: uses, licences, payments, expenses, trips, and what they came to."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from setpiece.books.entries import BookEntry, Expense, Kind, Licence, Payment, Trip, Use, standing
from setpiece.books.licences import broken_by, outside
from setpiece.books.money import Money
from setpiece.books.rates import (
    NOT_ADVICE,
    CardRate,
    MileageRate,
    fee_by_card,
    mileage,
    rates_on,
)
from setpiece.books.totals import COLUMNS, Totals, rows_of, totals_of
from setpiece.errors import NotFound, WrongUse
from setpiece.match.forms import read_rows, write_rows
from setpiece.match.instants import Instant
from setpiece.store import books as store
from setpiece.store.copying import copy_proved
from setpiece.store.matches import Match
from setpiece.store.statements import form_of
from setpiece.store.workspace import Workspace
from setpiece.work.job import Caller
from setpiece.work.matchday import Matchday

RECEIPTS = "ledger/receipts"
CARD_COLUMNS = ("desk", "outlet", "placement", "size", "fee", "currency", "valid_from", "source")
MILEAGE_COLUMNS = (
    "vehicle", "unit", "per_unit", "currency", "valid_from", "beyond", "source",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Noted:
    """An entry that was made, and what is to be known about it, in words."""

    entry: BookEntry
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Year:
    """What a year came to by currency, with the words that belong under it."""

    year: int
    totals: tuple[Totals, ...]
    caution: str = NOT_ADVICE


def note_use(
    space: Workspace,
    of: Match,
    frame_name: str,
    use: Use,
    desk: str,
    day: datetime.date,
    caller: Caller,
) -> Noted:
    """Notes a published use of a frame. `use.frame` and `use.match` are filled in.

    Without a fee the rate card's is taken; without a share of its own, the one agreed for the
    desk's statements. Raises WrongUse when the licence named does not cover it.
    """
    known = store.entries_of(space)
    frame = Matchday(space, of).frame(frame_name)
    form = form_of(space, desk)
    share = use.share_percent
    if share == 100 and form is not None and form.share_percent is not None:
        share = form.share_percent
    fee = use.fee or fee_by_card(
        store.card_of(space), day, desk=desk, outlet=use.outlet, placement=use.placement,
        size=use.size,
    )  # fmt: skip
    made = Use(
        frame.id, of.folder, use.outlet, use.placement, use.size, fee, use.fee is not None, share,
        use.licence, use.source, use.note,
    )  # fmt: skip
    if use.licence is not None:
        licence = store.find_entry(space, use.licence, Kind.LICENCE).content
        assert isinstance(licence, Licence)
        if why := outside(licence, made, day):
            raise WrongUse(
                "the licence does not cover this use",
                thing="; ".join(why),
                next_step="Name another licence, or note the use without one.",
            )
    remarks = broken_by(known, made, desk, day)
    if fee is None and use.licence is None:
        remarks = (*remarks, "no fee is agreed and the rate card has none")
    (entry,) = store.add_entries(space, [(day, desk, made)], caller.now())
    return Noted(entry, remarks)


def note_licence(
    space: Workspace,
    of: Match,
    frame_names: list[str],
    licence: Licence,
    desk: str,
    caller: Caller,
) -> Noted:
    """Notes a licence for frames of a match; its own list of frames is filled in."""
    day = Matchday(space, of)
    frames = tuple(day.frame(name).id for name in frame_names)
    made = Licence(
        frames, licence.outlet, licence.purpose, licence.first_day, licence.last_day,
        licence.territory, licence.exclusive, licence.fee, licence.note,
    )  # fmt: skip
    (entry,) = store.add_entries(space, [(licence.first_day, desk, made)], caller.now())
    return Noted(entry)


def note_payment(
    space: Workspace, payment: Payment, desk: str, day: datetime.date, caller: Caller
) -> Noted:
    """Notes money that came. Raises NotFound for uses or an invoice there are not."""
    for number in payment.uses:
        store.find_entry(space, number, Kind.USE)
    if payment.invoice:
        found = store.find_invoice(space, payment.invoice)
        if found.currency != payment.amount.currency:
            raise WrongUse(f"the invoice is in {found.currency}", thing=str(payment.amount))
        desk = desk or found.customer.name
    (entry,) = store.add_entries(space, [(day, desk, payment)], caller.now())
    return Noted(entry)


def note_expense(
    space: Workspace, expense: Expense, receipt: Path | None, day: datetime.date, caller: Caller
) -> Noted:
    """Notes money spent; the receipt's file is copied into the workspace."""
    kept = ""
    if receipt is not None:
        if not receipt.is_file():
            raise NotFound(
                "there is no such receipt", thing=str(receipt), next_step="Check the path."
            )
        proof = copy_proved(receipt, space.folder / RECEIPTS / f"{day}-{receipt.name}")
        kept = proof.path.relative_to(space.folder).as_posix()
    made = Expense(expense.what, expense.amount, expense.category, kept, expense.match)
    (entry,) = store.add_entries(space, [(day, "", made)], caller.now())
    return Noted(entry, () if receipt else ("no receipt is kept with it",))


def note_trip(
    space: Workspace,
    start: str,
    end: str,
    distance: Decimal,
    vehicle: str,
    day: datetime.date,
    caller: Caller,
    *,
    match: str = "",
) -> Noted:
    """Notes a way driven, worth what the rate table of that day says after the year's miles."""
    rates = store.mileage_of(space)
    table = rates_on(rates, vehicle, day)
    before = sum(
        (
            e.content.distance
            for e in standing(store.entries_of(space))
            if isinstance(e.content, Trip)
            and e.content.vehicle.casefold() == vehicle.casefold()
            and e.day.year == day.year
        ),
        Decimal(0),
    )
    amount = mileage(rates, vehicle, day, distance, before)
    words = f"{table[0].source}, from {table[0].valid_from}"
    made = Trip(start, end, distance, table[0].unit, vehicle, amount, words, match)
    (entry,) = store.add_entries(space, [(day, "", made)], caller.now())
    return Noted(entry, (NOT_ADVICE,))


def year_of(space: Workspace, year: int) -> Year:
    """What a year came to."""
    return Year(year, totals_of(year, store.entries_of(space), store.invoices_of(space)))


def as_csv(space: Workspace, year: int | None = None) -> str:
    """Every entry of a year, or of all, as CSV; reversed ones and their reversals too."""
    chosen = [e for e in store.entries_of(space) if year is None or e.day.year == year]
    return write_rows(COLUMNS, rows_of(chosen))


# ----- rate tables -----


def import_card(space: Workspace, text: str, at: Instant) -> int:
    """Adds the lines of a rate card as CSV; how many. Raises WrongUse that names the line."""
    needed = ("fee", "currency", "valid_from")
    rates = []
    for row in read_rows(text, CARD_COLUMNS, other_words={}, needed=needed):
        try:
            rates.append(
                CardRate(
                    row["desk"], row["outlet"], row["placement"], row["size"],
                    Money.of(_decimal(row["fee"]), row["currency"]), _day(row["valid_from"]),
                    row["source"],
                )
            )  # fmt: skip
        except WrongUse as error:
            raise row.wrong(str(error)) from error
    store.add_card(space, rates, at)
    return len(rates)


def import_mileage(space: Workspace, text: str, at: Instant) -> int:
    """Adds the lines of a mileage table as CSV; how many. Raises WrongUse that names the line."""
    needed = ("vehicle", "per_unit", "currency", "valid_from", "source")
    rates = []
    for row in read_rows(text, MILEAGE_COLUMNS, other_words={}, needed=needed):
        try:
            rates.append(
                MileageRate(
                    row["vehicle"], row["unit"] or "km", _decimal(row["per_unit"]),
                    row["currency"], _day(row["valid_from"]), row["source"],
                    _decimal(row["beyond"] or "0"),
                )
            )  # fmt: skip
        except WrongUse as error:
            raise row.wrong(str(error)) from error
    store.add_mileage(space, rates, at)
    return len(rates)


def _decimal(text: str) -> Decimal:
    from setpiece.books.money import read_decimal

    return read_decimal(text, ".")


def _day(text: str) -> datetime.date:
    try:
        return datetime.date.fromisoformat(text)
    except ValueError as error:
        raise WrongUse("this is no date", thing=text, next_step="Write 2027-03-06.") from error
