"""The rows that the room of plans adds to the accuracy report."""

from __future__ import annotations

from checks import Check
from test_exposure_against_standards import CHECKS as EXPOSURE
from test_flight_against_measured_kicks import CHECKS as FLIGHT
from test_motion_against_published_rates import CHECKS as MOTION
from test_optics_against_angle_tables import CHECKS as ANGLES
from test_optics_against_depth_tables import CHECKS as DEPTHS
from test_pitch_against_law_1 import CHECKS as PITCH
from test_sun_against_spa import CHECKS as SPA
from test_sun_against_usno import CHECKS as USNO

CHECKS: tuple[Check, ...] = (
    *ANGLES,
    *DEPTHS,
    *MOTION,
    *FLIGHT,
    *PITCH,
    *SPA,
    *USNO,
    *EXPOSURE,
)


def report_rows() -> list[tuple[str, str, str, float, float, float, str]]:
    """Each check as (quantity, source, section, published, ours, tolerance, why)."""
    return [
        (c.quantity, c.source, c.section, c.published, c.value(), c.tolerance, c.why)
        for c in CHECKS
    ]
