"""The team sheet held against itself: what could put a wrong name into a caption."""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from math import dist

from setpiece.match.fixture import Rules
from setpiece.match.names import folded
from setpiece.match.people import Kit, Person, Role, Side, TeamSheet
from setpiece.match.remark import Remark, club, who

LEAST_COLOUR_DISTANCE = 25.0
"""Kits nearer than this (CIE 1976 colour difference) are hard to tell apart. Our choice."""

_PLAYERS = {Role.PLAYER, Role.GOALKEEPER}


def audit_sheet(sheet: TeamSheet, rules: Rules | None = None) -> tuple[Remark, ...]:
    """Everything about a sheet that looks wrong; `rules` say how many start."""
    return (
        *_counts(sheet, rules or Rules()),
        *_numbers(sheet),
        *_names(sheet),
        *_scripts(sheet),
        *_ids(sheet),
        *_kits(sheet),
    )


def _counts(sheet: TeamSheet, rules: Rules) -> Iterator[Remark]:
    for side in Side:
        players = sheet.players(side)
        name = club(side, sheet)
        starters = [p for p in players if p.starts]
        if not players:
            yield Remark("wrong count", f"{name} has no players on the sheet.")
            continue
        if len(starters) != rules.players:
            yield Remark("wrong count", f"{name} starts with {len(starters)}, not {rules.players}.")
        if not any(p.role is Role.GOALKEEPER for p in starters):
            yield Remark("no goalkeeper", f"{name} starts without a goalkeeper.")
        keepers = [p for p in starters if p.role is Role.GOALKEEPER]
        if len(keepers) > 1:
            yield Remark(
                "two goalkeepers",
                f"{name} starts with {len(keepers)} goalkeepers.",
                people=tuple(p.id for p in keepers),
            )
        captains = [p for p in players if p.captain]
        if len(captains) != 1:
            count = len(captains) or "no"
            yield Remark(
                "captain",
                f"{name} has {count} captain{'s' if captains else ''} on the sheet.",
                people=tuple(p.id for p in captains),
            )


def _numbers(sheet: TeamSheet) -> Iterator[Remark]:
    for side in Side:
        players = sheet.players(side)
        for number, count in Counter(p.number for p in players if p.number is not None).items():
            if count > 1:
                same = [p for p in players if p.number == number]
                names = " and ".join(p.name for p in same)
                yield Remark(
                    "number twice",
                    f"{club(side, sheet)} has number {number} twice: {names}.",
                    people=tuple(p.id for p in same),
                )
        for person in players:
            if person.number is None:
                yield Remark(
                    "no number", f"{who(person.id, sheet)} has no number.", people=(person.id,)
                )
            elif person.earlier_number is not None:
                taken = [p for p in players if p.number == person.earlier_number]
                for other in taken:
                    yield Remark(
                        "number corrected",
                        f"{person.earlier_number} was printed for {person.name} and is now "
                        f"{other.name}'s: old prints of the sheet mislead.",
                        people=(person.id, other.id),
                    )


def _names(sheet: TeamSheet) -> Iterator[Remark]:
    """Names that read the same once accents are dropped, in the whole sheet."""
    by_name: dict[str, list[Person]] = {}
    for person in sheet.people:
        by_name.setdefault(folded(person.name), []).append(person)
    for same in by_name.values():
        if len(same) > 1:
            people = " and ".join(who(p.id, sheet) for p in same)
            yield Remark("same name", f"The same name: {people}.", people=tuple(p.id for p in same))


def _scripts(sheet: TeamSheet) -> Iterator[Remark]:
    """Letters of another script inside a word: a Cyrillic а in a Latin name looks right."""
    for person in sheet.people:
        for text in (person.printed_name, person.known_as, person.family_name, *person.aliases):
            for word in text.split():
                strange = _strangers(word)
                if strange:
                    yield Remark(
                        "letters of another script",
                        f"{word} of {who(person.id, sheet)} mixes scripts: {strange}.",
                        people=(person.id,),
                    )


def _strangers(word: str) -> str:
    scripts: dict[str, list[str]] = {}
    for letter in word:
        if letter.isalpha():
            scripts.setdefault(unicodedata.name(letter, "?").split()[0], []).append(letter)
    known = {s: found for s, found in scripts.items() if s in ("LATIN", "CYRILLIC", "GREEK")}
    if len(known) < 2:
        return ""
    most = max(known, key=lambda s: len(known[s]))
    return ", ".join(
        f"{letter} is {unicodedata.name(letter).lower()}"
        for script, found in known.items()
        if script != most
        for letter in dict.fromkeys(found)
    )


def _ids(sheet: TeamSheet) -> Iterator[Remark]:
    for person_id, count in Counter(p.id for p in sheet.people).items():
        if count > 1:
            yield Remark(
                "identifier twice",
                f"{count} people have the identifier {person_id}.",
                people=(person_id,),
            )
    for person in sheet.people:
        if person.role in _PLAYERS and person.side is None:
            yield Remark("no side", f"{person.name} plays for no side.", people=(person.id,))


def _kits(sheet: TeamSheet) -> Iterator[Remark]:
    """Letters used twice, and colours of different wearers that look alike."""
    worn: list[tuple[str, Kit]] = [
        (club(side, sheet), kit) for side in Side for kit in sheet.side(side).kits
    ]
    worn += [("the officials", kit) for kit in sheet.officials_kits]
    for (wearer, kit), (other_wearer, other) in combinations(worn, 2):
        if kit.letter == other.letter:
            yield Remark(
                "letter twice",
                f"The letter {kit.letter} stands for a kit of {wearer} and one of {other_wearer}.",
            )
        if wearer == other_wearer and not (kit.goalkeeper or other.goalkeeper):
            continue
        distance = colour_distance(kit.hex_colour, other.hex_colour)
        if distance is not None and distance < LEAST_COLOUR_DISTANCE:
            yield Remark(
                "kits alike",
                f"{kit.colour} of {wearer} and {other.colour} of {other_wearer} are hard to "
                "tell apart.",
            )


def colour_distance(one: str, other: str) -> float | None:
    """CIE 1976 colour difference of two `#rrggbb` colours; None if one is not written so.

    sRGB to CIELAB with the white point D65: IEC 61966-2-1 (1999), CIE 15 (from memory).
    """
    first, second = _lab(one), _lab(other)
    if first is None or second is None:
        return None
    return dist(first, second)


def _lab(hex_colour: str) -> tuple[float, float, float] | None:
    digits = hex_colour.removeprefix("#")
    if len(digits) != 6 or any(d not in "0123456789abcdefABCDEF" for d in digits):
        return None
    red, green, blue = (_linear(int(digits[i : i + 2], 16) / 255) for i in (0, 2, 4))
    x = _cube((0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.95047)
    y = _cube(0.2126 * red + 0.7152 * green + 0.0722 * blue)
    z = _cube((0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.08883)
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def _linear(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def _cube(value: float) -> float:
    return float(value ** (1 / 3)) if value > (6 / 29) ** 3 else value * 841 / 108 + 4 / 29
