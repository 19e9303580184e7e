"""Invoices in the workspace: no gap whoever writes, PDFs that say what they ask for."""

from __future__ import annotations

import sys
import threading
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))
from after_the_match import play, shoot
from pypdf import PdfReader

from setpiece.books.entries import Payment, Use
from setpiece.books.invoices import Invoice, Line, Party
from setpiece.books.money import Money
from setpiece.errors import NotFound, WrongUse
from setpiece.match.instants import Instant
from setpiece.store.books import OWN, invoices_of, issue, save_party
from setpiece.store.workspace import Workspace
from setpiece.work.job import Unattended
from setpiece.work.ledger.entries import note_payment, note_use
from setpiece.work.ledger.invoices import (
    TaxSetting,
    cancel,
    invoices,
    missing_numbers,
    print_invoice,
    remind,
    write_invoice,
)

DAY = date(2027, 3, 8)


def eur(amount: object) -> Money:
    """Euros."""
    return Money.of(str(amount), "EUR")


@pytest.fixture
def parties(space: Workspace, now: Instant) -> None:
    """The photographer and a customer with letters of several alphabets."""
    own = Party(
        "Ida Märlow", ("Łantern Street 4", "1010 Městec"), "ATU00000000", "AT00 0000 0000 0000",
        note="No VAT is charged under the small business rule.",
    )  # fmt: skip
    save_party(space, OWN, own, now)
    save_party(space, "Club", Party("SK Łethenbruck–Žď €", ("Ground Road 1",), terms_days=14), now)


def text_of(path: Path) -> str:
    """What a PDF says, by another library than the one that wrote it."""
    return "\n".join(page.extract_text() for page in PdfReader(path).pages)


def write(space: Workspace, now: Instant, *lines: Line, **other: object) -> Invoice:
    """An invoice to the club."""
    chosen = lines or (Line("Match day", eur(350)),)
    made = write_invoice(space, "club", chosen, DAY, Unattended(now), **other)  # type: ignore[arg-type]
    assert (space.folder / made.path).read_bytes().startswith(b"%PDF")
    return made.invoice


def test_numbers_follow_without_a_gap(space: Workspace, parties: None, now: Instant) -> None:
    """Series count by themselves; a cancellation takes the next number of its series."""
    assert [write(space, now).number for _ in range(2)] == ["2027-0001", "2027-0002"]
    assert write(space, now, series="CLUB27").number == "CLUB27-0001"
    made = cancel(space, "2027-0001", "wrong sum", DAY, Unattended(now)).invoice
    assert (made.number, made.gross, made.cancels) == ("2027-0003", eur(-350), "2027-0001")
    assert missing_numbers(space) == ()
    with pytest.raises(WrongUse, match="already"):
        cancel(space, "2027-0001", "again", DAY, Unattended(now))


def test_what_fails_uses_no_number_up(space: Workspace, parties: None, now: Instant) -> None:
    """An invoice that could not be made leaves the next number free."""
    write(space, now)

    def fail(number: str) -> Invoice:
        raise WrongUse("not this one", thing=number)

    with pytest.raises(WrongUse):
        issue(space, "2027", fail, now)
    with pytest.raises(WrongUse):
        write_invoice(space, "Club", [], DAY, Unattended(now))
    assert write(space, now).number == "2027-0002"


