"""The pitch, and what hides it, against Law 1 and its geometry."""

from __future__ import annotations

import pytest
from checks import Check, each

from setpiece.plan import pitch
from setpiece.plan.occlusion import lens_height_over_boards_m, width_behind_post_m

pytestmark = pytest.mark.published

# FIFA, Laws of the Game, Law 1 "The Field of Play", pages archived in 2006.
LAW_1 = "FIFA, Laws of the Game (2006), Law 1"
# A copy of the same law's lengths at itsagoal.net.
COPY = "itsagoal.net, copy of Law 1"
# German rule book 2013/14, p. 11: upright advertising 1 m from touch line and net.
GERMAN = "German rule book 2013/14"
TAKEN = "a law's own figure is taken over as it is"
DERIVED = "derived from Law 1"

CHECKS = [
    Check("goal, between the posts, m", LAW_1, "Goals", 7.32, lambda: pitch.GOAL_WIDTH_M, 0, TAKEN),
    Check("bar over the ground, m", LAW_1, "Goals", 2.44, lambda: pitch.GOAL_HEIGHT_M, 0, TAKEN),
    Check("posts and lines, m", LAW_1, "Goals", 0.12, lambda: pitch.POST_WIDTH_M, 0, TAKEN),
    Check(
        "penalty area, m",
        LAW_1,
        "The Penalty Area",
        16.5,
        lambda: pitch.PENALTY_AREA_M,
        0,
        TAKEN,
    ),
    Check("penalty mark, m", LAW_1, "The Penalty Area", 11, lambda: pitch.PENALTY_MARK_M, 0, TAKEN),
    Check("penalty arc, m", LAW_1, "The Penalty Area", 9.15, lambda: pitch.ARC_RADIUS_M, 0, TAKEN),
    Check("corner arc, m", LAW_1, "The Corner Arc", 1, lambda: pitch.CORNER_ARC_M, 0, TAKEN),
    Check("flag, m", LAW_1, "Flagposts", 1.5, lambda: pitch.FLAG_HEIGHT_M, 0, TAKEN),
    Check("goal area, m", COPY, "goal area", 5.5, lambda: pitch.GOAL_AREA_M, 0, TAKEN),
    *(
        Check(
            f"international pitch, {which} {what}, m",
            LAW_1,
            "International Matches",
            printed,
            lambda limits=limits, place=place: limits[place],
            0,
            TAKEN,
        )
        for what, limits, printed_limits in (
            ("length", pitch.INTERNATIONAL_LENGTH_M, (100, 110)),
            ("width", pitch.INTERNATIONAL_WIDTH_M, (64, 75)),
        )
        for place, (which, printed) in enumerate(
            zip(("least", "most"), printed_limits, strict=True)
        )
    ),
    Check(
        "upright advertising from the line, m",
        GERMAN,
        "p. 11",
        1,
        lambda: pitch.UPRIGHT_ADVERTISING_M,
        0,
        TAKEN,
    ),
    Check(
        "width of the goal area, m",
        DERIVED,
        "7.32 + 2 x 5.5",
        18.32,
        lambda: pitch.GOAL_AREA_WIDTH_M,
        1e-9,
        "exact",
    ),
    Check(
        "width of the penalty area, m",
        DERIVED,
        "7.32 + 2 x 16.5",
        40.32,
        lambda: pitch.PENALTY_AREA_WIDTH_M,
        1e-9,
        "exact",
    ),
    Check(
        "goal seen from the mark, degrees",
        DERIVED,
        "2 atan(3.66 / 11)",
        36.807,
        lambda: pitch.goal_angle_deg(0, pitch.PENALTY_MARK_M),
        0.0005,
        "half of the last digit",
    ),
    Check(
        "arc meets the area's line, m from the axis",
        DERIVED,
        "sqrt(9.15^2 - 5.5^2)",
        7.3125,
        lambda: pitch.arc_meets_area_m(),
        0.00005,
        "half of the last digit",
    ),
    Check(
        "lens height to see grass at 10 m over 0.9 m boards at 1.5 m, m",
        "derived by hand",
        "z >= hb s / (s - b)",
        1.06,
        lambda: lens_height_over_boards_m(0.9, 1.5, 10),
        0.005,
        "half of the last digit",
    ),
    Check(
        "width hidden at 40 m by a 0.12 m post at 3 m, m",
        "derived by hand",
        "w d / p",
        1.6,
        lambda: width_behind_post_m(0.12, 3, 40),
        1e-9,
        "exact",
    ),
]


@each(CHECKS)
def test_the_pitch_agrees_with_the_law(check: Check) -> None:
    """The length, angle or height is the published one."""
    check.hold()
