"""A team sheet as CSV and JSON.

CSV: one person a row, exact for its columns; the clubs' names and kits stand elsewhere.
JSON: everything, exact. Columns and examples stand in `docs/formats.md`.
"""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

from setpiece.match.forms import (
    Row,
    from_plain,
    read_document,
    read_rows,
    to_plain,
    write_document,
    write_rows,
)
from setpiece.match.names import folded
from setpiece.match.people import (
    Person,
    PersonId,
    Role,
    Side,
    SidePeople,
    TeamSheet,
    numbered_id,
)
from setpiece.match.roles import KEEPER_POSITIONS, role_of

COLUMNS = (
    "side",
    "number",
    "name",
    "known_as",
    "family_name",
    "pronouns",
    "position",
    "role",
    "title",
    "captain",
    "starts",
    "under_18",
    "earlier_number",
    "aliases",
    "id",
)
"""The columns of a sheet as CSV, in order."""

OTHER_WORDS = MappingProxyType(
    {
        "team": "side",
        "shirt": "number",
        "no": "number",
        "no.": "number",
        "#": "number",
        "player": "name",
        "printed_name": "name",
        "pos": "position",
        "starting": "starts",
        "starter": "starts",
        "start": "starts",
        "u18": "under_18",
    }
)
"""Other headings that are understood."""

FORM = "team sheet"
"""What a sheet as JSON calls itself."""

ELEVEN = 11
"""Without a word on who starts, so many of a side do: the first on the sheet."""

PRONOUNS = ("she", "he", "they")
"""The pronouns a caption can use."""

_YES = frozenset({"yes", "y", "true", "1", "x", "c"})
_NO = frozenset({"", "no", "n", "false", "0"})


def read_sheet_csv(
    text: str, *, home: SidePeople | None = None, away: SidePeople | None = None
) -> TeamSheet:
    """The team sheet of a CSV text. Raises WrongUse that names the line.

    Without a column `starts`, the first eleven players of each side start.
    """
    rows = read_rows(text, COLUMNS, other_words=OTHER_WORDS, needed=("name",))
    says_who_starts = any(row["starts"] for row in rows)
    people: list[Person] = []
    for row in rows:
        person = _person(row)
        if not says_who_starts and person.role.plays:
            ahead = sum(p.side is person.side and p.role.plays for p in people)
            person = replace(person, starts=ahead < ELEVEN)
        people.append(person)
    return TeamSheet(
        home or SidePeople("Home", "Home"), away or SidePeople("Away", "Away"), apart(people)
    )


def write_sheet_csv(sheet: TeamSheet) -> str:
    """The people of a sheet as CSV."""
    return write_rows(COLUMNS, (_cells(person) for person in sheet.people))


def read_sheet_json(text: str) -> TeamSheet:
    """The team sheet of a JSON text. Raises WrongUse that names the place."""
    document = read_document(text, FORM)
    parts = {k: v for k, v in document.items() if k not in ("form", "version")}
    return from_plain(TeamSheet, parts, "sheet")


def write_sheet_json(sheet: TeamSheet) -> str:
    """A team sheet as JSON."""
    return write_document(FORM, **to_plain(sheet))


def person_id(side: Side | None, number: int | None, role: Role, name: str) -> PersonId:
    """An identifier for a person of an imported sheet: by number, else by role and name."""
    if side is not None and number is not None and role.plays:
        return numbered_id(side, number)
    parts = (side.value if side else "", role.value, folded(name))
    return PersonId("-".join(part.replace(" ", "-") for part in parts if part))


def apart(people: list[Person]) -> tuple[Person, ...]:
    """The same people, each with an identifier of its own."""
    taken: set[PersonId] = set()
    kept: list[Person] = []
    for person in people:
        own, count = person.id, 2
        while own in taken:
            own, count = PersonId(f"{person.id}-{count}"), count + 1
        taken.add(own)
        kept.append(person if own == person.id else replace(person, id=own))
    return tuple(kept)


def _person(row: Row) -> Person:
    side = _side(row)
    position = row["position"]
    title = row["title"] or row["role"]
    role = _role(row, position)
    number = row.whole_number("number")
    pronouns = row["pronouns"].casefold().split("/")[0].strip()
    if pronouns and pronouns not in PRONOUNS:
        raise row.wrong(
            f"no pronouns to write a caption with: {row['pronouns']}",
            next_step=f"Write one of {', '.join(PRONOUNS)}, or leave it empty.",
        )
    if not row["name"]:
        raise row.wrong("a person needs a name")
    return Person(
        id=PersonId(row["id"]) if row["id"] else person_id(side, number, role, row["name"]),
        printed_name=row["name"],
        role=role,
        side=side,
        number=number,
        known_as=row["known_as"],
        family_name=row["family_name"],
        pronouns=pronouns,
        position=position,
        title="" if title.casefold() == role.value else title,
        captain=_yes(row, "captain"),
        starts=_yes(row, "starts"),
        under_18=_yes(row, "under_18"),
        earlier_number=row.whole_number("earlier_number"),
        aliases=tuple(a.strip() for a in row["aliases"].split(";") if a.strip()),
    )


def _role(row: Row, position: str) -> Role:
    if row["role"]:
        role = role_of(row["role"])
        if role is None:
            known = ", ".join(r.value for r in Role)
            raise row.wrong(f"no such role: {row['role']}", next_step=f"Roles: {known}.")
        return role
    return Role.GOALKEEPER if position.casefold() in KEEPER_POSITIONS else Role.PLAYER


def _side(row: Row) -> Side | None:
    word = row["side"].casefold()
    if not word:
        return None
    if word not in ("home", "away"):
        raise row.wrong(f"no such side: {word}", next_step="Write home or away.")
    return Side(word)


def _yes(row: Row, column: str) -> bool:
    word = row[column].casefold()
    if word in _YES:
        return True
    if word in _NO:
        return False
    raise row.wrong(f"{column} is neither yes nor no: {word}")


def _cells(person: Person) -> tuple[str, ...]:
    return (
        person.side.value if person.side is not None else "",
        "" if person.number is None else str(person.number),
        person.printed_name,
        person.known_as,
        person.family_name,
        person.pronouns,
        person.position,
        person.role.value,
        person.title,
        "yes" if person.captain else "",
        "yes" if person.starts else "no" if person.role.plays else "",
        "yes" if person.under_18 else "",
        "" if person.earlier_number is None else str(person.earlier_number),
        ";".join(person.aliases),
        person.id,
    )
