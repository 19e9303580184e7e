"""Statements: read by a remembered form, held against deliveries and uses, then booked.

Reading changes nothing but what is remembered of the file; a person looks at the verdicts and
books. Booking notes a use for every paid line that had none, and one payment for each line.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path, PurePosixPath

import xxhash

from setpiece.books.entries import BookEntry, Payment, Use, standing
from setpiece.books.matching import (
    EarlierLine,
    KnownUse,
    Matched,
    Outcome,
    Sent,
    Verdict,
    match_statement,
)
from setpiece.books.money import Money
from setpiece.books.statements import Statement, StatementForm, headings_of, read_statement
from setpiece.books.totals import unpaid_uses
from setpiece.errors import NotFound, WrongUse
from setpiece.match.names import folded
from setpiece.store import statements as store
from setpiece.store.books import entries_of
from setpiece.store.copying import write_proved
from setpiece.store.files import files_of
from setpiece.store.frames import frames_of
from setpiece.store.matches import matches
from setpiece.store.outbox import State, deliveries
from setpiece.store.statements import AddEntry, StoredStatement
from setpiece.store.workspace import Workspace
from setpiece.work.job import Caller

FOLDER = "ledger/statements"
_BOOKED = (Verdict.PAID, Verdict.WRONG_SHARE, Verdict.TAKEN_BACK)


@dataclass(frozen=True, slots=True)
class Judged:
    """A statement as read and held against what is known."""

    id: int
    desk: str
    name: str
    statement: Statement
    outcome: Outcome
    booked: str = ""

    def count(self, verdict: Verdict) -> int:
        """How many lines have that verdict."""
        return sum(m.verdict is verdict for m in self.outcome.lines)


def read(
    space: Workspace, file: Path, desk: str, form: StatementForm | None, caller: Caller
) -> Judged:
    """Reads a statement and judges its lines. A form that works is remembered for the desk.

    Raises WrongUse, with the headings there are, when no row fits the form.
    """
    try:
        data = file.read_bytes()
    except OSError as error:
        raise NotFound(f"it cannot be read ({error.strerror})", thing=str(file)) from error
    used = form or store.form_of(space, desk) or StatementForm()
    try:
        statement = read_statement(data, used)
    except WrongUse as error:
        if "headings" in error.what and (found := headings_of(data)):
            raise WrongUse(
                error.what,
                thing=error.thing,
                next_step=f"Its headings seem to be: {', '.join(found)}. {error.next_step}",
            ) from error
        raise
    content = xxhash.xxh3_128_hexdigest(data)
    path = f"{FOLDER}/{content[:12]}-{file.name}"
    kept = store.add_statement(space, desk, file.name, content, used, path, caller.now())
    write_proved(data, space.folder / kept.path)
    store.save_form(space, desk, used, caller.now())
    return _judged(space, kept, statement)


def judge(space: Workspace, number: int) -> Judged:
    """A statement that was read before, judged by what is known now."""
    kept = store.find_statement(space, number)
    try:
        data = (space.folder / PurePosixPath(kept.path)).read_bytes()
    except OSError as error:
        raise NotFound(
            "the statement's file is not in the workspace",
            thing=kept.path,
            next_step="Put it back there, or read the statement again.",
        ) from error
    return _judged(space, kept, read_statement(data, kept.form))


def _judged(space: Workspace, kept: StoredStatement, statement: Statement) -> Judged:
    entries = standing(entries_of(space))
    outcome = match_statement(
        statement,
        sent_to(space, kept.desk),
        known_uses(entries, kept.desk),
        earlier_lines(entries, kept.desk),
        share_percent=kept.form.share_percent,
    )
    return Judged(kept.id, kept.desk, kept.name, statement, outcome, kept.booked)


def sent_to(space: Workspace, desk: str) -> tuple[Sent, ...]:
    """Every picture that a desk has, by every name it may have: ours, the card's, its handle."""
    found = []
    for of in matches(space):
        names: dict[str, set[str]] = {}
        for item in deliveries(space, of):
            if item.desk.casefold() == desk.casefold() and item.state is State.DELIVERED:
                names.setdefault(item.frame_id, set()).add(item.remote_name)
        if not names:
            continue
        for frame in frames_of(space, of):
            if frame.id in names:
                names[frame.id] |= {frame.handle, frame.id}
        for file in files_of(space, of):
            if file.frame_id in names:
                names[file.frame_id].add(file.name)
        found += [Sent(i, of.folder, tuple(sorted(known))) for i, known in names.items()]
    return tuple(found)


