"""The light: how high the sun stands through the match, and the shadows it draws."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from setpiece.match.instants import Instant, instant
from setpiece.plan.drawings import canvas
from setpiece.plan.drawings.canvas import Drawing
from setpiece.plan.drawings.ground_map import (
    GroundMap,
    fitted,
    north_arrow,
    pitch,
    surroundings,
)
from setpiece.plan.ground import Ground
from setpiece.plan.light import DayLight, LightAt, place
from setpiece.plan.pitch import Point
from setpiece.plan.sun import CIVIL_TWILIGHT_DEG, RISE_AND_SET_DEG, sun_at

WIDTH = 480.0
CHART_HEIGHT = 92.0
MARGIN_MIN = 40
STEP_MIN = 5
DRAWN = 3  # shadow lines told apart by tone; more would be mud


def draw_light(ground: Ground, day: DayLight, zone: ZoneInfo) -> Drawing:
    """The sun's height over the match, and every stand's shadow at some of its minutes."""
    first = day.through[0].at
    local = first.astimezone(zone)
    top = canvas.HEAD + 22
    chart, chart_foot = _chart(ground, day, zone, top)
    map_, foot = fitted(ground, WIDTH, chart_foot + 26)
    half, length = ground.pitch.half_width_m, ground.pitch.length_m
    shown = _shown(day)
    zone_name = local.tzname() or zone.key
    parts = [
        canvas.masthead(
            WIDTH,
            f"The light at {ground.name or 'the ground'}",
            f"{local:%A}, {local.day} {local:%B %Y}, times in {zone_name}, clear sky",
        ),
        canvas.clip_rect(
            "light-pitch", map_.x(-half), map_.y(length), 2 * half * map_.scale, length * map_.scale
        ),
        chart,
        surroundings(map_),
        pitch(map_),
        canvas.group(*(_shadows(map_, light) for light in shown), clip="light-pitch"),
        *_shadow_times(map_, shown, zone),
        *_suns(map_, day, zone, chart_foot + 26, foot),
        north_arrow(WIDTH - 30, map_.y(length) - 24, ground.bearing_deg),
        *_words(day, zone, foot + 44),
    ]
    return Drawing(
        WIDTH,
        foot + 44 + 15 * 2 + 2,
        f"The light at {ground.name or 'the ground'} on {local:%Y-%m-%d}",
        "The sun's height through the match, and the shadow lines of the stands on the pitch.",
        "".join(parts),
    )


def _clock(at: Instant, zone: ZoneInfo) -> str:
    """The nearest minute at the ground."""
    return f"{at.astimezone(zone) + timedelta(seconds=30):%H:%M}"


def _chart(ground: Ground, day: DayLight, zone: ZoneInfo, top: float) -> tuple[str, float]:
    """Elevation of the sun over the hours, with sunset, twilight and the floodlights."""
    latitude, longitude = place(ground)
    start = instant(day.through[0].at - timedelta(minutes=MARGIN_MIN))
    end = instant(day.through[-1].at + timedelta(minutes=MARGIN_MIN))
    minutes = int((end - start).total_seconds() // 60)
    times = [instant(start + timedelta(minutes=m)) for m in range(0, minutes + 1, STEP_MIN)]
    heights = [sun_at(t, latitude, longitude).elevation_deg for t in times]
    high, low = max(12.0, *heights) + 2, min(-2.0, *heights, CIVIL_TWILIGHT_DEG)
    left, right, foot = 44.0, WIDTH - 20, top + CHART_HEIGHT

    def x(at: Instant) -> float:
        return left + (right - left) * (at - start) / (end - start)

    def y(elevation_deg: float) -> float:
        return foot - (foot - top) * (elevation_deg - low) / (high - low)

    parts = [
        canvas.text(16, top - 6, "sun over the horizon, degrees", "caps"),
        canvas.rect(left, top, right - left, y(RISE_AND_SET_DEG) - top, "daylight"),
        canvas.rect(left, y(RISE_AND_SET_DEG), right - left,
                    y(CIVIL_TWILIGHT_DEG) - y(RISE_AND_SET_DEG), "dusk"),
        canvas.rect(left, y(CIVIL_TWILIGHT_DEG), right - left, foot - y(CIVIL_TWILIGHT_DEG),
                    "dark"),
        canvas.line(left, y(0), right, y(0), "rule"),
    ]  # fmt: skip
    step = 10 if high > 14 else 5
    parts += [
        canvas.text(left - 6, y(mark) + 4, f"{mark}", "note", anchor="end")
        for mark in range(0, int(high) + 1, step)
    ]
    curve = [(x(t), y(h)) for t, h in zip(times, heights, strict=True)]
    parts.append(canvas.path(curve, "sun-way"))
    match = [
        point
        for t, point in zip(times, curve, strict=True)
        if day.through[0].at <= t <= day.through[-1].at
    ]
    parts.append(canvas.path(match, "sun-match"))
    for at in _hours(start, end, zone):
        parts += [
            canvas.line(x(at), foot, x(at), foot + 4, "tick"),
            canvas.text(x(at), foot + 15, _clock(at, zone), "note", anchor="middle"),
        ]
    for light in day.through:
        parts.append(canvas.circle(x(light.at), y(light.sun.elevation_deg), 3.6, "sun"))
    return canvas.group(*parts), foot + 15


def _hours(start: Instant, end: Instant, zone: ZoneInfo) -> list[Instant]:
    """Every half hour on the ground's clock."""
    local = start.astimezone(zone)
    first = local.replace(minute=0, second=0, microsecond=0)
    marks: list[Instant] = []
    at: datetime = first
    while instant(at) <= end:
        if instant(at) >= start:
            marks.append(instant(at))
        at = instant(at + timedelta(minutes=30)).astimezone(zone)
    return marks


