"""Statements in twenty kinds of dirt: read to the cent, or refused row by row, never guessed."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.books.money import Money
from setpiece.books.statement_cells import read_day, read_share, reference
from setpiece.books.statements import (
    KNOWN_HEADINGS,
    Statement,
    StatementForm,
    headings_of,
    read_statement,
)
from setpiece.errors import WrongUse

HEADING = ("File", "Publication", "Date", "Gross", "Share", "Net")
ROWS = (
    ("marnstein-0231.jpg", "Gazette", "2027-03-07", "80.00", "50 %", "40.00"),
    ("marnstein-0007.jpg", "Herald, late edition", "2027-03-08", "1234.50", "50 %", "617.25"),
    ("žofie-čapková.jpg", "Küstenbote", "2027-03-09", "30.00", "50 %", "15.00"),
)
FORM = StatementForm(
    {
        "picture": "File", "outlet": "Publication", "day": "Date", "fee": "Gross",
        "share": "Share", "paid": "Net",
    },
    currency="EUR", share_percent=Decimal(50),
)  # fmt: skip

Grid = list[list[str]]


def grid() -> Grid:
    """The clean statement's cells."""
    return [list(HEADING), *(list(r) for r in ROWS)]


def text(cells: Grid, separator: str = ",", end: str = "\n") -> str:
    """CSV of cells, quoted where needed."""

    def quoted(cell: str) -> str:
        needs = any(s in cell for s in (separator, '"', "\n"))
        return '"' + cell.replace('"', '""') + '"' if needs else cell

    return "".join(separator.join(quoted(c) for c in row) + end for row in cells)


def edited(change: Callable[[str, int], str]) -> Grid:
    """The clean cells with every cell under the heading changed by its column."""
    head, *rows = grid()
    return [head, *([change(c, i) for i, c in enumerate(row)] for row in rows)]


def amounts(change: Callable[[str], str]) -> Grid:
    """The clean cells with both columns of money changed."""
    return edited(lambda c, i: change(c) if i in (3, 5) else c)


def european(cell: str) -> str:
    """1,234.50 as 1.234,50."""
    return f"{Decimal(cell):,.2f}".translate(str.maketrans(",.", ".,"))


def reordered(order: list[int]) -> Grid:
    """The columns in another order."""
    return [[row[i] for i in order] for row in grid()]


DIRT: dict[str, bytes] = {
    "a mark of UTF-8": b"\xef\xbb\xbf" + text(grid()).encode(),
    "UTF-16 with a mark": text(grid()).encode("utf-16"),
    "UTF-16 without": text(grid()).encode("utf-16-le"),
    "semicolons": text(grid(), ";").encode(),
    "tabs and Windows line ends": text(grid(), "\t", "\r\n").encode(),
    "old line ends": text(grid(), end="\r").encode(),
    "a letter above the table": ("Statement of account\nMarch 2027\n\n" + text(grid())).encode(),
    "empty rows": text([*grid()[:2], [""] * 6, ["", " ", "", "", "", ""], *grid()[2:]]).encode(),
    "a sum under it": text([*grid(), ["Total", "", "", "", "", "672.25"]]).encode(),
    "the heading again in the middle": text([*grid()[:3], list(HEADING), *grid()[3:]]).encode(),
    "European amounts": text(amounts(european), ";").encode(),
    "thousands": text(amounts(lambda c: f"{Decimal(c):,.2f}")).encode(),
    "currency signs": text(amounts(lambda c: f"€ {c}")).encode(),
    "currency codes": text(amounts(lambda c: f"{c} EUR")).encode(),
    "zeros of a spreadsheet": text(amounts(lambda c: f"{c}00")).encode(),
    "cells as formulas": text(edited(lambda c, i: f'="{c}"' if i == 0 else c)).encode(),
    "folders, other endings, capitals": text(
        edited(lambda c, i: "C:\\set\\" + c.upper().replace(".JPG", ".TIF") if i == 0 else c)
    ).encode(),
    "hard blanks and invisible signs": text(
        edited(lambda c, i: f"\u00a0{c}\u200b " if i < 3 else c)
    ).encode(),
    "letters taken apart": text(
        edited(lambda c, i: __import__("unicodedata").normalize("NFD", c) if i < 2 else c)
    ).encode(),
    "dates with points": text(
        edited(lambda c, i: ".".join(reversed(c.split("-"))) if i == 2 else c)
    ).encode(),
    "dates in words": text(
        edited(lambda c, i: f"{int(c[-2:])} Mar {c[:4]}" if i == 2 else c)
    ).encode(),
    "dates with times": text(edited(lambda c, i: f"{c} 00:00:00" if i == 2 else c)).encode(),
    "days counted by a spreadsheet": text(
        edited(lambda c, i: str((date.fromisoformat(c) - date(1899, 12, 30)).days) if i == 2 else c)
    ).encode(),
    "shares as parts of one": text(edited(lambda c, i: "0.5" if i == 4 else c)).encode(),
    "columns in another order": text(reordered([5, 2, 0, 4, 1, 3])).encode(),
    "columns nobody asked for": text([[*row, "x", "y"] for row in grid()]).encode(),
    "short rows at the end": (text(grid()) + "\n,,\n").encode(),
    "headings in other letters": text([[h.upper() + " :" for h in HEADING], *grid()[1:]]).encode(),
}
"""Twenty and more ways in which the same statement arrives."""


