"""A straight line through points."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.frames.line import huber, least_squares

SMALL = st.floats(-1e3, 1e3).map(lambda v: round(v, 3))


@settings(deadline=None)
@given(SMALL, SMALL, st.lists(SMALL, min_size=3, max_size=12, unique=True))
def test_points_on_a_line_give_it_back(start: float, slope: float, x: list[float]) -> None:
    """Both lines find the line that all points lie on, with no spread."""
    if max(x) - min(x) < 0.1:
        x = [*x, max(x) + 1]
    y = [start + slope * a for a in x]
    line = least_squares(x, y)
    assert line.slope == pytest.approx(slope, abs=1e-6)
    assert line.at(x[0]) == pytest.approx(y[0], abs=1e-6)
    assert line.spread == pytest.approx(0, abs=1e-6)
    assert huber(x, y)[1] == pytest.approx(slope, abs=1e-6)


def test_two_points_have_no_spread_to_tell() -> None:
    """Through two points the line is exact and its errors are not known: they are 0."""
    line = least_squares([0, 10], [1, 3])
    assert (line.intercept, line.slope, line.spread, line.slope_se) == (1, 0.2, 0, 0)
    assert line.r_squared == 1


def test_level_points_have_no_variance_to_explain() -> None:
    """A level line explains all there is: R squared is 1."""
    assert least_squares([0, 1, 2], [5, 5, 5]).r_squared == 1


def test_one_wrong_point_does_not_turn_the_robust_line() -> None:
    """Among ten points a gross slip moves Huber's slope by less than a tenth of what it
    moves the least squares' slope."""
    x = [float(i) for i in range(10)]
    y = [0.5 * a + (0.01 if i % 2 else -0.01) for i, a in enumerate(x)]
    y[9] += 100
    pulled = abs(least_squares(x, y).slope - 0.5)
    assert abs(huber(x, y)[1] - 0.5) < pulled / 10


@pytest.mark.parametrize(("x", "y"), [([], []), ([1], [1]), ([2, 2], [1, 3]), ([1, 2], [1])])
def test_a_line_needs_two_different_times(x: list[float], y: list[float]) -> None:
    """Fewer than two different x give no line but an error that says so."""
    for line in (least_squares, huber):
        with pytest.raises(WrongUse, match="two points"):
            line(x, y)
