"""A desk's statement from the file to the ledger: read, judged, booked once."""

from __future__ import annotations

import sys
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))
from after_the_match import fill, play, shoot

from setpiece.books.entries import Payment, Use, standing
from setpiece.books.matching import Verdict
from setpiece.books.money import Money
from setpiece.books.statements import StatementForm
from setpiece.books.totals import unpaid_uses
from setpiece.errors import NotFound, WrongUse
from setpiece.match.instants import Instant
from setpiece.store.books import entries_of, reverse
from setpiece.store.matches import matches
from setpiece.store.statements import form_of
from setpiece.store.workspace import Workspace
from setpiece.work.job import Unattended
from setpiece.work.ledger.entries import note_use
from setpiece.work.ledger.statements import book, form_with, judge, read, statements

DAY = date(2027, 4, 15)
FORM = StatementForm(currency="EUR", share_percent=Decimal(50))
CLEAN = (
    "File,Publication,Date,Gross,Net\n"
    "marnstein-1.jpg,Gazette,2027-03-07,80.00,40.00\n"
    "spa_0001.jpg,Herald,2027-03-08,60.00,20.00\n"
    "stranger.jpg,Bote,2027-03-08,10.00,5.00\n"
)


@pytest.fixture
def desk(space: Workspace, now: Instant, tmp_path: Path) -> str:
    """A desk that has one picture of the demo's match, by two names."""
    of = play(space, now)
    frame = shoot(space, of, 1, "30:00")
    shoot(space, of, 2, "30:01")
    fill(space, of, frame, now, tmp_path / "copies")
    return "City"


def written(tmp_path: Path, text: str, name: str = "march.csv") -> Path:
    """A statement's file."""
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def test_lines_are_judged_and_nothing_is_booked(
    space: Workspace, desk: str, now: Instant, tmp_path: Path
) -> None:
    """Paid by our name, wrong share by the card's name, unknown; the form is remembered."""
    judged = read(space, written(tmp_path, CLEAN), desk, FORM, Unattended(now))
    assert [m.verdict for m in judged.outcome.lines] == [
        Verdict.PAID, Verdict.WRONG_SHARE, Verdict.UNKNOWN,
    ]  # fmt: skip
    assert (judged.count(Verdict.PAID), entries_of(space)) == (1, ())
    assert form_of(space, desk) == FORM
    again = read(space, written(tmp_path, CLEAN), desk, None, Unattended(now))
    assert (again.id, again.outcome) == (judged.id, judged.outcome)
    assert judge(space, judged.id).outcome == judged.outcome


def test_booking_notes_uses_and_payments_once(
    space: Workspace, desk: str, now: Instant, tmp_path: Path
) -> None:
    """Each known line becomes a payment for its use; a second time is refused, whole or again."""
    judged = read(space, written(tmp_path, CLEAN), desk, FORM, Unattended(now))
    book(space, judged.id, Unattended(now), day=DAY)
    entries = entries_of(space)
    uses = [e for e in entries if isinstance(e.content, Use)]
    payments = [e.content for e in entries if isinstance(e.content, Payment)]
    assert [(u.desk, u.day) for u in uses] == [(desk, date(2027, 3, 7)), (desk, date(2027, 3, 8))]
    assert [u.content.due for u in uses] == [Money.of(40, "EUR"), Money.of(30, "EUR")]  # type: ignore[union-attr]
    assert [p.amount.amount for p in payments] == [40, 20]
    assert [p.uses for p in payments] == [(uses[0].number,), (uses[1].number,)]
    assert unpaid_uses(entries) == ()
    with pytest.raises(WrongUse, match="booked"):
        book(space, judged.id, Unattended(now), day=DAY)
    with pytest.raises(WrongUse, match="booked"):
        read(space, written(tmp_path, CLEAN), desk, None, Unattended(now))
    assert [s.booked != "" for s in statements(space)] == [True]


