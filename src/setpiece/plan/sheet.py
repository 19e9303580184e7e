"""The plan of the day on one page, for the pocket: what stands on it, as plain values.

The seat's drawing, the times, the light, penalty and exposure in figures, the shot list with
boxes to tick, the bag, whom to ring, and the cautions.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal
from zoneinfo import ZoneInfo

from setpiece.match.fixture import Fixture
from setpiece.plan.answers.light import clock, looks
from setpiece.plan.camera import Camera, Seat
from setpiece.plan.caution import CAUTIONS
from setpiece.plan.day import Contact, Entry, Packed, day_plan, packing
from setpiece.plan.exposure import ISO_STEPS, iso_for_lens, iso_to_set
from setpiece.plan.flight import penalty
from setpiece.plan.ground import Ground
from setpiece.plan.light import DayLight
from setpiece.plan.optics import Lens, Orientation, Sensor
from setpiece.plan.penalty import held
from setpiece.plan.pitch import End
from setpiece.plan.shotlist import Shot
from setpiece.plan.typed import write_shutter


@dataclass(frozen=True, slots=True)
class DaySheet:
    """Everything the page is made from. `light` is None where the ground's place is not known."""

    fixture: Fixture
    ground: Ground
    seats: tuple[Seat, ...]
    lenses: tuple[Lens, ...]
    shots: tuple[Shot, ...]
    sensor: Sensor = Sensor()  # noqa: RUF009 (frozen)
    exposure_s: float = 1 / 1000
    frames_per_s: float = 20.0
    travel_min: int = 0
    contacts: tuple[Contact, ...] = ()
    light: DayLight | None = None
    bodies: int = 2
    rain: bool = False
    speed_m_s: float = 28.0

    @property
    def zone(self) -> ZoneInfo:
        """The ground's own zone."""
        return ZoneInfo(self.fixture.time_zone)

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The day in order."""
        return day_plan(self.fixture, travel_min=self.travel_min)

    @property
    def bag(self) -> tuple[tuple[str, tuple[Packed, ...]], ...]:
        """What to pack, in groups."""
        dark = self.light is not None and (
            self.light.set is None or self.entries[-1].at > self.light.set
        )
        return packing(self.lenses, bodies=self.bodies, after_dark=dark, rain=self.rain)


class Manner(StrEnum):
    """How a part is set."""

    TABLE = "figures"
    TIMES = "times"
    PLAIN = "plain"
    TICKED = "shots"
    SMALL = "cautions"


@dataclass(frozen=True, slots=True)
class Part:
    """A titled part of the page. Rows of a list have one cell; a table may have a head."""

    name: str
    place: Literal["left", "right", "below"]
    manner: Manner
    rows: tuple[tuple[str, ...], ...]
    head: tuple[str, ...] = ()
    lead: str = ""


def parts(sheet: DaySheet) -> tuple[Part, ...]:
    """Every part that holds something, in order."""
    made = (
        _listed("Ring", "left", [f"{c.name}, {c.role}: {c.reach}" for c in sheet.contacts]),
        Part("Times", "right", Manner.TIMES,
             tuple((clock(e.at, sheet.zone), e.what) for e in sheet.entries)),
        _light(sheet),
        _penalty(sheet),
        _exposure(sheet),
        _listed("Bag", "below", [item.text for _, items in sheet.bag for item in items]),
        _listed("To get", "below", [shot_line(shot) for shot in sheet.shots], Manner.TICKED),
        _listed("Keep to", "below", [f"{c.text} [{c.source}]" for c in CAUTIONS], Manner.SMALL),
    )  # fmt: skip
    return tuple(part for part in made if part.rows)


def title(sheet: DaySheet) -> str:
    """Who plays."""
    return f"{sheet.fixture.home} v {sheet.fixture.away}"


def subtitle(sheet: DaySheet) -> str:
    """Competition, ground, date and kick-off, on the ground's own clock."""
    fixture = sheet.fixture
    local = fixture.kick_off.astimezone(sheet.zone)
    said = [
        " ".join(part for part in (fixture.competition, fixture.stage) if part),
        ", ".join(part for part in (fixture.venue or sheet.ground.name, fixture.city) if part),
        f"{local:%A}, {local.day} {local:%B %Y}, kick-off {local:%H:%M} {local.tzname() or ''}",
    ]
    return " · ".join(part.strip() for part in said if part)


