"""The demo's ledger: what is planted in it fits together."""

from __future__ import annotations

from decimal import Decimal

from setpiece.books.statements import read_statement
from setpiece.work.demo import ledger
from setpiece.work.demo.earlier import EARLIER


def test_the_statement_is_dirty_and_whole() -> None:
    """Six lines come out of it, none unread, and its own sum fits them."""
    read = read_statement(ledger._STATEMENT.encode(), ledger.FORM)
    assert len(read.lines) == sum(ledger.PLANTED.values()) == 6
    assert (read.unread, read.remarks) == ((), ())
    assert str(read.paid["EUR"]) == "145.00 EUR"
    assert sum(x.paid.amount < 0 for x in read.lines) == 1


def test_what_it_names_was_shot_in_the_earlier_matches() -> None:
    """The files of the statement and of the uses are numbers of the earlier matches' cards."""
    shot = {
        f"SPA_{m.first_number + 2 * n:04d}.JPG" for m in EARLIER for n in range(len(m.pictures))
    }
    assert {u.file for u in ledger.USES} <= shot
    named = {x.picture.strip().upper() for x in read_statement(
        ledger._STATEMENT.encode(), ledger.FORM).lines}  # fmt: skip
    assert named - shot == {"IMG_0001.JPG"}


def test_the_invoice_is_the_use_with_its_tax() -> None:
    """140.00 by the rate card and 20 % of it is what is planted."""
    assert "140.00" in ledger.CARD
    assert Decimal(ledger.INVOICED.split()[0]) == Decimal("140.00") * Decimal("1.2")
