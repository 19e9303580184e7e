"""The straight line behind a clock's drift against NIST's certified values."""

import pytest
from checks import Check, each

from setpiece.frames.line import least_squares

pytestmark = pytest.mark.published

# NIST Statistical Reference Datasets, linear regression, Norris (ozone monitor calibration, lower
# level of difficulty, 36 observations), itl.nist.gov/div898/strd/lls/data/Norris.shtml. The
# observations are from memory; that they are right shows in the certified values they give.
SOURCE = "NIST StRD, Norris"
SECTION = "certified regression statistics"

NORRIS_X = """
0.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777.0 558.2 0.4 0.6 775.5 666.9 338.0 447.5
11.6 556.0 228.1 995.8 887.6 120.2 0.3 0.3 556.8 339.1 887.2 999.0 779.0 11.1 118.3 229.2 669.1
448.9 0.5
"""
NORRIS_Y = """
0.1 338.8 118.1 888.0 9.2 228.1 668.5 998.5 449.1 778.9 559.2 0.3 0.1 778.1 668.8 339.3 448.9
10.8 557.7 228.3 998.0 888.8 119.6 0.3 0.6 557.6 339.3 888.0 998.5 778.9 10.2 117.6 228.9 668.4
449.2 0.2
"""
LINE = least_squares([float(v) for v in NORRIS_X.split()], [float(v) for v in NORRIS_Y.split()])

TOLERANCE = 1e-11
WHY = "certified to 15 digits; sums are exact, so 1e-11 leaves room for the divisions only"

CHECKS = [
    Check(name, SOURCE, SECTION, certified, ours, TOLERANCE, WHY)
    for name, certified, ours in (
        ("Norris intercept", -0.262323073774029, lambda: LINE.intercept),
        ("Norris slope", 1.00211681802045, lambda: LINE.slope),
        ("Norris intercept, standard error", 0.232818234301152, lambda: LINE.intercept_se),
        ("Norris slope, standard error", 0.429796848199937e-3, lambda: LINE.slope_se),
        ("Norris residual spread", 0.884796396144373, lambda: LINE.spread),
        ("Norris R squared", 0.999993745883712, lambda: LINE.r_squared),
    )
]


@each(CHECKS)
def test_line_has_the_certified_value(check: Check) -> None:
    """The least squares line of the certified data set has the certified figure."""
    check.hold()