def told(statement: Statement) -> list[tuple[object, ...]]:
    """What the lines say, without where they stand."""
    return [(x.key, x.outlet, x.day, x.fee, x.share_percent, x.paid) for x in statement.lines]


CLEAN = told(read_statement(text(grid()).encode(), FORM))


def test_the_clean_statement_says_what_it_says() -> None:
    """Three lines to the cent."""
    assert CLEAN[1] == (
        "marnstein-0007", "Herald, late edition", date(2027, 3, 8), Money.of("1234.50", "EUR"),
        Decimal(50), Money.of("617.25", "EUR"),
    )  # fmt: skip
    assert len(DIRT) >= 20


@pytest.mark.parametrize("kind", DIRT)
def test_dirt_changes_nothing(kind: str) -> None:
    """The dirty statement has the same lines, none unread, and no remark."""
    form = FORM
    if kind == "dates with points":
        form = StatementForm(FORM.columns, "EUR", day_order="dmy")
    statement = read_statement(DIRT[kind], form)
    assert told(statement) == CLEAN
    assert (statement.unread, statement.remarks) == ((), ())


def test_windows_letters_are_read() -> None:
    """A statement in Windows-1252 keeps its letters, the euro sign among them."""
    cells = [list(HEADING), ["küste.jpg", "Bote", "2027-03-07", "€ 2,00", "50 %", "€ 1,00"]]
    (line,) = read_statement(text(cells, ";").encode("cp1252"), FORM).lines
    assert (line.key, line.paid) == ("küste", Money.of(1, "EUR"))


UNREADABLE = {
    "a shortened number": ["1.23E+11", "G", "2027-03-07", "80.00", "50", "40.00"],
    "a shortened amount": ["x", "G", "2027-03-07", "80.00", "50", "4.0E+01"],
    "thousands or thousandths": ["x", "G", "2027-03-07", "80.00", "50", "1.234"],
    "day or month": ["x", "G", "03/04/2027", "80.00", "50", "40.00"],
    "no date": ["x", "G", "soon", "80.00", "50", "40.00"],
    "30 February": ["x", "G", "2027-02-30", "80.00", "50", "40.00"],
    "no amount": ["x", "G", "2027-03-07", "80.00", "50", "n/a"],
    "no amount at all": ["x", "G", "2027-03-07", "80.00", "50", ""],
    "share beyond the whole": ["x", "G", "2027-03-07", "80.00", "150 %", "40.00"],
    "two currencies": ["x", "G", "2027-03-07", "80.00 CHF", "50", "40.00"],
    "no picture": ["", "G", "2027-03-07", "80.00", "50", "40.00"],
    "too many cells": ["x", "G", "2027-03-07", "80.00", "50", "40.00", "7"],
    "parts of a cent": ["x", "G", "2027-03-07", "80.00", "50", "40.005"],
}


@pytest.mark.parametrize("kind", UNREADABLE)
def test_a_row_that_may_mean_something_else_is_refused_alone(kind: str) -> None:
    """It is listed with its line and reason, and the other lines stand."""
    statement = read_statement(text([*grid()[:3], UNREADABLE[kind], *grid()[3:]]).encode(), FORM)
    assert told(statement) == CLEAN
    (row,) = statement.unread
    assert (row.line, bool(row.why)) == (4, True)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(-(10**7), 10**7), st.booleans()), min_size=1, max_size=15))
def test_every_row_is_a_line_or_refused_and_the_sum_is_exact(rows: list[tuple[int, bool]]) -> None:
    """Lines and refused rows are as many as rows; what the lines pay is what was written."""
    cells = [
        [f"p{n}", "G", "2027-03-07", "", "", f"{c / 100:.2f}" if good else "?"]
        for n, (c, good) in enumerate(rows)
    ]
    statement = read_statement(text([list(HEADING), *cells]).encode(), FORM)
    assert len(statement.lines) + len(statement.unread) == len(rows)
    written = sum(Decimal(c) / 100 for c, good in rows if good)
    assert sum((m.amount for m in statement.paid.values()), Decimal(0)) == written


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=300) | st.text(max_size=300).map(str.encode))
def test_whatever_arrives_ends_in_words(data: bytes) -> None:
    """No bytes end in anything but a statement or WrongUse."""
    with suppress(WrongUse):
        assert read_statement(data, StatementForm(currency="EUR")).lines is not None


