"""A year's totals, and the ledger as it leaves for a spreadsheet."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from setpiece.books.cuttings import Publication
from setpiece.books.entries import (
    BookEntry,
    Content,
    Expense,
    Kind,
    Licence,
    Payment,
    Reminder,
    Reversal,
    Trip,
    Use,
)
from setpiece.books.invoices import Invoice, Line, Party
from setpiece.books.money import Money
from setpiece.books.statements import Statement, StatementForm, StatementLine
from setpiece.books.totals import COLUMNS, Totals, rows_of, totals_of, unpaid_uses, worth

DAY = date(2027, 3, 7)


def eur(amount: str) -> Money:
    """Euros."""
    return Money.of(amount, "EUR")


USE = Use("f1", "m1", "Gazette", "front", "1/2", eur("80.01"), share_percent=Decimal(50),
          note="by phone")  # fmt: skip
LICENCE = Licence(("f1", "f2"), "Club", "poster", DAY, fee=eur("300"), note="signed")
TRIP = Trip("home", "ground", Decimal("12.5"), "km", "car", eur("5.25"), "table 2027", "m2")
CONTENTS: tuple[tuple[Content, tuple[str, ...]], ...] = (
    (USE, ("use", "City", "Gazette, front, 1/2", "f1", "m1", "80.01", "EUR", "50", "40.01", "",
           "by phone")),
    (LICENCE, ("licence", "City", "poster, Club", "f1 f2", "", "300.00", "EUR", "", "", "",
               "signed")),
    (Payment(eur("40.01"), (1, 7), note="bank"),
     ("payment", "City", "uses 1 7", "", "", "40.01", "EUR", "", "", "", "bank")),
    (Payment(eur("9"), (1,), invoice="2027-0001"),
     ("payment", "City", "2027-0001", "", "", "9.00", "EUR", "", "", "", "")),
    (Payment(eur("-9")), ("payment", "City", "", "", "", "-9.00", "EUR", "", "", "", "")),
    (Expense("parking", eur("7"), "travel", "ledger/p.jpg", "m1"),
     ("expense", "City", "parking, travel", "", "m1", "7.00", "EUR", "", "", "8", "ledger/p.jpg")),
    (TRIP, ("trip", "City", "home – ground, 12.5 km", "", "m2", "5.25", "EUR", "", "", "",
            "table 2027")),
    (Reversal(6, "private"),
     ("reversal", "City", "reverses 6", "", "", "", "", "", "", "", "private")),
    (Reminder("2027-0001", 2),
     ("reminder", "City", "reminder 2 for 2027-0001", "", "", "", "", "", "", "", "")),
)  # fmt: skip
LEDGER = [BookEntry(n, DAY, "City", c) for n, (c, _) in enumerate(CONTENTS, 1)]


@pytest.mark.parametrize("at", range(len(CONTENTS)), ids=[type(c).__name__ for c, _ in CONTENTS])
def test_an_entry_leaves_as_its_row(at: int) -> None:
    """Each kind fills the columns that it has something for, and leaves the others empty."""
    assert rows_of(LEDGER)[at] == (str(at + 1), "2027-03-07", *CONTENTS[at][1])


def test_the_columns_of_the_export_are_those_in_the_docs() -> None:
    """A spreadsheet made on last year's export finds its columns again."""
    assert COLUMNS == (
        "number", "day", "kind", "desk", "what", "picture", "match", "amount", "currency",
        "share", "due", "reversed_by", "note",
    )  # fmt: skip
    assert {row[2] for row in rows_of(LEDGER)} == {kind.value for kind in Kind}


def test_an_entry_is_worth_what_it_brings_or_costs() -> None:
    """A use its share; a licence, a payment, an expense and a trip their amount; others nothing."""
    assert [str(worth(e) or "") for e in LEDGER] == [
        "40.01 EUR", "300.00 EUR", "40.01 EUR", "9.00 EUR", "-9.00 EUR", "7.00 EUR", "5.25 EUR",
        "", "",
    ]  # fmt: skip
    assert worth(BookEntry(1, DAY, "", Use("f", "m", "o"))) is None


