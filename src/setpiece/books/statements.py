"""A payment statement as lines, by a mapping of its columns that is remembered for each desk.

Every row of the file ends as a line, as one not understood with its reason, or as a row that is
none: heading, sum, empty. What is not understood is never counted.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from setpiece.books.money import Money, by_currency, read_money
from setpiece.books.statement_cells import (
    decoded,
    heading_word,
    is_sum,
    read_day,
    read_share,
    reference,
    rows_of,
)
from setpiece.errors import WrongUse

COLUMNS = ("picture", "outlet", "day", "fee", "share", "paid", "currency", "title")
NEEDED = ("picture", "paid")

KNOWN_HEADINGS: Mapping[str, tuple[str, ...]] = {
    "picture": ("file", "filename", "image", "imageid", "picture", "pictureid", "photo",
                "reference", "bild", "bildnummer", "dateiname"),
    "outlet": ("outlet", "publication", "client", "customer", "medium", "kunde", "publikation"),
    "day": ("date", "published", "publicationdate", "saledate", "datum", "erschienen"),
    "fee": ("gross", "fee", "saleprice", "grossamount", "brutto", "honorar"),
    "share": ("share", "commission", "royalty", "rate", "anteil"),
    "paid": ("net", "paid", "netamount", "yourshare", "amount", "payable", "betrag", "netto"),
    "currency": ("currency", "wahrung", "curr"),
    "title": ("title", "caption", "headline", "description", "titel", "beschreibung"),
}  # fmt: skip
"""Headings that are understood without being told. General words of the trade."""


@dataclass(frozen=True, slots=True)
class StatementForm:
    """How one desk's statements are read. `columns` gives the heading of each of `COLUMNS`.

    `currency` holds where the file names none; `decimal_mark` and `day_order` where numbers do
    not tell. `share_percent` is what was agreed with the desk, None where nothing was.
    """

    columns: Mapping[str, str] = field(default_factory=dict)
    currency: str = ""
    decimal_mark: str = ""
    day_order: str = ""
    share_percent: Decimal | None = None

    def __post_init__(self) -> None:
        strange = set(self.columns) - set(COLUMNS)
        if strange:
            raise WrongUse(
                "no such column of a statement",
                thing=", ".join(sorted(strange)),
                next_step=f"Columns: {', '.join(COLUMNS)}.",
            )
        if self.decimal_mark not in ("", ".", ","):
            raise WrongUse("a decimal mark is . or ,", thing=self.decimal_mark)
        if self.day_order not in ("", "dmy", "mdy", "ymd"):
            raise WrongUse("dates are dmy, mdy or ymd", thing=self.day_order)
        if self.share_percent is not None and not 0 <= self.share_percent <= 100:
            raise WrongUse("a share lies between 0 and 100 %", thing=str(self.share_percent))


@dataclass(frozen=True, slots=True)
class StatementLine:
    """One line: which picture, where it was used, what was asked for it and what is paid.

    `picture` is as written, `key` as it is compared. `fee` is before any share.
    """

    line: int
    picture: str
    key: str
    paid: Money
    outlet: str = ""
    day: datetime.date | None = None
    fee: Money | None = None
    share_percent: Decimal | None = None
    title: str = ""


@dataclass(frozen=True, slots=True)
class Unread:
    """A row that could not be understood, and why."""

    line: int
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Statement:
    """A statement as read. `remarks` tell of sums that do not fit."""

    lines: tuple[StatementLine, ...]
    unread: tuple[Unread, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def paid(self) -> dict[str, Money]:
        """What the lines pay, by currency."""
        return by_currency(line.paid for line in self.lines)


def read_statement(data: bytes, mapping: StatementForm) -> Statement:
    """The lines of a statement's bytes. Raises WrongUse when no heading fits the mapping."""
    rows = rows_of(decoded(data))
    at, places = _heading(rows, mapping)
    heading = [heading_word(c) for c in rows[at][1]]
    lines: list[StatementLine] = []
    unread: list[Unread] = []
    remarks: list[str] = []
    for number, cells in rows[at + 1 :]:
        if [heading_word(c) for c in cells] == heading:
            continue
        value = {name: cells[i] if i < len(cells) else "" for name, i in places.items()}
        try:
            if is_sum(cells) or not value["picture"]:
                remarks += _sum_remark(number, cells, value, lines, mapping)
            elif any(cells[len(heading) :]):
                raise WrongUse("it has more cells than the heading")
            else:
                lines.append(_line(number, value, mapping))
        except WrongUse as error:
            why = f"{error.what}: {error.thing}" if error.thing else error.what
            unread.append(Unread(number, " | ".join(cells), why))
    return Statement(tuple(lines), tuple(unread), tuple(remarks))