def test_a_sum_that_does_not_fit_is_remarked() -> None:
    """The stated total is held against the lines above it."""
    cells = [*grid(), ["Total", "", "", "", "", "700.00"]]
    (remark,) = read_statement(text(cells).encode(), FORM).remarks
    assert "700.00 EUR" in remark
    assert "672.25 EUR" in remark


@pytest.mark.parametrize(
    "word",
    ["Total", "Totals:", "Sub-total", "Grand Total", "SUM", "Summe", "Gesamt", "Gesamtsumme",
     "Zwischensumme", "Balance", "Saldo", "Carried forward", "Übertrag"],
)  # fmt: skip
def test_a_sum_is_known_by_its_word(word: str) -> None:
    """A row that adds up the lines above it is no line, in whichever words it says so."""
    fits = [*grid(), [word, "", "", "", "", "672.25"]]
    statement = read_statement(text(fits).encode(), FORM)
    assert (told(statement), statement.unread, statement.remarks) == (CLEAN, (), ())
    wrong = [*grid(), ["", word, "", "", "", "600.00"]]
    (remark,) = read_statement(text(wrong).encode(), FORM).remarks
    assert remark == "line 5 states a sum of 600.00 EUR; the lines above make 672.25 EUR"


def test_a_sum_of_another_currency_is_held_to_its_own_lines() -> None:
    """With a column of currencies a sum is compared with the lines of its currency alone."""
    form = StatementForm({"picture": "File", "paid": "Net", "currency": "Cur"})
    cells = [["File", "Net", "Cur"], ["a", "10.00", "EUR"], ["b", "7.50", "CHF"]]
    assert read_statement(text([*cells, ["Total", "7.50", "chf"]]).encode(), form).remarks == ()
    (remark,) = read_statement(text([*cells, ["Total", "9.00", "CHF"]]).encode(), form).remarks
    assert remark.endswith("states a sum of 9.00 CHF; the lines above make 7.50 CHF")
    assert read_statement(text([cells[0], ["Total", "0.00", "EUR"]]).encode(), form).remarks == ()


def test_amounts_of_two_currencies_are_summed_apart() -> None:
    """A column of currencies decides row by row."""
    form = StatementForm({"picture": "File", "paid": "Net", "currency": "Cur"})
    cells = [["File", "Net", "Cur"], ["a", "10.00", "EUR"], ["b", "7.50", "chf"]]
    paid = read_statement(text(cells).encode(), form).paid
    assert paid == {"CHF": Money.of("7.50", "CHF"), "EUR": Money.of(10, "EUR")}


def test_general_headings_need_no_mapping() -> None:
    """Without a mapping the usual words are understood, in another language too."""
    english = [["Image ID", "Client", "Net amount"], ["a", "G", "10.00"]]
    german = [["Bildnummer", "Erschienen", "Betrag"], ["a", "07.03.2027", "10,00"]]
    for cells in (english, german):
        form = StatementForm(currency="EUR", day_order="dmy")
        (line,) = read_statement(text(cells, ";").encode(), form).lines
        assert (line.key, line.paid.amount) == ("a", 10)
    assert headings_of(text(english).encode()) == ("Image ID", "Client", "Net amount")


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"PK\x03\x04rest", "spreadsheet"),
        (b"%PDF-1.7", "PDF"),
        (b"a\0\0\0b", "no text"),
        (b"\xff\xfea", "no text"),
        (b"", "headings"),
        (b"File,Amount\n", "headings"),
        (text(grid()).encode() + b'x,"never closed\nmore', "quotes"),
    ],
)
def test_a_file_that_is_no_statement_is_refused(data: bytes, words: str) -> None:
    """Spreadsheets, binaries, other tables and open quotes say what they are."""
    with pytest.raises(WrongUse, match=words):
        read_statement(data, FORM)


