"""The robust line that finds a clock's slips against the Belgian telephone data."""

import pytest
from checks import Check, each

from setpiece.frames.line import huber, least_squares

pytestmark = pytest.mark.published

# International calls from Belgium, 1950 to 1973, in millions; 1964 to 1969 were recorded in
# minutes by mistake: six gross slips among 24. Data and values from memory, of the R package MASS
# (data set phones; Venables and Ripley, Modern Applied Statistics with S, 4th edition, 2002,
# section 6.5): least squares and rlm with Huber's psi, k = 1.345.
SOURCE = "Venables and Ripley, Modern Applied Statistics with S, 2002 (from memory)"
SECTION = "section 6.5, phones"

YEARS = [float(year) for year in range(50, 74)]
CALLS = [
    float(calls)
    for calls in """
    4.4 4.7 4.7 5.9 6.6 7.3 8.1 8.8 10.6 12.0 13.5 14.9 16.1 21.2
    119.0 124.0 142.0 159.0 182.0 212.0 43.0 24.0 27.0 29.0
    """.split()
]
HALF_LAST_DIGIT = "half of the last printed digit"
STOPPING = "0.1 %: how soon the reweighting stops differs between programs"

CHECKS = [
    Check(
        "telephone calls, least squares intercept",
        SOURCE,
        SECTION,
        -260.059,
        lambda: least_squares(YEARS, CALLS).intercept,
        0.0005,
        HALF_LAST_DIGIT,
    ),
    Check(
        "telephone calls, least squares slope",
        SOURCE,
        SECTION,
        5.0415,
        lambda: least_squares(YEARS, CALLS).slope,
        0.00005,
        HALF_LAST_DIGIT,
    ),
    Check(
        "telephone calls, Huber intercept",
        SOURCE,
        SECTION,
        -102.6,
        lambda: huber(YEARS, CALLS)[0],
        0.1026,
        STOPPING,
    ),
    Check(
        "telephone calls, Huber slope",
        SOURCE,
        SECTION,
        2.041,
        lambda: huber(YEARS, CALLS)[1],
        0.002041,
        STOPPING,
    ),
]


@each(CHECKS)
def test_line_through_data_with_slips_is_the_published_one(check: Check) -> None:
    """The plain line follows the six slips, the robust one resists, both as published."""
    check.hold()
