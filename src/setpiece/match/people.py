"""People and sides of a fixture, as the team sheet states them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import NewType

from setpiece.errors import WrongUse

PersonId = NewType("PersonId", str)
"""Known for the whole fixture; a corrected number or name keeps it."""


class Side(StrEnum):
    """Home or away."""

    HOME = "home"
    AWAY = "away"

    @property
    def other(self) -> Side:
        """The opposing side."""
        return Side.AWAY if self is Side.HOME else Side.HOME


_NUMBERED = re.compile(r"(home|away)-(\d{1,3})")


def numbered_id(side: Side, number: int) -> PersonId:
    """The identifier of the person that side's sheet prints under that number."""
    return PersonId(f"{side}-{number}")


def number_in_id(person_id: PersonId) -> tuple[Side, int] | None:
    """Side and number that `numbered_id` made the identifier from, None for another one."""
    found = _NUMBERED.fullmatch(person_id)
    return (Side(found[1]), int(found[2])) if found else None


class Role(StrEnum):
    """What a person does at the match. The club's own words for it stand in `Person.title`."""

    PLAYER = "player"
    GOALKEEPER = "goalkeeper"
    HEAD_COACH = "head coach"
    MANAGER = "manager"
    ASSISTANT_COACH = "assistant coach"
    PHYSIOTHERAPIST = "physiotherapist"
    DOCTOR = "doctor"
    STAFF = "staff"
    REFEREE = "referee"
    ASSISTANT_REFEREE = "assistant referee"
    FOURTH_OFFICIAL = "fourth official"
    VIDEO_REFEREE = "video referee"
    GUEST = "guest"

    @property
    def plays(self) -> bool:
        """Whether this role may be on the pitch as one of the eleven."""
        return self in (Role.PLAYER, Role.GOALKEEPER)


@dataclass(frozen=True, slots=True)
class Kit:
    """A set of colours, and the letter that shorthand uses for it.

    `wearer` is a side's name, or `officials`; `colour` the word printed when only colours are
    known; `hex_colour` as `#b5382a`, for the screen.
    """

    letter: str
    colour: str
    hex_colour: str
    goalkeeper: bool = False

    def __post_init__(self) -> None:
        if len(self.letter) != 1 or not self.letter.isalpha() or not self.letter.islower():
            raise WrongUse("a kit's letter is one small letter", thing=self.letter)


@dataclass(frozen=True, slots=True)
class Person:
    """One line of the team sheet.

    `printed_name` is exactly what the sheet prints; `known_as` what captions print when it
    differs; `pronouns` is one of `she`, `he`, `they` or empty (never guessed). `number` is the
    number on the sheet, `earlier_number` one that was printed before a correction. `title` is
    the club's own word for a role. `side` is None for officials and neutral guests.
    """

    id: PersonId
    printed_name: str
    role: Role = Role.PLAYER
    side: Side | None = None
    number: int | None = None
    known_as: str = ""
    family_name: str = ""
    pronouns: str = ""
    position: str = ""
    title: str = ""
    captain: bool = False
    starts: bool = False
    under_18: bool = False
    earlier_number: int | None = None
    aliases: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.printed_name.strip():
            raise WrongUse("a person needs a name", thing=str(self.id))
        if self.number is not None and not 0 <= self.number <= 999:
            raise WrongUse("no such shirt number", thing=f"{self.number} {self.printed_name}")

    @property
    def name(self) -> str:
        """The name captions print."""
        return self.known_as or self.printed_name


@dataclass(frozen=True, slots=True)
class SidePeople:
    """A club at this fixture: its names and the kits worn from the start."""

    name: str
    short_name: str
    kits: tuple[Kit, ...] = ()


@dataclass(frozen=True, slots=True)
class TeamSheet:
    """Everybody at the fixture who may be named, and who wears what."""

    home: SidePeople
    away: SidePeople
    people: tuple[Person, ...] = ()
    officials_kits: tuple[Kit, ...] = ()

    def side(self, side: Side) -> SidePeople:
        """The club on that side."""
        return self.home if side is Side.HOME else self.away

    def person(self, person_id: PersonId) -> Person | None:
        """The person with that identifier, None when not on the sheet."""
        return next((p for p in self.people if p.id == person_id), None)

    def players(self, side: Side) -> tuple[Person, ...]:
        """Players and goalkeepers of a side, in sheet order."""
        return tuple(p for p in self.people if p.side is side and p.role.plays)

    def kit(self, letter: str) -> tuple[Kit, Side | None] | None:
        """The kit with that letter and its side (None for officials); None when no kit has it."""
        for side in Side:
            for kit in self.side(side).kits:
                if kit.letter == letter:
                    return kit, side
        return next(((k, None) for k in self.officials_kits if k.letter == letter), None)
