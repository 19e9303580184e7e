"""A match log as CSV and JSON.

CSV: `period,clock,minute,kind,side,shirt,other_shirt,how,note`, the entries that stand, exact
for these columns. JSON: every entry with all it holds, withdrawn ones too, exact.
The words and examples stand in `docs/formats.md`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from rapidfuzz.process import extractOne

from setpiece.errors import WrongUse
from setpiece.match.entries import Entry, EntryId, How, Kind, Standing
from setpiece.match.fold import Fold
from setpiece.match.forms import (
    Row,
    from_plain,
    read_document,
    read_rows,
    to_plain,
    write_document,
    write_rows,
)
from setpiece.match.instants import Instant, MinuteLabel
from setpiece.match.people import PersonId, Side, TeamSheet, number_in_id, numbered_id

COLUMNS = ("period", "clock", "minute", "kind", "side", "shirt", "other_shirt", "how", "note")
"""The columns of a log as CSV, in order."""

FORM = "match log"
"""What a log as JSON calls itself."""

_GOALS = MappingProxyType(
    {
        Standing.GIVEN: "goal",
        Standing.UNDER_REVIEW: "goal under review",
        Standing.STANDS: "goal stands",
        Standing.DISALLOWED: "disallowed",
    }
)
_ENDS = MappingProxyType({1: "half-time", 2: "full-time"})
_OTHER_WORDS = MappingProxyType(
    {"kickoff": "kick off", "halftime": "half time", "fulltime": "full time", "sub": "substitution"}
)
_CLOCK = re.compile(r"(\d{1,3}):([0-5]\d(?:\.\d{1,6})?)")


def _plain(word: str) -> str:
    spaced = " ".join(word.casefold().replace("-", " ").replace("_", " ").split())
    spaced = spaced.removesuffix(" card")
    return _OTHER_WORDS.get(spaced, spaced)


_KINDS: dict[str, tuple[Kind, Standing, int | None]] = {
    **{_plain(k.value): (k, Standing.GIVEN, None) for k in Kind if k is not Kind.WITHDRAWN},
    **{_plain(word): (Kind.GOAL, standing, None) for standing, word in _GOALS.items()},
    **{_plain(word): (Kind.PERIOD_END, Standing.GIVEN, p) for p, word in _ENDS.items()},
}


def read_log_csv(
    text: str, sheet: TeamSheet, *, typed: Instant, first_id: int = 1
) -> tuple[Entry, ...]:
    """The entries of a log as CSV, one a row, with ids from `first_id`.

    Shirts are the sheet's numbers; one that is not on it becomes a `numbered_id`. A row
    `disallowed` of the same minute, side and shirt as a goal above it takes that goal's place.
    Raises WrongUse that names the line.
    """
    rows = read_rows(text, COLUMNS, other_words={}, needed=("kind",))
    entries: list[Entry] = []
    for row in rows:
        entry = _entry(row, sheet, typed, EntryId(first_id + len(entries)), entries)
        entries.append(replace(entry, supersedes=_disallows(entry, entries)))
    return tuple(entries)


def write_log_csv(fold: Fold) -> str:
    """The entries that stand as CSV, in log order.

    `clock` is given where the entry is known to the second, `minute` where it was printed or
    where the clock is not known.
    """
    sheet = fold.sheet
    return write_rows(COLUMNS, (_cells(entry, fold, sheet) for entry in fold.entries))


def read_log_json(text: str) -> tuple[Entry, ...]:
    """The entries of a log as JSON. Raises WrongUse that names the place."""
    document = read_document(text, FORM)
    entries = from_plain(_Log, {"entries": document.get("entries")}, "log").entries
    ids = [e.id for e in entries]
    if len(set(ids)) < len(ids):
        raise WrongUse("an id stands twice", thing=f"e{max(ids, key=ids.count)}")
    return entries


def write_log_json(log: Iterable[Entry]) -> str:
    """Every entry of a log as JSON."""
    return write_document(FORM, entries=[to_plain(entry) for entry in log])


def read_clock(text: str) -> float:
    """The seconds in `mm:ss`. Raises WrongUse."""
    found = _CLOCK.fullmatch(text.strip())
    if not found:
        raise WrongUse("this is no clock reading", thing=text, next_step="Write it as 27:10.")
    return int(found[1]) * 60 + float(found[2])


def write_clock(elapsed_s: float) -> str:
    """`mm:ss`, with a fraction only where there is one."""
    minutes, seconds = divmod(round(elapsed_s * 1_000_000), 60_000_000)
    whole, fraction = divmod(seconds, 1_000_000)
    tail = f".{fraction:06}".rstrip("0") if fraction else ""
    return f"{minutes:02}:{whole:02}{tail}"


@dataclass(frozen=True, slots=True)
class _Log:
    entries: tuple[Entry, ...]


# ----- reading -----


def _entry(
    row: Row, sheet: TeamSheet, typed: Instant, entry_id: EntryId, before: Sequence[Entry]
) -> Entry:
    kind, standing, own_period = _kind(row)
    period = row.whole_number("period") or own_period
    if period is None and kind in (Kind.KICK_OFF, Kind.PERIOD_END):
        period = 1 + sum(e.kind is kind for e in before)
    side = _side(row)
    how = _how(row)
    shirt, other_shirt = row.whole_number("shirt"), row.whole_number("other_shirt")
    of_person = side.other if side is not None and how is How.OWN_GOAL else side
    new_number = other_shirt if kind is Kind.SHIRT else None
    try:
        return Entry(
            id=entry_id,
            kind=kind,
            typed=typed,
            printed=_minute(row),
            period=period,
            side=side,
            person=_person(row, sheet, of_person, shirt),
            other=None if kind is Kind.SHIRT else _person(row, sheet, side, other_shirt),
            how=how,
            standing=standing,
            number=new_number,
            note=row["note"],
            elapsed_s=_elapsed_s(row),
            imported=True,
        )
    except WrongUse as error:
        if error.thing.startswith("line"):
            raise
        raise row.wrong(error.what, next_step=error.next_step) from error


def _kind(row: Row) -> tuple[Kind, Standing, int | None]:
    word = _plain(row["kind"])
    if word in _KINDS:
        return _KINDS[word]
    near = extractOne(word, list(_KINDS), score_cutoff=60)
    hint = f"Did you mean {near[0]}?" if near else "The words stand in docs/formats.md."
    raise row.wrong(f"no such kind of entry: {row['kind'] or '(empty)'}", next_step=hint)


def _side(row: Row) -> Side | None:
    word = row["side"].casefold()
    if not word:
        return None
    if word not in ("home", "away"):
        raise row.wrong(f"no such side: {word}", next_step="Write home or away.")
    return Side(word)


def _how(row: Row) -> How:
    word = row["how"].casefold().replace("-", " ")
    try:
        return How(word)
    except ValueError as error:
        known = ", ".join(how.value for how in How if how.value)
        raise row.wrong(f"no such how: {word}", next_step=f"Words: {known}.") from error


def _minute(row: Row) -> MinuteLabel | None:
    text = row["minute"]
    if not text:
        return None
    if text.rstrip("'’") == "0":
        raise row.wrong(
            "minutes count from 1: this log looks counted from zero",
            next_step="Add one to every minute, or give the clock instead.",
        )
    try:
        return MinuteLabel.read(text)
    except WrongUse as error:
        raise row.wrong(f"no match minute: {text}", next_step="Write 73 or 45+2.") from error


def _elapsed_s(row: Row) -> float | None:
    if not row["clock"]:
        return None
    try:
        return read_clock(row["clock"])
    except WrongUse as error:
        raise row.wrong(
            f"no clock reading: {row['clock']}", next_step="Write mm:ss of the period."
        ) from error


def _person(row: Row, sheet: TeamSheet, side: Side | None, number: int | None) -> PersonId | None:
    if number is None:
        return None
    if side is None:
        raise row.wrong("a shirt needs its side", next_step="Write home or away.")
    players = sheet.players(side)
    for person in players:
        if person.number == number:
            return person.id
    for person in players:
        if person.earlier_number == number:
            return person.id
    return numbered_id(side, number)


def _disallows(entry: Entry, before: Sequence[Entry]) -> EntryId | None:
    """The goal that a row `disallowed` of the same moment takes back."""
    if entry.standing is not Standing.DISALLOWED:
        return None
    same = (entry.period, entry.elapsed_s, entry.printed, entry.side, entry.person)
    for goal in reversed(before):
        if goal.kind is Kind.GOAL and goal.standing is not Standing.DISALLOWED:
            told = (goal.period, goal.elapsed_s, goal.printed, goal.side, goal.person)
            if told == same and goal.says_when and goal.person is not None:
                return goal.id
    return None


# ----- writing -----


def _cells(entry: Entry, fold: Fold, sheet: TeamSheet) -> tuple[str, ...]:
    period, elapsed_s = fold.on_clock(entry)
    if entry.period is not None or entry.imported:
        period = entry.period
    clock = "" if elapsed_s is None else write_clock(elapsed_s)
    minute = entry.printed
    if minute is None and elapsed_s is None and not entry.imported:
        minute = fold.minute_of(entry)
    return (
        "" if period is None else str(period),
        clock,
        "" if minute is None else str(minute),
        _kind_word(entry),
        entry.side.value if entry.side is not None else "",
        _shirt(entry.person, sheet),
        _shirt(entry.other, sheet) if entry.kind is not Kind.SHIRT else _digits(entry.number),
        entry.how.value,
        entry.note,
    )


def _kind_word(entry: Entry) -> str:
    if entry.kind is Kind.GOAL:
        return _GOALS[entry.standing]
    if entry.kind is Kind.PERIOD_END:
        return _ENDS.get(entry.period or 0, entry.kind.value)
    return entry.kind.value


def _shirt(person_id: PersonId | None, sheet: TeamSheet) -> str:
    if person_id is None:
        return ""
    person = sheet.person(person_id)
    if person is not None:
        return _digits(person.number)
    numbered = number_in_id(person_id)
    return _digits(numbered[1]) if numbered else ""


def _digits(number: int | None) -> str:
    return "" if number is None else str(number)
