"""Grass, crowd and boards count less than who stands on the pitch."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from pitch_scene import HEIGHT_PX, WIDTH_PX, draw_pitch

from setpiece.pictures.subject import PIXELS_A_TILE, _lab, subject_weights

ACROSS, DOWN = 24, 16


def weights(scene: np.ndarray) -> np.ndarray:
    """The weights of a scene's tiles."""
    size = (ACROSS * PIXELS_A_TILE, DOWN * PIXELS_A_TILE)
    return subject_weights(cv2.resize(scene, size, interpolation=cv2.INTER_AREA), ACROSS, DOWN)


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("crowd_px", [0.0, 2.5])
def test_most_of_the_weight_lies_on_the_player(seed: int, crowd_px: float) -> None:
    """Whatever is in focus, nine tenths of the weight lie in the player's columns."""
    middle = (0.3, 0.5, 0.62)[seed % 3]
    found = weights(draw_pitch(seed, 0.5, crowd_px, 0.5, middle=middle))
    reach = 0.16 * 0.85 * HEIGHT_PX / WIDTH_PX + 1.5 / ACROSS
    columns = np.abs((np.arange(ACROSS) + 0.5) / ACROSS - middle) <= reach
    assert found[:, columns].sum() > 0.9 * found.sum()


def test_colours_are_as_far_apart_as_the_librarys() -> None:
    """L*, a*, b* are OpenCV's, to the rounding of its eight bits and of its tables."""
    rgb = np.random.default_rng(6).integers(0, 256, (60, 80, 3), dtype=np.uint8)
    theirs = cv2.cvtColor(rgb, cv2.COLOR_RGB2LAB).astype(np.float32) - (0, 128, 128)
    assert np.abs(_lab(rgb) - theirs).max() < 2.5


def test_bare_grass_counts_least() -> None:
    """Tiles of nothing but grass weigh a hundredth of the heaviest or less."""
    found = weights(draw_pitch(3, 0.0, 1.0, 0.0, middle=0.5))
    assert found[10:, :6].max() < 0.01 * found.max()


def test_leaves_are_not_taken_for_a_pitch() -> None:
    """Green that is light and dark by turns is no grass: the middle keeps its weight."""
    rng = np.random.default_rng(5)
    light = cv2.resize(rng.uniform(0.1, 1.0, (32, 48)).astype(np.float32), (ACROSS * 8, DOWN * 8))
    leaves = (light[:, :, None] * np.array((90, 200, 60))).astype(np.uint8)
    found = subject_weights(leaves, ACROSS, DOWN)
    assert found[6:10, 9:15].mean() > 0.2 * found.max()


def test_without_a_pitch_the_middle_counts_most() -> None:
    """In an even grey picture the weight falls from the middle outwards."""
    found = weights(np.full((HEIGHT_PX, WIDTH_PX, 3), 120, np.uint8))
    row = found[DOWN // 2]
    assert (np.diff(row[: ACROSS // 2]) > 0).all()
    assert (np.diff(row[ACROSS // 2 :]) < 0).all()