def known_uses(entries: tuple[BookEntry, ...], desk: str) -> tuple[KnownUse, ...]:
    """The uses of a desk in the ledger, and which were paid."""
    unpaid = {e.number for e in unpaid_uses(entries)}
    return tuple(
        KnownUse(
            e.number,
            e.content.frame,
            e.content.outlet,
            e.day,
            e.content.due,
            e.content.share_percent if e.content.fee is not None else None,
            e.number not in unpaid,
        )
        for e in entries
        if isinstance(e.content, Use) and e.desk.casefold() == desk.casefold()
    )


def earlier_lines(entries: tuple[BookEntry, ...], desk: str) -> tuple[EarlierLine, ...]:
    """What a desk paid by earlier statements, line by line."""
    uses = {e.number: e for e in entries if isinstance(e.content, Use)}
    found = []
    for entry in entries:
        if not isinstance(entry.content, Payment) or entry.content.statement is None:
            continue
        if entry.desk.casefold() != desk.casefold():
            continue
        for number in entry.content.uses:
            if (use := uses.get(number)) and isinstance(use.content, Use):
                outlet = folded(use.content.outlet)
                found.append(
                    EarlierLine(
                        use.content.frame, outlet, entry.content.used_on, entry.content.amount
                    )
                )
    return tuple(found)


def book(space: Workspace, number: int, caller: Caller, *, day: datetime.date) -> Judged:
    """Books what a statement pays, in one step. `day` is when the money came.

    Unknown and doubled lines are left out. Raises WrongUse when it was booked before, or a row
    was not understood.
    """
    judged = judge(space, number)
    if judged.statement.unread:
        lines = ", ".join(str(u.line) for u in judged.statement.unread)
        raise WrongUse(
            "rows of this statement were not understood",
            thing=f"{judged.name}, lines {lines}",
            next_step="Correct them in the file, or give its form, and read it again.",
        )
    kept = store.find_statement(space, number)

    def entries(add: AddEntry) -> None:
        paid: dict[tuple[str, str, Money], int] = {}
        for item in judged.outcome.lines:
            if item.verdict in _BOOKED:
                _book_line(item, kept, day, add, paid)

    store.book(space, kept, entries, caller.now())
    return replace(judged, booked=caller.now().isoformat())


def _book_line(
    item: Matched,
    kept: StoredStatement,
    day: datetime.date,
    add: AddEntry,
    paid: dict[tuple[str, str, Money], int],
) -> None:
    line = item.line
    key = (item.frame, folded(line.outlet), -line.paid)
    use = item.use or (paid.get(key) if line.paid.amount < 0 else None)
    if use is None and line.paid.amount >= 0:
        share = line.share_percent or kept.form.share_percent or Decimal(100)
        use = add(
            Use(
                item.frame, item.match, line.outlet, fee=line.fee or line.paid,
                share_percent=share if line.fee is not None else Decimal(100),
                source=f"statement {kept.id}, line {line.line}",
            ),
            line.day or day,
        )  # fmt: skip
    if use is not None:
        paid[(item.frame, folded(line.outlet), line.paid)] = use
    uses = (use,) if use is not None else ()
    add(
        Payment(
            line.paid, uses, statement=kept.id, line=line.line, used_on=line.day, note=item.why
        ),
        day,
    )


def statements(space: Workspace) -> tuple[StoredStatement, ...]:
    """Every statement that was read."""
    return store.statements_of(space)


def form_with(
    space: Workspace, desk: str, columns: Mapping[str, str], **other: object
) -> StatementForm | None:
    """The desk's form with what is given changed; None when nothing is given."""
    given = {k: v for k, v in other.items() if v not in ("", None)}
    if columns:
        given["columns"] = dict(columns)
    if not given:
        return None
    return replace(store.form_of(space, desk) or StatementForm(), **given)  # type: ignore[arg-type]
