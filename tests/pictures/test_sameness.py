"""This very frame, or another of the burst."""

from __future__ import annotations

import sys
from pathlib import Path

import cv2
import numpy as np

sys.path.append(str(Path(__file__).parent.parent))
from busy_pictures import busy, moved_part
from setpiece.pictures.sameness import laid_over

HALF = np.array([[2.0, 0, -0.5], [0, 2.0, -0.5], [0, 0, 1]])  # the middle half, both ways


def jpeg(rgb: np.ndarray, quality: int) -> np.ndarray:
    _, data = cv2.imencode(".jpg", rgb, [cv2.IMWRITE_JPEG_QUALITY, quality])
    return cv2.imdecode(data, cv2.IMREAD_COLOR)


def test_nothing_changes_in_the_frame_itself() -> None:
    """In a smaller, compressed copy of the frame no tile changed as one does where a part moved."""
    rgb = busy(11, 1200, 800)
    small = jpeg(cv2.resize(rgb, (700, 467), interpolation=cv2.INTER_AREA), 70)
    over = laid_over(small, rgb, np.eye(3))
    assert over is not None
    assert over.alike > 0.95
    assert over.changed() < 0.5
    assert over.beyond < 0.001
    assert over.shown == 1.0


def test_one_part_that_moved_is_noticed() -> None:
    """A tenth of the width that moved by 14 of 1,200 px is a change, though all else agrees."""
    rgb = busy(12, 1200, 800)
    over = laid_over(jpeg(moved_part(rgb), 80), rgb, np.eye(3))
    assert over is not None
    assert over.alike > 0.95
    assert over.changed() > 5


def test_a_crop_lies_within_its_frame() -> None:
    """The middle quarter of a frame's area is a quarter shown, and nothing beyond."""
    rgb = busy(13, 1200, 800)
    over = laid_over(rgb[200:600, 300:900], rgb, HALF)
    assert over is not None
    assert abs(over.shown - 0.25) < 0.01
    assert over.beyond < 0.001
    assert over.changed() < 0.5


def test_what_reaches_beyond_the_frame_is_told() -> None:
    """A cutting that shows a tenth more on one side than the frame is not that frame."""
    rgb = busy(14, 1200, 800)
    shifted = np.array([[1.0, 0, 0.1], [0, 1, 0], [0, 0, 1]])
    over = laid_over(rgb, rgb, shifted)
    assert over is not None
    assert abs(over.beyond - 0.1) < 0.01


def test_too_little_cannot_be_compared() -> None:
    """Plain colours, or a map that puts the frame outside the cutting, give no answer."""
    plain = np.full((480, 720, 3), 90, np.uint8)
    assert laid_over(plain, plain, np.eye(3)) is None
    away = np.array([[1.0, 0, 3.0], [0, 1, 0], [0, 0, 1]])
    assert laid_over(busy(1), busy(1), away) is None
