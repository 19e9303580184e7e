"""What the sun does to a match: its angle to the lens, shadows of the stands, floodlights.

    shadow of a wall, square to it = h / tan(e) cos(az - az_n), az_n bearing from pitch to wall;
    less the set-back of the edge. An error de moves its line by h de / sin^2(e).
    angle to the lens axis: cos g = sin e sin e_c + cos e cos e_c cos(daz)

The classes of light and their limits are ours; the daylight table is from memory and good to a
factor of two. A shadow is drawn from the roof's edge alone, over level ground, under a clear sky.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np

from setpiece.errors import WrongUse
from setpiece.match.instants import Instant, instant
from setpiece.plan.coverage import Spots
from setpiece.plan.ground import Flank, Ground, Stand
from setpiece.plan.limits import within
from setpiece.plan.occlusion import Mask
from setpiece.plan.pitch import Point
from setpiece.plan.sun import Sun, sun_at, sun_times

LOWEST_SUN_DEG = 0.5  # below it a shadow is endless and its line is nowhere
IN_FRAME_DEG = 15.0
GLARE_DEG = 40.0
BACK_LIT_DEG = 80.0
SIDE_LIT_DEG = 120.0

MATCH_MINUTES = (0, 47, 62, 110)  # kick-off, half-time, second half, full time, on the clock
EXTRA_TIME_END = 150

# Clear sky on level ground, lux by the sun's elevation in degrees; from memory, within a factor
# of two. Under thick cloud about a tenth.
DAYLIGHT_LX = (
    (-12.0, 0.008),
    (-6.0, 3.4),
    (-3.0, 50.0),
    (-0.8, 400.0),
    (2.0, 1_500.0),
    (5.0, 4_500.0),
    (10.0, 11_000.0),
    (20.0, 27_000.0),
    (40.0, 66_000.0),
    (60.0, 95_000.0),
    (90.0, 120_000.0),
)


class Lit(StrEnum):
    """How the sun falls on what the camera sees. The limits are ours."""

    IN_FRAME = "sun in or near the frame"
    GLARE = "glare"
    BACK = "back-lit"
    SIDE = "side-lit"
    FRONT = "front-lit"
    DOWN = "no sun"


@dataclass(frozen=True, slots=True)
class Shadow:
    """One stand's shadow on the ground, as a polygon; empty when the sun is not behind it."""

    stand: Stand
    outline: tuple[Point, ...]
    reach_m: float


def angle_to_axis_deg(sun: Sun, pan_bearing_deg: float, tilt_deg: float = 0.0) -> float:
    """The angle between the sun and where a camera looks (true bearing, upward tilt)."""
    up, tilt = math.radians(sun.apparent_deg), math.radians(tilt_deg)
    turn = math.radians(sun.azimuth_deg - pan_bearing_deg)
    cosine = math.sin(up) * math.sin(tilt) + math.cos(up) * math.cos(tilt) * math.cos(turn)
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine))))


def lit(sun: Sun, pan_bearing_deg: float, tilt_deg: float = 0.0) -> Lit:
    """The class of light for a camera that looks there."""
    if not sun.up:
        return Lit.DOWN
    angle = angle_to_axis_deg(sun, pan_bearing_deg, tilt_deg)
    for limit, found in (
        (IN_FRAME_DEG, Lit.IN_FRAME),
        (GLARE_DEG, Lit.GLARE),
        (BACK_LIT_DEG, Lit.BACK),
        (SIDE_LIT_DEG, Lit.SIDE),
    ):
        if angle < limit:
            return found
    return Lit.FRONT


def shadow_m(height_m: float, elevation_deg: float) -> float:
    """Length of the shadow of something upright on level ground."""
    within(elevation_deg, LOWEST_SUN_DEG, 90, what="the elevation of the sun", unit="degrees")
    return height_m / math.tan(math.radians(elevation_deg))


def reach_m(stand: Stand, ground: Ground, sun: Sun) -> float:
    """How far a stand's shadow reaches on to the pitch, square to its line; 0 when it does not."""
    if sun.apparent_deg < LOWEST_SUN_DEG:
        return 0.0
    turn = math.radians(sun.azimuth_deg - ground.flank_bearing_deg(stand.flank))
    return max(0.0, shadow_m(stand.height_m, sun.apparent_deg) * math.cos(turn) - stand.roof_edge_m)


def reach_error_m(height_m: float, elevation_deg: float, error_deg: float) -> float:
    """How far a shadow's line moves for an error in the sun's elevation."""
    within(elevation_deg, LOWEST_SUN_DEG, 90, what="the elevation of the sun", unit="degrees")
    return height_m * math.radians(error_deg) / math.sin(math.radians(elevation_deg)) ** 2


def shadow_of(stand: Stand, ground: Ground, sun: Sun) -> Shadow:
    """The shadow of a stand's roof edge on the ground, not yet cut to the pitch."""
    reach = reach_m(stand, ground, sun)
    if reach <= 0:
        return Shadow(stand, (), 0.0)
    away = math.radians(sun.azimuth_deg + 180 - ground.bearing_deg)
    length = shadow_m(stand.height_m, sun.apparent_deg)
    dx, dy = length * math.sin(away), length * math.cos(away)
    block = ground.block(stand.flank, stand.from_m, stand.to_m, stand.roof_edge_m, 0.0, 0.0)
    if stand.flank in (Flank.LEFT, Flank.RIGHT):
        a, b = Point(block.left_m, block.bottom_m), Point(block.left_m, block.top_m)
    else:
        a, b = Point(block.left_m, block.bottom_m), Point(block.right_m, block.bottom_m)
    outline = (a, b, Point(b.x_m + dx, b.y_m + dy), Point(a.x_m + dx, a.y_m + dy))
    return Shadow(stand, outline, reach)