def test_a_year_is_added_up_by_kind() -> None:
    """Earned, invoiced, taxed, received and spent stand apart; the result is what is left."""
    invoice = Invoice(
        "2027-0001", Party("Ida Marlow"), Party("Club"),
        (Line("Poster", eur("300"), tax_percent=Decimal(20)),), DAY, DAY, "EUR",
    )  # fmt: skip
    francs = Invoice(
        "2027-0002", Party("Ida Marlow"), Party("Club"),
        (Line("Print", Money.of(8, "CHF"), tax_percent=Decimal(5)),), DAY, DAY, "CHF",
    )  # fmt: skip
    nothing = Money.nothing("CHF")
    swiss, euros = totals_of(2027, LEDGER, [invoice, francs])
    assert swiss == Totals(
        2027, "CHF", nothing, Money.of(8, "CHF"), Money.of("0.40", "CHF"), nothing, nothing, nothing
    )
    assert euros == Totals(
        2027, "EUR", earned=eur("340.01"), invoiced=eur("300"), tax=eur("60"),
        received=eur("40.01"), expenses=eur("0"), mileage=eur("5.25"),
    )  # fmt: skip
    assert euros.result == eur("34.76")
    spent = [e for e in LEDGER if e.content != Reversal(6, "private")]
    assert totals_of(2027, spent, [])[0].result == eur("27.76")
    assert totals_of(2026, LEDGER, [invoice]) == totals_of(2028, LEDGER, [invoice]) == ()


def paid(number: int, amount: str, *uses: int) -> BookEntry:
    """A payment for some uses."""
    return BookEntry(number, DAY, "City", Payment(eur(amount), uses))


def test_what_was_taken_back_is_unpaid_again() -> None:
    """A use counts as paid while more came for it than went back; up to its own day, not before."""
    use = BookEntry(1, DAY, "City", USE)
    assert unpaid_uses([use, paid(2, "40", 1)]) == ()
    assert unpaid_uses([use, paid(2, "40", 1), paid(3, "-40", 1)]) == (use,)
    assert unpaid_uses([use, paid(2, "40", 1), paid(3, "-40", 1), paid(4, "40", 1)]) == ()
    assert unpaid_uses([use, paid(2, "40", 9)]) == (use,)
    assert unpaid_uses([use], until=DAY) == (use,)
    assert unpaid_uses([paid(2, "40"), use], desk="City") == (use,)


def test_what_is_not_told_is_empty() -> None:
    """Entries and publications made with what is needed alone hold nothing else."""
    assert Use("f", "m", "o") == Use(
        "f", "m", "o", "", "", None, False, Decimal(100), None, "", ""
    )  # fmt: skip
    assert Licence(("f",), "", "p", DAY) == Licence(
        ("f",), "", "p", DAY, None, "", False, None, ""
    )  # fmt: skip
    assert Payment(eur("1")) == Payment(eur("1"), (), "", None, None, None, "")
    assert Expense("tea", eur("1")) == Expense("tea", eur("1"), "", "", "")
    assert Trip("a", "b", Decimal(1), "km", "car", eur("1")) == Trip(
        "a", "b", Decimal(1), "km", "car", eur("1"), "", ""
    )
    assert Publication() == Publication("", "", "", "", "", "")
    assert Party("x") == Party("x", (), "", "", "", "EUR", 30, "")
    assert Line("x", eur("1")) == Line("x", eur("1"), Decimal(1), None, "", None)
    assert StatementForm() == StatementForm({}, "", "", "", None)
    for mark in ("", ".", ","):
        assert StatementForm(decimal_mark=mark).decimal_mark == mark
    line = StatementLine(2, "a.jpg", "a", eur("1"))
    assert line == StatementLine(2, "a.jpg", "a", eur("1"), "", None, None, None, "")
    assert Statement((line,)) == Statement((line,), (), ())
