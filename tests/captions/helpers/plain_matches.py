"""The plain matches of the generator: the demo, one invented, ten of the open files."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import openfootball
from plain import Club, Event, Match, Someone, minute

from setpiece.match.people import SidePeople
from setpiece.work.demo import scenario

_NAMES = {
    "home": "Zoë Müller;Ana Brandt;Ines de Wit;Lotte Moreau;Mara Voss;Pia Kern;Jule Adler;"
    "Rike Thal;Nora Lindqvist;Sofía Peña;Ebba Roth;Kati Wolf;Cleo Moreau;Tilda Ørsted;Lia Sand;"
    "Dagny Åkesdotter",
    "away": "Grace Oduya;Tess Hollow;Amy Pratt;Bríd Nolan;Kay Stone;Ruth van der Berg;Mina Sato;"
    "Ivy Marsh;Jo Kemp;Fay Dunne;Lu;Nell Park;Una Reed;Bea Quill;Wren Tate;Élodie Saint-Clair",
}


def officials(match_id: str) -> list[Someone]:
    """Invented people beside the players: no match of the open files has them all."""
    return [
        Someone(f"{match_id}-ref", "Idony Holmquist", "", None, "referee", title="referee"),
        Someone(f"{match_id}-hc", "Marre Feldspar", "home", None, "head coach", title="head coach"),
        Someone(f"{match_id}-am", "Tolly Birchwood", "away", None, "manager", title="manager"),
    ]


def invented() -> Match:
    """A semi-final on invented ground, with a shirt changed and a goal disallowed."""
    people: list[Someone] = []
    for side, names in _NAMES.items():
        for index, name in enumerate(names.split(";")):
            number = index + 1 if index < 12 else index + 2
            role = "goalkeeper" if index in (0, 11) else "player"
            people.append(Someone(f"{side}-{number}", name, side, number, role, index < 11))
    first_end, start = 48 * 60.0 + 20, 48 * 60.0 + 20 + 940
    late = start - 45 * 60
    events = [
        Event(16 * 60 + 24, "goal", "home", "home-10", "home-11", "header"),
        Event(28 * 60 + 10, "yellow", "away", "away-5"),
        Event(35 * 60 + 50, "shirt", "home", "home-8"),
        Event(46 * 60 + 31, "goal", "away", "home-5", how="own goal"),
        Event(late + 57 * 60 + 27, "goal", "away", "away-9", standing="disallowed"),
        Event(late + 62 * 60 + 40, "substitution", "home", "home-7", "home-15"),
        Event(late + 66 * 60 + 50, "yellow", "home", "home-4"),
        Event(late + 73 * 60 + 40, "goal", "home", "home-9", how="free kick"),
        Event(late + 75 * 60 + 8, "substitution", "away", "away-8", "away-17"),
        Event(late + 80 * 60 + 12, "red", "away", "away-5"),
        Event(late + 85 * 60 + 33, "substitution", "home", "home-10", "home-16"),
        Event(late + 88 * 60 + 15, "yellow", "away", "away-3"),
    ]
    match = Match(
        "invented", "Aldbrook Bank Women's Cup", "semi-final", "Kiln Lane", "Hallern", "Nordmark",
        "Europe/Berlin", datetime(2027, 3, 6, 22, 20, tzinfo=UTC),
        Club("Hallern FC", "Hallern", "r", "red", "g", "green"),
        Club("Whitmoor Rovers", "Whitmoor", "w", "white", "y", "yellow"),
        people + officials("invented"),
        [(1, 0.0, first_end), (2, start, start + 50 * 60 + 12)], events,
    )  # fmt: skip
    for event in match.events:
        event.minute = minute(match, event.at_s) or ""
    return match


KINDS = ("goal", "yellow", "second yellow", "red", "substitution", "shirt")
"""What of the demo's log a plain match tells."""


def demo() -> Match:
    """The demo match as plain data, from the course that was planned for it."""
    fixture, sheet = scenario.fixture(), scenario.sheet()
    start = scenario.STARTS[1]
    people = [
        Someone(p.id, p.name, p.side or "", p.number, p.role, p.starts, p.title, p.pronouns)
        for p in sheet.people
    ]
    replaced = {e.supersedes for e in scenario.EVENTS}
    events = [
        Event(
            (e.true - start).total_seconds(), e.kind, e.side or "", e.person or "", e.other or "",
            e.how, "disallowed" if e.standing == "disallowed" else "", e.number,
        )
        for number, e in enumerate(scenario.EVENTS, 1)
        if e.kind in KINDS and number not in replaced
    ]  # fmt: skip
    ends = [(n, scenario.STARTS[n] - start, scenario.ENDS[n] - start) for n in (1, 2)]
    periods = [(n, first.total_seconds(), last.total_seconds()) for n, first, last in ends]
    match = Match(
        "demo", fixture.competition, fixture.stage, fixture.venue, fixture.city, fixture.country,
        fixture.time_zone, start, _club(sheet.home), _club(sheet.away), people, periods, events,
    )  # fmt: skip
    for event in match.events:
        interval = "46" if event.kind == "substitution" else ""
        event.minute = minute(match, event.at_s) or interval
    return match


def _club(side: SidePeople) -> Club:
    outfield, keeper = side.kits[0], next(k for k in side.kits if k.goalkeeper)
    return Club(
        side.name, side.short_name, outfield.letter, outfield.colour, keeper.letter, keeper.colour
    )


def replayed(open_data: Path, wanted: int = 10) -> list[Match]:
    """Matches of two tournaments from the open files."""
    folder = open_data / "football-open" / "cc0-openfootball-worldcup" / "more"
    found: list[Match] = []
    for year, count in ((2018, wanted - wanted // 2), (2002, wanted // 2)):
        files = folder / f"{year}_full.txt", folder / f"{year}_squads.txt"
        found += openfootball.matches(*files, year, count)
    for match in found:
        match.people += officials(match.id)
    return found
