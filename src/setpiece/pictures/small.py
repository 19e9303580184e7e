"""The small pictures of a frame, made from its half-scale pixels by halving.

Halving a picture costs a tenth of reducing it to any other size, and is as good: each pixel is
the mean of four. So the small pictures have the sizes that halving gives.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
import simplejpeg
from numpy.typing import NDArray

PREVIEW_MOST_PX = 2400
THUMBNAIL_MOST_PX = 512
"""Long sides: the first halving that is no longer is taken."""

_QUALITY = 82

cv2.setNumThreads(1)  # frames are looked at side by side; threads inside each call only cost


@dataclass(frozen=True, slots=True)
class SmallPictures:
    """A preview to judge a frame by, a thumbnail, the preview's pixels, and those of the picture
    halved once."""

    preview: bytes
    thumbnail: bytes
    rgb: NDArray[np.uint8]
    halved: NDArray[np.uint8]


def small_pictures(rgb_half: NDArray[np.uint8]) -> SmallPictures:
    """The small pictures of a frame decoded at half scale, upright; none is enlarged."""
    once = halved(rgb_half)
    fits = max(rgb_half.shape[:2]) <= PREVIEW_MOST_PX
    preview = rgb_half if fits else halved_to(once, PREVIEW_MOST_PX)
    thumbnail = halved_to(preview, THUMBNAIL_MOST_PX)
    return SmallPictures(_jpeg(preview), _jpeg(thumbnail), preview, once)


def halved_to(rgb: NDArray[np.uint8], most_px: int) -> NDArray[np.uint8]:
    """The picture halved until its long side has at most so many pixels."""
    while max(rgb.shape[:2]) > most_px and min(rgb.shape[:2]) > 1:
        rgb = halved(rgb)
    return rgb


def halved(rgb: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The picture at half its size, a last odd row and column left out; a line stays as it is."""
    if min(rgb.shape[:2]) < 2:
        return rgb
    size = (rgb.shape[1] // 2, rgb.shape[0] // 2)
    even = rgb[: 2 * size[1], : 2 * size[0]]
    return np.asarray(cv2.resize(even, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)


def _jpeg(rgb: NDArray[np.uint8]) -> bytes:
    return bytes(
        simplejpeg.encode_jpeg(
            np.ascontiguousarray(rgb), quality=_QUALITY, colorsubsampling="420", fastdct=True
        )
    )
