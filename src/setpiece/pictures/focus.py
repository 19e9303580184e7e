"""How sharp a picture is, where it is sharpest, and that in words."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class FocusFigure:
    """A figure to rank frames of one scene by: larger is sharper, no unit.

    `sharpest_tile` is (x, y, width, height) in shares of the picture. `words` say the same.
    """

    value: float
    sharpest_tile: tuple[float, float, float, float]
    words: str


def focus_figure(rgb_half: NDArray[np.uint8]) -> FocusFigure:
    """How sharp the subject is, from a picture decoded at half scale."""
    raise NotImplementedError
