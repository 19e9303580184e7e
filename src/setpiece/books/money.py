"""Money: an exact decimal amount in whole minor units of one currency; never a float.

Rounding, wherever the books round: to the currency's minor unit, halves away from zero
(commercial rounding; common practice, no source). Digits of a currency: Unicode CLDR, as Babel
carries it. Amounts of two currencies never meet in one sum.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

from babel.numbers import get_currency_precision, is_currency

from setpiece.errors import WrongUse

LARGEST = Decimal(10) ** 12
"""An amount beyond this is a slip."""

SIGNS = {"€": "EUR", "£": "GBP", "¥": "JPY", "zł": "PLN", "kč": "CZK", "₺": "TRY", "₹": "INR"}
"""Signs that mean one currency; `$` and `kr` mean several and are not here."""


@lru_cache(maxsize=256)
def digits_of(currency: str) -> int:
    """The decimals of a currency's minor unit. Raises WrongUse for an unknown code."""
    if not re.fullmatch(r"[A-Z]{3}", currency) or not is_currency(currency):
        raise WrongUse("no such currency", thing=currency, next_step="Write a code like EUR.")
    return int(get_currency_precision(currency))


def rounded(amount: Decimal, currency: str) -> Decimal:
    """An amount in whole minor units, halves away from zero."""
    return amount.quantize(Decimal(1).scaleb(-digits_of(currency)), rounding=ROUND_HALF_UP)


@dataclass(frozen=True, slots=True)
class Money:
    """An amount of one currency in whole minor units. Raises WrongUse for anything else."""

    amount: Decimal
    currency: str

    def __post_init__(self) -> None:
        if not isinstance(self.amount, Decimal):
            raise WrongUse("money is a decimal number", thing=repr(self.amount))
        if not self.amount.is_finite() or abs(self.amount) > LARGEST:
            raise WrongUse("this is no amount of money", thing=str(self.amount))
        exact = rounded(self.amount, self.currency)
        if exact != self.amount:
            raise WrongUse(
                f"{self.currency} has {digits_of(self.currency)} decimals", thing=str(self.amount)
            )
        object.__setattr__(self, "amount", exact + Decimal(0))  # no minus zero

    @classmethod
    def of(cls, amount: Decimal | int | str, currency: str) -> Money:
        """An amount rounded to the minor unit."""
        return cls(rounded(Decimal(amount), currency), currency)

    @classmethod
    def nothing(cls, currency: str) -> Money:
        """Zero of a currency."""
        return cls.of(0, currency)

    def __add__(self, other: Money) -> Money:
        return Money(self.amount + self._same(other), self.currency)

    def __sub__(self, other: Money) -> Money:
        return Money(self.amount - self._same(other), self.currency)

    def __neg__(self) -> Money:
        return Money(-self.amount, self.currency)

    def __str__(self) -> str:
        return f"{self.amount:f} {self.currency}"

    def times(self, factor: Decimal | int) -> Money:
        """The amount so many times, rounded once."""
        return Money.of(self.amount * factor, self.currency)

    def percent(self, share: Decimal) -> Money:
        """That share of the amount, rounded once."""
        return Money.of(self.amount * share / 100, self.currency)

    def within_a_unit(self, other: Money) -> bool:
        """Whether two amounts differ by one minor unit at most, as two roundings may."""
        unit = Decimal(1).scaleb(-digits_of(self.currency))
        return abs(self.amount - self._same(other)) <= unit

    def _same(self, other: Money) -> Decimal:
        if other.currency != self.currency:
            raise WrongUse("two currencies never meet in one sum", thing=f"{self} and {other}")
        return other.amount


def total(amounts: Iterable[Money], currency: str) -> Money:
    """The sum of amounts of one currency. Raises WrongUse for another currency among them."""
    found = Money.nothing(currency)
    for amount in amounts:
        found += amount
    return found


