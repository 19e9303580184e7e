"""Invoices: sums and taxes to the cent, numbers without a gap, reminders in time."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.books.invoices import (
    REMIND_EVERY_DAYS,
    Invoice,
    Line,
    Party,
    Tax,
    cancelling,
    gaps,
    number_of,
    standing_of,
)
from setpiece.books.money import Money, total
from setpiece.errors import WrongUse

DAY = date(2027, 3, 8)
SELLER, CLUB = Party("Ida Marlow"), Party("SK Lethenbruck", terms_days=14)


def invoice(*lines: Line, **other: object) -> Invoice:
    """An invoice of those lines."""
    values: dict[str, object] = {
        "number": "2027-0001", "seller": SELLER, "customer": CLUB, "lines": lines,
        "issued": DAY, "due": DAY + timedelta(days=14), "currency": "EUR",
    }  # fmt: skip
    return Invoice(**(values | other))  # type: ignore[arg-type]


def line(price: str, quantity: str = "1", tax: str | None = None, name: str = "VAT") -> Line:
    """A line in euros."""
    percent = Decimal(tax) if tax is not None else None
    return Line("Picture", Money.of(price, "EUR"), Decimal(quantity), percent, name if tax else "")


LINES = st.lists(
    st.builds(
        lambda cents, quantity, tax: line(f"{cents / 100:.2f}", str(quantity), tax),
        st.integers(0, 10**6),
        st.sampled_from([1, 2, 3, Decimal("1.5"), Decimal("0.333")]),
        st.sampled_from([None, "0", "7", "10", "19", "20"]),
    ),
    min_size=1,
    max_size=12,
)


@given(LINES)
def test_gross_is_net_and_taxes_and_each_tax_is_of_its_lines(lines: list[Line]) -> None:
    """Bases of the rates and untaxed lines make the net; tax is rounded once a rate."""
    made = invoice(*lines)
    assert made.gross == made.net + total((t.amount for t in made.taxes), "EUR")
    untaxed = total((x.net for x in lines if x.tax_percent is None), "EUR")
    assert made.net == untaxed + total((t.base for t in made.taxes), "EUR")
    assert [t.amount for t in made.taxes] == [t.base.percent(t.percent) for t in made.taxes]


@given(LINES)
def test_a_cancelled_invoice_and_its_canceller_make_nothing(lines: list[Line]) -> None:
    """Net, every tax and gross of the two are zero together."""
    made = invoice(*lines)
    back = cancelling(made, "2027-0002", DAY, "wrong customer")
    assert (made.net + back.net).amount == (made.gross + back.gross).amount == 0
    assert [t.amount for t in back.taxes] == [-t.amount for t in made.taxes]
    assert (back.cancels, back.note) == ("2027-0001", "wrong customer")


def test_tax_is_rounded_once_for_each_rate() -> None:
    """Three lines of 0.33 at 20 % are 0.20 tax, not three times 0.07."""
    made = invoice(line("0.33", tax="20"), line("0.33", tax="20"), line("0.33", tax="20"))
    assert [t.amount.amount for t in made.taxes] == [Decimal("0.20")]


def test_rates_are_kept_apart_and_no_tax_means_none() -> None:
    """Two rates are two taxes; without a rate there is no tax line at all."""
    made = invoice(line("100", tax="20"), line("100", tax="10", name="VAT reduced"), line("100"))
    assert made.taxes == (
        Tax("VAT reduced", Decimal(10), Money.of(100, "EUR"), Money.of(10, "EUR")),
        Tax("VAT", Decimal(20), Money.of(100, "EUR"), Money.of(20, "EUR")),
    )
    assert invoice(line("100", tax="20", name="")).taxes[0].name == "Tax"
    assert made.gross == Money.of(330, "EUR")
    assert line("12.50", quantity="3").net == Money.of("37.50", "EUR")
    assert invoice(line("100")).taxes == ()


def test_numbers_follow_their_series() -> None:
    """The place in the series is the number; a gap below the highest is seen."""
    assert number_of("2027", 1) == "2027-0001"
    assert number_of("2027", 12345) == "2027-12345"
    assert (gaps([1, 2, 4]), gaps([]), gaps([1, 2])) == ((3,), (), ())
    for series, place in (("", 1), ("a", 1), ("2027", 0), ("2027/x", 1)):
        with pytest.raises(WrongUse):
            number_of(series, place)


def test_reminders_ripen_after_the_due_date_and_stop_when_it_is_paid() -> None:
    """The first the day after, the next two weeks after that; paid or cancelled, none."""
    made = invoice(line("100"))

    def level(days: int, reminded: list[date], paid: str = "0", cancelled: bool = False) -> object:
        today = made.due + timedelta(days=days)
        payments = [Money.of(paid, "EUR")]
        return standing_of(made, payments, reminded, today, cancelled=cancelled).reminder_due

    first = made.due + timedelta(days=3)
    assert [level(d, []) for d in (0, 1, 30)] == [None, 1, 1]
    assert level(3 + REMIND_EVERY_DAYS - 1, [first]) is None
    assert level(3 + REMIND_EVERY_DAYS, [first]) == 2
    assert level(30, [], paid="100") is None
    assert level(30, [], paid="99.99") == 1
    assert level(30, [], cancelled=True) is None
    late = made.due + timedelta(days=40)
    for amount, left, overdue in (("99.99", "0.01", 40), ("100", "0", 0), ("101", "-1", 0)):
        held = standing_of(made, [Money.of(amount, "EUR")], [], late, cancelled=False)
        assert (held.open, held.days_overdue) == (Money.of(left, "EUR"), overdue)
        assert held.reminder_due == (1 if overdue else None)
        assert held.paid == Money.of(amount, "EUR")
    gone = standing_of(made, [], [first], late, cancelled=True)
    assert (gone.open.amount, gone.days_overdue, gone.reminded) == (0, 0, 1)
    again = standing_of(made, [], [first, first + timedelta(days=14)], late, cancelled=False)
    assert (again.reminded, again.reminder_due) == (2, 3)
    standing = standing_of(made, [Money.of(40, "EUR")], [], made.due, cancelled=False)
    assert (standing.open.amount, standing.days_overdue) == (60, 0)


@pytest.mark.parametrize(
    "make",
    [
        lambda: invoice(),
        lambda: invoice(line("1"), Line("x", Money.of(1, "CHF"))),
        lambda: invoice(line("1"), due=DAY - timedelta(days=1)),
        lambda: Line(" ", Money.of(1, "EUR")),
        lambda: Line("x", Money.of(1, "EUR"), Decimal(0)),
        lambda: Line("x", Money.of(1, "EUR"), tax_percent=Decimal(101)),
        lambda: Party(" "),
        lambda: Party("x", terms_days=400),
        lambda: Party("x", currency="nix"),
        lambda: cancelling(invoice(line("1")), "2", DAY, " "),
        lambda: cancelling(invoice(line("1"), cancels="1"), "2", DAY, "x"),
    ],
)
def test_invoices_that_make_no_sense_are_refused(make: object) -> None:
    """No lines, two currencies, due before issued, a cancelled canceller, and the like."""
    with pytest.raises(WrongUse):
        make()  # type: ignore[operator]
