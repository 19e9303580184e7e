"""What the books refuse, and the thing that each refusal names: the one to be mended."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal

import pytest

from setpiece.books import entries, invoices, money, rates, statement_cells, statements
from setpiece.books.cuttings import State, moved_on
from setpiece.books.money import Money
from setpiece.errors import SetpieceError

DAY = date(2027, 3, 7)
EUR = Money.of(1, "EUR")
LINE = invoices.Line("Picture", EUR)
PAYMENT = entries.BookEntry(1, DAY, "", entries.Payment(EUR))
TAKEN_BACK = entries.BookEntry(2, DAY, "", entries.Reversal(1, "twice"))


def bill(*lines: invoices.Line, due: date = DAY, cancels: str = "") -> invoices.Invoice:
    """An invoice."""
    one = invoices.Party("Ida Marlow")
    return invoices.Invoice("2027-0001", one, one, lines, DAY, due, "EUR", cancels=cancels)


def per_km(**other: object) -> rates.MileageRate:
    """A line of a mileage table."""
    values = {
        "vehicle": "car", "unit": "km", "per_unit": Decimal("0.3"), "currency": "EUR",
        "valid_from": DAY, "source": "gazette",
    }  # fmt: skip
    return rates.MileageRate(**(values | other))  # type: ignore[arg-type]


REFUSED: list[tuple[Callable[[], object], str, str | bool]] = [
    (lambda: money.digits_of("euro"), "euro", True),
    (lambda: money.digits_of("XQZ"), "XQZ", True),
    (lambda: Money(1.5, "EUR"), "1.5", False),  # type: ignore[arg-type]
    (lambda: Money(Decimal("NaN"), "EUR"), "NaN", False),
    (lambda: Money(Decimal("1.005"), "EUR"), "1.005", False),
    (lambda: EUR + Money.of(2, "CHF"), "1.00 EUR and 2.00 CHF", False),
    (lambda: money.read_decimal("1.234"), "1.234",
     True),
    (lambda: money.read_decimal(" 1.2E+03 "), "1.2E+03",
     True),
    (lambda: money.read_decimal(" "), "(empty)", True),
    (lambda: money.read_decimal("."), ".", True),
    (lambda: money.read_decimal("12,34,56"), "12,34,56",
     True),
    (lambda: money.read_money("12"), "12", True),
    (lambda: entries.Licence((), "", "p", DAY), "", False),
    (lambda: entries.Licence(("f",), "", "p", DAY, DAY - timedelta(days=1)), "2027-03-06", False),
    (lambda: entries.Use("f", "m", "o", share_percent=Decimal(101)), "101", False),
    (lambda: entries.Use("f", "m", "o", share_percent=Decimal(-1)), "-1", False),
    (lambda: entries.Use("f", "m", "o", fee=-EUR), "-1.00 EUR", False),
    (lambda: entries.Trip("a", "b", Decimal(0), "km", "car", EUR), "0", False),
    (lambda: entries.Reversal(7, " "), "7", True),
    (lambda: entries.reversal_of([PAYMENT], 9, "x"), "9", True),
    (lambda: entries.reversal_of([PAYMENT, TAKEN_BACK], 1, "x"), "1", False),
    (lambda: entries.reversal_of([PAYMENT, TAKEN_BACK], 2, "x"), "2",
     True),
    (lambda: invoices.Party(" "), "", False),
    (lambda: invoices.Party("x", currency="nix"), "nix", True),
    (lambda: invoices.Party("x", terms_days=366), "366", False),
    (lambda: invoices.Party("x", terms_days=-1), "-1", False),
    (lambda: invoices.Line(" ", EUR), "", False),
    (lambda: invoices.Line("Print", EUR, Decimal(0)), "Print", False),
    (lambda: invoices.Line("Print", EUR, Decimal("NaN")), "Print", False),
    (lambda: invoices.Line("Print", EUR, tax_percent=Decimal(101)), "101", False),
    (lambda: bill(), "2027-0001", False),
    (lambda: bill(LINE, invoices.Line("x", Money.of(1, "CHF")),
                  invoices.Line("x", Money.of(1, "AUD"))), "AUD, CHF", False),
    (lambda: bill(LINE, due=DAY - timedelta(days=1)), "2027-03-06", False),
    (lambda: invoices.number_of("2027/x", 1), "2027/x", True),
    (lambda: invoices.cancelling(bill(LINE, cancels="9"), "2", DAY, "x"), "2027-0001", False),
    (lambda: invoices.cancelling(bill(LINE), "2", DAY, " "), "2027-0001", False),
    (lambda: per_km(unit="league"), "league", False),
    (lambda: per_km(per_unit=Decimal(-1)), "-1 EUR", False),
    (lambda: per_km(beyond=Decimal(-1)), "0.3 EUR", False),
    (lambda: per_km(source=" "), "car 2027-03-07", True),
    (lambda: rates.rates_on([], "car", DAY), "car 2027-03-07",
     "Add its table: setpiece ledger mileage FILE.csv"),
    (lambda: rates.rates_on([per_km(), per_km(currency="CHF", beyond=Decimal(9))], "car", DAY),
     "car 2027-03-07", False),
    (lambda: statements.StatementForm({"colour": "x", "author": "y"}), "author, colour",
     "Columns: picture, outlet, day, fee, share, paid, currency, title."),
    (lambda: statements.StatementForm(decimal_mark=";"), ";", False),
    (lambda: statements.StatementForm(day_order="ydm"), "ydm", False),
    (lambda: statements.StatementForm(share_percent=Decimal(101)), "101", False),
    (lambda: statements.read_statement(b"File,Amount\nx,1\n", statements.StatementForm(
        {"picture": "File", "paid": "Net", "fee": "Gross"})), "paid, fee",
     True),
    (lambda: statement_cells.decoded(bytes(5_000_001)), "", True),
    (lambda: statement_cells.decoded(b"%PDF-1.7"), "", True),
    (lambda: statement_cells.decoded(b"\0\0\0b"), "", True),
    (lambda: statement_cells.decoded(b"\xef\xbb\xbf\xff"), "", True),
    (lambda: statement_cells.rows_of('a,b\nx,"open\n'), "line 2", True),
    (lambda: statement_cells.reference("1.23E+11"), "1.23E+11", True),
    (lambda: statement_cells.read_day(" 03/04/2027 "), "03/04/2027", False),
    (lambda: statement_cells.read_day(" soon "), "soon", False),
    (lambda: statement_cells.read_share(" 150 % "), "150 %", False),
    (lambda: statement_cells.read_share("-1"), "-1", False),
    (lambda: moved_on(State.OPEN, State.OPEN), "", True),
    (lambda: moved_on(State.REJECTED, State.CONFIRMED), "", True),
    (lambda: moved_on(State.CONFIRMED, State.OPEN), "",
     True),
]  # fmt: skip


def leads_on(error: SetpieceError, step: str | bool) -> bool:
    """Whether it says the step; True asks for any, False for none: their words may be bettered."""
    return error.next_step == step if isinstance(step, str) else bool(error.next_step) >= step


@pytest.mark.parametrize(("refused", "thing", "next_step"), REFUSED)
def test_a_refusal_names_the_thing_and_the_way_out(
    refused: Callable[[], object], thing: str, next_step: str | bool
) -> None:
    """Whoever reads it knows which word to mend, and how where the words do not say it."""
    with pytest.raises(SetpieceError) as told:
        refused()
    assert told.value.thing == thing
    assert leads_on(told.value, next_step)
    assert told.value.what
