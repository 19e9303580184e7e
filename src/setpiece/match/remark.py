"""A remark: something in a log or a team sheet that looks wrong, and why."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.match.entries import EntryId
from setpiece.match.people import PersonId, Side, TeamSheet, number_in_id


@dataclass(frozen=True, slots=True)
class Remark:
    """What looks wrong, in a sentence, and which entries or people it is about.

    `about` is a short fixed word for programs, as `too many on the pitch`. The sentence begins
    with a capital, also where a name or number begins it.
    """

    about: str
    says: str
    entries: tuple[EntryId, ...] = ()
    people: tuple[PersonId, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "says", f"{self.says[:1].upper()}{self.says[1:]}")


def who(person_id: PersonId | None, sheet: TeamSheet) -> str:
    """A person in a remark: number, name and side, as far as they are known."""
    if person_id is None:
        return "somebody"
    person = sheet.person(person_id)
    if person is not None:
        number = "" if person.number is None else f"{person.number} "
        return f"{number}{person.name}{_of(person.side, sheet)}"
    numbered = number_in_id(person_id)
    if numbered is not None:
        return f"number {numbered[1]}{_of(numbered[0], sheet)}"
    return str(person_id)


def club(side: Side, sheet: TeamSheet) -> str:
    """The short name of a side."""
    return sheet.side(side).short_name


def _of(side: Side | None, sheet: TeamSheet) -> str:
    return f" ({club(side, sheet)})" if side is not None else ""
