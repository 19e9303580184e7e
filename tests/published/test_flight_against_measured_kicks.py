"""Flight of the ball, frames of a penalty and of a run against published figures."""

from __future__ import annotations

import math

import pytest
from checks import Check, each

from setpiece.plan.flight import (
    BALL,
    BALL_AREA_M2,
    BALL_MASS_KG,
    CRITICAL_DRAG,
    DRAG_COEFFICIENT,
    Ball,
    penalty,
)
from setpiece.plan.optics import Orientation, Sensor, distance_for_share_m
from setpiece.plan.penalty import frame_counts
from setpiece.plan.run import run_at_camera

pytestmark = pytest.mark.published

VACUUM = Ball(drag_coefficient=0)

# taylorfrancis 9780203412992, chapter 90: 37 penalties of the 2002 World Cup, mean speed 32 (sd 6)
# m/s, mean flight 344 ms; club matches 26 (3) m/s; an earlier study 21 m/s.
CHAPTER_90 = "taylorfrancis 9780203412992"
# SpringerPlus 2013, 2:171: drag of four balls at their critical Reynolds numbers.
SPRINGER = "SpringerPlus 2013, 2:171"
SPRINGER_DRAG = ((2.2e5, 0.12), (2.8e5, 0.13), (3.3e5, 0.13), (2.4e5, 0.15))
# Goff and Carre, files of the paper doi 10.1119/1.3197187 at faculty.lynchburg.edu/goff_j.
GOFF = "Goff and Carre, doi 10.1119/1.3197187"
OUNCE_KG = 0.028349523125

HALF_DIGIT = "half of the last digit"


def run_shares(share: float) -> float:
    return distance_for_share_m(24, 400, share)


CHECKS = [
    Check(
        "flight of a penalty at the mean speed 32 m/s, s",
        CHAPTER_90,
        "chapter 90",
        0.344,
        lambda: penalty(32, ball=VACUUM).flight_s,
        0.0005,
        "the published mean speed is that of the flight, so no drag; " + HALF_DIGIT,
    ),
    *(
        Check(
            f"flight of a penalty at {speed} m/s without drag, s",
            CHAPTER_90,
            "chapter 90, times derived from its speeds",
            printed,
            lambda speed=speed: penalty(speed, ball=VACUUM).flight_s,
            0.0005,
            HALF_DIGIT,
        )
        for speed, printed in ((26, 0.423), (21, 0.524))
    ),
    # Press accounts: about 70 miles an hour, about 400 ms. 0.352 s at that constant speed.
    Check(
        "flight of a penalty at about 70 mph, s",
        "press accounts",
        "",
        0.4,
        lambda: penalty(70 * 0.44704).flight_s,
        0.05,
        "both figures are round: about 70, about 400",
    ),
    Check(
        "flight of a penalty at a constant 70 mph, s",
        "derived by hand",
        "11 m / v",
        0.352,
        lambda: penalty(70 * 0.44704, ball=VACUUM).flight_s,
        0.0005,
        HALF_DIGIT,
    ),
    *(
        Check(
            f"drag coefficient of ball {place} at its critical Reynolds number {reynolds:g}",
            SPRINGER,
            "",
            printed,
            lambda place=place: CRITICAL_DRAG[place - 1][1],
            0.0,
            "taken over as printed",
        )
        for place, (reynolds, printed) in enumerate(SPRINGER_DRAG, 1)
    ),
    Check(
        "drag coefficient used",
        GOFF,
        "fit to a measured launch",
        0.2,
        lambda: DRAG_COEFFICIENT,
        0.0,
        "taken over as printed",
    ),
    Check(
        "cross-section of the ball, m2",
        GOFF,
        "constants",
        0.0375,
        lambda: BALL_AREA_M2,
        0.0,
        "taken over as printed",
    ),
    Check(
        "mass of the ball, kg",
        "sizes.com, 14 to 16 oz",
        "football",
        15 * OUNCE_KG,
        lambda: BALL_MASS_KG,
        OUNCE_KG,
        "within the printed range",
    ),
    # Derived: closed form, and Euler steps of a microsecond.
    Check(
        "flight of a penalty at 32 m/s, Cd 0.2, 0.43 kg, s",
        "derived, closed form and Euler steps",
        "t(x) = (e^kx - 1) / (k v0)",
        0.3643,
        lambda: penalty(32).flight_s,
        0.00005,
        HALF_DIGIT,
    ),
    Check(
        "speed at the line of that penalty, m/s",
        "derived, closed form and Euler steps",
        "v(x) = v0 e^-kx",
        28.5,
        lambda: BALL.speed_m_s(11, 32),
        0.05,
        HALF_DIGIT,
    ),
    Check(
        "slowing at 30 m/s, m/s2",
        "derived, closed form",
        "k v^2",
        9.4,
        lambda: BALL.slowing_m_s2(30),
        0.05,
        HALF_DIGIT,
    ),
    *(
        Check(
            f"chance of {count} frames, window {window} s at {rate} frames/s",
            "derived, closed form and 200,000 random phases",
            "floor(L r)",
            printed,
            lambda window=window, rate=rate, count=count: frame_counts(window, rate)[count],
            0.005,
            HALF_DIGIT,
        )
        for window, rate, count, printed in (
            (0.3643, 10, 3, 0.36),
            (0.3643, 10, 4, 0.64),
            (0.3643, 20, 7, 0.71),
            (0.3643, 20, 8, 0.29),
            (0.400, 10, 4, 1.0),
            (0.400, 20, 8, 1.0),
        )
    ),
    # Derived from d = f H / (x side); the thin lens puts one focal length on either distance.
    *(
        Check(
            f"distance of a {share:.0%} player, 400 mm landscape, m",
            "derived by hand",
            "d = f H / (x side)",
            printed,
            lambda share=share: run_shares(share) - 0.4,
            0.05,
            "the short formula leaves out one focal length, 0.4 m",
        )
        for share, printed in ((0.5, 60.0), (1.0, 30.0))
    ),
    Check(
        "time of a run from 50 to 100 % of the frame at 8.5 m/s, 400 mm, s",
        "derived by hand",
        "30 m / v",
        3.53,
        lambda: (
            run_at_camera(
                Sensor(),
                Orientation.LANDSCAPE,
                400,
                2.8,
                speed_m_s=8.5,
                frames_per_s=20,
                focus_m=40,
                from_share=0.5,
                to_share=1.0,
            ).in_frame_s
        ),
        0.005,
        HALF_DIGIT,
    ),
]


@each(CHECKS)
def test_flight_agrees_with_the_published_figure(check: Check) -> None:
    """The computed flight, chance or run is the published one."""
    check.hold()


def test_drag_of_the_closed_form_is_the_drag_of_small_steps() -> None:
    """Steps of ten microseconds give the closed form's time and speed at the goal line."""
    x, v, t, step = 0.0, 32.0, 0.0, 1e-5
    k = BALL.slowing_per_m
    while x < 11:
        x += v * step
        v -= k * v * v * step
        t += step
    assert math.isclose(t, penalty(32).flight_s, abs_tol=2e-5)
    assert math.isclose(v, BALL.speed_m_s(11, 32), abs_tol=1e-3)
