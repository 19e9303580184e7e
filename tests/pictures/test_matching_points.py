"""Points that agree on one plane."""

from __future__ import annotations

import sys
from pathlib import Path

import cv2
import numpy as np
import pytest

sys.path.append(str(Path(__file__).parent.parent))
from busy_pictures import busy
from setpiece.pictures.features import features_of
from setpiece.pictures.matching import agreement, is_sound, mapped_points, paired


def test_a_crop_agrees_with_its_picture() -> None:
    """A crop of a picture is found in it, and the map puts its corners where they were cut."""
    rgb = busy(4)
    whole, part = features_of(rgb), features_of(rgb[100:420, 200:640])
    found = agreement(part, whole)
    assert found is not None
    assert found.score >= 40
    scale = 640 / 720
    corner = mapped_points(found.to_cutting, np.array([(200 * scale, 100 * scale)]))
    assert np.abs(corner).max() < 3


def test_strangers_do_not_agree() -> None:
    """Two pictures of other shapes share fewer points than a look needs."""
    found = agreement(features_of(busy(5)), features_of(busy(6)))
    assert found is None or found.score < 6


def test_a_mirrored_picture_does_not_agree() -> None:
    """A picture printed the wrong way round is not claimed: a page never shows one."""
    rgb = busy(7)
    found = agreement(features_of(np.ascontiguousarray(rgb[:, ::-1])), features_of(rgb))
    assert found is None or found.score < 12


def test_a_badge_is_not_a_picture() -> None:
    """Many points on one small badge count as the few cells they lie in."""
    badge = cv2.resize(busy(8, shapes=300), (60, 40), interpolation=cv2.INTER_AREA)
    one, other = np.full((480, 720, 3), 90, np.uint8), np.full((480, 720, 3), 160, np.uint8)
    one[200:240, 300:360] = other[60:100, 90:150] = badge
    found = agreement(features_of(one), features_of(other))
    assert found is None or found.score <= 24


@pytest.mark.parametrize(
    ("through", "sound"),
    [
        (np.eye(3), True),
        (np.diag((0.2, 0.2, 1.0)), True),
        (np.diag((-1.0, 1.0, 1.0)), False),
        (np.diag((1.0, 3.5, 1.0)), False),
        (np.diag((0.01, 0.01, 1.0)), False),
        (np.array([[1, 0, 0], [0, 1, 0], [-0.02, 0, 1]], float), False),
    ],
    ids=["itself", "small", "mirrored", "stretched", "a speck", "folded"],
)
def test_only_maps_of_a_page_are_sound(through: np.ndarray, sound: bool) -> None:
    """A map that mirrors, stretches, folds or shrinks a picture to a speck is refused."""
    points = np.array([(0, 0), (600, 0), (600, 400), (0, 400)], np.float32)
    assert is_sound(through, points) is sound


def test_pictures_without_points_have_no_pairs() -> None:
    """Where one has no points nothing is paired and nothing raised."""
    plain = features_of(np.full((300, 400, 3), 128, np.uint8))
    assert len(paired(plain, features_of(busy(1)))) == 0
    assert agreement(features_of(busy(1)), plain) is None
