"""A team sheet as it is pasted: `9 Name`, `9. NAME (c)`, tab or comma, one column or two.

Two columns are home on the left, away on the right. A heading (`Substitutes`) parts those who
start from the bench; without one the first eleven start. `Head coach: Name` and the like name
staff and officials, `Guest: Name, mayor` a guest. A line that is not understood is handed back.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from setpiece.match.forms import check_length
from setpiece.match.people import Person, Role, Side, SidePeople, TeamSheet
from setpiece.match.roles import KEEPER_POSITIONS, OFFICIALS, role_of
from setpiece.match.sheet_exchange import ELEVEN, PRONOUNS, apart, person_id

BENCH = frozenset({"substitutes", "subs", "bench", "replacements", "reserves"})
"""Headings after which nobody starts."""

START = frozenset({"starting xi", "starting eleven", "starting 11", "line up", "lineup", "team"})
"""Headings after which everybody starts."""

_NUMBER_FIRST = re.compile(r"(?:no\.?\s*|#)?(\d{1,3})\s*[.):\-–]?[\s,;]+(\D.*)", re.IGNORECASE)
_NUMBER_LAST = re.compile(r"(\D*?[^\W\d])[\s,;]+(\d{1,3})")
_MARK = re.compile(r"[(\[]\s*([^()\[\]]{1,14}?)\s*[)\]]")
_ROLE = re.compile(r"([^\W\d][\w \-]{2,30}?)\s*(?:\(([^()]*)\))?\s*[:\t–]\s*(.+)")
_COLUMNS = re.compile(r"\t+| {3,}|\s+\|\s+")
_POSITIONS = re.compile(
    r"(.+?)[\s,;]+(gk|df|mf|fw|goalkeeper|defender|midfielder|forward|striker|winger|full-back"
    r"|centre-back|wing-back)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Pasted:
    """What was understood of a pasted sheet, and the lines that were not."""

    sheet: TeamSheet
    not_understood: tuple[str, ...]


def read_sheet_text(
    text: str,
    *,
    home: SidePeople | None = None,
    away: SidePeople | None = None,
    side: Side | None = None,
) -> Pasted:
    """The team sheet of pasted text; of one side's people if `side` is given.

    Without `side`, a line of two columns is home and away; one column is home up to a line with
    the away club's name (or just `away`). Raises WrongUse for what is far too long.
    """
    check_length(text)
    clubs = (home or SidePeople("Home", "Home"), away or SidePeople("Away", "Away"))
    reader = _Reader(clubs, side)
    for line in text.removeprefix("\ufeff").splitlines():
        reader.take(line)
    return Pasted(TeamSheet(clubs[0], clubs[1], reader.finished()), tuple(reader.not_understood))


def read_person_line(line: str, side: Side | None) -> tuple[Person, ...]:
    """The people one line names: `9 Name (c)`, `Head coach: Name`, `Guest: Name, mayor`.

    Several names after a role are parted by commas; after `Guest` the comma parts name and
    title. Nothing for a line that names nobody.
    """
    cell = line.strip().strip(",;")
    numbered = _NUMBER_FIRST.fullmatch(cell)
    if numbered:
        return (_player(int(numbered[1]), numbered[2], side),)
    role = _ROLE.fullmatch(cell)
    if role and (people := _with_role(role[1], role[3], side)):
        return people
    last = _NUMBER_LAST.fullmatch(cell)
    if last and len(last[1]) > 1:
        return (_player(int(last[2]), last[1], side),)
    return ()


class _Reader:
    """Takes line after line; knows which side and which heading it is under."""

    def __init__(self, clubs: tuple[SidePeople, SidePeople], side: Side | None) -> None:
        self._clubs = clubs
        self._fixed = side
        self._side = side or Side.HOME
        self._on_bench: dict[Side, bool | None] = dict.fromkeys(Side)
        self._people: list[tuple[Person, bool | None]] = []
        self.not_understood: list[str] = []

    def take(self, line: str) -> None:
        """Understand one line, or keep it for the photographer."""
        if not line.strip():
            return
        if self._fixed is None and (cells := _two_columns(line)):
            for side, cell in zip(Side, cells, strict=True):
                if cell and not self._one(cell, side):
                    self.not_understood.append(cell)
            return
        if self._club_heading(line) or self._one(line, self._side):
            return
        self.not_understood.append(line.strip())

    def finished(self) -> tuple[Person, ...]:
        """The people, with who starts settled."""
        settled: list[Person] = []
        for side in (*Side, None):
            mine = [(p, bench) for p, bench in self._people if p.side is side]
            by_heading = any(bench is not None for _, bench in mine)
            ahead = 0
            for person, bench in mine:
                if person.role.plays:
                    starts = not bench if by_heading else ahead < ELEVEN
                    ahead += 1
                    settled.append(replace(person, starts=starts))
                else:
                    settled.append(person)
        return apart(settled)

    def _one(self, cell: str, side: Side) -> bool:
        plain = _plain_heading(cell)
        if plain in BENCH or plain in START:
            self._on_bench[side] = plain in BENCH
            return True
        after = plain.split(" ", 1)
        if after[0] in BENCH and len(after) == 2 and ":" in cell:
            self._on_bench[side] = True
            return all([self._one(part, side) for part in cell.split(":", 1)[1].split(",") if part])
        people = read_person_line(cell, side)
        self._people.extend((p, self._on_bench[side]) for p in people)
        return bool(people)

    def _club_heading(self, line: str) -> bool:
        plain = _plain_heading(line)
        for side, club in zip(Side, self._clubs, strict=True):
            if plain in (club.name.casefold(), club.short_name.casefold(), side.value):
                if self._fixed is None:
                    self._side = side
                return True
        return False


def _two_columns(line: str) -> tuple[str, str] | None:
    """The two cells of a line that holds two people, two headings or two roles."""
    cells = [c.strip() for c in _COLUMNS.split(line.strip("\r\n")) if c.strip()]
    if len(cells) == 4 and cells[0].isdecimal() and cells[2].isdecimal():
        return f"{cells[0]} {cells[1]}", f"{cells[2]} {cells[3]}"
    if len(cells) == 4 and cells[1].isdecimal() and cells[2].isdecimal():
        return f"{cells[1]} {cells[0]}", f"{cells[2]} {cells[3]}"
    if len(cells) == 2 and all(_names_somebody(cell) for cell in cells):
        return cells[0], cells[1]
    if len(cells) == 1 and _COLUMNS.match(line) and _names_somebody(cells[0]):
        return "", cells[0]
    return None


def _names_somebody(cell: str) -> bool:
    plain = _plain_heading(cell)
    return plain in BENCH or plain in START or bool(read_person_line(cell, None))


def _plain_heading(line: str) -> str:
    return " ".join(re.sub(r"[^\w ]", " ", line.casefold()).split())


def _player(number: int, rest: str, side: Side | None) -> Person:
    name, marks = _marks(rest)
    position = ""
    placed = _POSITIONS.fullmatch(name)
    if placed:
        name, position = placed[1], placed[2]
    position = next((m for m in marks if m in KEEPER_POSITIONS), position)
    role = Role.GOALKEEPER if position.casefold() in KEEPER_POSITIONS else Role.PLAYER
    name = name.strip(" ,;\t")
    return Person(
        id=person_id(side, number, role, name),
        printed_name=name,
        role=role,
        side=side,
        number=number,
        position=position.upper() if len(position) <= 2 else position,
        captain=any(m in ("c", "capt", "captain") for m in marks),
        under_18=any(m in ("u18", "u 18", "under 18") for m in marks),
        pronouns=_pronouns(marks),
    )


def _with_role(words: str, names: str, side: Side | None) -> tuple[Person, ...]:
    role = role_of(words)
    if role is None or role.plays:
        return ()
    of_side = None if role in OFFICIALS else side
    if role is Role.GUEST:
        name, _, title = names.partition(",")
        return (_other(role, name, title.strip(), side),) if name.strip() else ()
    title = " ".join(words.split())
    title = "" if role_of(title) is role and title.casefold() in _said(role) else title
    return tuple(_other(role, n, title, of_side) for n in re.split(r"[,;&]", names) if n.strip())


def _said(role: Role) -> tuple[str, str]:
    return role.value, f"{role.value}s"


def _other(role: Role, name: str, title: str, side: Side | None) -> Person:
    name, marks = _marks(name)
    return Person(
        id=person_id(side, None, role, name),
        printed_name=name,
        role=role,
        side=side,
        title=title,
        pronouns=_pronouns(marks),
    )


def _marks(text: str) -> tuple[str, list[str]]:
    """A name without its bracketed marks, and the marks in small letters."""
    marks: list[str] = []
    kept = text
    for found in _MARK.finditer(text):
        mark = found[1].casefold()
        known = mark in KEEPER_POSITIONS or mark in ("c", "capt", "captain", "u18", "under 18")
        if known or mark.split("/")[0] in PRONOUNS:
            marks.append(mark)
            kept = kept.replace(found[0], " ")
    return " ".join(kept.split()), marks


def _pronouns(marks: list[str]) -> str:
    return next((m.split("/")[0] for m in marks if m.split("/")[0] in PRONOUNS), "")
