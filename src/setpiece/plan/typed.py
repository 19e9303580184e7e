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

from setpiece.errors import WrongUse
from setpiece.plan.camera import Seat
from setpiece.plan.ground import Flank, Stand
from setpiece.plan.limits import within
from setpiece.plan.motion import FASTEST_EXPOSURE_S, SLOWEST_EXPOSURE_S
from setpiece.plan.optics import SENSORS, Lens, Sensor
from setpiece.plan.pitch import Point

_NUMBER = r"[-+]?\d+(?:\.\d+)?|[-+]?\.\d+"
_LENS = re.compile(
    r"(?P<short>\d+(?:\.\d+)?)(?:-(?P<long>\d+(?:\.\d+)?))?(?:mm)?"
    r"(?:f?/(?P<stop>\d+(?:\.\d+)?))?(?:x(?P<converter>\d+(?:\.\d+)?))?"
)
_SHUTTER = re.compile(r"1/(\d+(?:\.\d+)?)s?|(\d+(?:\.\d+)?|\.\d+)s?")
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


def read_point(text: str) -> Point:
    """A place on the pitch as `X,Y`, or in the air as `X,Y,Z`."""
    return Point(*read_numbers(text, 2, 3, what="a place", example="2,6,2.2"))


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


def _pair(text: str, what: str, example: str) -> tuple[float, float]:
    found = _PAIR.fullmatch(text.strip().lower())
    if not found:
        raise WrongUse(f"this is not {what}", thing=text, next_step=f"Write it as {example}.")
    return float(found[1]), float(found[2])
