"""The page before the match: the fixture's facts and the team sheet, each remark at its row."""

from __future__ import annotations

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from setpiece.match.fixture import Fixture
from setpiece.match.people import Kit, Person, Role, Side, TeamSheet
from setpiece.match.sheet_audit import audit_sheet
from setpiece.web.mast import safe_colour
from setpiece.web.wording import Wording
from setpiece.work.matchday import Matchday

PRONOUNS = ("", "she", "he", "they")


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One person of the sheet; `remarks` are what the sheet's own check says of her."""

    id: str
    number: str
    name: str
    aside: str
    captain: bool
    starts: bool
    person: Person
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SideShown:
    """One club's part of the sheet, or the officials' (`side` empty)."""

    side: str
    club: str
    kits: tuple[Kit, ...]
    groups: tuple[tuple[str, tuple[SheetRow, ...]], ...]


@dataclass(frozen=True, slots=True)
class Before:
    """Everything the page shows. `kick_off` is local to the ground, as a form writes it."""

    fixture: Fixture
    kick_off: str
    sides: tuple[SideShown, ...]
    remarks: tuple[str, ...]
    roles: tuple[str, ...]


def before(day: Matchday, words: Wording) -> Before:
    """The page's values for one match."""
    remarks = audit_sheet(day.sheet, day.fixture.rules) if day.sheet.people else ()
    of_person: dict[str, list[str]] = {}
    for remark in remarks:
        for who in remark.people:
            of_person.setdefault(who, []).append(words.told(remark.says))
    fixture = day.fixture
    local = fixture.kick_off.astimezone(ZoneInfo(fixture.time_zone))
    return Before(
        fixture=fixture,
        kick_off=f"{local:%Y-%m-%d %H:%M}",
        sides=(
            *(_side(day.sheet, side, of_person, words) for side in Side),
            _officials(day.sheet, of_person, words),
        ),
        remarks=tuple(words.told(r.says) for r in remarks if not r.people),
        roles=tuple(r.value for r in Role),
    )


def _side(sheet: TeamSheet, side: Side, remarks: dict[str, list[str]], words: Wording) -> SideShown:
    players = sheet.players(side)
    others = [p for p in sheet.people if p.side is side and not p.role.plays]
    groups = (
        ("before.start", [p for p in players if p.starts]),
        ("before.bench", [p for p in players if not p.starts]),
        ("before.staff", others),
    )
    return SideShown(
        side=side.value,
        club=sheet.side(side).name,
        kits=sheet.side(side).kits,
        groups=tuple(
            (words(name), tuple(_row(p, remarks, words) for p in people))
            for name, people in groups
            if people
        ),
    )


def _officials(sheet: TeamSheet, remarks: dict[str, list[str]], words: Wording) -> SideShown:
    people = tuple(_row(p, remarks, words) for p in sheet.people if p.side is None)
    groups = ((words("before.officials-and-guests"), people),) if people else ()
    return SideShown("", words("before.officials"), sheet.officials_kits, groups)


def _row(person: Person, remarks: dict[str, list[str]], words: Wording) -> SheetRow:
    position = f"position.{person.position}"
    place = words(position) if words.known(position) else person.position
    role = "" if person.role.plays else person.title or words.told(person.role.value)
    known = words("before.known-as", name=person.known_as) if person.known_as else ""
    young = words("before.under-18") if person.under_18 else ""
    return SheetRow(
        id=person.id,
        number="" if person.number is None else str(person.number),
        name=person.printed_name,
        aside=", ".join(p for p in (known, role or place, young) if p),
        captain=person.captain,
        starts=person.starts,
        person=person,
        remarks=tuple(remarks.get(person.id, ())),
    )


def shown_colour(kit: Kit) -> str:
    """The kit's colour for the screen, grey where the sheet gives none that is one."""
    return safe_colour(kit.hex_colour) or "#808080"
