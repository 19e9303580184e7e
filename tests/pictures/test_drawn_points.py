"""The picture that shows why."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import simplejpeg

sys.path.append(str(Path(__file__).parent.parent))
from busy_pictures import busy
from setpiece.pictures.drawn_points import draw_points

CORNERS = ((0.1, 0.1), (0.9, 0.1), (0.9, 0.9), (0.1, 0.9))


def test_both_pictures_stand_side_by_side() -> None:
    """Cutting and frame are in one JPEG, with lines from one to the other across the gap."""
    plain = np.full((300, 400, 3), 255, np.uint8)
    made = simplejpeg.decode_jpeg(
        draw_points(plain, plain, ((0.5, 0.5, 0.5, 0.5),), CORNERS, (0.0, 0.0, 0.5, 1.0))
    )
    assert made.shape[1] > 800
    gap = made[:300, 405:420].astype(int)
    assert (gap[..., 0] - gap[..., 2]).max() > 100


def test_without_the_frame_the_cutting_is_shown() -> None:
    """Where the frame's picture is not at hand the cutting stands alone."""
    made = simplejpeg.decode_jpeg(draw_points(busy(41), None, (), (), None))
    assert made.shape[0] == 760
