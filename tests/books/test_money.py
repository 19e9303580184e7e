"""Money is exact, of one currency, and read from whatever people write."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.books.money import Money, by_currency, read_decimal, read_money, total
from setpiece.errors import WrongUse

CENTS = st.integers(-(10**11), 10**11)
CODES = st.sampled_from(["EUR", "CHF", "JPY", "KWD"])


def eur(text: str) -> Money:
    """Euros."""
    return Money(Decimal(text), "EUR")


@pytest.mark.parametrize(
    ("amount", "currency", "kept"),
    [
        ("0.005", "EUR", "0.01"),
        ("0.004", "EUR", "0.00"),
        ("-0.005", "EUR", "-0.01"),
        ("2.675", "EUR", "2.68"),
        ("12.5", "JPY", "13"),
        ("1.0005", "KWD", "1.001"),
    ],
)
def test_halves_go_away_from_zero_at_the_minor_unit(amount: str, currency: str, kept: str) -> None:
    """Rounding is commercial, by the currency's own digits."""
    assert Money.of(amount, currency).amount == Decimal(kept)


@given(st.lists(CENTS, max_size=30), CODES)
def test_a_total_is_the_sum_to_the_last_unit(cents: list[int], currency: str) -> None:
    """Sums of amounts lose and gain nothing, in any order."""
    unit = Money.of(1, currency).amount - Money.of(0, currency).amount
    amounts = [Money.of(unit * c, currency) for c in cents]
    assert total(amounts, currency).amount == unit * sum(cents)
    assert total(reversed(amounts), currency) == total(amounts, currency)


@given(st.lists(st.tuples(CENTS, CODES), max_size=30))
def test_currencies_are_summed_apart(amounts: list[tuple[int, str]]) -> None:
    """One sum a currency; together they hold every amount once."""
    money = [Money.of(c, code) for c, code in amounts]
    sums = by_currency(money)
    assert set(sums) == {m.currency for m in money}
    for code, found in sums.items():
        assert found == total((m for m in money if m.currency == code), code)


@given(CENTS, CENTS)
def test_adding_and_taking_away_undo_each_other(one: int, other: int) -> None:
    """a + b - b is a, and a - a is nothing."""
    a, b = Money.of(Decimal(one) / 100, "EUR"), Money.of(Decimal(other) / 100, "EUR")
    assert a + b - b == a
    assert a - a == Money.nothing("EUR")
    assert Money.nothing("EUR") - a == -a


@given(st.integers(0, 10**9), st.integers(0, 100))
def test_two_shares_of_an_amount_make_it_within_a_unit(cents: int, share: int) -> None:
    """A share and its rest differ from the whole by one minor unit at most."""
    whole = Money.of(Decimal(cents) / 100, "EUR")
    parts = whole.percent(Decimal(share)) + whole.percent(Decimal(100 - share))
    assert parts.within_a_unit(whole)


@pytest.mark.parametrize(
    ("amount", "currency"),
    [
        (1.5, "EUR"), (1, "EUR"), (Decimal("NaN"), "EUR"), (Decimal("Infinity"), "EUR"),
        (Decimal("1.005"), "EUR"), (Decimal(1), "euro"), (Decimal(1), "XQZ"),
        (Decimal(10) ** 13, "EUR"), (Decimal("1.5"), "JPY"),
    ],
)  # fmt: skip
def test_what_is_no_amount_is_refused(amount: object, currency: str) -> None:
    """Floats, endless numbers, parts of a cent and unknown currencies are wrong use."""
    with pytest.raises(WrongUse):
        Money(amount, currency)  # type: ignore[arg-type]


def test_two_currencies_never_meet() -> None:
    """Sums and differences across currencies are refused."""
    with pytest.raises(WrongUse, match="two currencies"):
        eur("1") + Money(Decimal(1), "CHF")
    with pytest.raises(WrongUse):
        total([eur("1")], "CHF")


@pytest.mark.parametrize(
    ("text", "currency", "amount"),
    [
        ("1.234,50", "EUR", "1234.50"),
        ("1,234.50", "EUR", "1234.50"),
        ("1 234,50", "EUR", "1234.50"),
        ("1\u00a0234,50 €", "", "1234.50 EUR"),
        ("1'234.50", "CHF", "1234.50"),
        ("€12", "", "12.00 EUR"),
        ("12.50 USD", "", "12.50 USD"),
        ("$ 12.50", "USD", "12.50"),
        ("(12.50)", "EUR", "-12.50"),
        ("12.50-", "EUR", "-12.50"),
        ("−12,50", "EUR", "-12.50"),
        ("12,-- CHF", "", "12.00 CHF"),
        ("1.234.567", "EUR", "1234567.00"),
        ("０１２.５０", "EUR", "12.50"),
        ("12.5000", "EUR", "12.50"),
        ("0,125", "KWD", "0.125"),
        (".50", "EUR", "0.50"),
    ],
)
def test_amounts_are_read_as_written(text: str, currency: str, amount: str) -> None:
    """Marks, blanks, signs, brackets and codes all come to the amount that was meant."""
    number, _, code = amount.partition(" ")
    assert read_money(text, currency) == Money.of(number, code or currency)


@pytest.mark.parametrize(
    "text",
    ["1.234", "1,234", "12,34,56", "1.2.3,4", "1.2E+03", "abc", "", "--5", "12.345", "1,23.4,5"],
)
def test_an_amount_that_may_be_another_is_refused(text: str) -> None:
    """Nothing is guessed: thousands or thousandths, shortened numbers, parts of a cent."""
    with pytest.raises(WrongUse):
        read_money(text, "EUR")


def test_a_stated_decimal_mark_decides() -> None:
    """With the mark known, `1.234` is one thing."""
    assert read_decimal("1.234", ",") == 1234
    assert read_decimal("1.234", ".") == Decimal("1.234")
    with pytest.raises(WrongUse):
        read_decimal("1.23", ",")


@given(CENTS.map(lambda c: Decimal(c) / 100), st.sampled_from([",.", ".,", "\u00a0,", "'."]))
def test_a_written_amount_is_read_back(amount: Decimal, marks: str) -> None:
    """Whatever separates thousands and decimals, the amount survives."""
    thousands, decimal = marks
    text = f"{amount:,.2f}".replace(",", "#").replace(".", decimal).replace("#", thousands)
    assert read_decimal(text, decimal) == amount
