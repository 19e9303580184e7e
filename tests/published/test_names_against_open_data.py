"""Every name of the open data is found by its last word, its folded form and its number.

Sources: openfootball/worldcup, more/*_squads.txt (CC0 1.0); Pappalardo, L., Massucco, E. (2019),
Soccer match event dataset, figshare 4415000 (CC BY 4.0), players.json, whose names have literal
escapes of letters.
"""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path

import pytest
from open_football import FULL_YEARS, squads

from setpiece.match.names import find_people, folded
from setpiece.match.people import Person, Role, Side, SidePeople, TeamSheet, numbered_id

pytestmark = pytest.mark.published

HOME, AWAY = SidePeople("home", "home"), SidePeople("away", "away")
A_SHEET = 60
"""People on one sheet: what the search is made for."""


def _unescaped(text: str) -> str:
    return re.sub(r"\\u([0-9a-fA-F]{4})", lambda found: chr(int(found[1], 16)), text)


@cache
def sheets(data: Path) -> tuple[TeamSheet, ...]:
    """Every squad as a sheet, and the timed matches' players by sixties."""
    folder = data / "football-open"
    found = [
        TeamSheet(HOME, AWAY, tuple(_person(i, n, number) for i, (number, n, _) in _of(squad)))
        for year in FULL_YEARS
        for squad in squads(folder, year).values()
    ]
    listed = json.loads((folder / "ccby4-wyscout/players.json").read_text("utf-8"))
    names = [
        (_unescaped(f"{p['firstName']} {p['lastName']}").strip(), _unescaped(p["shortName"]))
        for p in listed
    ]
    for at in range(0, len(names), A_SHEET):
        people = tuple(
            _person(i, name, i + 1, short) for i, (name, short) in enumerate(names[at : at + 60])
        )
        found.append(TeamSheet(HOME, AWAY, people))
    return tuple(found)


def _of(squad: object) -> enumerate:
    return enumerate(squad.players)  # type: ignore[attr-defined]


def _person(index: int, name: str, number: int, known_as: str = "") -> Person:
    own = numbered_id(Side.HOME, index)
    shown = number if number > 0 else None
    return Person(own, name, Role.PLAYER, Side.HOME, shown, known_as=known_as)


@cache
def missed(data: Path) -> tuple[int, tuple[str, ...]]:
    """How many people were looked for, and what did not find them among the best matches."""
    looked_for, missing = 0, []
    for sheet in sheets(data):
        for person in sheet.people:
            looked_for += 1
            for words in _ways(person):
                found = find_people(sheet, words, limit=A_SHEET)
                if person not in [f.person for f in found]:
                    missing.append(f"{person.printed_name}: {words}")
    return looked_for, tuple(missing)


def _ways(person: Person) -> set[str]:
    ways = {person.printed_name.split()[-1], folded(person.printed_name)}
    if person.known_as:
        ways.add(folded(person.known_as))
    if person.number is not None:
        ways.add(str(person.number))
    return ways


def test_everybody_is_found(open_data: Path) -> None:
    """All 10,524 people are found by last word, folded name, known-as and number."""
    looked_for, missing = missed(open_data)
    assert missing == ()
    assert looked_for == 10_524


def test_a_number_finds_only_its_wearer(open_data: Path) -> None:
    """A number finds everybody who has it and nobody else."""
    for sheet in sheets(open_data):
        for person in sheet.people[:5]:
            if person.number is not None:
                found = {f.person.number for f in find_people(sheet, str(person.number))}
                assert found == {person.number}


def test_shared_last_words_are_lists(open_data: Path) -> None:
    """Squads share last words (brothers, common names); such an answer lists all of them."""
    shared = 0
    for sheet in sheets(open_data)[:200]:
        last = [folded(p.printed_name).split()[-1] for p in sheet.people]
        for word in {w for w in last if last.count(w) > 1}:
            shared += 1
            named = {f.person.id for f in find_people(sheet, word, limit=A_SHEET)}
            same = [p for p, w in zip(sheet.people, last, strict=True) if w == word]
            assert named >= {p.id for p in same}
    assert shared > 50
