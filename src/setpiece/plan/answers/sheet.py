"""What the sheet command answers: the day, the bag and the shot list."""

from __future__ import annotations

from setpiece.match.instants import write_instant
from setpiece.plan.answers import Answer
from setpiece.plan.answers.light import clock
from setpiece.plan.sheet import DaySheet


def sheet_answer(sheet: DaySheet) -> Answer:
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
        "bag": {name: list(items) for name, items in sheet.bag},
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
