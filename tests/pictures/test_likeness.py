"""Alike pictures have hashes that differ in few bits."""

from __future__ import annotations

import cv2
import numpy as np
from pitch_scene import draw_pitch

from setpiece.pictures.likeness import picture_hash


def apart(first: np.ndarray, second: np.ndarray) -> int:
    """Bits in which two pictures' hashes differ."""
    return (picture_hash(first) ^ picture_hash(second)).bit_count()


def test_exposure_size_and_blur_leave_the_hash() -> None:
    """The same picture darker, smaller and softer is within six bits; another one is not."""
    scene = draw_pitch(1, 0.0, 1.5, 0.5, middle=0.4)
    darker = (scene * 0.8).astype(np.uint8)
    smaller = cv2.resize(scene, (600, 400), interpolation=cv2.INTER_AREA)
    assert apart(scene, darker) <= 6
    assert apart(scene, smaller) <= 6
    assert apart(scene, cv2.GaussianBlur(scene, (0, 0), 2)) <= 6
    assert apart(scene, draw_pitch(7, 0.0, 1.5, 0.5, middle=0.65)) > 6


def test_a_hash_is_64_bits() -> None:
    """It is a whole number from 0 on that fits 64 bits, for a single pixel too."""
    assert 0 <= picture_hash(draw_pitch(1, 0, 0, 0)) < 2**64
    assert picture_hash(np.zeros((1, 1, 3), np.uint8)) == 0