def _shown(day: DayLight) -> list[LightAt]:
    """The minutes whose shadow lines are drawn: first, last, and one between."""
    sunny = [light for light in day.through if light.sun.up]
    if len(sunny) <= DRAWN:
        return sunny
    return [sunny[0], sunny[len(sunny) // 2], sunny[-1]]


def _shadows(map_: GroundMap, light: LightAt) -> str:
    """The shadows of one minute: a tone that deepens where they overlap, and each roof's edge."""
    parts = []
    for shadow in light.shadows:
        if not shadow.outline:
            continue
        parts.append(map_.outline(shadow.outline, "shade"))
        edge = shadow.outline[2:4]
        parts.append(map_.outline(edge, "shade-edge", closed=False))
    return "".join(parts)


def _shadow_times(map_: GroundMap, shown: list[LightAt], zone: ZoneInfo) -> list[str]:
    """The clock time on each shadow's line, where the line crosses the pitch."""
    found: list[str] = []
    taken: list[tuple[float, float]] = []
    for light in shown:
        for shadow in light.shadows:
            spot = _on_line(map_, shadow.outline[2:4], taken) if shadow.outline else None
            if spot is None:
                continue
            x, y = map_.place(spot)
            taken.append((x, y))
            words = _clock(light.at, zone)
            found.append(canvas.text(x, y + 4, words, "name halo", anchor="middle"))
    return found


def _on_line(
    map_: GroundMap, line: tuple[Point, ...], taken: list[tuple[float, float]]
) -> Point | None:
    """A place of a line that lies on the pitch, away from other labels."""
    a, b = line
    size = map_.ground.pitch
    for part in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0.05, 0.95):
        spot = Point(a.x_m + part * (b.x_m - a.x_m), a.y_m + part * (b.y_m - a.y_m))
        inside = abs(spot.x_m) < size.half_width_m - 3 and 2 < spot.y_m < size.length_m - 2
        x, y = map_.place(spot)
        if inside and all(abs(x - tx) > 40 or abs(y - ty) > 16 for tx, ty in taken):
            return spot
    return None


def _suns(map_: GroundMap, day: DayLight, zone: ZoneInfo, top: float, foot: float) -> list[str]:
    """Where the sun shines from, as discs at the rim of the drawing."""
    size = map_.ground.pitch
    middle_x, middle_y = map_.place(Point(0, size.length_m / 2))
    found = []
    for light in _shown(day):
        turn = math.radians(light.sun.azimuth_deg - map_.ground.bearing_deg)
        ahead_x, ahead_y = math.sin(turn), -math.cos(turn)
        reach_x = ((WIDTH - 30 - middle_x) if ahead_x > 0 else (middle_x - 30)) / max(
            abs(ahead_x), 1e-6
        )
        reach_y = ((foot + 6 - middle_y) if ahead_y > 0 else (middle_y - top - 12)) / max(
            abs(ahead_y), 1e-6
        )
        reach = min(reach_x, reach_y)
        x, y = middle_x + reach * ahead_x, middle_y + reach * ahead_y
        found += [
            canvas.line(x, y, x - 18 * ahead_x, y - 18 * ahead_y, "sun-way"),
            canvas.circle(x, y, 6.5, "sun"),
            canvas.text(x, y + 19, _clock(light.at, zone), "note halo", anchor="middle"),
        ]
    return found


def _words(day: DayLight, zone: ZoneInfo, top: float) -> list[str]:
    """Sunset, twilight and the floodlights in one line, the rule of reading in the next."""
    facts = []
    if day.set:
        facts.append(f"Sunset {_clock(day.set, zone)}")
    if day.dusk:
        facts.append(f"civil twilight ends {_clock(day.dusk, zone)}")
    if day.floodlights_from:
        facts.append(f"floodlights rule from {_clock(day.floodlights_from, zone)}")
    lines = [", ".join(facts) + "." if facts else "The sun does not set this day."]
    lines.append("Dark: the shadow of each roof's edge. Discs: where the sun stands.")
    return [canvas.text(16, top + 15 * n, words, "note") for n, words in enumerate(lines)]