def test_the_same_line_in_the_next_statement_is_seen(
    space: Workspace, desk: str, now: Instant, tmp_path: Path
) -> None:
    """What March paid, April does not pay again; after a reversal it may."""
    first = read(space, written(tmp_path, CLEAN), desk, FORM, Unattended(now))
    book(space, first.id, Unattended(now), day=DAY)
    april = written(tmp_path, CLEAN + "late.jpg,X,2027-04-01,2.00,1.00\n", "april.csv")
    judged = read(space, april, desk, None, Unattended(now))
    assert [m.verdict for m in judged.outcome.lines][:2] == [Verdict.TWICE, Verdict.TWICE]
    payment = next(e for e in standing(entries_of(space)) if isinstance(e.content, Payment))
    reverse(space, payment.number, "bounced", DAY, now)
    again = judge(space, judged.id).outcome.lines[0]
    assert (again.verdict, again.use) == (Verdict.PAID, 1)


def test_a_noted_use_is_paid_or_stays_unpaid(
    space: Workspace, desk: str, now: Instant, tmp_path: Path
) -> None:
    """A use in the ledger is found by its picture; one that no line pays is listed."""
    of = matches(space)[0]
    for frame, outlet in (("A-0001", "Gazette"), ("A-0002", "Nowhere")):
        typed = Use("", "", outlet, fee=Money.of(80, "EUR"), share_percent=Decimal(50))
        note_use(space, of, frame, typed, desk, date(2027, 3, 7), Unattended(now))
    judged = read(space, written(tmp_path, CLEAN), desk, FORM, Unattended(now))
    assert (judged.outcome.lines[0].use, [u.number for u in judged.outcome.unpaid]) == (1, [2])
    book(space, judged.id, Unattended(now), day=DAY)
    assert [e.number for e in unpaid_uses(entries_of(space))] == [2]


def test_what_was_taken_back_is_unpaid_again(
    space: Workspace, desk: str, now: Instant, tmp_path: Path
) -> None:
    """A payment and its return in one statement leave the use without money."""
    text = CLEAN.splitlines()
    back = "marnstein-1.jpg,Gazette,2027-03-07,,-40.00"
    judged = read(
        space, written(tmp_path, "\n".join([*text[:2], back, ""])), desk, FORM, Unattended(now)
    )
    assert judged.outcome.lines[1].verdict is Verdict.TAKEN_BACK
    book(space, judged.id, Unattended(now), day=DAY)
    assert [e.number for e in unpaid_uses(entries_of(space))] == [1]


def test_a_statement_with_unread_rows_is_not_booked(
    space: Workspace, desk: str, now: Instant, tmp_path: Path
) -> None:
    """Every row must be understood before any of it counts."""
    judged = read(
        space, written(tmp_path, CLEAN + "x,G,soon,1.00,1.00\n"), desk, FORM, Unattended(now)
    )
    with pytest.raises(WrongUse, match="lines 5"):
        book(space, judged.id, Unattended(now), day=DAY)
    assert entries_of(space) == ()


def test_a_file_with_other_headings_says_which(
    space: Workspace, desk: str, now: Instant, tmp_path: Path
) -> None:
    """The headings there are stand in the message; a missing file is said."""
    file = written(tmp_path, "Item No;Payout\nmarnstein-1.jpg;40.00\n")
    with pytest.raises(WrongUse, match="Item No, Payout"):
        read(space, file, desk, None, Unattended(now))
    form = form_with(space, desk, {"picture": "Item No", "paid": "Payout"}, currency="EUR")
    (line,) = read(space, file, desk, form, Unattended(now)).outcome.lines
    assert line.verdict is Verdict.PAID
    kept = form_with(space, desk, {}, currency="CHF")
    assert kept is not None
    assert kept.columns == {"picture": "Item No", "paid": "Payout"}
    assert form_with(space, desk, {}) is None
    with pytest.raises(NotFound):
        read(space, tmp_path / "none.csv", desk, None, Unattended(now))
    with pytest.raises(NotFound):
        judge(space, 99)