@pytest.mark.parametrize(
    "values",
    [
        {"columns": {"colour": "x"}}, {"decimal_mark": ";"}, {"day_order": "ydm"},
        {"share_percent": Decimal(101)},
    ],
)  # fmt: skip
def test_a_form_that_makes_no_sense_is_refused(values: dict[str, object]) -> None:
    """Unknown columns, marks, orders and shares are wrong use."""
    with pytest.raises(WrongUse):
        StatementForm(**values)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("written", "order", "day"),
    [
        ("7.3.27", "dmy", (2027, 3, 7)),
        ("3/7/2027", "mdy", (2027, 3, 7)),
        ("27-03-07", "ymd", (2027, 3, 7)),
        ("25/12/2027", "", (2027, 12, 25)),
        ("12/25/2027", "", (2027, 12, 25)),
        ("5/5/2027", "", (2027, 5, 5)),
        ("20270307", "", (2027, 3, 7)),
        ("March 7, 2027", "", (2027, 3, 7)),
        ("7. März 2027", "", (2027, 3, 7)),
        ("2027-03-07T10:00:00Z", "", (2027, 3, 7)),
    ],
)
def test_dates_are_read_as_written(written: str, order: str, day: tuple[int, int, int]) -> None:
    """Numbers, words and times, with an order where numbers do not tell."""
    assert read_day(written, order) == date(*day)


@pytest.mark.parametrize("written", ["12/11/2027", "1/12/2027", "12/1/2027", "1-2-27"])
def test_a_day_that_may_be_a_month_is_not_guessed(written: str) -> None:
    """Up to twelve both may be either; with an order each is what the order says."""
    with pytest.raises(WrongUse, match="which is the day"):
        read_day(written)
    assert read_day("12/11/2027", "dmy") == date(2027, 11, 12)
    assert read_day("12/11/2027", "mdy") == date(2027, 12, 11)


@pytest.mark.parametrize(
    ("written", "day"),
    [
        ("13/1/2027", (2027, 1, 13)), ("12/13/2027", (2027, 12, 13)), ("1/1/99", (2099, 1, 1)),
        ("31 Dec 27", (2027, 12, 31)), ("32 Dec 31", (2032, 12, 31)), ("30000", (1982, 2, 18)),
        ("79999", (2119, 1, 10)), ("7. Sept. 2027", (2027, 9, 7)),
        ("7 oktober 2027", (2027, 10, 7)), ("2027/03/07 10:00", (2027, 3, 7)),
        ("7 mai 2027", (2027, 5, 7)), ("7 mrz 2027", (2027, 3, 7)),
    ],
)  # fmt: skip
def test_days_at_the_edges_are_read(written: str, day: tuple[int, int, int]) -> None:
    """Spreadsheets count days from 30 December 1899; a first number over 31 is a year."""
    assert read_day(written) == date(*day)


@pytest.mark.parametrize("written", ["29999", "80000", "1 2", "1.2.3.4", "7 Xyz 2027", "x 1 2"])
def test_what_is_no_day_is_refused(written: str) -> None:
    """Numbers beyond the days of a spreadsheet, too few or too many parts, unknown words."""
    with pytest.raises(WrongUse, match="no date"):
        read_day(written, "dmy")


@pytest.mark.parametrize("name", KNOWN_HEADINGS)
def test_every_general_heading_is_understood(name: str) -> None:
    """Each word of the table leads to its column, whatever stands around it."""
    values = {
        "picture": "p", "outlet": "G", "day": "2027-03-07", "fee": "8.00", "share": "50 %",
        "paid": "4.00", "currency": "CHF", "title": "Goal",
    }  # fmt: skip
    assert set(values) == set(KNOWN_HEADINGS)
    for word in KNOWN_HEADINGS[name]:
        heads = {"picture": "Image", "paid": "Net"} | {name: word.capitalize()}
        cells = [list(heads.values()), [values[n] for n in heads]]
        (read,) = read_statement(text(cells).encode(), StatementForm(currency="EUR")).lines
        told_of = {
            "picture": read.picture, "outlet": read.outlet, "day": str(read.day),
            "fee": f"{read.fee.amount}" if read.fee else "", "title": read.title,
            "share": f"{read.share_percent or 0:.0f} %", "paid": str(read.paid.amount),
            "currency": read.paid.currency,
        }  # fmt: skip
        assert told_of[name] == values[name], word


def test_a_share_is_at_most_the_whole() -> None:
    """100 % is a share, a tenth of a percent more is none; 1 is the whole."""
    assert read_share("100") == read_share("1") == read_share("100 %") == 100
    assert (read_share("0"), read_share("1.5"), read_share("0.7 %")) == (
        0, Decimal("1.5"), Decimal("0.7"),
    )  # fmt: skip
    for beyond in ("100.1", "101 %", "-0.1"):
        with pytest.raises(WrongUse, match="between 0 and 100"):
            read_share(beyond)


def test_shares_and_references_are_read_as_written() -> None:
    """Parts of one and percent are the same; folders and endings do not count."""
    assert [read_share(s) for s in ("50", "50 %", "0.5", "1", "1 %", "0,5")] == [
        50,
        50,
        50,
        100,
        1,
        50,
    ]
    assert reference("/a/b\\C_1.JPEG") == reference(" c_1 ") == "c_1"
