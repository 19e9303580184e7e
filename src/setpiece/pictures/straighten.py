"""A straightened picture: turned a little, and cut so that no empty corner shows.

Turning 20 megapixels to send nine would cost four times as much as all the rest. So the picture
is decoded at little more than the size that is wanted, and here the small one is turned, cropped
and brought to its exact size in one step.

With an eighth to spare, mixing four neighbours is as true as sixteen without (measured on
photographs against another library's turning at full size: both below what a JPEG of quality 95
changes), and costs a seventh.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

SPARE = 1.12
"""So much larger than wanted a picture is turned, where there is so much of it."""

MOST_SPARE = 1.5
"""One that is larger yet is reduced before."""

_ENOUGH_SPARE = 1.1
_EIGHTHS = (4, 6, 8)  # of the others the decoder's code is slow


@dataclass(frozen=True, slots=True)
class Straightened:
    """What remains of an upright picture of `width_px` x `height_px` turned clockwise.

    The part that is kept has the picture's shape and centre, and is as large as fits without
    empty corners.
    """

    width_px: int
    height_px: int
    clockwise_deg: float

    @property
    def kept_px(self) -> tuple[int, int]:
        """Width and height of what is kept, in full pixels."""
        angle = math.radians(abs(self.clockwise_deg))
        width, height = self.width_px, self.height_px
        share = min(
            width / (width * math.cos(angle) + height * math.sin(angle)),
            height / (width * math.sin(angle) + height * math.cos(angle)),
        )
        return max(1, int(width * share)), max(1, int(height * share))

    def drawn(
        self,
        pixels: NDArray[np.uint8],
        reduced: tuple[float, float],
        box_px: tuple[int, int, int, int],
        size_px: tuple[int, int],
    ) -> NDArray[np.uint8]:
        """The part `box_px` (left, top, width, height) of what is kept, at `size_px`.

        `pixels` are those of the upright picture, whole, already `reduced` along each side to at
        most `MOST_SPARE` times what `size_px` asks: reducing by more here would show steps.
        """
        matrix = self._to_pixels(reduced, box_px, size_px)
        if reduced[0] * box_px[2] / size_px[0] < _ENOUGH_SPARE:
            return _warped(pixels, matrix, size_px, cv2.INTER_CUBIC)
        four = np.asarray(cv2.cvtColor(pixels, cv2.COLOR_RGB2RGBA), dtype=np.uint8)  # far quicker
        turned = _warped(four, matrix, size_px, cv2.INTER_LINEAR)
        return np.asarray(cv2.cvtColor(turned, cv2.COLOR_RGBA2RGB), dtype=np.uint8)

    def _to_pixels(
        self,
        reduced: tuple[float, float],
        box_px: tuple[int, int, int, int],
        size_px: tuple[int, int],
    ) -> NDArray[np.float64]:
        """Where each pixel of the answer lies in the picture's reduced pixels, as a 2 x 3 matrix.

        Whole numbers are the middles of pixels, as OpenCV counts; boxes count from their edges.
        """
        left, top, width, height = box_px
        kept_width, kept_height = self.kept_px
        angle = math.radians(self.clockwise_deg)
        cos, sin = math.cos(angle), math.sin(angle)
        step_x, step_y = width / size_px[0], height / size_px[1]
        first_x = left + step_x / 2 - kept_width / 2  # from the centre, in full pixels
        first_y = top + step_y / 2 - kept_height / 2
        back = np.array([[cos, sin], [-sin, cos]])  # anticlockwise, y downwards
        turn = back * np.array([step_x, step_y])
        middle = np.array([self.width_px, self.height_px]) / 2
        start = back @ np.array([first_x, first_y]) + middle
        scale = np.array(reduced)
        return np.column_stack((turn * scale[:, None], start * scale - 0.5))


def eighths_wanted(share: float) -> int:
    """At how many eighths of its size to decode a picture of which `share` is wanted."""
    return next((n for n in _EIGHTHS if n / 8 >= share * SPARE), 8)


def _warped(
    pixels: NDArray[np.uint8], matrix: NDArray[np.float64], size_px: tuple[int, int], mixing: int
) -> NDArray[np.uint8]:
    flags, border = mixing | cv2.WARP_INVERSE_MAP, cv2.BORDER_REFLECT_101
    turned = cv2.warpAffine(pixels, matrix, size_px, flags=flags, borderMode=border)
    return np.asarray(turned, dtype=np.uint8)
