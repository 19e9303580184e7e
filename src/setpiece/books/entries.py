"""Entries of the ledger. Nothing is deleted: an entry is reversed by another that says why.

A reversal cannot itself be reversed; what was right after all is entered again.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from setpiece.books.money import Money
from setpiece.errors import NotFound, WrongUse


class Kind(StrEnum):
    """What an entry says. The values are the words of the CSV export."""

    LICENCE = "licence"
    USE = "use"
    PAYMENT = "payment"
    EXPENSE = "expense"
    TRIP = "trip"
    REMINDER = "reminder"
    REVERSAL = "reversal"


@dataclass(frozen=True, slots=True)
class Licence:
    """What somebody may do with pictures: for what, where, how long, for how much.

    `outlet` empty means any of theirs; `last_day` None is without end.
    """

    frames: tuple[str, ...]
    outlet: str
    purpose: str
    first_day: datetime.date
    last_day: datetime.date | None = None
    territory: str = ""
    exclusive: bool = False
    fee: Money | None = None
    note: str = ""

    def __post_init__(self) -> None:
        if not self.frames:
            raise WrongUse("a licence is for at least one picture")
        if self.last_day is not None and self.last_day < self.first_day:
            raise WrongUse("a licence cannot end before it begins", thing=str(self.last_day))


@dataclass(frozen=True, slots=True)
class Use:
    """A picture as it was published. `fee` is what is paid for it before any share is taken.

    `agreed` tells whether the fee was agreed; else it is by the rate card, or not known yet.
    `share_percent` is the part of the fee that the photographer gets.
    """

    frame: str
    match: str
    outlet: str
    placement: str = ""
    size: str = ""
    fee: Money | None = None
    agreed: bool = False
    share_percent: Decimal = Decimal(100)
    licence: int | None = None
    source: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.share_percent <= 100:
            raise WrongUse("a share lies between 0 and 100 %", thing=str(self.share_percent))
        if self.fee is not None and self.fee.amount < 0:
            raise WrongUse("a fee is not negative", thing=str(self.fee))

    @property
    def due(self) -> Money | None:
        """What the photographer gets for it, None while no fee is known."""
        return self.fee.percent(self.share_percent) if self.fee is not None else None


@dataclass(frozen=True, slots=True)
class Payment:
    """Money that came, or went back where negative. `uses` are the entries it pays for.

    `statement` and `line` tell where it stands, `used_on` which day that line names.
    """

    amount: Money
    uses: tuple[int, ...] = ()
    invoice: str = ""
    statement: int | None = None
    line: int | None = None
    used_on: datetime.date | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Expense:
    """Money spent. `receipt` is the path of its picture or PDF in the workspace."""

    what: str
    amount: Money
    category: str = ""
    receipt: str = ""
    match: str = ""


@dataclass(frozen=True, slots=True)
class Trip:
    """A way driven, there and back if it was. `amount` is by the rate table of that day."""

    start: str
    end: str
    distance: Decimal
    unit: str
    vehicle: str
    amount: Money
    rates: str = ""
    match: str = ""

    def __post_init__(self) -> None:
        if self.distance <= 0:
            raise WrongUse("a trip has a length", thing=str(self.distance))


@dataclass(frozen=True, slots=True)
class Reminder:
    """A reminder sent for an invoice: the first, the second ..."""

    invoice: str
    level: int


@dataclass(frozen=True, slots=True)
class Reversal:
    """Takes an entry back."""

    reverses: int
    reason: str

    def __post_init__(self) -> None:
        if not self.reason.strip():
            raise WrongUse(
                "an entry is reversed with a reason", thing=str(self.reverses), next_step="Say why."
            )


Content = Licence | Use | Payment | Expense | Trip | Reminder | Reversal

KIND_OF: dict[type, Kind] = {
    Licence: Kind.LICENCE,
    Use: Kind.USE,
    Payment: Kind.PAYMENT,
    Expense: Kind.EXPENSE,
    Trip: Kind.TRIP,
    Reminder: Kind.REMINDER,
    Reversal: Kind.REVERSAL,
}


@dataclass(frozen=True, slots=True)
class BookEntry:
    """One entry: its number, the day it belongs to, the desk or customer, what it says."""

    number: int
    day: datetime.date
    desk: str
    content: Content

    @property
    def kind(self) -> Kind:
        """What kind of entry it is."""
        return KIND_OF[type(self.content)]


def reversals(entries: Iterable[BookEntry]) -> dict[int, BookEntry]:
    """The entry that reverses each reversed one, by the reversed one's number."""
    return {e.content.reverses: e for e in entries if isinstance(e.content, Reversal)}


def standing(entries: Sequence[BookEntry]) -> tuple[BookEntry, ...]:
    """The entries that hold: not reversed, and no reversals."""
    gone = reversals(entries)
    return tuple(e for e in entries if e.number not in gone and e.kind is not Kind.REVERSAL)


def reversal_of(entries: Sequence[BookEntry], number: int, reason: str) -> Reversal:
    """The reversal of an entry. Raises NotFound, or WrongUse where it cannot be reversed."""
    found = next((e for e in entries if e.number == number), None)
    if found is None:
        raise NotFound(
            "the ledger has no such entry",
            thing=str(number),
            next_step="`setpiece ledger list` shows them.",
        )
    if found.kind is Kind.REVERSAL:
        raise WrongUse(
            "a reversal is not reversed",
            thing=str(number),
            next_step="Enter again what was right after all.",
        )
    if number in reversals(entries):
        raise WrongUse("this entry is reversed already", thing=str(number))
    return Reversal(number, reason)
