"""What a year came to, one sum for each currency, and the ledger as rows for a spreadsheet."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from setpiece.books.entries import (
    BookEntry,
    Expense,
    Licence,
    Payment,
    Reminder,
    Reversal,
    Trip,
    Use,
    reversals,
    standing,
)
from setpiece.books.invoices import Invoice
from setpiece.books.money import Money, total

COLUMNS = (
    "number", "day", "kind", "desk", "what", "picture", "match", "amount", "currency", "share",
    "due", "reversed_by", "note",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Totals:
    """A year in one currency.

    `earned` is what published uses and licences of the year are worth to the photographer,
    `invoiced` what invoices of the year ask for (net) and `tax` their tax; `received` what came
    in the year; `result` is received less expenses and mileage.
    """

    year: int
    currency: str
    earned: Money
    invoiced: Money
    tax: Money
    received: Money
    expenses: Money
    mileage: Money

    @property
    def result(self) -> Money:
        """What came less what it cost."""
        return self.received - self.expenses - self.mileage


def worth(entry: BookEntry) -> Money | None:
    """The amount an entry carries, None where it carries none or it is not known."""
    match entry.content:
        case Use() as use:
            return use.due
        case Licence() as licence:
            return licence.fee
        case Payment() as payment:
            return payment.amount
        case Expense() as expense:
            return expense.amount
        case Trip() as trip:
            return trip.amount
        case _:
            return None


def totals_of(
    year: int, entries: Sequence[BookEntry], invoices: Iterable[Invoice]
) -> tuple[Totals, ...]:
    """The totals of a year by currency, in the order of their codes.

    A use under a licence is paid by the licence: it adds nothing of its own.
    """
    own = [e for e in standing(entries) if e.day.year == year]
    issued = [i for i in invoices if i.issued.year == year]
    amounts = [(e, m) for e in own if (m := worth(e)) is not None]
    codes = {m.currency for _, m in amounts} | {i.currency for i in issued}

    def sum_of(code: str, *kinds: type) -> Money:
        return total(
            (
                m
                for e, m in amounts
                if m.currency == code and isinstance(e.content, kinds) and not _licensed(e)
            ),
            code,
        )

    return tuple(
        Totals(
            year,
            code,
            earned=sum_of(code, Use, Licence),
            invoiced=total((i.net for i in issued if i.currency == code), code),
            tax=total((i.gross - i.net for i in issued if i.currency == code), code),
            received=sum_of(code, Payment),
            expenses=sum_of(code, Expense),
            mileage=sum_of(code, Trip),
        )
        for code in sorted(codes)
    )


def _licensed(entry: BookEntry) -> bool:
    return isinstance(entry.content, Use) and entry.content.licence is not None


def rows_of(entries: Sequence[BookEntry]) -> list[tuple[str, ...]]:
    """Every entry as a row under `COLUMNS`, reversed ones and reversals too."""
    gone = reversals(entries)
    return [_row(e, gone.get(e.number)) for e in entries]


def _row(entry: BookEntry, reversed_by: BookEntry | None) -> tuple[str, ...]:
    what, picture, match, note = _words(entry)
    content = entry.content
    amount = content.fee if isinstance(content, Use) else worth(entry)
    use = content if isinstance(content, Use) else None
    due = use.due if use else None
    return (
        str(entry.number),
        entry.day.isoformat(),
        entry.kind.value,
        entry.desk,
        what,
        picture,
        match,
        f"{amount.amount:f}" if amount else "",
        amount.currency if amount else "",
        f"{use.share_percent:f}" if use else "",
        f"{due.amount:f}" if due else "",
        str(reversed_by.number) if reversed_by else "",
        note,
    )


def _words(entry: BookEntry) -> tuple[str, str, str, str]:
    """What an entry is about: words, picture, match, note."""
    match entry.content:
        case Use(frame=frame, match=match, outlet=outlet, placement=place, size=size, note=note):
            return ", ".join(w for w in (outlet, place, size) if w), frame, match, note
        case Licence(frames=frames, purpose=purpose, outlet=outlet, note=note):
            return ", ".join(w for w in (purpose, outlet) if w), " ".join(frames), "", note
        case Payment(invoice=invoice, note=note, uses=uses):
            return (
                invoice or "uses " + " ".join(map(str, uses)) if uses or invoice else "",
                "",
                "",
                note,
            )
        case Expense(what=what, category=category, match=match, receipt=receipt):
            return ", ".join(w for w in (what, category) if w), "", match, receipt
        case Trip(start=start, end=end, distance=distance, unit=unit, match=match, rates=rates):
            return f"{start} – {end}, {distance:f} {unit}", "", match, rates
        case Reminder(invoice=invoice, level=level):
            return f"reminder {level} for {invoice}", "", "", ""
        case Reversal(reverses=number, reason=reason):
            return f"reverses {number}", "", "", reason


def unpaid_uses(
    entries: Sequence[BookEntry], *, desk: str = "", until: datetime.date | None = None
) -> tuple[BookEntry, ...]:
    """Published uses that nothing was paid for, of a desk and up to a day where they are given.

    A payment that was taken back again counts as none.
    """
    held = standing(entries)
    came: dict[int, Decimal] = {}
    for e in held:
        if isinstance(e.content, Payment):
            for number in e.content.uses:
                came[number] = came.get(number, Decimal(0)) + e.content.amount.amount
    paid = {number for number, amount in came.items() if amount > 0}
    return tuple(
        e
        for e in held
        if isinstance(e.content, Use)
        and e.content.licence is None
        and e.number not in paid
        and (not desk or e.desk == desk)
        and (until is None or e.day <= until)
    )