def _listed(
    name: str,
    place: Literal["left", "right", "below"],
    items: list[str],
    manner: Manner = Manner.PLAIN,
) -> Part:
    return Part(name, place, manner, tuple((item,) for item in items))


def _light(sheet: DaySheet) -> Part:
    """Sunset and twilight, then how the sun falls for the first seat through the match."""
    day = sheet.light
    if day is None:
        return Part("Light", "right", Manner.TABLE, ())
    facts = ", ".join(
        f"{name} {clock(at, sheet.zone)}"
        for name, at in (
            ("sunset", day.set),
            ("civil twilight ends", day.dusk),
            ("floodlights rule from", day.floodlights_from),
        )
        if at
    )
    near, far = sheet.ground.near_end, sheet.ground.far_end
    rows = []
    for light in day.through:
        falls = looks(sheet.ground, sheet.seats[0], light)
        elevation = f"{light.sun.apparent_deg:.0f}°"
        rows.append((clock(light.at, sheet.zone), elevation, falls[near], falls[far]))
    lead = f"{facts[:1].upper()}{facts[1:]}." if facts else ""
    head = ("", "sun", f"to {near}", f"to {far}")
    return Part("Light", "right", Manner.TABLE, tuple(rows), head, lead)


def _penalty(sheet: DaySheet) -> Part:
    """Mean frames from the first seat, each lens at its longest, either way, at both goals."""
    rows = []
    for lens in sheet.lenses:
        for orientation in Orientation:
            longest = lens.focal_lengths_mm[1]
            camera = Camera(sheet.seats[0], longest, orientation, sheet.frames_per_s,
                            sheet.exposure_s, sheet.sensor)  # fmt: skip
            kicks = [penalty(sheet.speed_m_s, pitch=sheet.ground.pitch, end=end) for end in End]
            means = (f"{held(camera, kick).mean:.1f}" for kick in kicks)
            rows.append((f"{longest:g} mm {orientation}", *means))
    name = f"Penalty at {sheet.speed_m_s:g} m/s: frames with both, mean"
    head = ("", *(sheet.ground.end_name(end) for end in End))
    return Part(name, "right", Manner.TABLE, tuple(rows), head)


def _exposure(sheet: DaySheet) -> Part:
    name = f"ISO wide open at {write_shutter(sheet.exposure_s)}"
    lux = sheet.ground.floodlight_lx
    if lux is None:
        return Part(name, "right", Manner.TABLE, ())
    rows = []
    for lens in sheet.lenses:
        iso = iso_for_lens(lens, lux, sheet.exposure_s)
        rows.append((lens.name, f"{iso_to_set(iso)}" if iso <= ISO_STEPS[-1] else "too dark"))
    return Part(name, "right", Manner.TABLE, tuple(rows), (f"floodlights {lux:g} lx", "ISO"))


def shot_line(shot: Shot) -> str:
    """A shot as the list prints it; the number before it when more than one is wanted."""
    number = f"{shot.count} × " if shot.count > 1 else ""
    upright = ", upright" if shot.upright and "upright" not in shot.title else ""
    sides = " (each side)" if shot.each_side else ""
    about = f" ({shot.about})" if shot.about else ""
    note = f", {shot.note}" if shot.note else ""
    desk = f" (for {shot.who})" if shot.who else ""
    return f"{number}{shot.title}{about}{note}{upright}{sides}{desk}"
