"""Validity ranges."""

from __future__ import annotations

import math

import pytest

from setpiece.errors import WrongUse
from setpiece.plan.limits import within


def test_a_value_in_its_range_comes_back() -> None:
    """Both ends of a range belong to it."""
    assert within(1, 1, 2, what="it") == 1
    assert within(2, 1, 2, what="it") == 2


@pytest.mark.parametrize("value", [0.99, 2.01, math.nan, math.inf])
def test_a_value_out_of_its_range_is_refused_with_the_range(value: float) -> None:
    """The message names the quantity, its range and its unit; what is no number is refused too."""
    with pytest.raises(WrongUse, match="a length must lie between 1 and 2 m"):
        within(value, 1, 2, what="a length", unit="m")
