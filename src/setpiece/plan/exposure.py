"""Exposure from light: lux or a metered value to ISO, time and aperture.

    N^2 / t = E S / C          EV at ISO 100 = log2(E / 2.5)

E is the illuminance on the plane that faces the camera: the vertical one at the player. C is 250
for a flat receptor (published range 240 to 400) and 330 for a half-sphere (320 to 340); the
standard behind it, ISO 2720:1974, was not seen.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from setpiece.errors import WrongUse
from setpiece.plan.limits import within
from setpiece.plan.optics import Lens

FLAT_C = 250.0
HALF_SPHERE_C = 330.0
EV_0_LX = 2.5

# The sensitivities cameras offer, in thirds of a stop.
ISO_STEPS = (
    100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1250, 1600, 2000, 2500, 3200, 4000,
    5000, 6400, 8000, 10000, 12800, 16000, 20000, 25600, 32000, 40000, 51200, 64000, 80000, 102400,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Standard:
    """What a rule book asks of a ground's floodlights."""

    who: str
    lux: float
    plane: str
    source: str


STANDARDS = (
    Standard("FA step 3 to 6, average", 120, "horizontal", "vendor's copy of the FA's grading"),
    Standard("FA step 3 to 6, new, average", 180, "horizontal", "vendor's copy of the grading"),
    Standard("FA step 1", 250, "horizontal", "vendor's and forum copies of the FA's grading"),
    Standard(
        "UEFA category 2",
        350,
        "vertical",
        "UEFA Stadium Infrastructure Regulations 2018, article 16",
    ),
    Standard(
        "UEFA, any floodlit match",
        350,
        "horizontal",
        "UEFA Stadium Infrastructure Regulations 2018, article 16",
    ),
    Standard(
        "UEFA category 3",
        750,
        "vertical",
        "UEFA Stadium Infrastructure Regulations 2018, article 16",
    ),
    Standard(
        "UEFA category 4",
        1000,
        "vertical",
        "UEFA Stadium Infrastructure Regulations 2018, article 16",
    ),
    Standard("Nations League 2024/25", 1000, "vertical", "its regulations, article 31"),
    Standard("Nations League 2024/25", 1400, "horizontal", "its regulations, article 31"),
    Standard("Super Cup 2024", 1250, "vertical", "its regulations, article 23"),
    Standard("Super Cup 2024", 1500, "horizontal", "its regulations, article 23"),
    Standard("EN 12193 class III", 75, "horizontal", "from memory"),
    Standard("EN 12193 class II", 200, "horizontal", "from memory"),
    Standard("EN 12193 class I", 500, "horizontal", "from memory"),
)


def ev_at_iso_100(illuminance_lx: float) -> float:
    """Exposure value at ISO 100 of that light on a flat receptor."""
    return math.log2(_light(illuminance_lx) / EV_0_LX)


def light_of_ev_lx(ev: float) -> float:
    """The light that gives that exposure value at ISO 100."""
    return EV_0_LX * math.exp2(within(ev, -10, 25, what="an exposure value"))


def ev_of(f_number: float, exposure_s: float) -> float:
    """Exposure value of an aperture and a time."""
    return math.log2(_stop(f_number) ** 2 / _time(exposure_s))


def iso_needed(
    illuminance_lx: float, f_number: float, exposure_s: float, c: float = FLAT_C
) -> float:
    """The sensitivity that light asks for at an aperture and a time."""
    within(c, 200, 400, what="the constant C")
    return c * _stop(f_number) ** 2 / (_time(exposure_s) * _light(illuminance_lx))


def exposure_needed_s(
    illuminance_lx: float, f_number: float, iso: float, c: float = FLAT_C
) -> float:
    """The time that light asks for at an aperture and a sensitivity."""
    within(c, 200, 400, what="the constant C")
    return c * _stop(f_number) ** 2 / (_sensitivity(iso) * _light(illuminance_lx))


def light_metered_lx(f_number: float, exposure_s: float, iso: float, c: float = FLAT_C) -> float:
    """The light that a metered aperture, time and sensitivity stand for."""
    within(c, 200, 400, what="the constant C")
    return c * _stop(f_number) ** 2 / (_time(exposure_s) * _sensitivity(iso))


def iso_for_lens(lens: Lens, illuminance_lx: float, exposure_s: float, c: float = FLAT_C) -> float:
    """The sensitivity a lens needs wide open, its converter's loss counted."""
    return iso_needed(illuminance_lx, lens.widest_f_number, exposure_s, c)


def iso_to_set(iso: float) -> int:
    """The next sensitivity a camera offers, in thirds of a stop upwards.

    A hundredth of a stop over a step still counts as that step.
    """
    for step in ISO_STEPS:
        if iso <= step * 2**0.01:
            return step
    raise WrongUse(
        f"no camera here offers more than ISO {ISO_STEPS[-1]}",
        thing=f"ISO {iso:.0f}",
        next_step="Open the lens, take a longer time, or accept a darker frame.",
    )


def _light(illuminance_lx: float) -> float:
    return within(illuminance_lx, 0.01, 200_000, what="the light", unit="lx")


def _stop(f_number: float) -> float:
    return within(f_number, 0.7, 64, what="an f-number")


def _time(exposure_s: float) -> float:
    return within(exposure_s, 1 / 64_000, 60, what="an exposure", unit="s")


def _sensitivity(iso: float) -> float:
    return within(iso, 25, 1_000_000, what="a sensitivity", unit="ISO")
