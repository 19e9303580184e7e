"""The page after the match: the debrief's findings, the archive, the ledger."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from setpiece.books.entries import BookEntry, Use
from setpiece.books.totals import unpaid_uses
from setpiece.errors import SetpieceError
from setpiece.match.instants import Instant
from setpiece.plan.debrief.debrief import standfirst
from setpiece.plan.debrief.findings import Finding
from setpiece.store.books import entries_of
from setpiece.store.matches import matches
from setpiece.store.workspace import Workspace
from setpiece.web.wording import Wording
from setpiece.work.archive.state import HeldAt, Safety, safety
from setpiece.work.debrief.page import work_out
from setpiece.work.ledger.entries import year_of
from setpiece.work.ledger.invoices import invoices
from setpiece.work.matchday import Matchday

MOST_UNPAID = 12


@dataclass(frozen=True, slots=True)
class Copy:
    """One copy of a match in the archive, in words. `tone` is right, doubt or wrong."""

    root: str
    words: str
    tone: str


@dataclass(frozen=True, slots=True)
class Safe:
    """How safe a match is: the three numbers of the rule, and what it still asks for."""

    folder: str
    title: str
    numbers: str
    met: bool
    lacking: str
    copies: tuple[Copy, ...]


@dataclass(frozen=True, slots=True)
class TotalRow:
    """A year in one currency, as the ledger's foot prints it: names and amounts."""

    currency: str
    lines: tuple[tuple[str, str], ...]
    result: str


@dataclass(frozen=True, slots=True)
class Unpaid:
    """A published use that nobody paid yet."""

    day: str
    desk: str
    words: str
    due: str


@dataclass(frozen=True, slots=True)
class Billed:
    """An invoice and where it stands. `tone` is right, doubt, wrong or empty."""

    number: str
    customer: str
    issued: str
    gross: str
    words: str
    tone: str


@dataclass(frozen=True, slots=True)
class After:
    """Everything the page shows. `wanting` says what a debrief still needs, empty when nothing."""

    folder: str
    standfirst: str
    findings: tuple[Finding, ...]
    wanting: str
    this: Safe | None
    others: tuple[Safe, ...]
    year: int
    totals: tuple[TotalRow, ...]
    unpaid: tuple[Unpaid, ...]
    more_unpaid: int
    invoices: tuple[Billed, ...]


def after(day: Matchday, now: Instant, words: Wording) -> After:
    """The page of a match at that instant."""
    lead, found, wanting = _findings(day, words)
    safe = {s.match: s for s in safety(day.space)}
    titles = {m.folder: f"{m.fixture.home} – {m.fixture.away}" if m.fixture else m.folder
              for m in matches(day.space)}  # fmt: skip
    shown = [_safe(s, titles, words) for s in safe.values()]
    zone = ZoneInfo(day.fixture.time_zone) if day.match.fixture else datetime.UTC
    today = now.astimezone(zone).date()
    unpaid = sorted(unpaid_uses(entries_of(day.space)), key=lambda e: e.day, reverse=True)
    return After(
        folder=day.match.folder,
        standfirst=lead,
        findings=found,
        wanting=wanting,
        this=next((s for s in shown if s.folder == day.match.folder), None),
        others=tuple(s for s in shown if s.folder != day.match.folder),
        year=today.year,
        totals=_totals(day.space, today.year, words),
        unpaid=tuple(_unpaid(e) for e in unpaid[:MOST_UNPAID]),
        more_unpaid=max(0, len(unpaid) - MOST_UNPAID),
        invoices=_invoices(day.space, today, words),
    )


def _findings(day: Matchday, words: Wording) -> tuple[str, tuple[Finding, ...], str]:
    try:
        made = work_out(day)
    except SetpieceError as error:  # no fixture, no sheet yet
        return "", (), words.told(str(error))
    return words.told(standfirst(made)), made.findings, ""


def _safe(of: Safety, titles: dict[str, str], words: Wording) -> Safe:
    numbers = words("after.numbers", copies=of.copies, drives=of.drives, away=of.elsewhere)
    return Safe(
        of.match,
        titles.get(of.match, of.match),
        numbers,
        of.met,
        words.listed(list(of.lacking)),
        tuple(_copy(h, words) for h in of.held),
    )


def _copy(held: HeldAt, words: Wording) -> Copy:
    place = words("after.elsewhere") if held.elsewhere else words("after.here")
    parts = [place, words.count("after.files", held.files), _date(held.made)]
    if held.wrong:
        return Copy(
            held.root, " · ".join([*parts, words.count("after.harmed", held.wrong)]), "wrong"
        )
    if held.behind:
        return Copy(held.root, " · ".join([*parts, words("after.behind")]), "doubt")
    checked = (
        words("after.checked", day=_date(held.checked))
        if held.checked
        else words("after.unchecked")
    )
    return Copy(held.root, " · ".join([*parts, checked]), "right")


def _date(text: str) -> str:
    return text[:10]


def _totals(space: Workspace, year: int, words: Wording) -> tuple[TotalRow, ...]:
    rows = []
    for total in year_of(space, year).totals:
        named = ("earned", "invoiced", "received", "expenses", "mileage")
        lines = tuple((words(f"after.{n}"), f"{getattr(total, n).amount:,f}") for n in named)
        rows.append(TotalRow(total.currency, lines, f"{total.result.amount:,f}"))
    return tuple(rows)


def _unpaid(entry: BookEntry) -> Unpaid:
    use = entry.content
    assert isinstance(use, Use)
    said = ", ".join(w for w in (use.outlet, use.placement, use.size) if w)
    return Unpaid(entry.day.isoformat(), entry.desk, said, str(use.due) if use.due else "–")


def _invoices(space: Workspace, today: datetime.date, words: Wording) -> tuple[Billed, ...]:
    rows = []
    for standing in reversed(invoices(space, today)):
        invoice = standing.invoice
        if standing.cancelled:
            said, tone = words("after.cancelled"), ""
        elif standing.open.amount <= 0:
            said, tone = words("after.paid"), "right"
        elif standing.days_overdue:
            said = words.count("after.overdue", standing.days_overdue, amount=standing.open)
            tone = "wrong"
        else:
            said, tone = words("after.open", amount=standing.open, day=invoice.due), "doubt"
        rows.append(Billed(invoice.number, invoice.customer.name, invoice.issued.isoformat(),
                           str(invoice.gross), said, tone))  # fmt: skip
    return tuple(rows)