def by_currency(amounts: Iterable[Money]) -> dict[str, Money]:
    """Sums, one for each currency."""
    sums: dict[str, Money] = {}
    for amount in amounts:
        before = sums.get(amount.currency, Money.nothing(amount.currency))
        sums[amount.currency] = before + amount
    return dict(sorted(sums.items()))


# ----- amounts as people and spreadsheets write them -----

_BLANKS = re.compile(r"[\s'’`´_]+")
_NUMBER = re.compile(r"\d[\d.,]*|[.,]\d+")
_NEGATIVE = re.compile(r"^\((.*)\)$|^[-−–](.*)$|^(.*)[-−–]$")


def read_decimal(text: str, decimal_mark: str = "") -> Decimal:
    """The number in a text; `decimal_mark` is `.` or `,`, empty where it must be plain.

    Raises WrongUse for what is no number, and for one like `1.234` whose mark may be either.
    """
    plain = _BLANKS.sub("", unicodedata.normalize("NFKC", text))
    negative = _NEGATIVE.match(plain)
    if negative:
        plain = next(g for g in negative.groups() if g is not None)
    if re.fullmatch(r"[\d.,]+[eE][+-]?\d+", plain):
        raise _no_number(text, "A spreadsheet has shortened it: export it as text.")
    if not _NUMBER.fullmatch(plain):
        raise _no_number(text, "Write it as 1234.50.")
    value = _value(plain, decimal_mark, text)
    return -value if negative else value


def _value(plain: str, decimal_mark: str, text: str) -> Decimal:
    mark = decimal_mark or _mark_of(plain, text)
    other = "," if mark == "." else "."
    whole, _, fraction = plain.partition(mark)
    groups = whole.split(other)
    grouped = len(groups) == 1 or (
        1 <= len(groups[0]) <= 3 and all(len(g) == 3 for g in groups[1:])
    )
    if not grouped or mark in fraction or other in fraction:
        raise _no_number(text, "Its points and commas do not fit: write it as 1234.50.")
    return Decimal(f"{''.join(groups) or '0'}.{fraction or '0'}")


def _mark_of(plain: str, text: str) -> str:
    """Which sign is the decimal mark, told by the number itself."""
    point, comma = plain.rfind("."), plain.rfind(",")
    if point < 0 and comma < 0:
        return "."
    if point >= 0 and comma >= 0:
        return "." if point > comma else ","
    mark = "." if point >= 0 else ","
    if plain.count(mark) > 1:
        return "," if mark == "." else "."  # it separates thousands
    whole, _, after = plain.partition(mark)
    if len(after) == 3 and whole not in ("", "0"):
        raise _no_number(text, "It may be thousands or thousandths: say which mark is decimal.")
    return mark


def read_money(text: str, currency: str = "", decimal_mark: str = "") -> Money:
    """The amount in a text like `€ 1.234,50`, `(12.50)` or `1'200.- CHF`.

    `currency` is used where the text names none. Raises WrongUse; also for more decimals than
    the currency has.
    """
    plain = unicodedata.normalize("NFKC", text).strip()
    found = currency
    for code in re.findall(r"(?<![A-Za-z])[A-Z]{3}(?![A-Za-z])", plain):
        found = code
        plain = plain.replace(code, "", 1)
    for sign, code in SIGNS.items():
        if sign in plain.lower():
            found = code
            plain = re.sub(re.escape(sign), "", plain, flags=re.IGNORECASE)
    plain = plain.replace("$", "").strip()
    if re.fullmatch(r".*\d[.,][-–—]{1,2}", plain):  # 12,-- is twelve
        plain = re.sub(r"[.,][-–—]{1,2}$", "", plain)
    if not found:
        raise WrongUse("an amount without a currency", thing=text, next_step="Add one, as EUR.")
    return Money(read_decimal(plain, decimal_mark), found)


def _no_number(text: str, next_step: str) -> WrongUse:
    return WrongUse("this is no amount", thing=text.strip() or "(empty)", next_step=next_step)
