"""What the light command answers: the sun and the shadows through the match."""

from __future__ import annotations

from datetime import timedelta
from zoneinfo import ZoneInfo

from typing_extensions import TypedDict

from setpiece.match.instants import Instant, instant, write_instant
from setpiece.plan.answers import CautionSaid, Clocked, cautions_of, short
from setpiece.plan.camera import Seat, aim_at
from setpiece.plan.caution import Part
from setpiece.plan.coverage import cells, share
from setpiece.plan.ground import Ground
from setpiece.plan.light import DayLight, LightAt, in_shadow, lit, reach_error_m
from setpiece.plan.pitch import PENALTY_MARK_M, End, Point


class ShadowReach(TypedDict):
    """How far a stand's shadow reaches on to the pitch, square to its line.

    `unsure_m` is what a tenth of a degree of the sun's height moves it by.
    """

    flank: str
    stand: str
    reach_m: float
    unsure_m: float


class LightThen(Clocked):
    """The light at one instant; `seats` says for each seat how it falls by where one looks."""

    azimuth_deg: float
    elevation_deg: float
    daylight_lx: float
    share_in_shadow: float
    shadow_reach_m: list[ShadowReach]
    seats: dict[str, dict[str, str]]


class LightAnswer(TypedDict):
    """Everything `setpiece plan light` says; a time that day does not have is null."""

    ground: str
    time_zone: str
    sunrise: Clocked | None
    sunset: Clocked | None
    civil_twilight_ends: Clocked | None
    floodlights_rule_from: Clocked | None
    through: list[LightThen]
    cautions: list[CautionSaid]


def light_answer(
    ground: Ground, day: DayLight, zone: ZoneInfo, seats: tuple[Seat, ...] = ()
) -> LightAnswer:
    """The light through the match; for each seat how it falls on what its camera looks at.

    Instants are UTC; `clock` is what a clock at the ground shows.
    """
    return {
        "ground": ground.name,
        "time_zone": zone.key,
        "sunrise": _when(day.rise, zone),
        "sunset": _when(day.set, zone),
        "civil_twilight_ends": _when(day.dusk, zone),
        "floodlights_rule_from": _when(day.floodlights_from, zone),
        "through": [_at(ground, light, zone, seats) for light in day.through],
        "cautions": cautions_of(Part.LIGHT),
    }


def clock(at: Instant, zone: ZoneInfo) -> str:
    """The nearest minute on the ground's own clock."""
    return f"{instant(at + timedelta(seconds=30)).astimezone(zone):%H:%M}"


def _when(at: Instant | None, zone: ZoneInfo) -> Clocked | None:
    return None if at is None else {"at": write_instant(at), "clock": clock(at, zone)}


def _at(ground: Ground, light: LightAt, zone: ZoneInfo, seats: tuple[Seat, ...]) -> LightThen:
    return {
        "at": write_instant(light.at),
        "clock": clock(light.at, zone),
        "azimuth_deg": short(light.sun.azimuth_deg, 2),
        "elevation_deg": short(light.sun.apparent_deg, 2),
        "daylight_lx": short(light.daylight_lx, 0),
        "share_in_shadow": short(share(in_shadow(light.shadows, cells(ground.pitch)))),
        "shadow_reach_m": [
            {
                "flank": str(shadow.stand.flank),
                "stand": shadow.stand.name,
                "reach_m": short(shadow.reach_m, 1),
                "unsure_m": short(
                    reach_error_m(shadow.stand.height_m, light.sun.apparent_deg, 0.1)
                    if shadow.reach_m
                    else 0.0,
                    1,
                ),
            }
            for shadow in light.shadows
        ],
        "seats": {seat.name: looks(ground, seat, light) for seat in seats},
    }


def looks(ground: Ground, seat: Seat, light: LightAt) -> dict[str, str]:
    """How the sun falls for a camera at a seat that looks at either goal, or the middle."""
    places = {
        ground.end_name(end): ground.pitch.at(end, Point(0, PENALTY_MARK_M, 1)) for end in End
    }
    places["middle"] = Point(0, ground.pitch.length_m / 2, 1)
    found = {}
    for name, target in places.items():
        aim = aim_at(seat, target)
        bearing = (ground.bearing_deg + aim.pan_deg) % 360
        found[name] = str(lit(light.sun, bearing, aim.tilt_deg))
    return found
