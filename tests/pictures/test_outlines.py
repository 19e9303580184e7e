"""Outlines of frames on cuttings."""

from __future__ import annotations

import numpy as np
import pytest

from setpiece.pictures.outlines import common_share, corners_of, covered_share, crop_of

WHOLE = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
LEFT = ((0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (0.0, 1.0))
RIGHT = ((0.5, 0.0), (1.0, 0.0), (1.0, 1.0), (0.5, 1.0))


def test_corners_follow_the_map() -> None:
    """A map to half size and a quarter to the right gives those corners."""
    half = np.array([[0.5, 0, 0.25], [0, 0.5, 0], [0, 0, 1]])
    assert corners_of(half) == ((0.25, 0.0), (0.75, 0.0), (0.75, 0.5), (0.25, 0.5))


def test_a_folded_map_has_no_corners() -> None:
    """Where a corner falls behind the horizon there is no outline and no crop."""
    folded = np.array([[1.0, 0, 0], [0, 1, 0], [-2.0, 0, 1]])
    assert corners_of(folded) == ()
    assert crop_of(np.linalg.inv(folded)) is None


def test_a_crop_is_what_the_cutting_shows() -> None:
    """A cutting that shows the right half of the frame has that crop."""
    right = np.array([[2.0, 0, -1.0], [0, 1, 0], [0, 0, 1]])
    assert crop_of(right) == pytest.approx((0.5, 0.0, 0.5, 1.0))


def test_shares_of_outlines() -> None:
    """Halves share nothing, a half is all of itself, and half of the whole."""
    assert common_share(LEFT, RIGHT) < 1e-6
    assert common_share(LEFT, WHOLE) == pytest.approx(1.0)
    assert common_share(LEFT, WHOLE, of_second=True) == pytest.approx(0.5)
    assert covered_share(RIGHT) == pytest.approx(0.5)
    assert common_share((), WHOLE) == 0.0
