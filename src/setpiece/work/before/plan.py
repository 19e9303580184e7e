"""The plan of a match: its ground, what was chosen, and the one page for the pocket."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from zoneinfo import ZoneInfo

from setpiece.errors import NotFound, WrongUse
from setpiece.match.fixture import Fixture
from setpiece.plan.camera import Seat
from setpiece.plan.choices import Choices
from setpiece.plan.ground import Ground
from setpiece.plan.light import DayLight, match_day
from setpiece.plan.sheet import DaySheet
from setpiece.plan.tables import ground_from
from setpiece.store.matches import Match, match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.before.wants import choices_of, shot_list
from setpiece.work.matchday import Matchday

GROUND = "plan/ground.toml"
"""The ground's file in a match's folder."""

FIRST_SEAT = Seat("behind the near goal", -14.0, -5.0, 1.0)
"""Where the plan begins when nobody chose a seat."""


def read_ground(path: Path) -> Ground:
    """The ground in a TOML or JSON file. Raises NotFound, WrongUse."""
    try:
        text = path.read_text("utf-8")
        table = json.loads(text) if path.suffix.lower() == ".json" else tomllib.loads(text)
    except FileNotFoundError as error:
        raise NotFound(
            "there is no such file", thing=str(path), next_step="Check the path."
        ) from error
    except (OSError, ValueError) as error:
        raise WrongUse(
            f"this file cannot be understood ({error})",
            thing=str(path),
            next_step="docs/planning.md shows one.",
        ) from error
    return ground_from(table)


def ground_path(space: Workspace, of: Match) -> Path:
    """Where the match's own ground is written."""
    return match_folder(space, of) / GROUND


def has_ground(space: Workspace, of: Match) -> bool:
    """Whether the match has a ground of its own."""
    return ground_path(space, of).is_file()


def ground_of(space: Workspace, of: Match) -> Ground:
    """The match's ground; a bare pitch without a file. Raises WrongUse for one it cannot read."""
    return read_ground(ground_path(space, of)) if has_ground(space, of) else bare_pitch(of)


def bare_pitch(of: Match) -> Ground:
    """A pitch of the usual size where the fixture is played."""
    fixture = of.fixture
    if fixture is None:
        return Ground()
    return Ground(
        fixture.venue,
        latitude_deg=fixture.latitude_deg,
        longitude_deg=fixture.longitude_deg,
        time_zone=fixture.time_zone,
    )


def seats_of(ground: Ground, chosen: Choices) -> tuple[Seat, ...]:
    """The seats to compare: those chosen, else the ground's, else one to begin with."""
    return chosen.seats or ground.seats or (FIRST_SEAT,)


def light_of(ground: Ground, fixture: Fixture) -> DayLight | None:
    """The light through the match; None where the ground's place is not known."""
    if ground.latitude_deg is None or ground.longitude_deg is None:
        return None
    return match_day(ground, fixture.kick_off, ZoneInfo(fixture.time_zone))


def day_sheet(day: Matchday, ground: Ground) -> DaySheet:
    """Everything the page for the pocket is made from, at that ground."""
    chosen = choices_of(day.space, day.match)
    return DaySheet(
        day.fixture,
        ground,
        seats_of(ground, chosen),
        chosen.glass,
        shot_list(day),
        sensor=chosen.chip,
        exposure_s=chosen.exposure_s,
        frames_per_s=chosen.frames_per_s,
        travel_min=chosen.travel_min,
        contacts=chosen.contacts,
        light=light_of(ground, day.fixture),
        bodies=chosen.bodies,
        rain=chosen.rain,
        speed_m_s=chosen.speed_m_s,
    )
