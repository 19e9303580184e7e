"""The day of the match: when what happens, what is packed, whom to ring, and a calendar of it.

Times before kick-off are common practice, no source; team sheets come about an hour before
kick-off. The calendar follows RFC 5545: lines end in CR LF and fold after 75 octets (3.1),
texts are escaped (3.3.11), times are UTC (3.3.5, form 2).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta

from setpiece.errors import WrongUse
from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant, instant
from setpiece.plan.limits import within
from setpiece.plan.optics import Lens

HALF_TIME_MIN = 15
LINE_OCTETS = 75

# (minutes before kick-off, key, what)
BEFORE_KICK_OFF = (
    (150, "arrive", "At the ground: accreditation, bib, parking"),
    (120, "seat", "Seat, power, link tried; every desk tested"),
    (90, "doors", "Doors open; general view while it is empty"),
    (75, "clock-card", "Clock card with every camera"),
    (60, "sheets", "Team sheets: type them in, read them back"),
    (40, "warm-up", "Warm-up"),
    (8, "tunnel", "Sides in the tunnel"),
    (5, "line-up", "Line-up, captains, toss"),
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the day, known by its key. `lasts_min` 0 is a moment."""

    key: str
    at: Instant
    what: str
    lasts_min: int = 0


@dataclass(frozen=True, slots=True)
class Contact:
    """Someone to ring, and how."""

    name: str
    role: str
    reach: str


def day_plan(fixture: Fixture, *, travel_min: int = 0, after_min: int = 60) -> tuple[Entry, ...]:
    """The day in order, from setting out to the last picture sent.

    `travel_min` is the way to the ground; `after_min` how long one stays after full time. Added
    time is counted as five minutes a match.
    """
    within(travel_min, 0, 24 * 60, what="the way to the ground", unit="minutes")
    within(after_min, 0, 6 * 60, what="the time after the match", unit="minutes")
    kick_off, half = fixture.kick_off, fixture.rules.half_min
    plan = [Entry(key, _at(kick_off, -minutes), what) for minutes, key, what in BEFORE_KICK_OFF]
    if travel_min:
        arrive = BEFORE_KICK_OFF[0][0]
        plan.insert(0, Entry("set-out", _at(kick_off, -arrive - travel_min), "Set out", travel_min))
    interval = half + 2
    full_time = interval + HALF_TIME_MIN + half + 3
    plan += [
        Entry("kick-off", kick_off, f"Kick-off: {fixture.home} v {fixture.away}", full_time),
        Entry("half-time", _at(kick_off, interval), "Half-time: change ends, send, second card",
              HALF_TIME_MIN),
        Entry("second-half", _at(kick_off, interval + HALF_TIME_MIN), "Second half"),
        Entry("full-time", _at(kick_off, full_time),
              "Full time: handshake, faces, thanks to supporters"),
        Entry("sent", _at(kick_off, full_time + after_min),
              "Last pictures sent; two copies checked"),
    ]  # fmt: skip
    return tuple(plan)


def _at(kick_off: Instant, minutes: float) -> Instant:
    return instant(kick_off + timedelta(minutes=minutes))


@dataclass(frozen=True, slots=True)
class Packed:
    """One thing to pack, known by its key; `value` is the number or the lens in its text."""

    key: str
    text: str
    value: str = ""


def packing(
    lenses: Iterable[Lens], *, bodies: int = 2, after_dark: bool = False, rain: bool = False
) -> tuple[tuple[str, tuple[Packed, ...]], ...]:
    """What to pack, in groups. Common practice, no source."""
    within(bodies, 1, 6, what="cameras")
    cameras = f"{bodies} camera{'s' if bodies > 1 else ''}, clocks set"
    pictures = [
        Packed("cameras", cameras, str(bodies)),
        *(Packed("lens", f"lens {lens.name}", lens.name) for lens in lenses),
        Packed("batteries", f"{bodies + 2} charged batteries", str(bodies + 2)),
        Packed("cards", f"{2 * bodies} empty cards, formatted in the camera", str(2 * bodies)),
        Packed("monopod", "monopod"),
    ]
    desk = [
        Packed("laptop", "laptop, charged; charger and extension lead"),
        Packed("reader", "card reader and its spare"),
        Packed("phone", "phone and a second network"),
        Packed("drive", "second drive for the copies"),
    ]
    person = [
        Packed("papers", "accreditation, bib, identity card"),
        Packed("stool", "stool, ear plugs, water"),
    ]
    if after_dark:
        person.append(Packed("torch", "head torch"))
    if rain:
        person.append(Packed("covers", "rain covers for every camera"))
        person.append(Packed("towel", "towel, plastic bags, dry gloves"))
    else:
        person.append(Packed("cover", "one rain cover all the same"))
    return (("Pictures", tuple(pictures)), ("Desk", tuple(desk)), ("Person", tuple(person)))


def calendar(
    fixture: Fixture, entries: Iterable[Entry], *, made: Instant, product: str = "Setpiece"
) -> str:
    """The day as the text of an .ics file, one event an entry, times in UTC.

    `made` is when it is written. Entries keep their identifiers, so a later file replaces them.
    """
    place = ", ".join(part for part in (fixture.venue, fixture.city) if part)
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:-//{_text(product)}//Plan of the day//EN",
        "CALSCALE:GREGORIAN",
    ]
    for entry in entries:
        lines += [
            "BEGIN:VEVENT",
            f"UID:{_text(fixture.id)}-{entry.key}@setpiece",
            f"DTSTAMP:{_time(made)}",
            f"DTSTART:{_time(entry.at)}",
            f"SUMMARY:{_text(entry.what)}",
        ]
        if entry.lasts_min:
            lines.append(f"DTEND:{_time(_at(entry.at, entry.lasts_min))}")
        if place:
            lines.append(f"LOCATION:{_text(place)}")
        lines.append("END:VEVENT")
    lines.append("END:VCALENDAR")
    return "".join(f"{_folded(line)}\r\n" for line in lines)


def _time(at: Instant) -> str:
    return f"{at:%Y%m%dT%H%M%SZ}"


def _text(value: str) -> str:
    """Escaped as RFC 5545, 3.3.11 asks; control characters are refused."""
    if any(ord(c) < 32 and c not in "\n\t" for c in value):
        raise WrongUse("a calendar cannot hold control characters", thing=repr(value))
    escaped = value.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    return escaped.replace("\n", "\\n")


def _folded(line: str) -> str:
    """A line of at most 75 octets, the rest after CR LF and a blank; no character is cut."""
    pieces, piece, octets = [], "", 0
    for character in line:
        size = len(character.encode())
        if octets + size > LINE_OCTETS:
            pieces.append(piece)
            piece, octets = "", 1  # the blank that opens the next line
        piece += character
        octets += size
    pieces.append(piece)
    return "\r\n ".join(pieces)
