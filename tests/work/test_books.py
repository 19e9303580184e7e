"""Uses, licences, payments, expenses and trips as the workspace keeps them."""

from __future__ import annotations

import csv
import io
import sys
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))
from after_the_match import play, shoot

from setpiece.books.entries import BookEntry, Expense, Licence, Payment, Trip, Use
from setpiece.books.money import Money
from setpiece.books.rates import NOT_ADVICE
from setpiece.books.statements import StatementForm
from setpiece.books.totals import unpaid_uses
from setpiece.errors import NotFound, WrongUse
from setpiece.match.instants import Instant
from setpiece.store.books import add_entries, entries_of, reverse
from setpiece.store.matches import Match
from setpiece.store.statements import save_form
from setpiece.store.workspace import Workspace
from setpiece.work.job import Unattended
from setpiece.work.ledger.entries import (
    as_csv,
    import_card,
    import_mileage,
    note_expense,
    note_licence,
    note_payment,
    note_trip,
    note_use,
    year_of,
)

DAY = date(2027, 3, 7)
CARD = "outlet,fee,currency,valid_from,source\nGazette,70,EUR,2027-01-01,agreed by letter\n"
MILES = (
    "vehicle,per_unit,currency,valid_from,beyond,source\n"
    "car,0.50,EUR,2027-01-01,0,invented gazette 1/2027\n"
    "car,0.20,EUR,2027-01-01,100,invented gazette 1/2027\n"
)


@pytest.fixture
def of(space: Workspace, now: Instant) -> Match:
    """The demo's match with two frames."""
    made = play(space, now)
    for n in (1, 2):
        shoot(space, made, n, f"30:0{n}")
    return made


def eur(amount: object) -> Money:
    """Euros."""
    return Money.of(str(amount), "EUR")


def use(**values: object) -> Use:
    """A use as typed."""
    return Use("", "", **({"outlet": "Gazette"} | values))  # type: ignore[arg-type]


def noted(space: Workspace, of: Match, now: Instant, value: Use, desk: str = "City") -> BookEntry:
    """The entry of a use of frame A-0001."""
    return note_use(space, of, "A-0001", value, desk, DAY, Unattended(now)).entry


def test_a_use_takes_fee_and_share_from_what_was_agreed(
    space: Workspace, of: Match, now: Instant
) -> None:
    """Fee by the rate card, share by the desk's form; what is typed goes before."""
    import_card(space, CARD, now)
    save_form(space, "City", StatementForm(share_percent=Decimal(50)), now)
    by_card = noted(space, of, now, use()).content
    assert isinstance(by_card, Use)
    assert (by_card.fee, by_card.agreed, by_card.due) == (eur(70), False, eur(35))
    assert (by_card.frame, by_card.match) == ("f000000000001", of.folder)
    typed = noted(space, of, now, use(fee=eur(90), share_percent=Decimal(60))).content
    assert isinstance(typed, Use)
    assert (typed.agreed, typed.due) == (True, eur(54))
    unknown = note_use(space, of, "A-0001", use(outlet="Herald"), "", DAY, Unattended(now))
    assert "no fee is agreed" in unknown.remarks[0]


def test_a_use_outside_its_licence_is_refused_and_an_exclusive_one_remarked(
    space: Workspace, of: Match, now: Instant
) -> None:
    """Licences have their pictures, outlets and days; exclusive ones hold against everybody."""
    terms = Licence(
        ("x",), "Season book", "print", date(2027, 3, 1), date(2027, 3, 31), exclusive=True,
        fee=eur(300),
    )  # fmt: skip
    made = note_licence(space, of, ["A-0001"], terms, "Club", Unattended(now)).entry
    covered = noted(space, of, now, use(outlet="season book", licence=made.number), "Club")
    assert covered.content.licence == made.number  # type: ignore[union-attr]
    for value, frame in (
        (use(licence=1), "A-0001"),
        (use(outlet="Season book", licence=1), "A-0002"),
    ):
        with pytest.raises(WrongUse, match="licence"):
            note_use(space, of, frame, value, "Club", DAY, Unattended(now))
    other = note_use(space, of, "A-0001", use(fee=eur(1)), "City", DAY, Unattended(now))
    assert "Club has it exclusively until 2027-03-31" in other.remarks[0]
    reverse(space, made.number, "cancelled", DAY, now)
    again = note_use(space, of, "A-0001", use(fee=eur(1)), "City", DAY, Unattended(now))
    assert again.remarks == ()


