"""The cells of a statement as agencies export them: any encoding, separator, date and share.

Whatever cannot be read for certain is refused with its reason; nothing is guessed.
"""

from __future__ import annotations

import codecs
import csv
import datetime
import re
import unicodedata
from collections.abc import Sequence
from decimal import Decimal

from setpiece.books.money import read_decimal
from setpiece.errors import WrongUse

LARGEST_BYTES = 5_000_000
SEPARATORS = ",;\t|"

_BOMS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_ZERO_DAY = datetime.date(1899, 12, 30)
_SERIALS = range(30_000, 80_000)  # 1982 to 2119 as spreadsheets count days
_MONTHS = {
    name: number
    for number, names in enumerate(
        (
            "jan januar january", "feb februar february", "mar mär märz march mrz", "apr april",
            "may mai", "jun juni june", "jul juli july", "aug august", "sep sept september",
            "oct okt oktober october", "nov november", "dec dez dezember december",
        ),
        1,
    )
    for name in names.split()
}  # fmt: skip
_INVISIBLE = re.compile("[\u200b-\u200f\u2028-\u202e\u2060\ufeff\u00ad]")


def decoded(data: bytes) -> str:
    """The text of a statement: by its mark, as UTF-8, else as Windows-1252. Raises WrongUse."""
    if len(data) > LARGEST_BYTES:
        raise WrongUse("this is far too long for a statement", next_step="Look at the file.")
    for mark, encoding in _BOMS:
        if data.startswith(mark):
            return _decode(data[len(mark) :], encoding)
    if data[1:2] == b"\0" and data[:1] != b"\0":
        return _decode(data, "utf-16-le")
    if data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF")):
        raise WrongUse(
            "this is a spreadsheet or PDF, not CSV", next_step="Export it as CSV and try again."
        )
    if b"\0" in data:
        raise WrongUse("this is no text", next_step="Export it as CSV and try again.")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return _decode(data, "cp1252")


def _decode(data: bytes, encoding: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        raise WrongUse(
            f"this is no text ({error.reason})", next_step="Export it as CSV and try again."
        ) from error


def rows_of(text: str) -> list[tuple[int, list[str]]]:
    """Each row with the line it begins at; cells tidied; empty rows left out.

    The separator is the one that makes most rows as wide as the widest common width. Raises
    WrongUse for a quote that is never closed.
    """
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    best = max(SEPARATORS, key=lambda s: _evenness(plain, s))
    reader = csv.reader(plain.splitlines(keepends=True), delimiter=best, strict=True)
    rows: list[tuple[int, list[str]]] = []
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return rows
        except csv.Error as error:
            raise WrongUse(
                f"this is no CSV ({error})", thing=f"line {line}", next_step="Look at its quotes."
            ) from error
        tidy = [tidied(cell) for cell in cells]
        if any(tidy):
            rows.append((line, tidy))


def _evenness(text: str, separator: str) -> int:
    """How many rows have the most common width beyond one cell, weighted by that width."""
    lines = text.split("\n")[:200]
    widths = [line.count(separator) for line in lines if separator in line]
    if not widths:
        return 0
    common = max(set(widths), key=lambda w: (widths.count(w), w))
    return widths.count(common) * 100 + common


def tidied(cell: str) -> str:
    """A cell without invisible signs, a spreadsheet's `="..."`, and blanks at its ends."""
    plain = _INVISIBLE.sub("", unicodedata.normalize("NFC", cell)).replace("\u00a0", " ").strip()
    formula = re.fullmatch(r'="?(.*?)"?', plain) if plain.startswith("=") else None
    plain = formula[1] if formula else plain
    return plain.removeprefix("'").strip()


def heading_word(cell: str) -> str:
    """A heading as it is compared: small letters and digits only."""
    plain = unicodedata.normalize("NFKD", cell.casefold())
    return re.sub(r"[^a-z0-9]+", "", plain)


def reference(text: str) -> str:
    """A picture's name as it is compared: without folder, ending and case. Raises WrongUse."""
    plain = tidied(text)
    if re.fullmatch(r"\d[.,]\d+[eE][+-]?\d+", plain):
        raise WrongUse(
            "a spreadsheet has shortened this picture's number",
            thing=plain,
            next_step="Export the column as text.",
        )
    name = re.split(r"[/\\]", plain)[-1]
    name = re.sub(r"\.(jpe?g|tiff?|png|heic|webp|xmp)$", "", name, flags=re.IGNORECASE)
    return unicodedata.normalize("NFKC", name).casefold().strip()


def read_day(text: str, order: str = "") -> datetime.date:
    """The date in a cell; `order` is `dmy`, `mdy` or `ymd` where numbers do not tell.

    Raises WrongUse, also for one like 03/04/2027 without an order.
    """
    plain = re.sub(r"[T ]\d{1,2}:\d{2}.*$", "", tidied(text)).strip().rstrip(",")
    try:
        return _day(plain, order)
    except ValueError as error:
        raise WrongUse(
            f"this is no date ({error})" if str(error) else "this is no date", thing=text.strip()
        ) from error


def _day(plain: str, order: str) -> datetime.date:
    if plain.isdecimal() and int(plain) in _SERIALS:
        return _ZERO_DAY + datetime.timedelta(days=int(plain))
    if re.fullmatch(r"\d{8}", plain):
        return datetime.date.fromisoformat(plain)
    parts = [p for p in re.split(r"[\s./,\-]+", plain) if p]
    if len(parts) != 3:
        raise ValueError
    worded = [i for i, p in enumerate(parts) if p.casefold().rstrip(".") in _MONTHS]
    if worded:
        month = _MONTHS[parts.pop(worded[0]).casefold().rstrip(".")]
        first, second = (int(p) for p in parts)
        year, day = (first, second) if first > 31 else (second, first)
        return datetime.date(_full_year(year), month, day)
    numbers = [int(p) for p in parts]
    if len(parts[0]) == 4 or order == "ymd":
        return datetime.date(_full_year(numbers[0]), numbers[1], numbers[2])
    day, month = numbers[:2]
    if order == "mdy" or (not order and month > 12):
        day, month = month, day
    elif not order and day <= 12 and day != month:
        raise ValueError("which is the day and which the month?")
    return datetime.date(_full_year(numbers[2]), month, day)


def _full_year(year: int) -> int:
    return year if year > 99 else 2000 + year


def read_share(text: str, decimal_mark: str = "") -> Decimal:
    """The share in a cell in percent: `50 %`, `50`, `0.5`. Raises WrongUse beyond 0 to 100."""
    plain = tidied(text)
    share = read_decimal(plain.replace("%", ""), decimal_mark)
    if "%" not in plain and 0 < share <= 1:
        share *= 100
    if not 0 <= share <= 100:
        raise WrongUse("a share lies between 0 and 100 %", thing=plain)
    return share


def is_sum(cells: Sequence[str]) -> bool:
    """Whether a row is a sum under the lines, not a line."""
    words = {heading_word(c) for c in cells if c}
    return bool(words & _SUM_WORDS)


_SUM_WORDS = frozenset(
    ("total", "totals", "subtotal", "grandtotal", "sum", "summe", "gesamt", "gesamtsumme",
     "zwischensumme", "balance", "saldo", "carriedforward", "ubertrag")
)  # fmt: skip
