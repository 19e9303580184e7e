"""The goal's net close before the lens of a camera that stands behind it."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.work.demo.view import View

Picture = NDArray[np.uint8]

_MESH_M = 0.12
_NET_AWAY_M = 1.3


def lay_net(
    picture: Picture, view: View, focus_m: float, f_number: float, pan_px: tuple[int, int]
) -> None:
    """Lay soft pale cords over the frame in place: the net hangs 1.3 m before the lens."""
    step = 4
    height, width = picture.shape[0] // step + 1, picture.shape[1] // step + 1
    cell = view.focal_px * _MESH_M / _NET_AWAY_M / step
    cords = np.zeros((height, width), dtype=np.uint8)
    sag = cell * 0.13
    xs = np.arange(0, width + cell, max(cell / 10, 1.0))
    shift_x, shift_y = (pan_px[0] / step) % cell, (pan_px[1] / step) % cell
    for row in range(-1, int(height / cell) + 3):
        ys = row * cell - shift_y + sag * np.sin(2 * np.pi * xs / cell)
        _cord(cords, np.stack([xs - shift_x, ys], axis=1))
    ys = np.arange(0, height + cell, max(cell / 10, 1.0))
    for column in range(-1, int(width / cell) + 3):
        across = column * cell - shift_x + sag * np.sin(2 * np.pi * ys / cell + 1.6)
        _cord(cords, np.stack([across, ys - shift_y], axis=1))
    circle = view.focal_length_mm**2 / (f_number * (focus_m * 1000 - view.focal_length_mm))
    sigma = circle * (focus_m / _NET_AWAY_M - 1) * view.long_side_px / 36 / 3.2 / step
    cords = cv2.GaussianBlur(cords, (0, 0), float(np.clip(sigma, 0.8, 5.0)))
    cover = cv2.resize(cords, picture.shape[1::-1], interpolation=cv2.INTER_LINEAR)
    cover = cv2.convertScaleAbs(cover, alpha=0.40)
    keep = cv2.bitwise_not(cover)
    rest = cv2.multiply(picture, cv2.merge([keep, keep, keep]), scale=1 / 255)
    picture[:] = cv2.add(rest, cv2.merge([cover, cover, cover]))


def _cord(cords: NDArray[np.uint8], points: NDArray[np.float64]) -> None:
    cv2.polylines(cords, [np.round(points * 16).astype(np.int32)], False, 235, 2, cv2.LINE_AA, 4)
