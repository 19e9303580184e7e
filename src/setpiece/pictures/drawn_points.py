"""A cutting and a frame side by side, with the outline of the crop and the points that agree."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
import simplejpeg

from setpiece.pictures.features import Pixels, fitted

_HEIGHT_PX, _GAP_PX = 760, 24
_LINES = 40
_PAPER = (244, 241, 234)
_LINE, _EDGE = (214, 64, 32), (255, 255, 255)
_QUALITY = 85

Pair = tuple[float, float, float, float]


def draw_points(
    cutting: Pixels,
    frame: Pixels | None,
    points: Sequence[Pair],
    corners: Sequence[tuple[float, float]],
    crop: tuple[float, float, float, float] | None,
) -> bytes:
    """A JPEG: the cutting on the left, the frame on the right, everything given in shares.

    A line joins each point of the cutting (x, y) to its point in the frame; the frame's outline
    lies on the cutting, the crop's in the frame. Without a frame only the cutting is shown.
    """
    left = _as_high(cutting)
    right = _as_high(frame) if frame is not None else np.empty((_HEIGHT_PX, 0, 3), np.uint8)
    offset = left.shape[1] + _GAP_PX
    sheet = np.full((_HEIGHT_PX, offset + right.shape[1], 3), _PAPER, dtype=np.uint8)
    sheet[: left.shape[0], : left.shape[1]] = left
    sheet[: right.shape[0], offset:] = right
    if corners:
        _outline(sheet[:, : left.shape[1]], np.array(corners) * (left.shape[1], left.shape[0]))
    if frame is not None:
        if crop is not None:
            x, y, wide, high = crop
            box = np.array([(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)])
            _outline(sheet[:, offset:], box * (right.shape[1], right.shape[0]))
        for a, b, c, d in points[:: max(1, -(-len(points) // _LINES))]:
            one = (round(a * left.shape[1]), round(b * left.shape[0]))
            other = (offset + round(c * right.shape[1]), round(d * right.shape[0]))
            _joined(sheet, one, other)
    return bytes(simplejpeg.encode_jpeg(sheet, quality=_QUALITY))


def _as_high(rgb: Pixels) -> Pixels:
    scale = min(1.0, _HEIGHT_PX / rgb.shape[0])
    return fitted(rgb, max(1, int(max(rgb.shape[:2]) * scale)))


def _outline(part: Pixels, corners: np.typing.NDArray[np.float64]) -> None:
    shape = [corners.round().astype(np.int32)]
    cv2.polylines(part, shape, True, _EDGE, 5, cv2.LINE_AA)
    cv2.polylines(part, shape, True, _LINE, 2, cv2.LINE_AA)


def _joined(sheet: Pixels, one: tuple[int, int], other: tuple[int, int]) -> None:
    cv2.line(sheet, one, other, _LINE, 1, cv2.LINE_AA)
    for place in (one, other):
        cv2.circle(sheet, place, 6, _EDGE, 3, cv2.LINE_AA)
        cv2.circle(sheet, place, 6, _LINE, 2, cv2.LINE_AA)
