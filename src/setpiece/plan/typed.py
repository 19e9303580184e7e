"""What a photographer types, read: seats, lenses, shutter speeds, sensors, stands.

seat      -8,-2,1.0         x, y, height of the lens, in metres
lens      400/2.8  70-200/2.8  300/2.8x1.4
shutter   1/1000  0.001
sensor    36x24
pixels    6000x4000
stand     left:20:8:6       side, height, set-back, roof edge, in metres
"""

from __future__ import annotations

import re
from datetime import date, time
from enum import StrEnum
from typing import TypeVar
from zoneinfo import ZoneInfo

from setpiece.errors import WrongUse
from setpiece.match.instants import Instant
from setpiece.plan.camera import Seat
from setpiece.plan.day import Contact
from setpiece.plan.exposure import light_metered_lx
from setpiece.plan.flight import Ball, Kick, free_kick, header, penalty
from setpiece.plan.ground import Flank, Stand
from setpiece.plan.light import local_instant
from setpiece.plan.limits import within
from setpiece.plan.motion import FASTEST_EXPOSURE_S, SLOWEST_EXPOSURE_S
from setpiece.plan.optics import SENSORS, Lens, Sensor
from setpiece.plan.pitch import End, Pitch

HEADER_FROM = (2.0, 6.0, 2.2)  # before the near post at a corner, ours
_NUMBER = r"[-+]?\d+(?:\.\d+)?|[-+]?\.\d+"
_LENS = re.compile(
    r"(?P<short>\d+(?:\.\d+)?)(?:-(?P<long>\d+(?:\.\d+)?))?(?:mm)?"
    r"(?:f?/(?P<stop>\d+(?:\.\d+)?))?(?:x(?P<converter>\d+(?:\.\d+)?))?"
)
_SHUTTER = re.compile(r"1/(\d+(?:\.\d+)?)s?|(\d+(?:\.\d+)?|\.\d+)s?")
_Word = TypeVar("_Word", bound=StrEnum)
_PAIR = re.compile(r"(\d+(?:\.\d+)?)\s*[x×*]\s*(\d+(?:\.\d+)?)")


def read_numbers(text: str, least: int, most: int, *, what: str, example: str) -> list[float]:
    """Numbers between commas. Raises WrongUse with an example."""
    parts = [part.strip() for part in text.split(",")]
    if least <= len(parts) <= most and all(re.fullmatch(_NUMBER, part) for part in parts):
        return [float(part) for part in parts]
    raise WrongUse(f"this is not {what}", thing=text, next_step=f"Write it as {example}.")


def read_seat(text: str, name: str = "") -> Seat:
    """A seat as `X,Y,H`; without H the lens is 1 m up. A name may stand first: `left=-8,-2,1`."""
    label, _, place = text.rpartition("=")
    numbers = read_numbers(place, 2, 3, what="a seat", example="-8,-2,1.0")
    return Seat(label.strip() or name or place.strip(), *numbers)


def read_lens(text: str) -> Lens:
    """A lens as `400/2.8`, `70-200/2.8` or `300/2.8x1.4`; without an aperture f/2.8."""
    found = _LENS.fullmatch(text.strip().lower().replace(" ", ""))
    if not found:
        raise WrongUse("this is not a lens", thing=text, next_step="Write it as 400/2.8.")
    short = float(found["short"])
    return Lens(
        short,
        float(found["long"] or short),
        float(found["stop"] or 2.8),
        float(found["converter"] or 1),
    )


def read_shutter(text: str) -> float:
    """Seconds from `1/1000` or `0.001`."""
    found = _SHUTTER.fullmatch(text.strip().replace(" ", ""))
    if not found or (found[1] and float(found[1]) == 0):
        raise WrongUse("this is no shutter speed", thing=text, next_step="Write it as 1/1000.")
    seconds = 1 / float(found[1]) if found[1] else float(found[2])
    return within(seconds, FASTEST_EXPOSURE_S, SLOWEST_EXPOSURE_S, what="an exposure", unit="s")


def write_shutter(exposure_s: float) -> str:
    """Seconds as a camera shows them: `1/1000`, `0.5 s`."""
    if exposure_s >= 0.4:
        return f"{exposure_s:g} s"
    return f"1/{1 / exposure_s:.0f}"


def read_sensor(size_mm: str, pixels: str) -> Sensor:
    """A sensor from `36x24` or a name such as `1.5x`, and `6000x4000`."""
    known = SENSORS.get(size_mm.strip())
    width, height = (
        (known.width_mm, known.height_mm)
        if known
        else _pair(size_mm, "the size of a sensor", f"36x24, or {', '.join(SENSORS)}")
    )
    wide, high = _pair(pixels, "the pixels of a sensor", "6000x4000")
    return Sensor(width, height, int(wide), int(high))


