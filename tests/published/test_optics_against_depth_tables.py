"""Depth of field and hyperfocal distance against published tables."""

from __future__ import annotations

import pytest
from checks import Check, each

from setpiece.plan.optics import depth_of_field, hyperfocal_m

pytestmark = pytest.mark.published

FOOT_M = 0.3048
INCH_MM = 25.4

# Complete Guide to the Nikon D300, p. 411: 70 mm, circle 0.016 mm, feet.
GUIDE = "Complete Guide to the Nikon D300"
GUIDE_ROWS = [  # f-number, focus, near, far
    (2.8, 10, 9.73, 10.28),
    (2.8, 20, 18.96, 21.17),
    (2.8, 50, 43.91, 58.05),
    (5.6, 20, 18.01, 22.48),
    (5.6, 50, 39.14, 69.20),
    (8.0, 20, 17.28, 23.74),
    (8.0, 50, 35.81, 82.83),
]
GUIDE_HYPERFOCAL = [(2.8, 358.8), (5.6, 179.4), (11.0, 91.3)]  # feet; leaves out the + f


def depth_ft(f_number: float, focus_ft: float, which: str) -> float:
    depth = depth_of_field(70, f_number, focus_ft * FOOT_M, 0.016)
    return getattr(depth, which) / FOOT_M


# Wikipedia, Hyperfocal distance, section Example (read in a mirror): 50 mm, f/8, 0.03 mm.
WIKIPEDIA = "Wikipedia (mirror), Hyperfocal distance"
# United States Army course SS0507, p. 58: 2 inches, f/8, circle 0.002 inch; feet, without + f.
ARMY = "US Army course SS0507"

CHECKS = [
    Check(
        "hyperfocal, 50 mm f/8 c 0.03, mm",
        WIKIPEDIA,
        "Example",
        10467,
        lambda: hyperfocal_m(50, 8, 0.03) * 1000,
        0.5,
        "whole millimetres",
    ),
    Check(
        "hyperfocal less f, 50 mm f/8 c 0.03, mm",
        WIKIPEDIA,
        "Example",
        10417,
        lambda: hyperfocal_m(50, 8, 0.03) * 1000 - 50,
        0.5,
        "whole millimetres",
    ),
    *(
        Check(
            f"{which.removesuffix('_m')} limit, 70 mm f/{stop:g} at {focus} ft, ft",
            GUIDE,
            "p. 411",
            printed,
            lambda stop=stop, focus=focus, which=which: depth_ft(stop, focus, which),
            0.015,
            "one in the last printed digit, both rounded; the short formula is off by up to 0.05",
        )
        for stop, focus, near, far in GUIDE_ROWS
        for which, printed in (("near_m", near), ("far_m", far))
    ),
    *(
        Check(
            f"hyperfocal, 70 mm f/{stop:g}, ft",
            GUIDE,
            "p. 411",
            printed,
            lambda stop=stop: hyperfocal_m(70, stop, 0.016) / FOOT_M,
            printed * 0.0007 + 70 / 1000 / FOOT_M,
            "the table leaves out the + f (0.23 ft); the rest is 0.07 %",
        )
        for stop, printed in GUIDE_HYPERFOCAL
    ),
    Check(
        "hyperfocal less f, 2 in f/8 c 0.002 in, ft",
        ARMY,
        "p. 58",
        20.8,
        lambda: (hyperfocal_m(2 * INCH_MM, 8, 0.002 * INCH_MM) - 2 * INCH_MM / 1000) / FOOT_M,
        0.05,
        "half of the last printed digit",
    ),
    Check(
        "near limit at the hyperfocal distance, 2 in f/8, ft",
        ARMY,
        "p. 58",
        10.4,
        lambda: (
            depth_of_field(
                2 * INCH_MM, 8, hyperfocal_m(2 * INCH_MM, 8, 0.002 * INCH_MM), 0.002 * INCH_MM
            ).near_m
            / FOOT_M
        ),
        0.15,
        "the course halves 20.8; exact thin lens puts f back on, half of 21.0",
    ),
    # Derived by hand from the exact formulas: 400 mm f/2.8.
    *(
        Check(
            f"{what}, 400 mm f/2.8 at {focus} m c {circle}, m",
            "derived by hand",
            "exact thin lens",
            printed,
            lambda focus=focus, circle=circle, what=what: {
                "near": depth_of_field(400, 2.8, focus, circle).near_m,
                "far": depth_of_field(400, 2.8, focus, circle).far_m,
                "depth": depth_of_field(400, 2.8, focus, circle).length_m,
            }[what],
            tolerance,
            "half of the last digit",
        )
        for what, focus, circle, printed, tolerance in (
            ("near", 30, 0.03, 29.541, 0.0005),
            ("far", 30, 0.03, 30.474, 0.0005),
            ("depth", 30, 0.03, 0.93, 0.005),
            ("depth", 30, 0.025, 0.78, 0.005),
            ("depth", 60, 0.03, 3.76, 0.005),
            ("depth", 60, 0.025, 3.13, 0.005),
        )
    ),
]


@each(CHECKS)
def test_depth_of_field_agrees_with_the_published_figure(check: Check) -> None:
    """The computed limit of sharpness is the published one."""
    check.hold()
