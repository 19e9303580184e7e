"""Tables that the photographer owns: what a use costs, what a kilometre is worth, from when on.

Mileage: the line of a vehicle that holds on the day, and of those the ones by how far was
driven in the year. Rates come from the photographer with their source; none is shipped.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from setpiece.books.money import Money, digits_of
from setpiece.errors import NotFound, WrongUse

NOT_ADVICE = (
    "Not tax advice: rates and rules differ by country and year. "
    "Hold them against their published source, and ask a licensed professional."
)
"""Shown with every figure that may go into a tax return."""


@dataclass(frozen=True, slots=True)
class CardRate:
    """What a use costs by the rate card. Empty words fit anything."""

    desk: str
    outlet: str
    placement: str
    size: str
    fee: Money
    valid_from: datetime.date
    source: str = ""

    def fits(self, desk: str, outlet: str, placement: str, size: str) -> bool:
        """Whether the line is for such a use."""
        pairs = (
            (self.desk, desk),
            (self.outlet, outlet),
            (self.placement, placement),
            (self.size, size),
        )
        return all(not own or own.casefold() == other.casefold() for own, other in pairs)

    @property
    def exactness(self) -> int:
        """How many of its words are given."""
        return sum(bool(w) for w in (self.desk, self.outlet, self.placement, self.size))


def fee_by_card(
    rates: Sequence[CardRate],
    day: datetime.date,
    *,
    desk: str,
    outlet: str,
    placement: str,
    size: str,
) -> Money | None:
    """The fee of the most exact line that fits and holds on the day, the newest of equals."""
    fitting = [r for r in rates if r.valid_from <= day and r.fits(desk, outlet, placement, size)]
    best = max(fitting, key=lambda r: (r.exactness, r.valid_from), default=None)
    return best.fee if best else None


@dataclass(frozen=True, slots=True)
class MileageRate:
    """What a kilometre or mile is worth for a vehicle, from a day on.

    `beyond` is how far must have been driven in the year before this line holds. `source` names
    where the rate was published.
    """

    vehicle: str
    unit: str
    per_unit: Decimal
    currency: str
    valid_from: datetime.date
    source: str
    beyond: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        digits_of(self.currency)
        if self.unit not in ("km", "mile"):
            raise WrongUse("distances are in km or mile", thing=self.unit)
        if self.per_unit < 0 or self.beyond < 0:
            raise WrongUse("a rate is not negative", thing=f"{self.per_unit} {self.currency}")
        if not self.source.strip():
            raise WrongUse(
                "a rate needs its source",
                thing=f"{self.vehicle} {self.valid_from}",
                next_step="Name where it was published, with its date.",
            )


def rates_on(
    rates: Sequence[MileageRate], vehicle: str, day: datetime.date
) -> tuple[MileageRate, ...]:
    """The table of a vehicle that holds on a day, by how far was driven. Raises NotFound."""
    own = [r for r in rates if r.vehicle.casefold() == vehicle.casefold() and r.valid_from <= day]
    newest = max((r.valid_from for r in own), default=None)
    table = sorted((r for r in own if r.valid_from == newest), key=lambda r: r.beyond)
    if not table or table[0].beyond != 0:
        raise NotFound(
            "no mileage rate holds on that day",
            thing=f"{vehicle} {day}",
            next_step="Add its table: setpiece ledger mileage FILE.csv",
        )
    if len({(r.unit, r.currency) for r in table}) > 1:
        raise WrongUse("one table has one unit and one currency", thing=f"{vehicle} {newest}")
    return tuple(table)


def mileage(
    rates: Sequence[MileageRate],
    vehicle: str,
    day: datetime.date,
    distance: Decimal,
    driven_before: Decimal,
) -> Money:
    """What a trip is worth after so much was driven in the year, rounded once."""
    table = rates_on(rates, vehicle, day)
    ends = [*(r.beyond for r in table[1:]), None]
    worth = Decimal(0)
    for rate, end in zip(table, ends, strict=True):
        first = max(driven_before, rate.beyond)
        last = driven_before + distance if end is None else min(driven_before + distance, end)
        worth += max(last - first, Decimal(0)) * rate.per_unit
    return Money.of(worth, table[0].currency)
