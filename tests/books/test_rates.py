"""Rate cards and mileage tables: the line that holds on the day."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.books.money import Money
from setpiece.books.rates import NOT_ADVICE, CardRate, MileageRate, fee_by_card, mileage, rates_on
from setpiece.errors import NotFound, WrongUse

DAY = date(2027, 3, 6)


def card(fee: int, day: date = date(2026, 1, 1), **words: str) -> CardRate:
    """A line of the rate card."""
    given_words = {"desk": "", "outlet": "", "placement": "", "size": ""} | words
    return CardRate(**given_words, fee=Money.of(fee, "EUR"), valid_from=day)


def rate(per_unit: str, beyond: int = 0, day: date = date(2026, 1, 1), **other: str) -> MileageRate:
    """A line of a mileage table."""
    words = {
        "vehicle": "car",
        "unit": "km",
        "currency": "EUR",
        "source": "invented gazette",
    } | other
    return MileageRate(
        words["vehicle"], words["unit"], Decimal(per_unit), words["currency"], day,
        words["source"], Decimal(beyond),
    )  # fmt: skip


CARD = [
    card(50),
    card(70, outlet="Gazette"),
    card(120, outlet="Gazette", placement="front"),
    card(130, date(2027, 1, 1), outlet="Gazette", placement="front"),
    card(999, date(2028, 1, 1)),
]


@pytest.mark.parametrize(
    ("day", "outlet", "placement", "fee"),
    [
        (DAY, "gazette", "Front", 130),
        (date(2026, 6, 1), "Gazette", "front", 120),
        (DAY, "Gazette", "page 7", 70),
        (DAY, "Herald", "front", 50),
    ],
)
def test_the_most_exact_line_that_holds_gives_the_fee(
    day: date, outlet: str, placement: str, fee: int
) -> None:
    """Exactness goes before newness, and what is not valid yet does not count."""
    found = fee_by_card(CARD, day, desk="City", outlet=outlet, placement=placement, size="")
    assert found == Money.of(fee, "EUR")


def test_no_line_no_fee() -> None:
    """Before the first day of the card there is no fee."""
    assert fee_by_card(CARD, date(2025, 1, 1), desk="", outlet="", placement="", size="") is None


TABLE = [rate("0.50"), rate("0.30", 1000), rate("0.42", day=date(2028, 1, 1))]


def test_a_trip_across_a_step_is_paid_at_both_rates() -> None:
    """Of 100 km after 950 the first 50 count at the first rate; the new year's table has one."""
    assert mileage(TABLE, "Car", DAY, Decimal(100), Decimal(950)) == Money.of("40.00", "EUR")
    assert mileage(TABLE, "car", date(2028, 2, 1), Decimal(100), Decimal(950)).amount == 42


@given(st.integers(1, 5000), st.integers(1, 5000), st.integers(0, 5000))
def test_a_trip_in_two_parts_is_worth_the_same(one: int, other: int, before: int) -> None:
    """Splitting a trip changes nothing but roundings, and here there are none."""
    whole = mileage(TABLE, "car", DAY, Decimal(one + other), Decimal(before))
    first = mileage(TABLE, "car", DAY, Decimal(one), Decimal(before))
    second = mileage(TABLE, "car", DAY, Decimal(other), Decimal(before + one))
    assert first + second == whole


def test_a_rate_holds_from_the_first_kilometre_unless_told_otherwise() -> None:
    """A line without a distance of its own is the first of its table."""
    plain = MileageRate("car", "km", Decimal("0.5"), "EUR", DAY, "gazette")
    assert rates_on([plain], "car", DAY) == (plain,)
    assert mileage([plain], "car", DAY, Decimal(10), Decimal(0)) == Money.of(5, "EUR")
    free = MileageRate("car", "mile", Decimal(0), "EUR", DAY, "gazette")
    assert mileage([free], "car", DAY, Decimal(10), Decimal(0)) == Money.of(0, "EUR")


def test_an_older_table_is_no_part_of_a_newer_one() -> None:
    """Only the lines of the newest first day count, in the order of their distances."""
    old, new, far = rate("9", 0), rate("1", 0, DAY), rate("2", 100, DAY)
    assert rates_on([far, old, new], "CAR", DAY) == (new, far)


def test_a_day_without_a_table_is_said() -> None:
    """No table for the vehicle or the day, one without a beginning, or one of two units."""
    for table, vehicle, day in (
        (TABLE, "bicycle", DAY),
        (TABLE, "car", date(2025, 1, 1)),
        ([rate("0.3", 1000)], "car", DAY),
    ):
        with pytest.raises(NotFound, match="mileage"):
            rates_on(table, vehicle, day)
    with pytest.raises(WrongUse, match="one unit"):
        rates_on([rate("0.3"), rate("0.2", 9, unit="mile")], "car", DAY)


@pytest.mark.parametrize("other", [{"unit": "league"}, {"source": " "}, {"currency": "XQZ"}])
def test_a_rate_needs_unit_currency_and_source(other: dict[str, str]) -> None:
    """A rate whose source nobody can look up is refused."""
    with pytest.raises(WrongUse):
        rate("0.3", **other)


def test_the_caution_is_plain() -> None:
    """The figures come with the words that they are no tax advice."""
    assert NOT_ADVICE.startswith("Not tax advice")