def test_many_writers_leave_no_gap(space: Workspace, parties: None, now: Instant) -> None:
    """Four at once write forty invoices, numbered one to forty."""

    def several() -> None:
        own = Workspace.open(space.folder)
        party = Party("x")

        def make(number: str) -> Invoice:
            return Invoice(number, party, party, (Line("x", eur(1)),), DAY, DAY, "EUR")

        for _ in range(10):
            issue(own, "2027", make, now)
        own.close()

    threads = [threading.Thread(target=several) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [i.number for i in invoices_of(space)] == [f"2027-{n:04}" for n in range(1, 41)]


def test_published_uses_become_lines_once(space: Workspace, parties: None, now: Instant) -> None:
    """A use is invoiced with what it is worth; a second time only after a cancellation."""
    of = play(space, now)
    shoot(space, of, 1, "30:00")
    typed = Use("", "", "Gazette", "front", fee=eur(80), share_percent=Decimal(50))
    note_use(space, of, "A-0001", typed, "Club", DAY, Unattended(now))
    made = write_invoice(
        space, "Club", [], DAY, Unattended(now), uses=[1], tax=TaxSetting(Decimal(20), "VAT")
    ).invoice
    assert (made.net, made.gross) == (eur(40), eur(48))
    assert made.lines[0].text.startswith("Gazette, front, 2027-03-08")
    with pytest.raises(WrongUse, match="2027-0001"):
        write_invoice(space, "Club", [], DAY, Unattended(now), uses=[1])
    cancel(space, "2027-0001", "wrong", DAY, Unattended(now))
    assert write_invoice(space, "Club", [], DAY, Unattended(now), uses=[1]).invoice.lines


def test_the_page_says_what_it_asks_for(space: Workspace, parties: None, now: Instant) -> None:
    """Names with every accent, each line, tax, sum, number, due date and bank can be read."""
    lines = [
        Line("Match day, Łódź", eur("1350"), tax_percent=Decimal(20), tax_name="VAT"),
        Line("Picture for the season book " * 6, eur("40"), Decimal(3), Decimal(10), "VAT reduced"),
        *(Line(f"Picture {n}", eur(1)) for n in range(60)),
    ]
    made = write(space, now, *lines, service="March 2027")
    text = text_of(space.folder / "ledger/invoices" / f"{made.number}.pdf")
    for words in (
        "Invoice 2027-0001", "due on 2027-03-22", "SK Łethenbruck–Žď €", "Ida Märlow",
        "Match day, Łódź", "1,350.00", "VAT 20 % on 1,350.00", "270.00",
        "VAT reduced 10 % on 120.00", "Total EUR", "1,812.00", "Picture 59",
        "AT00 0000 0000 0000, reference 2027-0001", "small business rule",
    ):  # fmt: skip
        assert words in text, words
    assert text_of(space.folder / print_invoice(space, made)) == text


def test_reminders_are_written_when_they_are_due(
    space: Workspace, parties: None, now: Instant
) -> None:
    """The first after the due date, the next two weeks later; a payment ends it."""
    number = write(space, now).number
    overdue = DAY + timedelta(days=20)
    with pytest.raises(WrongUse, match="no reminder"):
        remind(space, number, DAY, Unattended(now))
    found, path = remind(space, number, overdue, Unattended(now))
    assert (found.reminder_due, found.days_overdue) == (1, 6)
    assert (space.folder / path).read_bytes().startswith(b"%PDF")
    with pytest.raises(WrongUse):
        remind(space, number, overdue, Unattended(now))
    later = overdue + timedelta(days=14)
    (standing,) = invoices(space, later)
    assert (standing.reminded, standing.reminder_due) == (1, 2)
    note_payment(space, Payment(eur(350), invoice=number), "", later, Unattended(now))
    (standing,) = invoices(space, later)
    assert (standing.open, standing.reminder_due, standing.days_overdue) == (eur(0), None, 0)


def test_who_is_not_known_is_asked_for(space: Workspace, now: Instant) -> None:
    """Without the photographer's own address, or the customer's, nothing is written."""
    with pytest.raises(NotFound, match="invoice me"):
        write_invoice(space, "Club", [Line("x", eur(1))], DAY, Unattended(now))
    save_party(space, OWN, Party("Ida"), now)
    with pytest.raises(NotFound, match="invoice customer"):
        write_invoice(space, "Club", [Line("x", eur(1))], DAY, Unattended(now))
    with pytest.raises(NotFound):
        remind(space, "2027-0001", DAY, Unattended(now))


def test_a_payment_is_in_the_invoices_currency(
    space: Workspace, parties: None, now: Instant
) -> None:
    """Francs do not pay an invoice in euros."""
    number = write(space, now).number
    francs = Payment(Money.of(350, "CHF"), invoice=number)
    with pytest.raises(WrongUse, match="EUR"):
        note_payment(space, francs, "", DAY, Unattended(now))
