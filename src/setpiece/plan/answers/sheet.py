"""What the sheet command answers: the day, the bag and the shot list."""

from __future__ import annotations

from typing_extensions import TypedDict

from setpiece.match.instants import write_instant
from setpiece.plan.answers import Clocked
from setpiece.plan.answers.light import clock
from setpiece.plan.sheet import DaySheet


class TimeOfDay(Clocked):
    """One line of the day; `lasts_min` 0 is a moment."""

    what: str
    lasts_min: int


class ShotWanted(TypedDict):
    """One line of the shot list."""

    key: str
    title: str
    when: str
    count: int
    each_side: bool
    upright: bool
    who: str


class ContactSaid(TypedDict):
    """Someone to ring."""

    name: str
    role: str
    reach: str


class SheetAnswer(TypedDict):
    """Everything `setpiece plan sheet` says beside the page it writes."""

    home: str
    away: str
    kick_off: str
    time_zone: str
    times: list[TimeOfDay]
    bag: dict[str, list[str]]
    shots: list[ShotWanted]
    contacts: list[ContactSaid]


def sheet_answer(sheet: DaySheet) -> SheetAnswer:
    """The page's lists as values."""
    fixture = sheet.fixture
    return {
        "home": fixture.home,
        "away": fixture.away,
        "kick_off": write_instant(fixture.kick_off),
        "time_zone": fixture.time_zone,
        "times": [
            {
                "at": write_instant(entry.at),
                "clock": clock(entry.at, sheet.zone),
                "what": entry.what,
                "lasts_min": entry.lasts_min,
            }
            for entry in sheet.entries
        ],
        "bag": {name: [item.text for item in items] for name, items in sheet.bag},
        "shots": [
            {
                "key": shot.key,
                "title": shot.title,
                "when": shot.when,
                "count": shot.count,
                "each_side": shot.each_side,
                "upright": shot.upright,
                "who": shot.who,
            }
            for shot in sheet.shots
        ],
        "contacts": [{"name": c.name, "role": c.role, "reach": c.reach} for c in sheet.contacts],
    }
