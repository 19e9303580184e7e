"""Blur, readout, flicker and speeds against published figures."""

from __future__ import annotations

import math

import pytest
from checks import Check, each

from setpiece.plan.motion import (
    ACCURATE_KICK_SHARE,
    FLICKER_LIMITS,
    KICK,
    MEASURED_READOUTS_S,
    OUTSTEP,
    SPRINT,
    SWERVE,
    exposure_for_blur_s,
    flicker_stops,
    remaining_ripple,
    row_time_s,
    steady_exposures_s,
)
from setpiece.plan.optics import Sensor

pytestmark = pytest.mark.published

# calculatorhub.com, worked example: 5 m/s at 10 m, 200 mm, 0.025 mm of blur: 1/4000 s. It uses
# f / d; the thin lens magnifies a little more and asks for 1/4082.
PER_MM = Sensor(36, 24, 36 * 40, 24 * 40)  # pixels of 0.025 mm

# README and results/full_sensor.json of the repository horshack-dpreview/RollingShutter.
ROLLING = "github.com/horshack-dpreview/RollingShutter"

# Nikon support article 000044870: safe times under 50 and 60 Hz light.
SAFE = "nikonimgsupport.com, article 000044870"

# UEFA Stadium Lighting Guide 2023, 12-point flicker factor test: class, average, maximum.
FLICKER = "UEFA Stadium Lighting Guide 2023"
FLICKER_PRINTED = [
    ("Elite A", 0.03, None),
    ("A", 0.05, None),
    ("B", 0.12, 0.15),
    ("C", 0.20, 0.30),
]
LIMITS = {name: (average, maximum) for name, average, maximum in FLICKER_LIMITS}

CHECKS = [
    Check(
        "1 / exposure for 0.025 mm, 5 m/s, 10 m, 200 mm",
        "calculatorhub.com",
        "worked example",
        4000,
        lambda: 1 / exposure_for_blur_s(PER_MM, 200, 10, 5, 1),
        4000 * 0.0205,
        "the example uses f / d, the thin lens f / (d - f): 1/4082",
    ),
    Check(
        "1 / exposure for the same, thin lens",
        "derived by hand",
        "f / (d - f)",
        4082,
        lambda: 1 / exposure_for_blur_s(PER_MM, 200, 10, 5, 1),
        0.5,
        "whole number",
    ),
    Check(
        "row time, 50 ms over 4000 rows, us",
        ROLLING,
        "README",
        12.5,
        lambda: row_time_s(0.050, 4000) * 1e6,
        0.05,
        "half of the last printed digit",
    ),
    *(
        Check(
            f"measured full-frame readout {place}, ms",
            ROLLING,
            "results/full_sensor.json",
            printed,
            lambda place=place: MEASURED_READOUTS_S[place - 1] * 1000,
            0.001,
            "taken over as printed",
        )
        for place, printed in enumerate((3.73, 4.79, 14.7, 50.8), 1)
    ),
    *(
        Check(
            f"1 / steady exposure {place} at {mains} Hz",
            SAFE,
            "",
            printed,
            lambda mains=mains, place=place: 1 / steady_exposures_s(mains)[place - 1],
            tolerance,
            why,
        )
        for mains, place, printed, tolerance, why in (
            (50, 1, 100, 0.01, "exact"),
            (50, 2, 50, 0.01, "exact"),
            (50, 4, 25, 0.01, "exact"),
            (60, 1, 125, 5.01, "printed in nominal shutter speeds, true value 1/120"),
            (60, 2, 60, 0.01, "exact"),
            (60, 4, 30, 0.01, "exact"),
        )
    ),
    Check(
        "ripple left at 1/125 s under 60 Hz, share",
        "derived by hand",
        "|sinc(120/125)|",
        0.042,
        lambda: remaining_ripple(1.0, 60, 1 / 125),
        0.0005,
        "half of the last digit",
    ),
    *(
        Check(
            f"flicker factor class {name}, {what} limit",
            FLICKER,
            "12-point flicker factor test",
            printed,
            lambda name=name, place=place: LIMITS[name][place],
            0.0,
            "taken over as printed",
        )
        for name, average, maximum in FLICKER_PRINTED
        for place, (what, printed) in enumerate((("average", average), ("maximum", maximum)))
        if printed is not None
    ),
    *(
        Check(
            f"stops peak to peak at 1/1000 s, flicker factor {factor:.0%}",
            "derived by hand",
            "log2((1 + r) / (1 - r)), 50 Hz",
            printed,
            lambda factor=factor: flicker_stops(remaining_ripple(factor, 50, 1 / 1000)),
            0.0005,
            "half of the last digit",
        )
        for factor, printed in ((0.03, 0.085), (0.05, 0.142), (0.15, 0.429), (0.30, 0.878))
    ),
    # Biol Sport 2025;42(1):193, abstract: peak speeds of players 29.11 to 31.64 km/h.
    Check(
        "speed of a sprint, km/h",
        "Biol Sport 2025;42(1):193",
        "abstract",
        (29.11 + 31.64) / 2,
        lambda: SPRINT.speed_m_s * 3.6,
        (31.64 - 29.11) / 2,
        "within the printed range",
    ),
    # Andersen and Doerge 2011, doi 10.1111/j.1600-0838.2009.01024.x: maximal kicks 28.60 to
    # 34.48 m/s, 85 % of that under an accuracy demand.
    Check(
        "speed of a hard kick, m/s",
        "Andersen and Doerge 2011, doi 10.1111/j.1600-0838.2009.01024.x",
        "maximal kicks",
        (28.60 + 34.48) / 2,
        lambda: KICK.speed_m_s,
        (34.48 - 28.60) / 2,
        "within the printed range",
    ),
    Check(
        "share of the maximal speed when aiming",
        "Andersen and Doerge 2011, doi 10.1111/j.1600-0838.2009.01024.x",
        "accuracy demand",
        0.85,
        lambda: ACCURATE_KICK_SHARE,
        0.0,
        "taken over as printed",
    ),
    # taylorfrancis 9780203412992, chapter 9: swerving kicks of professionals 23.5 m/s with the
    # instep, 20.9 with the outstep.
    *(
        Check(
            f"speed of a swerving kick with the {foot}, m/s",
            "taylorfrancis 9780203412992",
            "chapter 9",
            printed,
            lambda kick=kick: kick.speed_m_s,
            0.0,
            "taken over as printed",
        )
        for foot, printed, kick in (("instep", 23.5, SWERVE), ("outstep", 20.9, OUTSTEP))
    ),
]


@each(CHECKS)
def test_motion_agrees_with_the_published_figure(check: Check) -> None:
    """The computed blur, time or ripple is the published one."""
    check.hold()


@pytest.mark.parametrize("mains_hz", [50, 60])
def test_a_steady_exposure_leaves_nothing_of_the_ripple(mains_hz: float) -> None:
    """At one to four periods of the light no flicker is left."""
    for exposure in steady_exposures_s(mains_hz):
        assert math.isclose(remaining_ripple(1.0, mains_hz, exposure), 0, abs_tol=1e-12)
