"""The demo's ledger: uses, a rate card, a trip, a statement as dirty as they come, an invoice."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from setpiece.books.entries import Expense, Use
from setpiece.books.invoices import Party
from setpiece.books.matching import Verdict
from setpiece.books.money import Money
from setpiece.books.statements import StatementForm
from setpiece.store.books import OWN, save_party
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.demo.correction import CITY
from setpiece.work.demo.earlier import EARLIER
from setpiece.work.demo.outcome import Row, counted
from setpiece.work.job import Caller
from setpiece.work.ledger import entries, statements
from setpiece.work.ledger.invoices import TaxSetting, write_invoice

DAY = date(2027, 3, 6)
CARD = (
    """desk;outlet;placement;size;fee;currency;valid_from;source
North;;;;80,00;EUR;2026-01-01;invented rate card of the demo
City;Valley Gazette;front page;;140,00;EUR;2026-01-01;invented rate card of the demo
""".replace(";", ",")
    .replace("80,00", "80.00")
    .replace("140,00", "140.00")
)
MILEAGE = """vehicle,unit,per_unit,currency,valid_from,source
car,km,0.42,EUR,2026-01-01,invented table of the demo
"""

STATEMENT = "north statement february.csv"
_STATEMENT = """\ufeffNorth pictures – payments to contributors;;;;;
Contributor: Ida Marlow;;;;;

"File name";"Customer";"Published";"Sale (EUR)";"Your %";"Payable"
SPA_7003.JPG;Talbote;15.11.2026;80,00;50 %;40,00
 spa_7303.jpg ;"Der Landbote";06.12.2026;"60,00 €";50%;30,00

SPA_7605.JPG;Talbote;14.02.2027;100,00;50 %;40,00
IMG_0001.JPG;Talbote;14.02.2027;50,00;50 %;25,00
SPA_7003.JPG;Talbote;15.11.2026;80,00;50 %;40,00
SPA_7303.JPG;Der Landbote;06.12.2026;60,00;50 %;-30,00
Total;;;;;145,00
"""
"""Six lines between a preamble, empty rows, odd case and spaces, a repeated line and a sum."""

PLANTED = {
    Verdict.PAID: 2, Verdict.WRONG_SHARE: 1, Verdict.UNKNOWN: 1, Verdict.TWICE: 1,
    Verdict.TAKEN_BACK: 1,
}  # fmt: skip
UNPAID = 1
RECEIVED, INVOICED = "80.00 EUR", "168.00 EUR"
FORM = StatementForm(
    {"picture": "File name", "outlet": "Customer", "day": "Published", "fee": "Sale (EUR)",
     "share": "Your %", "paid": "Payable"},
    currency="EUR", decimal_mark=",", day_order="dmy", share_percent=Decimal(50),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Published:
    """A use that the photographer found herself: which match, which file, where and when."""

    match: int
    file: str
    outlet: str
    day: date


USES = (
    Published(0, "SPA_7003.JPG", "Talbote", date(2026, 11, 15)),
    Published(2, "SPA_7603.JPG", "Der Landbote", date(2027, 2, 14)),
)
"""The first is paid by the statement, the second by nobody."""


def keep_books(
    folder: Path, space: Workspace, of: Match, earlier: tuple[Match, ...], sold: str,
    caller: Caller,
) -> tuple[Row, ...]:  # fmt: skip
    """Fills the ledger and holds it against what was planted. `sold` is a frame that City ran."""
    assert len(earlier) == len(EARLIER)
    entries.import_card(space, CARD, caller.now())
    entries.import_mileage(space, MILEAGE, caller.now())
    for use in USES:
        made = Use("", "", use.outlet, share_percent=Decimal(50))
        entries.note_use(space, earlier[use.match], use.file, made, "North", use.day, caller)
    entries.note_trip(
        space, "home", "Lethenbruck", Decimal(168), "car", DAY, caller, match=of.folder
    )
    parking = Expense("parking", Money.of("9.50", "EUR"), "parking", match=of.folder)
    entries.note_expense(space, parking, None, DAY, caller)
    ran = Use("", "", "Valley Gazette", "front page")
    front = entries.note_use(space, of, sold, ran, CITY, DAY, caller)
    return (*_statement(folder, space, caller), *_invoice(space, front.entry.number, caller))


def _statement(folder: Path, space: Workspace, caller: Caller) -> tuple[Row, ...]:
    file = folder / STATEMENT
    file.write_text(_STATEMENT, encoding="utf-8")
    judged = statements.read(space, file, "North", FORM, caller)
    rows = tuple(
        counted(f"statement lines: {verdict.value}", planted, judged.count(verdict))
        for verdict, planted in PLANTED.items()
    )
    unpaid = counted("published, and in no line of it", UNPAID, len(judged.outcome.unpaid))
    statements.book(space, judged.id, caller, day=DAY)
    received = str(next(t for t in entries.year_of(space, DAY.year).totals).received)
    return (*rows, unpaid, Row("received by it", RECEIVED, received, received == RECEIVED))


def _invoice(space: Workspace, use: int, caller: Caller) -> tuple[Row, ...]:
    own = Party("Ida Marlow", ("Am Anger 4", "8600 Lethenbruck"), "ATU00000000",
                "AT00 0000 0000 0000 0000")  # fmt: skip
    save_party(space, OWN, own, caller.now())
    gazette = Party("Valley Gazette", ("Market Street 1",), terms_days=14)
    save_party(space, gazette.name, gazette, caller.now())
    made = write_invoice(space, gazette.name, [], DAY, caller, uses=[use],
                         tax=TaxSetting(Decimal(20), "VAT"))  # fmt: skip
    gross = str(made.invoice.gross)
    return (Row(f"invoice {made.invoice.number}", INVOICED, gross, gross == INVOICED),)
