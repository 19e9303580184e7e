"""Entries hold until they are reversed, and totals know it."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.books.entries import (
    BookEntry,
    Expense,
    Kind,
    Licence,
    Payment,
    Reversal,
    Trip,
    Use,
    reversal_of,
    standing,
)
from setpiece.books.money import Money
from setpiece.books.totals import COLUMNS, rows_of, totals_of, unpaid_uses
from setpiece.errors import NotFound, WrongUse

DAY = date(2027, 3, 7)
AMOUNTS = st.builds(
    lambda cents, code: Money.of(Decimal(cents) / 100, code),
    st.integers(0, 10**7),
    st.sampled_from(["EUR", "CHF"]),
)
CONTENTS = st.one_of(
    st.builds(
        lambda fee, share: Use("f1", "m", "Gazette", fee=fee, share_percent=Decimal(share)),
        st.none() | AMOUNTS,
        st.integers(0, 100),
    ),
    st.builds(lambda amount: Payment(amount), AMOUNTS),
    st.builds(lambda amount: Expense("parking", amount), AMOUNTS),
    st.builds(lambda a: Trip("home", "ground", Decimal(12), "km", "car", a), AMOUNTS),
    st.builds(lambda fee: Licence(("f1",), "", "poster", DAY, fee=fee), st.none() | AMOUNTS),
)


@st.composite
def ledgers(draw: st.DrawFn) -> list[BookEntry]:
    """Some entries of two years."""
    contents = draw(st.lists(CONTENTS, min_size=1, max_size=12))
    days = draw(st.lists(st.integers(0, 700), min_size=len(contents), max_size=len(contents)))
    return [
        BookEntry(n, DAY + timedelta(days=d), "City", c)
        for n, (c, d) in enumerate(zip(contents, days, strict=True), 1)
    ]


@given(ledgers(), st.data())
def test_a_reversed_entry_leaves_the_totals_as_if_it_had_never_been(
    entries: list[BookEntry], data: st.DataObject
) -> None:
    """Reversing any entry gives the totals of the ledger without it, year by year."""
    number = data.draw(st.sampled_from([e.number for e in entries]))
    gone = reversal_of(entries, number, "a slip")
    reversed_ = [*entries, BookEntry(len(entries) + 1, DAY + timedelta(days=900), "", gone)]
    without = [e for e in entries if e.number != number]
    assert standing(reversed_) == standing(without)
    for year in (2027, 2028, 2029):
        assert totals_of(year, reversed_, []) == totals_of(year, without, [])


@given(ledgers())
def test_years_and_currencies_hold_every_amount_once(entries: list[BookEntry]) -> None:
    """What came in over all years and currencies is the sum of the payments."""
    for code in ("EUR", "CHF"):
        found = sum(
            t.received.amount
            for year in range(2027, 2031)
            for t in totals_of(year, entries, [])
            if t.currency == code
        )
        paid = [e.content.amount for e in entries if isinstance(e.content, Payment)]
        assert found == sum(m.amount for m in paid if m.currency == code)


def test_a_reversal_stands_once_with_its_reason() -> None:
    """No entry is reversed twice, none without a reason, and no reversal at all."""
    entries = [BookEntry(1, DAY, "City", Payment(Money.of(5, "EUR")))]
    entries.append(BookEntry(2, DAY, "", reversal_of(entries, 1, "twice entered")))
    assert entries[1].kind is Kind.REVERSAL
    for number in (1, 2):
        with pytest.raises(WrongUse):
            reversal_of(entries, number, "again")
    with pytest.raises(NotFound):
        reversal_of(entries, 9, "nothing")
    with pytest.raises(WrongUse, match="reason"):
        Reversal(1, " ")


def test_a_use_is_due_by_its_share_and_unpaid_until_it_is_paid() -> None:
    """Half of 80.01 is 40.01; a payment that names the use settles it, until it is reversed."""
    use = Use("f1", "m", "Gazette", fee=Money.of("80.01", "EUR"), share_percent=Decimal(50))
    assert use.due == Money.of("40.01", "EUR")
    entries = [BookEntry(1, DAY, "City", use)]
    assert unpaid_uses(entries, desk="City") == (entries[0],)
    assert unpaid_uses(entries, desk="Other") == unpaid_uses(entries, until=date(2027, 1, 1)) == ()
    entries.append(BookEntry(2, DAY, "City", Payment(Money.of("40.01", "EUR"), uses=(1,))))
    assert unpaid_uses(entries) == ()
    entries.append(BookEntry(3, DAY, "", Reversal(2, "bounced")))
    assert unpaid_uses(entries) == (entries[0],)


def test_a_use_under_a_licence_is_paid_by_the_licence() -> None:
    """It is neither unpaid nor earned a second time."""
    licence = Licence(("f1",), "", "season book", DAY, fee=Money.of(300, "EUR"))
    use = Use("f1", "m", "Book", fee=Money.of(90, "EUR"), licence=1)
    entries = [BookEntry(1, DAY, "Club", licence), BookEntry(2, DAY, "Club", use)]
    assert unpaid_uses(entries) == ()
    (totals,) = totals_of(2027, entries, [])
    assert totals.earned == Money.of(300, "EUR")


def test_every_entry_leaves_as_a_row() -> None:
    """Each kind has its words, and a reversed entry says by which one."""
    entries = [
        BookEntry(1, DAY, "City", Use("f1", "m", "Gazette", "front", "1/2", Money.of(9, "EUR"))),
        BookEntry(2, DAY, "City", Licence(("f1", "f2"), "", "poster", DAY)),
        BookEntry(3, DAY, "City", Payment(Money.of(9, "EUR"), uses=(1,))),
        BookEntry(4, DAY, "", Expense("parking", Money.of(7, "EUR"), receipt="ledger/p.jpg")),
        BookEntry(5, DAY, "", Trip("a", "b", Decimal("12.5"), "km", "car", Money.of(5, "EUR"))),
        BookEntry(6, DAY, "", Reversal(4, "private")),
    ]
    rows = [dict(zip(COLUMNS, row, strict=True)) for row in rows_of(entries)]
    assert [r["what"] for r in rows] == [
        "Gazette, front, 1/2", "poster", "uses 1", "parking", "a – b, 12.5 km", "reverses 4",
    ]  # fmt: skip
    assert (rows[0]["amount"], rows[0]["due"], rows[3]["reversed_by"]) == ("9.00", "9.00", "6")
    assert rows[3]["note"] == "ledger/p.jpg"


@pytest.mark.parametrize(
    "make",
    [
        lambda: Use("f", "m", "o", share_percent=Decimal(101)),
        lambda: Use("f", "m", "o", fee=Money.of(-1, "EUR")),
        lambda: Licence((), "", "p", DAY),
        lambda: Licence(("f",), "", "p", DAY, last_day=date(2027, 1, 1)),
        lambda: Trip("a", "b", Decimal(0), "km", "car", Money.of(1, "EUR")),
    ],
)
def test_entries_that_make_no_sense_are_refused(make: object) -> None:
    """Shares beyond 100 %, negative fees, empty licences and trips of no length."""
    with pytest.raises(WrongUse):
        make()  # type: ignore[operator]
