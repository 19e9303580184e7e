"""The plan of the day on one page, for the pocket: HTML that prints on one sheet of A4.

It holds the seat's drawing, the times, the light, penalty and exposure in figures, the shot list
with boxes to tick, the bag, whom to ring, and the cautions. On a phone it reads in one column.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from zoneinfo import ZoneInfo

from setpiece.match.fixture import Fixture
from setpiece.plan.answers.light import clock, looks
from setpiece.plan.camera import Camera, Seat
from setpiece.plan.caution import CAUTIONS
from setpiece.plan.day import Contact, Entry, day_plan, packing
from setpiece.plan.drawings.canvas import STYLE
from setpiece.plan.drawings.seat import draw_seat
from setpiece.plan.exposure import ISO_STEPS, iso_for_lens, iso_to_set
from setpiece.plan.flight import penalty
from setpiece.plan.ground import Ground
from setpiece.plan.light import DayLight
from setpiece.plan.optics import Lens, Orientation, Sensor
from setpiece.plan.penalty import held
from setpiece.plan.pitch import End
from setpiece.plan.shotlist import Shot
from setpiece.plan.typed import write_shutter

PENALTY_SPEED_M_S = 28.0

_STYLE = """
@page{size:A4;margin:9mm}
*{box-sizing:border-box}
:root{--ink-0:#191b18;--ink-1:#40443c;--ink-2:#6a6e63;--paper-0:#f7f3e9;--paper-1:#fffdf6;
--line-0:#d3ccb9}
body{margin:0 auto;padding:14px 18px;max-width:210mm;background:var(--paper-0);color:var(--ink-0);
font:12px/1.36 "Noto Sans","Segoe UI",system-ui,-apple-system,sans-serif;
font-variant-numeric:lining-nums tabular-nums}
h1,h2,header p,td.figure,.times b{font-family:"Iowan Old Style","Palatino Linotype",Palatino,
"Noto Serif",Georgia,serif}
header{border-bottom:3px double var(--ink-0);padding-bottom:5px;margin-bottom:9px}
h1{font-size:21px;line-height:1.15;margin:0}
header p{margin:2px 0 0;font-style:italic;color:var(--ink-2);font-size:13px}
h2{font-size:13px;font-weight:600;font-variant-caps:all-small-caps;letter-spacing:.06em;
color:var(--ink-2);margin:9px 0 2px;border-bottom:1px solid var(--line-0)}
h2:first-child{margin-top:0}
main{display:grid;grid-template-columns:1.12fr 1fr;gap:0 18px}
.plan{width:100%;height:auto;display:block}
table{border-collapse:collapse;width:100%}
th{font-weight:400;color:var(--ink-2);text-align:left}
td,th{padding:1px 8px 1px 0;vertical-align:baseline}
td.n,th.n{text-align:right;padding-right:0;padding-left:8px}
.times b{font-size:13.5px}
ul{list-style:none;margin:0;padding:0}
li{padding:.5px 0}
.shots,.bag{columns:4;column-gap:16px}
.bag li{break-inside:avoid}
.shots li{break-inside:avoid;padding-left:15px;text-indent:-15px}
.shots li::before{content:"";display:inline-block;width:8px;height:8px;margin-right:7px;
border:1px solid var(--ink-0)}
.quiet{color:var(--ink-2)}
.cautions{font-size:10.5px;line-height:1.3;color:var(--ink-1);columns:2;column-gap:18px}
.cautions li{break-inside:avoid;padding-bottom:1.5px}
@media (max-width:640px){body{font-size:14px}main{display:block}.shots,.bag,.cautions{columns:1}
.cautions{font-size:12px}}
@media print{:root{--ink-0:#000;--ink-1:#222;--ink-2:#444;--paper-0:#fff;--paper-1:#fff;
--paper-2:#f0f0f0;
--line-0:#bbb}body{padding:0;max-width:none;font-size:7.6pt;line-height:1.28}.cautions{font-size:6.2pt;columns:3}
h2{margin:6px 0 1px;font-size:8.4pt}header{margin-bottom:6px}.shots{font-size:7.2pt}
.times b{font-size:8.6pt}}
"""


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

    @property
    def zone(self) -> ZoneInfo:
        """The ground's own zone."""
        return ZoneInfo(self.fixture.time_zone)

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The day in order."""
        return day_plan(self.fixture, travel_min=self.travel_min)

    @property
    def bag(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """What to pack, in groups."""
        dark = self.light is not None and (
            self.light.set is None or self.entries[-1].at > self.light.set
        )
        return packing(self.lenses, after_dark=dark)


def sheet_html(sheet: DaySheet) -> str:
    """The page, whole: nothing is loaded from anywhere."""
    fixture = sheet.fixture
    drawing = draw_seat(sheet.ground, sheet.seats, sheet.sensor, sheet.lenses)
    title = f"{fixture.home} v {fixture.away}"
    left = _sections(("Ring", _contacts(sheet.contacts)))
    right = _sections(
        ("Times", _times(sheet)),
        ("Light", _light(sheet)),
        (f"Penalty at {PENALTY_SPEED_M_S:g} m/s: frames with both, mean", _penalty(sheet)),
        (f"ISO wide open at {write_shutter(sheet.exposure_s)}", _exposure(sheet)),
    )
    below = _sections(
        ("Bag", _bag(sheet)), ("To get", _shots(sheet.shots)), ("Keep to", _cautions())
    )
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width">'
        f"<title>{escape(title)}: plan of the day</title><style>{_STYLE}{STYLE}</style></head>"
        f"<body><header><h1>{escape(title)}</h1><p>{escape(_subtitle(sheet))}</p></header>"
        f"<main><div>{drawing.svg(alone=False)}{left}</div><div>{right}</div></main>"
        f"{below}</body></html>\n"
    )


def _sections(*sections: tuple[str, str]) -> str:
    """Each section that holds something, under its name."""
    return "".join(f"<h2>{escape(name)}</h2>{body}" for name, body in sections if body)


def _subtitle(sheet: DaySheet) -> str:
    fixture = sheet.fixture
    local = fixture.kick_off.astimezone(sheet.zone)
    parts = [
        " ".join(part for part in (fixture.competition, fixture.stage) if part),
        ", ".join(part for part in (fixture.venue or sheet.ground.name, fixture.city) if part),
        f"{local:%A}, {local.day} {local:%B %Y}, kick-off {local:%H:%M} {local.tzname() or ''}",
    ]
    return " · ".join(part.strip() for part in parts if part)


def _list(items: Iterable[str], kind: str = "") -> str:
    of_kind = f' class="{kind}"' if kind else ""
    return f"<ul{of_kind}>" + "".join(f"<li>{escape(item)}</li>" for item in items) + "</ul>"


def _table(head: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """A small table: the first column text, the others figures."""
    names = list(head)
    top = "".join(
        f"<th{'' if n == 0 else ' class=n'}>{escape(name)}</th>" for n, name in enumerate(names)
    )
    body = "".join(
        "<tr>"
        + "".join(
            f"<td{'' if n == 0 else ' class=n'}>{escape(cell)}</td>" for n, cell in enumerate(row)
        )
        + "</tr>"
        for row in rows
    )
    return f"<table><tr>{top}</tr>{body}</table>"


def _times(sheet: DaySheet) -> str:
    rows = "".join(
        f"<tr><td><b>{clock(entry.at, sheet.zone)}</b></td><td>{escape(entry.what)}</td></tr>"
        for entry in sheet.entries
    )
    return f'<table class="times">{rows}</table>'


def _light(sheet: DaySheet) -> str:
    """Sunset and twilight, then how the sun falls for the first seat through the match."""
    day = sheet.light
    if day is None:
        return ""
    facts = [
        f"{name} {clock(at, sheet.zone)}"
        for name, at in (
            ("sunset", day.set),
            ("civil twilight ends", day.dusk),
            ("floodlights rule from", day.floodlights_from),
        )
        if at
    ]
    rows = []
    for light in day.through:
        falls = looks(sheet.ground, sheet.seats[0], light)
        rows.append([clock(light.at, sheet.zone), f"{light.sun.apparent_deg:.0f}°",
                     falls[sheet.ground.near_end], falls[sheet.ground.far_end]])  # fmt: skip
    head = ["", "sun", f"to {sheet.ground.near_end}", f"to {sheet.ground.far_end}"]
    said = ", ".join(facts)
    return f"<div>{escape(said[:1].upper() + said[1:])}.</div>" + _table(head, rows)


def _penalty(sheet: DaySheet) -> str:
    """Mean frames from the first seat, each lens at its longest, either way, at both goals."""
    rows = []
    for lens in sheet.lenses:
        for orientation in Orientation:
            longest = lens.focal_lengths_mm[1]
            camera = Camera(
                sheet.seats[0],
                longest,
                orientation,
                sheet.frames_per_s,
                sheet.exposure_s,
                sheet.sensor,
            )
            kicks = [penalty(PENALTY_SPEED_M_S, pitch=sheet.ground.pitch, end=end) for end in End]
            rows.append(
                [
                    f"{longest:g} mm {orientation}",
                    *(f"{held(camera, kick).mean:.1f}" for kick in kicks),
                ]
            )
    return _table(["", *(sheet.ground.end_name(end) for end in End)], rows)


def _exposure(sheet: DaySheet) -> str:
    lux = sheet.ground.floodlight_lx
    if lux is None:
        return ""
    rows = []
    for lens in sheet.lenses:
        iso = iso_for_lens(lens, lux, sheet.exposure_s)
        rows.append([lens.name, f"{iso_to_set(iso)}" if iso <= ISO_STEPS[-1] else "too dark"])
    return _table([f"floodlights {lux:g} lx", "ISO"], rows)


def _bag(sheet: DaySheet) -> str:
    return _list((item for _, items in sheet.bag for item in items), "bag")


def _contacts(contacts: tuple[Contact, ...]) -> str:
    return _list(f"{c.name}, {c.role}: {c.reach}" for c in contacts) if contacts else ""


def _shots(shots: tuple[Shot, ...]) -> str:
    """Every shot with a box to tick; the number before it when more than one is wanted."""

    def line(shot: Shot) -> str:
        number = f"{shot.count} × " if shot.count > 1 else ""
        sides = " (each side)" if shot.each_side else ""
        desk = f" (for {shot.who})" if shot.who else ""
        return f"{number}{shot.title}{sides}{desk}"

    return _list((line(shot) for shot in shots), "shots")


def _cautions() -> str:
    return _list((f"{c.text} [{c.source}]" for c in CAUTIONS), "cautions")
