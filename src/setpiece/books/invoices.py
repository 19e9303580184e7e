"""Invoices: lines, tax where set, totals, numbers without a gap, what is overdue.

Rounding: a line is quantity times price, rounded once; tax is computed for each rate on the sum
of that rate's lines and rounded once (common practice; no source). A wrong invoice is not
changed: a cancelling one with its own number takes it back line by line.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from setpiece.books.money import Money, digits_of, total
from setpiece.errors import WrongUse

SERIES = re.compile(r"[A-Z0-9]{1,12}")
REMIND_EVERY_DAYS = 14
"""A reminder is due so long after the due date, the next so long after that. Our choice."""


@dataclass(frozen=True, slots=True)
class Party:
    """Who writes or gets an invoice. `address` has its lines; `tax_id` and `bank` as printed.

    `terms_days` is how long after the date an invoice is due; `note` is printed under every
    invoice that the party writes, as a sentence that a tax rule asks for.
    """

    name: str
    address: tuple[str, ...] = ()
    tax_id: str = ""
    bank: str = ""
    email: str = ""
    currency: str = "EUR"
    terms_days: int = 30
    note: str = ""

    def __post_init__(self) -> None:
        digits_of(self.currency)
        if not self.name.strip():
            raise WrongUse("an invoice needs a name and an address")
        if not 0 <= self.terms_days <= 365:
            raise WrongUse("terms are 0 to 365 days", thing=str(self.terms_days))


@dataclass(frozen=True, slots=True)
class Line:
    """One line: what, how many, at what price; `tax_percent` None where no tax is set."""

    text: str
    price: Money
    quantity: Decimal = Decimal(1)
    tax_percent: Decimal | None = None
    tax_name: str = ""
    use: int | None = None

    def __post_init__(self) -> None:
        if not self.text.strip():
            raise WrongUse("a line says what it is for")
        if not self.quantity.is_finite() or self.quantity == 0:
            raise WrongUse("a line has a quantity", thing=self.text)
        if self.tax_percent is not None and not 0 <= self.tax_percent <= 100:
            raise WrongUse("a tax lies between 0 and 100 %", thing=str(self.tax_percent))

    @property
    def net(self) -> Money:
        """Quantity times price."""
        return self.price.times(self.quantity)


@dataclass(frozen=True, slots=True)
class Tax:
    """The tax of one rate: on what, how much."""

    name: str
    percent: Decimal
    base: Money
    amount: Money


@dataclass(frozen=True, slots=True)
class Invoice:
    """An invoice as it was sent. `cancels` is the number of the one that it takes back."""

    number: str
    seller: Party
    customer: Party
    lines: tuple[Line, ...]
    issued: datetime.date
    due: datetime.date
    currency: str
    service: str = ""
    cancels: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        if not self.lines:
            raise WrongUse("an invoice has at least one line", thing=self.number)
        strange = {line.price.currency for line in self.lines} - {self.currency}
        if strange:
            raise WrongUse("an invoice has one currency", thing=", ".join(sorted(strange)))
        if self.due < self.issued:
            raise WrongUse("an invoice is not due before its date", thing=str(self.due))

    @property
    def net(self) -> Money:
        """The sum of the lines."""
        return total((line.net for line in self.lines), self.currency)

    @property
    def taxes(self) -> tuple[Tax, ...]:
        """The tax of each rate that is set, smallest first."""
        rates = sorted(
            {(x.tax_percent, x.tax_name) for x in self.lines if x.tax_percent is not None}
        )
        found = []
        for percent, name in rates:
            lines = [x for x in self.lines if (x.tax_percent, x.tax_name) == (percent, name)]
            base = total((x.net for x in lines), self.currency)
            found.append(Tax(name or "Tax", percent, base, base.percent(percent)))
        return tuple(found)

    @property
    def gross(self) -> Money:
        """What is to be paid."""
        return self.net + total((t.amount for t in self.taxes), self.currency)


def number_of(series: str, place: int) -> str:
    """The number of the invoice at a place of its series: `2027-0001`."""
    if not SERIES.fullmatch(series) or place < 1:
        raise WrongUse(
            "a series is one to twelve capital letters or digits",
            thing=series,
            next_step="Use the year, as 2027.",
        )
    return f"{series}-{place:04}"


def gaps(places: Iterable[int]) -> tuple[int, ...]:
    """The places of a series that are missing below the highest."""
    there = set(places)
    return tuple(n for n in range(1, max(there, default=0)) if n not in there)


def cancelling(invoice: Invoice, number: str, day: datetime.date, reason: str) -> Invoice:
    """The invoice that takes another back: the same lines with the quantities turned round."""
    if invoice.cancels:
        raise WrongUse("a cancelling invoice is not cancelled", thing=invoice.number)
    if not reason.strip():
        raise WrongUse("an invoice is cancelled with a reason", thing=invoice.number)
    lines = tuple(replace(line, quantity=-line.quantity) for line in invoice.lines)
    return replace(
        invoice,
        number=number,
        lines=lines,
        issued=day,
        due=day,
        cancels=invoice.number,
        note=reason,
    )


@dataclass(frozen=True, slots=True)
class Standing:
    """Where an invoice stands on a day. `open` is what is still to be paid.

    `reminder_due` is the level of the reminder that may go out now, None when none.
    """

    invoice: Invoice
    paid: Money
    open: Money
    cancelled: bool
    days_overdue: int
    reminded: int
    reminder_due: int | None


def standing_of(
    invoice: Invoice,
    payments: Sequence[Money],
    reminded: Sequence[datetime.date],
    today: datetime.date,
    *,
    cancelled: bool,
) -> Standing:
    """Where an invoice stands: paid by what came, overdue by its date, reminded when."""
    paid = total(payments, invoice.currency)
    left = Money.nothing(invoice.currency) if cancelled else invoice.gross - paid
    overdue = max((today - invoice.due).days, 0) if left.amount > 0 else 0
    last = max((invoice.due, *reminded))
    ripe = overdue > 0 and (today - last).days >= (REMIND_EVERY_DAYS if reminded else 1)
    level = len(reminded) + 1 if ripe else None
    return Standing(invoice, paid, left, cancelled, overdue, len(reminded), level)