def headings_of(data: bytes) -> tuple[str, ...]:
    """The cells of the row that looks most like a heading: to be mapped by hand."""
    rows = rows_of(decoded(data))
    known = {word for words in KNOWN_HEADINGS.values() for word in words}
    best = max(
        rows[:50],
        key=lambda r: (sum(heading_word(c) in known for c in r[1]), len(r[1])),
        default=(0, []),
    )
    return tuple(best[1])


def _heading(
    rows: Sequence[tuple[int, list[str]]], mapping: StatementForm
) -> tuple[int, dict[str, int]]:
    """Which row is the heading, and where each column of ours stands in it."""
    wanted = {
        name: (heading_word(mapping.columns[name]),)
        if name in mapping.columns
        else ()
        if mapping.columns
        else KNOWN_HEADINGS[name]
        for name in COLUMNS
    }
    asked = list(dict.fromkeys((*mapping.columns, *NEEDED)))
    missing = asked
    for at, (_, cells) in enumerate(rows):
        words = [heading_word(c) for c in cells]
        places = {
            name: next(words.index(w) for w in known if w in words)
            for name, known in wanted.items()
            if any(w in words for w in known)
        }
        lacking = [name for name in asked if name not in places]
        if not lacking:
            return at, places
        missing = min(missing, lacking, key=len)
    raise WrongUse(
        "no row has the headings of its columns",
        thing=", ".join(missing),
        next_step="Name them: --column picture=HEADING --column paid=HEADING.",
    )


def _line(number: int, value: Mapping[str, str], mapping: StatementForm) -> StatementLine:
    currency = value.get("currency", "").upper() or mapping.currency

    def money(name: str) -> Money | None:
        text = value.get(name, "")
        return read_money(text, currency, mapping.decimal_mark) if text else None

    paid, fee = money("paid"), money("fee")
    if paid is None:
        raise WrongUse("it says no amount")
    if fee is not None and fee.currency != paid.currency:
        raise WrongUse("fee and amount are of two currencies", thing=f"{fee}, {paid}")
    day, share = value.get("day", ""), value.get("share", "")
    return StatementLine(
        line=number,
        picture=value["picture"],
        key=reference(value["picture"]),
        paid=paid,
        outlet=value.get("outlet", ""),
        day=read_day(day, mapping.day_order) if day else None,
        fee=fee,
        share_percent=read_share(share, mapping.decimal_mark) if share else None,
        title=value.get("title", ""),
    )


def _sum_remark(
    number: int,
    cells: Sequence[str],
    value: Mapping[str, str],
    lines: Sequence[StatementLine],
    mapping: StatementForm,
) -> list[str]:
    """What a row without a picture says: a sum that fits says nothing. Raises WrongUse."""
    if not is_sum(cells) and value.get("paid"):
        raise WrongUse("it names no picture")
    if not value.get("paid") or not lines:
        return []
    codes = {line.paid.currency for line in lines}
    currency = value.get("currency", "").upper() or mapping.currency or min(codes)
    stated = read_money(value["paid"], currency, mapping.decimal_mark)
    counted = by_currency(line.paid for line in lines).get(stated.currency)
    if counted == stated:
        return []
    return [f"line {number} states a sum of {stated}; the lines above make {counted}"]
