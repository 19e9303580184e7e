"""Points that a picture is recognised by."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.append(str(Path(__file__).parent.parent))
from busy_pictures import busy
from setpiece.errors import BadFile
from setpiece.pictures.features import (
    GRID,
    KEPT_POINTS,
    LONG_SIDE_PX,
    features_of,
    fitted,
    hash_of,
    products,
    spread,
)


def test_points_are_spread_and_bounded() -> None:
    """At most 300 points, inside the picture at 640 px, in most cells of the grid."""
    found = features_of(busy(1))
    assert found.count <= KEPT_POINTS
    assert (found.width_px, found.height_px) == (LONG_SIDE_PX, 427)
    assert found.points.min() >= 0
    assert found.points[:, 0].max() < found.width_px
    cells = {(int(x * GRID / 640), int(y * GRID / 427)) for x, y in found.points}
    assert len(cells) > GRID * GRID * 0.8
    assert found.descriptors.shape == (found.count, 128)


def test_the_strongest_of_every_cell_come_first() -> None:
    """The order takes one point of each cell before a second of any, stronger ones first."""
    points = np.array([(5, 5), (6, 6), (95, 95), (7, 7)], np.float32)
    order = spread(points, np.array([1.0, 3.0, 2.0, 2.5]), 100, 100)
    assert order.tolist() == [1, 2, 3, 0]


def test_a_plain_picture_has_no_points() -> None:
    """A picture of one colour gives no points, and still a hash."""
    found = features_of(np.full((300, 400, 3), 128, np.uint8))
    assert found.count == 0
    assert len(found.looks) == 32


def test_a_sliver_is_refused() -> None:
    """A picture of less than 16 px on a side cannot be recognised, and says so."""
    with pytest.raises(BadFile, match="too small"):
        features_of(np.zeros((10, 400, 3), np.uint8))


def test_a_hash_survives_size_and_light() -> None:
    """A smaller, brighter copy differs in few of 256 bits, another picture in many."""
    rgb = busy(2)
    grey = rgb.mean(axis=2).astype(np.uint8)
    lighter = np.clip(fitted(grey, 300).astype(int) + 20, 0, 255).astype(np.uint8)
    other = busy(3).mean(axis=2).astype(np.uint8)

    def apart(a: bytes, b: bytes) -> int:
        return int(np.bitwise_count(np.frombuffer(a, "u1") ^ np.frombuffer(b, "u1")).sum())

    assert apart(hash_of(grey), hash_of(lighter)) < 30
    assert apart(hash_of(grey), hash_of(other)) > 80


def test_products_are_those_of_matrices() -> None:
    """The inner products of all rows are numpy's own."""
    chance = np.random.default_rng(1)
    one = chance.random((7, 128)).astype(np.float32)
    other = chance.random((5, 128)).astype(np.float32)
    assert np.allclose(products(one, other), one @ other.T, atol=1e-4)
