"""Text in an open form to values and back: rows of CSV, documents of JSON.

Pure: text comes in, text goes out. Every error names the row or the place in the document.
"""

from __future__ import annotations

import csv
import json
import types
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import UTC, datetime
from enum import Enum
from typing import Any, NewType, TypeVar, Union, get_args, get_origin, get_type_hints

from setpiece.errors import WrongUse
from setpiece.match.instants import MinuteLabel, read_instant

Value = TypeVar("Value")

LONGEST_TEXT = 2_000_000
"""Characters a file may have; a log of a match has some thousand."""


def check_length(text: str) -> None:
    """Raises WrongUse for a text that is far too long to be about one match."""
    if len(text) > LONGEST_TEXT:
        raise WrongUse("the text is far too long for a match", next_step="Look at the file.")


class Row:
    """One row of a CSV file: cells by column, and the line it began at."""

    def __init__(self, line: int, cells: Mapping[str, str]) -> None:
        self.line = line
        self._cells = cells

    def __getitem__(self, column: str) -> str:
        return self._cells.get(column, "")

    def wrong(self, what: str, *, next_step: str = "") -> WrongUse:
        """An error that names this row."""
        return WrongUse(what, thing=f"line {self.line}", next_step=next_step)

    def whole_number(self, column: str) -> int | None:
        """A whole number of at most three digits, None for an empty cell."""
        text = self[column]
        if not text:
            return None
        if not text.isdecimal() or len(text) > 3:
            raise self.wrong(f"{column} is no number: {text}", next_step="Write digits only.")
        return int(text)


def read_rows(
    text: str, columns: Sequence[str], *, other_words: Mapping[str, str], needed: Sequence[str]
) -> list[Row]:
    """The rows of a CSV text with a heading line; comma, semicolon or tab between cells.

    `other_words` maps other words for a column to its name. Empty rows are left out. Raises
    WrongUse for a heading that misses a needed column or has an unknown one.
    """
    check_length(text)
    text = text.removeprefix("\ufeff")
    first = next((line for line in text.splitlines() if line.strip()), "")
    between = max(",;\t", key=first.count)
    reader = csv.reader(text.splitlines(keepends=True), delimiter=between, strict=True)
    heading: list[str] = []
    rows: list[Row] = []
    for line, cells in _lines(reader):
        if not any(cells):
            continue
        if not heading:
            heading = _heading(cells, columns, other_words, needed)
        elif len(cells) > len(heading) and any(cells[len(heading) :]):
            raise WrongUse("more cells than the heading has", thing=f"line {line}")
        else:
            rows.append(Row(line, dict(zip(heading, cells, strict=False))))
    if not heading:
        raise WrongUse("there is no heading line", next_step=f"Begin with {','.join(columns)}.")
    return rows


def _lines(reader: Any) -> Iterator[tuple[int, list[str]]]:
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise WrongUse(
                f"this is no CSV ({error})", thing=f"line {line}", next_step="Look at its quotes."
            ) from error
        yield line, [cell.strip() for cell in cells]


def _heading(
    cells: Sequence[str],
    columns: Sequence[str],
    other_words: Mapping[str, str],
    needed: Sequence[str],
) -> list[str]:
    names = [cell.casefold().replace(" ", "_").replace("-", "_") for cell in cells]
    names = [other_words.get(name, name) for name in names]
    for name in names:
        if name and name not in columns:
            raise WrongUse(
                "no such column", thing=name, next_step=f"Columns: {', '.join(columns)}."
            )
        if name and names.count(name) > 1:
            raise WrongUse("a column stands twice", thing=name)
    missing = [column for column in needed if column not in names]
    if missing:
        raise WrongUse(
            "a column is missing",
            thing=", ".join(missing),
            next_step=f"Columns: {', '.join(columns)}.",
        )
    return names


class _Sheet(list[str]):
    """What csv.writer writes to."""

    def write(self, text: str) -> int:
        self.append(text)
        return len(text)