def test_a_payment_settles_its_uses(space: Workspace, of: Match, now: Instant) -> None:
    """A payment names uses there are; what is taken back is unpaid again."""
    entry = noted(space, of, now, use(fee=eur(40)))
    payment = Payment(eur(40), uses=(entry.number,))
    note_payment(space, payment, "City", DAY, Unattended(now))
    assert unpaid_uses(entries_of(space)) == ()
    back = Payment(eur(-40), uses=(entry.number,))
    note_payment(space, back, "City", DAY, Unattended(now))
    assert [e.number for e in unpaid_uses(entries_of(space))] == [entry.number]
    for wrong in (Payment(eur(1), uses=(99,)), Payment(eur(1), invoice="2027-0001")):
        with pytest.raises(NotFound):
            note_payment(space, wrong, "", DAY, Unattended(now))


def test_an_expense_keeps_its_receipt(space: Workspace, now: Instant, tmp_path: Path) -> None:
    """The receipt is copied into the workspace; without one it is said."""
    receipt = tmp_path / "parking.jpg"
    receipt.write_bytes(b"a receipt")
    made = note_expense(space, Expense("parking", eur("7.50")), receipt, DAY, Unattended(now))
    assert isinstance(made.entry.content, Expense)
    assert (space.folder / made.entry.content.receipt).read_bytes() == b"a receipt"
    bare = note_expense(space, Expense("parking", eur("7.50")), None, DAY, Unattended(now))
    assert bare.remarks == ("no receipt is kept with it",)
    with pytest.raises(NotFound):
        note_expense(space, Expense("x", eur(1)), tmp_path / "none", DAY, Unattended(now))


def test_trips_step_through_the_years_table(space: Workspace, now: Instant) -> None:
    """The second trip of the year goes on where the first ended; a reversed one does not count."""
    import_mileage(space, MILES, now)

    def drive(distance: int) -> Money:
        made = note_trip(space, "a", "b", Decimal(distance), "car", DAY, Unattended(now))
        assert made.remarks == (NOT_ADVICE,)
        assert isinstance(made.entry.content, Trip)
        assert "invented gazette" in made.entry.content.rates
        return made.entry.content.amount

    assert [drive(80), drive(40)] == [eur(40), eur(14)]
    reverse(space, 1, "was a lift", DAY, now)
    assert drive(80) == eur(34)  # 60 at the first rate, 20 at the second


def test_a_year_comes_to_its_sums(space: Workspace, of: Match, now: Instant) -> None:
    """Earned, received, expenses and mileage of the year, and the words that it is no advice."""
    import_mileage(space, MILES, now)
    noted(space, of, now, use(fee=eur(80), share_percent=Decimal(50)))
    note_payment(space, Payment(eur(40), uses=(1,)), "City", DAY, Unattended(now))
    note_expense(space, Expense("parking", eur("7.50")), None, DAY, Unattended(now))
    note_trip(space, "a", "b", Decimal(10), "car", DAY, Unattended(now))
    found = year_of(space, 2027)
    (totals,) = found.totals
    assert (totals.earned, totals.received) == (eur(40), eur(40))
    assert totals.result == eur("27.50")
    assert found.caution == NOT_ADVICE
    assert year_of(space, 2026).totals == ()


def test_the_ledger_leaves_as_csv(space: Workspace, of: Match, now: Instant) -> None:
    """Every entry of the year is a row; an entry of another year is none."""
    noted(space, of, now, use(fee=eur(80)))
    add_entries(space, [(date(2026, 1, 1), "", Expense("old", eur(1)))], now)
    rows = list(csv.DictReader(io.StringIO(as_csv(space, 2027))))
    assert [(r["kind"], r["amount"], r["picture"]) for r in rows] == [
        ("use", "80.00", "f000000000001")
    ]
    assert len(as_csv(space).splitlines()) == 3


@pytest.mark.parametrize(
    ("read", "text"),
    [
        (import_card, "fee,currency,valid_from\nmuch,EUR,2027-01-01\n"),
        (import_card, "fee,currency,valid_from\n1,XQZ,2027-01-01\n"),
        (import_card, "fee,currency,valid_from\n1,EUR,spring\n"),
        (import_mileage, "vehicle,per_unit,currency,valid_from,source\ncar,-1,EUR,2027-01-01,x\n"),
        (import_mileage, "vehicle,per_unit,currency,valid_from,source\ncar,1,EUR,2027-01-01,\n"),
    ],
)
def test_a_rate_that_makes_no_sense_names_its_line(
    space: Workspace, now: Instant, read: object, text: str
) -> None:
    """Nothing of the file is added."""
    with pytest.raises(WrongUse, match="line 2"):
        read(space, text, now)  # type: ignore[operator]


def test_an_entry_is_reversed_once(space: Workspace, now: Instant) -> None:
    """The database itself holds one reversal an entry, and keeps the reversed one."""
    add_entries(space, [(DAY, "", Expense("x", eur(1)))], now)
    reverse(space, 1, "slip", DAY, now)
    with pytest.raises(WrongUse):
        reverse(space, 1, "slip", DAY, now)
    assert [e.number for e in entries_of(space)] == [1, 2]
