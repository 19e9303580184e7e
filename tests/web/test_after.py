"""The page after the match, and the debrief as it is served."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
import small_match

from setpiece.books.entries import Use
from setpiece.books.invoices import Line, Party
from setpiece.books.money import Money
from setpiece.match.instants import instant
from setpiece.store.books import OWN, save_party
from setpiece.store.matches import find_match
from setpiece.store.workspace import Workspace
from setpiece.web.after.page import after
from setpiece.web.standing import Standing
from setpiece.web.wording import languages, wording
from setpiece.work.archive.keep import archive_match, set_root
from setpiece.work.job import Unattended
from setpiece.work.ledger import entries as books
from setpiece.work.ledger.invoices import TaxSetting, cancel, write_invoice

NOW = instant(datetime(2027, 3, 6, 19, 0, tzinfo=UTC))
DAY = date(2027, 3, 6)


def test_the_page_holds_findings_archive_and_ledger(page) -> None:
    """After stands in the masthead; the page has its three parts and the way to the debrief."""
    answer = page.ask(f"{page.match}/after")
    assert answer.status == 200
    for words in ("The debrief", "Archive", "Ledger 2027", "Nothing is archived yet"):
        assert words in answer.text
    assert f'href="{page.match}/debrief"' in answer.text
    assert 'aria-current="page">After</a>' in answer.text
    assert "style=" not in answer.text


def test_the_debrief_is_served_with_its_style_apart(page) -> None:
    """The page links its sheet, which is CSS; the PDF is one; nothing is inline."""
    answer = page.ask(f"{page.match}/debrief")
    assert answer.status == 200
    assert "<style" not in answer.text
    assert "style=" not in answer.text
    sheet = re.search(r'rel="stylesheet" href="([^"]+)"', answer.text)
    assert sheet is not None
    assert ".plan" in page.ask(sheet[1]).text
    paper = page.ask(f"{page.match}/debrief.pdf")
    assert paper.status == 200
    assert paper.body.startswith(b"%PDF")


def test_what_is_safe_and_what_is_not(own: small_match.Made, tmp_path: Path) -> None:
    """A match in one root elsewhere has two copies; what the rule still asks for is said."""
    space = Workspace.open(own.folder)
    drive = tmp_path / "drive"
    drive.mkdir()
    root = set_root(space, drive, NOW, elsewhere=True)
    archive_match(space, own.match, [root], Unattended(NOW))
    shown = after(Standing(space).of(own.match.folder), NOW, wording()).this
    assert shown is not None
    assert shown.numbers == "copies 2, drives 1, elsewhere 1"
    assert "1 more copy" in shown.lacking
    assert not shown.met
    (copy,) = shown.copies
    assert copy.root == str(drive.resolve())
    assert "kept elsewhere" in copy.words
    assert copy.tone == "right"


def test_the_ledger_reads_like_a_book(own: small_match.Made) -> None:
    """A use that nobody paid, an invoice that is open, later overdue, then cancelled; the year."""
    space = Workspace.open(own.folder)
    of, caller = find_match(space, None), Unattended(NOW)
    use = Use("", "", "Gazette", "front page", fee=Money.of(140, "EUR"))
    books.note_use(space, of, own.frames[73], use, "North", DAY, caller)
    save_party(space, OWN, Party("Ida Marlow"), NOW)
    save_party(space, "Gazette", Party("Gazette", terms_days=14), NOW)
    line = Line("a front page", Money.of(100, "EUR"), tax_percent=Decimal(20), tax_name="VAT")
    made = write_invoice(space, "Gazette", [line], DAY, caller, tax=TaxSetting())
    day = Standing(space).of(own.match.folder)
    shown = after(day, NOW, wording())
    assert [u.due for u in shown.unpaid] == ["140.00 EUR"]
    assert shown.totals[0].lines[0] == ("Published, worth", "140.00")
    assert shown.totals[0].lines[1] == ("Invoiced", "100.00")
    assert shown.invoices[0].gross == "120.00 EUR"
    assert shown.invoices[0].words == "120.00 EUR open, due 2027-03-20"
    late = after(day, instant(NOW + timedelta(days=20)), wording())
    assert late.invoices[0].words == "120.00 EUR overdue for 6 days"
    assert late.invoices[0].tone == "wrong"
    cancel(space, made.invoice.number, "a slip", DAY, caller)
    gone = after(day, NOW, wording()).invoices
    assert [i.words for i in gone] == ["cancelled", "cancelled"]


@pytest.mark.parametrize("language", languages())
def test_the_page_speaks_every_language(made: small_match.Made, language: str) -> None:
    """Every word of the page is there in each language."""
    day = Standing(Workspace.open(made.folder)).of(made.match.folder)
    shown = after(day, NOW, wording(language))
    assert shown.this is not None
    assert shown.this.numbers
    assert len(shown.findings) <= 3
