"""A statement held against what was delivered and published: who paid what, and who did not.

    paid         the picture was delivered to this desk and the amount is what was agreed
    wrong share  it was, but the amount is not the agreed share of the fee
    unknown      no delivery to this desk has that name, or several pictures do
    twice        this desk paid for the very same use before, or in a line above
    taken back   a negative amount that undoes an earlier payment
    unpaid       a published use of this desk that no line pays (not a line itself)

An amount may differ from the agreed one by one minor unit: two sides may round differently.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from setpiece.books.money import Money
from setpiece.books.statement_cells import reference
from setpiece.books.statements import Statement, StatementLine
from setpiece.match.names import folded

NEAR_DAYS = 60
"""A statement's date and the day a use was noted may lie so far apart. Our choice."""


class Verdict(StrEnum):
    """What a line of a statement is. The values are printed."""

    PAID = "paid"
    WRONG_SHARE = "wrong share"
    UNKNOWN = "unknown"
    TWICE = "twice"
    TAKEN_BACK = "taken back"


@dataclass(frozen=True, slots=True)
class Sent:
    """A picture that a desk has, and every name it may be called by."""

    frame: str
    match: str
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class KnownUse:
    """A use in the ledger: what the photographer is to get, and whether it was paid."""

    number: int
    frame: str
    outlet: str
    day: datetime.date
    due: Money | None
    share_percent: Decimal | None
    paid: bool


@dataclass(frozen=True, slots=True)
class EarlierLine:
    """A line that was booked from an earlier statement of this desk."""

    frame: str
    outlet: str
    day: datetime.date | None
    paid: Money


@dataclass(frozen=True, slots=True)
class Matched:
    """A line with its verdict. `use` is the ledger's entry it pays, None for a use not noted yet.

    `expected` is what should have been paid, None where nothing says so. `why` is in words.
    """

    line: StatementLine
    verdict: Verdict
    frame: str = ""
    match: str = ""
    use: int | None = None
    expected: Money | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """Every line with its verdict, and the uses that nobody paid."""

    lines: tuple[Matched, ...]
    unpaid: tuple[KnownUse, ...]


def match_statement(
    statement: Statement,
    sent: Sequence[Sent],
    uses: Sequence[KnownUse],
    earlier: Sequence[EarlierLine],
    *,
    share_percent: Decimal | None,
) -> Outcome:
    """Each line of a desk's statement with its verdict, and what stays unpaid.

    `share_percent` is what was agreed with the desk; a use's own share goes before it.
    """
    by_name: dict[str, dict[str, Sent]] = {}
    for picture in sent:
        for name in picture.names:
            by_name.setdefault(reference(name), {})[picture.frame] = picture
    free = {u.number: u for u in uses if not u.paid}
    seen = list(earlier)
    lines = []
    for line in statement.lines:
        found = _judge(line, by_name.get(line.key, {}), free, seen, share_percent)
        if found.verdict in (Verdict.PAID, Verdict.WRONG_SHARE, Verdict.TAKEN_BACK):
            seen.append(EarlierLine(found.frame, folded(line.outlet), line.day, line.paid))
            free.pop(found.use or 0, None)
        lines.append(found)
    last = max((x.day for x in statement.lines if x.day is not None), default=None)
    unpaid = tuple(u for u in free.values() if last is not None and u.day <= last)
    return Outcome(tuple(lines), unpaid)


def _judge(
    line: StatementLine,
    fitting: dict[str, Sent],
    free: dict[int, KnownUse],
    seen: Sequence[EarlierLine],
    share_percent: Decimal | None,
) -> Matched:
    if not fitting:
        return Matched(line, Verdict.UNKNOWN, why="no delivery to this desk has that name")
    if len(fitting) > 1:
        names = ", ".join(sorted(fitting))
        return Matched(line, Verdict.UNKNOWN, why=f"several pictures have that name: {names}")
    (picture,) = fitting.values()
    same = [s for s in seen if s.frame == picture.frame and s.outlet == folded(line.outlet)]
    at = Matched(line, Verdict.PAID, picture.frame, picture.match)
    if line.paid.amount < 0:
        back = any(s.paid == -line.paid for s in same)
        why = "" if back else "nothing was paid that it could take back"
        return _as(at, Verdict.TAKEN_BACK if back else Verdict.UNKNOWN, why=why)
    if any(s.day == line.day and s.paid == line.paid for s in same) and not _undone(same, line):
        return _as(at, Verdict.TWICE, why="the same use was paid before")
    use = _use_of(line, picture.frame, free.values())
    expected, why = _expected(line, use, share_percent)
    number = use.number if use else None
    if expected is not None and (
        expected.currency != line.paid.currency or not expected.within_a_unit(line.paid)
    ):
        return _as(at, Verdict.WRONG_SHARE, use=number, expected=expected, why=why)
    return _as(at, Verdict.PAID, use=number, expected=expected)


def _as(
    at: Matched,
    verdict: Verdict,
    *,
    use: int | None = None,
    expected: Money | None = None,
    why: str = "",
) -> Matched:
    return Matched(at.line, verdict, at.frame, at.match, use, expected, why)


def _undone(same: Iterable[EarlierLine], line: StatementLine) -> bool:
    """Whether what was paid for the same use was taken back as often as it was paid."""
    amounts = [s.paid for s in same]
    return amounts.count(-line.paid) >= amounts.count(line.paid)


def _use_of(line: StatementLine, frame: str, free: Iterable[KnownUse]) -> KnownUse | None:
    """The unpaid use that a line pays: same picture and outlet, and the nearest in time."""
    outlet = folded(line.outlet)
    fitting = [
        u
        for u in free
        if u.frame == frame and (not outlet or not u.outlet or folded(u.outlet) == outlet)
    ]
    if line.day is not None:
        day = line.day
        fitting = [u for u in fitting if abs((u.day - day).days) <= NEAR_DAYS]
        return min(fitting, key=lambda u: (abs((u.day - day).days), u.number), default=None)
    return min(fitting, key=lambda u: (u.day, u.number), default=None)


def _expected(
    line: StatementLine, use: KnownUse | None, share_percent: Decimal | None
) -> tuple[Money | None, str]:
    """What should have been paid, and what to say when it was not."""
    if use is not None and use.due is not None:
        return use.due, f"the ledger expects {use.due}, this line pays {line.paid}"
    agreed = use.share_percent if use and use.share_percent is not None else share_percent
    if line.fee is None or agreed is None:
        return None, ""
    expected = line.fee.percent(agreed)
    return expected, f"{agreed:f} % of {line.fee} is {expected}, this line pays {line.paid}"