def write_rows(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A CSV text with a heading line, commas and line feeds."""
    sheet = _Sheet()
    writer = csv.writer(sheet, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(rows)
    return "".join(sheet)


# ----- JSON -----


def read_document(text: str, form: str) -> dict[str, Any]:
    """The JSON object of a document of that form. Raises WrongUse."""
    check_length(text)
    try:
        document = json.loads(text.removeprefix("\ufeff"))
    except (ValueError, RecursionError) as error:
        raise WrongUse(f"this is no JSON ({error})", next_step="Look at the file.") from error
    if not isinstance(document, dict) or document.get("form") != form:
        raise WrongUse(f"this is no {form}", next_step=f'A document begins with "form": "{form}".')
    if document.get("version") != 1:
        raise WrongUse(
            "this version of the form is not known",
            thing=str(document.get("version")),
            next_step="Take a newer Setpiece.",
        )
    return document


def write_document(form: str, **parts: Any) -> str:
    """A JSON document of that form, in UTF-8 letters, ending with a line feed."""
    return json.dumps({"form": form, "version": 1, **parts}, ensure_ascii=False, indent=1) + "\n"


def to_plain(value: Any) -> Any:
    """A fact as JSON has it: dataclasses without what is as by default, instants in UTC."""
    if isinstance(value, MinuteLabel):
        return str(value)
    if is_dataclass(value) and not isinstance(value, type):
        return {
            f.name: to_plain(getattr(value, f.name))
            for f in fields(value)
            if getattr(value, f.name) != _default(f)
        }
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat().replace("+00:00", "Z")
    if isinstance(value, tuple):
        return [to_plain(item) for item in value]
    return value


def from_plain(kind: type[Value], data: Any, where: str) -> Value:
    """The fact of that type in a piece of JSON. Raises WrongUse that names the place."""
    made: Value = _made(kind, data, where)
    return made


def _made(kind: Any, data: Any, where: str) -> Any:
    if isinstance(kind, NewType):
        return _made_new_type(kind, data, where)
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        return None if data is None else _made(get_args(kind)[0], data, where)
    if origin is tuple:
        if not isinstance(data, list):
            raise WrongUse("this must be a list", thing=where)
        return tuple(_made(get_args(kind)[0], item, f"{where}[{i}]") for i, item in enumerate(data))
    if kind is MinuteLabel:
        return MinuteLabel.read(_made(str, data, where))
    if is_dataclass(kind):
        return _made_dataclass(kind, data, where)
    if isinstance(kind, type) and issubclass(kind, Enum):
        try:
            return kind(data)
        except ValueError as error:
            known = ", ".join(str(member.value) or '""' for member in kind)
            raise WrongUse(
                f"no such word: {data}", thing=where, next_step=f"Words: {known}."
            ) from error
    return _made_basic(kind, data, where)


def _made_new_type(kind: NewType, data: Any, where: str) -> Any:
    if kind.__supertype__ is datetime:
        return read_instant(_made(str, data, where))
    return _made(kind.__supertype__, data, where)


def _made_basic(kind: Any, data: Any, where: str) -> Any:
    if kind is float and isinstance(data, int) and not isinstance(data, bool):
        return float(data)
    if not isinstance(data, kind) or (isinstance(data, bool) and kind is not bool):
        raise WrongUse(f"this must be a {_WORDS.get(kind, kind.__name__)}", thing=where)
    return data


_WORDS = {str: "text", int: "whole number", float: "number", bool: "true or false"}


def _made_dataclass(kind: Any, data: Any, where: str) -> Any:
    if not isinstance(data, dict):
        raise WrongUse("this must be an object", thing=where)
    hints = get_type_hints(kind)
    given: dict[str, Any] = {}
    for name, value in data.items():
        if name not in hints:
            raise WrongUse(
                "no such field", thing=f"{where}.{name}", next_step=f"Fields: {', '.join(hints)}."
            )
        given[name] = _made(hints[name], value, f"{where}.{name}")
    missing = [f.name for f in fields(kind) if _default(f) is MISSING and f.name not in given]
    if missing:
        raise WrongUse("a field is missing", thing=f"{where}.{missing[0]}")
    return kind(**given)


def _default(of: Field[Any]) -> Any:
    """The default of a field; none of the facts that travel makes its default anew."""
    return of.default