def in_shadow(shadows: tuple[Shadow, ...], spots: Spots) -> Mask:
    """The places on which some shadow lies."""
    dark = np.zeros(spots.x_m.shape, dtype=bool)
    for shadow in shadows:
        if shadow.outline:
            dark |= _inside(shadow.outline, spots)
    return dark


def _inside(outline: tuple[Point, ...], spots: Spots) -> Mask:
    """Places inside a convex outline, whichever way round it runs."""
    turns = [
        (b.x_m - a.x_m) * (spots.y_m - a.y_m) - (b.y_m - a.y_m) * (spots.x_m - a.x_m)
        for a, b in zip(outline, outline[1:] + outline[:1], strict=True)
    ]
    one_way: Mask = np.all([t >= 0 for t in turns], axis=0)
    other_way: Mask = np.all([t <= 0 for t in turns], axis=0)
    return one_way | other_way


def daylight_lx(elevation_deg: float) -> float:
    """Clear daylight on level ground for a geometric elevation; good to a factor of two."""
    table = DAYLIGHT_LX
    if elevation_deg <= table[0][0]:
        return table[0][1]
    for (low, dim), (high, bright) in pairwise(table):
        if elevation_deg <= high:
            part = (elevation_deg - low) / (high - low)
            return float(dim * (bright / dim) ** part)
    return table[-1][1]


def floodlights_rule_from(
    start: Instant, end: Instant, ground: Ground, floodlight_lx: float
) -> Instant | None:
    """The first minute from which clear daylight stays under the floodlights; None if never.

    Under cloud it comes earlier.
    """
    latitude, longitude = place(ground)
    minutes = int((end - start).total_seconds() // 60)
    for minute in range(minutes + 1):
        at = instant(start + timedelta(minutes=minute))
        if daylight_lx(sun_at(at, latitude, longitude).elevation_deg) < floodlight_lx:
            return at
    return None


def place(ground: Ground) -> tuple[float, float]:
    """Latitude and longitude of a ground. Raises WrongUse when they are not known."""
    if ground.latitude_deg is None or ground.longitude_deg is None:
        raise WrongUse(
            "where the ground lies is not known",
            thing=ground.name or "the ground",
            next_step="Give its latitude and longitude.",
        )
    return ground.latitude_deg, ground.longitude_deg


def local_instant(day: date, clock: time, zone: ZoneInfo) -> Instant:
    """The instant a clock at the ground shows that time on that date.

    Raises WrongUse for a time the summer-time change skips or repeats, or one with a zone.
    """
    if clock.tzinfo is not None:
        raise WrongUse(
            "a clock at the ground shows no zone",
            thing=clock.isoformat(),
            next_step="Give the time alone.",
        )
    earlier = datetime.combine(day, clock, tzinfo=zone)
    later = earlier.replace(fold=1)
    if earlier.utcoffset() != later.utcoffset():
        raise WrongUse(
            "the clocks change then: this time is skipped or comes twice",
            thing=f"{day} {clock:%H:%M} {zone.key}",
            next_step="Give another time.",
        )
    return instant(earlier)


@dataclass(frozen=True, slots=True)
class LightAt:
    """The light at one instant of the match: sun and every stand's shadow."""

    at: Instant
    sun: Sun
    shadows: tuple[Shadow, ...]
    daylight_lx: float


def light_at(ground: Ground, at: Instant) -> LightAt:
    """Sun, shadows and clear daylight at one instant."""
    latitude, longitude = place(ground)
    sun = sun_at(at, latitude, longitude)
    shadows = tuple(shadow_of(stand, ground, sun) for stand in ground.stands)
    return LightAt(at, sun, shadows, daylight_lx(sun.elevation_deg))


@dataclass(frozen=True, slots=True)
class DayLight:
    """The light of one match day: through the match, and the day's own times."""

    through: tuple[LightAt, ...]
    rise: Instant | None
    set: Instant | None
    dusk: Instant | None
    floodlights_from: Instant | None


def match_day(
    ground: Ground, kick_off: Instant, zone: ZoneInfo, *, extra_time: bool = False
) -> DayLight:
    """The light at kick-off, half-time, second half and full time, and after extra time.

    When floodlights rule is given only for a ground whose floodlights are known.
    """
    latitude, longitude = place(ground)
    minutes = (*MATCH_MINUTES, EXTRA_TIME_END) if extra_time else MATCH_MINUTES
    through = tuple(light_at(ground, instant(kick_off + timedelta(minutes=m))) for m in minutes)
    day = kick_off.astimezone(zone).date()
    times = sun_times(local_instant(day, time(0), zone), latitude, longitude)
    rule = None
    if ground.floodlight_lx is not None:
        rule = floodlights_rule_from(through[0].at, through[-1].at, ground, ground.floodlight_lx)
    return DayLight(through, times.rise, times.set, times.dusk, rule)