def read_stand(text: str) -> Stand:
    """A stand as `SIDE:HEIGHT[:SET-BACK[:ROOF EDGE]]`, on left, right, near or far."""
    side, *numbers = [part.strip() for part in text.split(":")]
    fits = side in set(Flank) and 1 <= len(numbers) <= 3
    if not fits or not all(re.fullmatch(_NUMBER, number) for number in numbers):
        raise WrongUse(
            "this is not a stand",
            thing=text,
            next_step="Write it as left:20:8:6 (side, metres).",
        )
    height_m, *backs_m = map(float, numbers)
    set_back_m = backs_m[0] if backs_m else 5.0
    roof_edge_m = backs_m[1] if len(backs_m) > 1 else set_back_m
    return Stand(Flank(side), f"{side} stand", height_m, set_back_m, roof_edge_m)


def choose(words: type[_Word], text: str, what: str) -> _Word:
    """One of a few words. Raises WrongUse that lists them."""
    try:
        return words(text.strip().lower())
    except ValueError as error:
        raise WrongUse(
            f"this is not {what}", thing=text, next_step=f"Write {' or '.join(words)}."
        ) from error


def read_kick(
    kind: str, start: str, aim: str, speed_m_s: float, ball: Ball, pitch: Pitch, end: End
) -> Kick:
    """A `penalty`, `free-kick` or `header` at one goal, from `X,Y[,Z]` to `X,HEIGHT`.

    Places are given from that goal. A penalty is struck at its mark; a header where none is
    given at (2, 6), 2.2 m up.
    """
    aim_x_m, aim_height_m = read_numbers(aim, 2, 2, what="an aim", example="0,1.22")
    place = read_numbers(start, 2, 3, what="a place", example="2,6,2.2") if start else []
    match kind.strip().lower(), place:
        case "penalty", []:
            return penalty(speed_m_s, aim_x_m=aim_x_m, aim_height_m=aim_height_m, ball=ball,
                           pitch=pitch, end=end)  # fmt: skip
        case "free-kick" | "free kick", [x_m, y_m]:
            return free_kick(x_m, y_m, speed_m_s, aim_x_m=aim_x_m, aim_height_m=aim_height_m,
                             ball=ball, pitch=pitch, end=end)  # fmt: skip
        case "header", [] | [_, _, _]:
            x_m, y_m, height_m = place or HEADER_FROM
            return header(speed_m_s, x_m=x_m, y_m=y_m, height_m=height_m, aim_x_m=aim_x_m,
                          aim_height_m=aim_height_m, ball=ball, pitch=pitch, end=end)  # fmt: skip
    raise WrongUse(
        "this is not a kick one can plan",
        thing=f"{kind} {start}".strip(),
        next_step="A penalty needs no place, a free-kick X,Y, a header X,Y,Z or none.",
    )


def read_zone(name: str) -> ZoneInfo:
    """A time zone by its IANA name."""
    try:
        return ZoneInfo(name)
    except (ValueError, KeyError, OSError) as error:
        raise WrongUse(
            "no such time zone", thing=name, next_step="Use a name like Europe/Berlin."
        ) from error


def read_local(day: str, clock: str, zone: ZoneInfo) -> Instant:
    """The instant of a date and a clock time at the ground, as `2027-03-06` and `15:30`."""
    try:
        return local_instant(date.fromisoformat(day.strip()), time.fromisoformat(clock), zone)
    except ValueError as error:
        raise WrongUse(
            "this is no date and time", thing=f"{day} {clock}", next_step="As 2027-03-06 and 15:30."
        ) from error


def read_metered(text: str) -> float:
    """The light in lux behind a metered `SHUTTER,F-NUMBER,ISO`."""
    parts = [part.strip() for part in text.split(",")]
    if len(parts) != 3 or not all(re.fullmatch(_NUMBER, part) for part in parts[1:]):
        raise WrongUse(
            "this is not a metered value", thing=text, next_step="Write it as 1/500,2.8,3200."
        )
    return light_metered_lx(float(parts[1]), read_shutter(parts[0]), float(parts[2]))


def read_contact(text: str) -> Contact:
    """Someone to ring, as `NAME;ROLE;NUMBER`."""
    parts = [part.strip() for part in text.split(";")]
    if len(parts) != 3 or not parts[0]:
        raise WrongUse("this is not a contact", thing=text, next_step="Write NAME;ROLE;NUMBER.")
    return Contact(*parts)


def _pair(text: str, what: str, example: str) -> tuple[float, float]:
    found = _PAIR.fullmatch(text.strip().lower())
    if not found:
        raise WrongUse(f"this is not {what}", thing=text, next_step=f"Write it as {example}.")
    return float(found[1]), float(found[2])
