"""What a licence covers, and whom it keeps out."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from setpiece.books.entries import BookEntry, Licence, Payment, Reversal, Use
from setpiece.books.licences import broken_by, outside
from setpiece.books.money import Money

FIRST, LAST = date(2027, 3, 1), date(2027, 3, 31)
BOOK = Licence(("f1", "f2"), "Gazette", "season book", FIRST, LAST, exclusive=True)
USE = Use("f1", "m", "Gazette")


@pytest.mark.parametrize("day", [FIRST, date(2027, 3, 15), LAST])
def test_a_use_inside_its_licence_has_nothing_against_it(day: date) -> None:
    """The first and the last day belong to a licence, and an outlet's capitals do not matter."""
    assert outside(BOOK, USE, day) == ()
    assert outside(BOOK, Use("f2", "m", "GAZETTE"), day) == ()


def test_every_way_out_of_a_licence_is_said() -> None:
    """Another picture, another outlet, too early, too late: each in words of its own."""
    early, late = FIRST - timedelta(days=1), LAST + timedelta(days=1)
    assert outside(BOOK, USE, early) == ("the licence begins on 2027-03-01",)
    assert outside(BOOK, USE, late) == ("the licence ended on 2027-03-31",)
    assert outside(BOOK, Use("f9", "m", "Herald"), late) == (
        "the licence is not for this picture",
        "the licence is for Gazette",
        "the licence ended on 2027-03-31",
    )


def test_a_licence_without_outlet_or_end_holds_anywhere_and_on() -> None:
    """Empty words of a licence fit everything."""
    assert outside(Licence(("f1",), "", "poster", FIRST), USE, date(2099, 1, 1)) == ()


def held(content: Licence | Payment | Reversal, number: int, desk: str = "Club") -> BookEntry:
    """An entry of a ledger."""
    return BookEntry(number, FIRST, desk, content)


def test_somebody_elses_exclusive_licence_is_broken() -> None:
    """Whoever holds a picture alone is named with the end and the entry of it."""
    other = Use("f1", "m", "Herald")
    assert broken_by([held(BOOK, 4)], other, "City", LAST) == (
        "Club has it exclusively until 2027-03-31 (entry 4)",
    )
    endless = Licence(("f1",), "", "poster", FIRST, exclusive=True)
    assert broken_by([held(endless, 5)], other, "City", LAST) == (
        "Club has it exclusively (entry 5)",
    )


def test_a_second_holder_is_named_after_what_binds_nobody() -> None:
    """Payments, shared licences and own ones are passed over on the way to one that binds."""
    shared = Licence(("f1",), "", "web", FIRST)
    ledger = [
        held(Payment(Money.of(1, "EUR")), 1), held(shared, 2), held(BOOK, 3, "City"), held(BOOK, 4),
    ]  # fmt: skip
    found = broken_by(ledger, USE, "City", FIRST)
    assert found == ("Club has it exclusively until 2027-03-31 (entry 4)",)


@pytest.mark.parametrize(
    ("ledger", "use", "day"),
    [
        ([held(BOOK, 1), BookEntry(2, FIRST, "", Reversal(1, "withdrawn"))], USE, FIRST),
        ([held(BOOK, 1)], Use("f3", "m", "Gazette"), FIRST),
        ([held(BOOK, 1)], USE, FIRST - timedelta(days=1)),
        ([held(BOOK, 1)], USE, LAST + timedelta(days=1)),
    ],
    ids=["reversed", "another picture", "before", "after"],
)
def test_an_exclusive_licence_binds_while_it_holds_only(
    ledger: list[BookEntry], use: Use, day: date
) -> None:
    """Reversed, of another picture or on another day it keeps nobody out."""
    assert broken_by(ledger, use, "City", day) == ()
