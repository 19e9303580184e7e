"""Ranking held to real photographs, blurred by known amounts."""

from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from setpiece.frames.ranking import Seen, rank, softer_by_px
from setpiece.pictures.focus import focus_figure

PHOTOGRAPHS = ("Nikon_D90.jpg", "Canon_EOS_20D__1_.jpg", "Sony_DSC-H9.jpg", "Nikon_D70.jpg")
STEPS_PX = (0.0, 0.8, 1.6, 2.4)


def half_scale(photograph: NDArray[np.uint8], blur_px: float, draw: np.random.Generator) -> float:
    """The focus figure of a crop of its own, with a gain and noise of its own, blurred."""
    top, left = draw.integers(0, 40, 2)
    crop = photograph[top:, left:]
    soft = cv2.GaussianBlur(crop, (0, 0), blur_px) if blur_px else crop
    half = cv2.resize(soft, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    noisy = half * draw.uniform(0.97, 1.03) + draw.normal(0, 1.0, half.shape)
    return focus_figure(np.clip(noisy, 0, 255).astype(np.uint8)).value


@pytest.mark.parametrize("name", PHOTOGRAPHS)
def test_blur_of_a_photograph_is_told_in_pixels(open_data: Path, name: str) -> None:
    """The sharpest ranks first, 0.8 px apart all ranks differ, and the pixels said are right
    within 40 %: what a single picture's law may be off by, and its gain and noise."""
    photograph = cv2.imread(str(open_data / "camera-files" / name))
    draw = np.random.default_rng(8)
    figures = [half_scale(photograph, blur_px, draw) for blur_px in STEPS_PX]
    ranked = rank([Seen(str(blur_px), f) for blur_px, f in zip(STEPS_PX, figures, strict=True)])
    assert [r.frame_id for r in ranked] == [str(blur_px) for blur_px in STEPS_PX]
    assert [r.rank for r in ranked] == [1, 2, 3, 4]
    for blur_px, figure in zip(STEPS_PX[1:], figures[1:], strict=True):
        assert softer_by_px(figure, figures[0]) == pytest.approx(blur_px, rel=0.4)
