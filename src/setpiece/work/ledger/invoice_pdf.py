"""An invoice or a reminder as a page of PDF."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, time
from decimal import Decimal

from fpdf.enums import XPos, YPos

from setpiece.books.invoices import Invoice, Standing
from setpiece.books.money import Money
from setpiece.work.paper.page import SANS, Paper

_LEFT_MM, _RIGHT_MM, _TOP_MM = 25.0, 190.0, 20.0
_ROW_MM = 6.0
_WIDTHS_MM = (89.0, 20.0, 28.0, 28.0)


class _Page(Paper):
    """A letter: paragraphs and rows, one below the other."""

    def __init__(self, day: date) -> None:
        super().__init__(datetime.combine(day, time(12), UTC))
        self.set_margins(_LEFT_MM, _TOP_MM, self.w - _RIGHT_MM)
        self.set_auto_page_break(True, margin=25)
        self.add_page()

    def text_line(self, text: str, *, size: float = 9.5, bold: bool = False) -> None:
        """One paragraph across the page."""
        self.set_font(SANS, "B" if bold else "", size)
        self.multi_cell(0, _ROW_MM * size / 10.5, text, new_x=XPos.LMARGIN, new_y=YPos.NEXT)

    def row(self, cells: Sequence[str], *, bold: bool = False, rule: bool = False) -> None:
        """One row of the table of lines; the first cell may take several lines."""
        self.set_font(SANS, "B" if bold else "", 9.5)
        if self.will_page_break(_ROW_MM * 2):
            self.add_page()
        top = self.get_y()
        self.multi_cell(_WIDTHS_MM[0], _ROW_MM, cells[0], align="L")
        bottom = self.get_y()
        x = _LEFT_MM + _WIDTHS_MM[0]
        for width, cell in zip(_WIDTHS_MM[1:], cells[1:], strict=True):
            self.set_xy(x, top)
            self.cell(width, _ROW_MM, cell, align="R")
            x += width
        self.set_xy(_LEFT_MM, bottom)
        if rule:
            self.line(_LEFT_MM, bottom + 0.5, _RIGHT_MM, bottom + 0.5)
            self.ln(1.5)


def invoice_pdf(invoice: Invoice) -> bytes:
    """The invoice as it is sent. The same invoice gives the same text whenever it is made."""
    page = _Page(invoice.issued)
    word = "Cancellation" if invoice.cancels else "Invoice"
    _letterhead(page, invoice)
    page.text_line(f"{word} {invoice.number}", size=16, bold=True)
    page.ln(2)
    facts = [f"Date {invoice.issued.isoformat()}"]
    if invoice.cancels:
        facts.append(f"takes back invoice {invoice.cancels}")
    else:
        facts.append(f"due on {invoice.due.isoformat()}")
    if invoice.service:
        facts.append(f"for {invoice.service}")
    page.text_line(" · ".join(facts))
    page.ln(4)
    page.row(("", "Quantity", "Price", invoice.currency), bold=True, rule=True)
    for line in invoice.lines:
        page.row((line.text, _plain(line.quantity), _amount(line.price), _amount(line.net)))
    page.ln(1)
    page.line(_LEFT_MM, page.get_y(), _RIGHT_MM, page.get_y())
    page.ln(1)
    if invoice.taxes:
        page.row(("Net", "", "", _amount(invoice.net)))
    for tax in invoice.taxes:
        words = f"{tax.name} {_plain(tax.percent)} % on {_amount(tax.base)}"
        page.row((words, "", "", _amount(tax.amount)))
    page.row((f"Total {invoice.currency}", "", "", _amount(invoice.gross)), bold=True)
    page.ln(6)
    for text in (invoice.note, invoice.seller.note):
        if text:
            page.text_line(text)
    _bank(page, invoice)
    return page.finished()


def reminder_pdf(standing: Standing, level: int, day: date) -> bytes:
    """A reminder of an invoice that is overdue."""
    invoice = standing.invoice
    page = _Page(day)
    _letterhead(page, invoice)
    title = "Reminder" if level == 1 else f"Reminder {level}"
    page.text_line(f"{title}: invoice {invoice.number}", size=16, bold=True)
    page.ln(2)
    page.text_line(f"Date {day.isoformat()}")
    page.ln(4)
    page.text_line(
        f"Invoice {invoice.number} of {invoice.issued.isoformat()} was due on "
        f"{invoice.due.isoformat()}, {standing.days_overdue} days ago."
    )
    page.ln(2)
    page.row(("Invoiced", "", "", _amount(invoice.gross)))
    page.row(("Received", "", "", _amount(standing.paid)))
    page.row((f"Open {invoice.currency}", "", "", _amount(standing.open)), bold=True)
    page.ln(4)
    page.text_line("If you have paid in the meantime, please disregard this letter.")
    _bank(page, invoice)
    return page.finished()


def _letterhead(page: _Page, invoice: Invoice) -> None:
    seller, customer = invoice.seller, invoice.customer
    page.text_line(seller.name, bold=True)
    for text in (*seller.address, seller.email, seller.tax_id):
        if text:
            page.text_line(text, size=8.5)
    page.ln(10)
    for text in (customer.name, *customer.address, customer.tax_id):
        if text:
            page.text_line(text)
    page.ln(12)


def _bank(page: _Page, invoice: Invoice) -> None:
    if invoice.seller.bank and not invoice.cancels:
        page.ln(2)
        page.text_line(f"Please pay to {invoice.seller.bank}, reference {invoice.number}.")


def _amount(money: Money) -> str:
    """An amount with thousands apart, as an invoice in English prints it."""
    return f"{money.amount:,f}"


def _plain(number: Decimal) -> str:
    return f"{number.normalize():f}"
