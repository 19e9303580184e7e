"""A short hash of how a picture looks, to group near-identical frames of one passage.

The picture is reduced to 9 x 8 greys; each of the 64 bits says whether a grey is brighter than
its right neighbour by more than a fiftieth of the picture's mean, so that grain in even parts
sets none. Alike pictures differ in few bits. Not for finding a published crop again.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.pictures.small import halved_to

_LEAST_STEP = 0.02
_ENOUGH_PX = 512  # halving down to this costs a fifth of reducing at once


def picture_hash(rgb: NDArray[np.uint8]) -> int:
    """64 bits of the picture's look, as a number that is not negative."""
    small = cv2.resize(halved_to(rgb, _ENOUGH_PX), (72, 64), interpolation=cv2.INTER_AREA)
    grey = np.asarray(cv2.cvtColor(small, cv2.COLOR_RGB2GRAY), dtype=np.float32)
    tiny = cv2.resize(grey, (9, 8), interpolation=cv2.INTER_AREA)
    bits = (tiny[:, :-1] - tiny[:, 1:] > _LEAST_STEP * tiny.mean()).ravel()
    return int.from_bytes(np.packbits(bits).tobytes(), "big")
