"""What a lens does to depth: sharp at its focus, blurred before and behind it.

Thin lens; `plan/optics` has the sources of the formula.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.work.demo.stadium import blades
from setpiece.work.demo.view import SENSOR_LONG_MM, View

Picture = NDArray[np.uint8]


def blur_px(view: View, focus_m: float, f_number: float, distance_m: float) -> float:
    """Diameter of the blur circle of a point at that distance, in pixels."""
    f = view.focal_length_mm
    focus_mm = focus_m * 1000
    circle_mm = (
        f * f / (f_number * (focus_mm - f)) * abs(distance_m - focus_m) / max(distance_m, 0.1)
    )
    return float(circle_mm * view.long_side_px / SENSOR_LONG_MM)


def _row_distance(view: View) -> NDArray[np.float64]:
    """Distance of the ground along the middle of each row; a far value above the horizon."""
    rows = np.arange(view.height_px)
    angle = np.arctan((rows - view.height_px / 2) / view.focal_px) - np.radians(view.tilt_deg)
    with np.errstate(divide="ignore"):
        distance = np.where(angle > 1e-4, view.z_m / np.tan(np.maximum(angle, 1e-4)), 1e4)
    return np.asarray(np.clip(distance, 0.2, _far_wall(view)))


def _far_wall(view: View) -> float:
    """How far the boards or stands opposite stand along the lens."""
    heading = np.radians(view.heading_deg)
    ways = []
    for start, step, low, high in (
        (view.x_m, np.cos(heading), -6.0, 111.0),
        (view.y_m, np.sin(heading), -6.0, 74.0),
    ):
        if abs(step) > 1e-3:
            ways.append(((high if step > 0 else low) - start) / step)
    return float(max(8.0, min(ways))) if ways else 100.0


def out_of_focus(picture: Picture, view: View, focus_m: float, f_number: float) -> Picture:
    """The picture blurred row by row: sharp where the ground is at the focus distance."""
    circles = np.array([blur_px(view, focus_m, f_number, float(d)) for d in _row_distance(view)])
    widest = min(float(circles.max()), view.width_px / 14)
    if widest < 0.8:
        return picture
    levels = [0.0, widest / 4, widest]
    layers = [picture]
    for circle in levels[1:]:
        layers.append(_blur(picture, circle / 3.2))
    circles = np.minimum(circles, widest)
    total = np.zeros(picture.shape, dtype=np.float32)
    for index, layer in enumerate(layers):
        weight = _hat(circles, levels, index)
        rows = np.flatnonzero(weight > 0.002)
        if rows.size:
            span = slice(int(rows[0]), int(rows[-1]) + 1)
            total[span] += layer[span] * weight[span, None, None].astype(np.float32)
    return np.asarray(np.clip(total, 0, 255), dtype=np.uint8)


def _hat(values: NDArray[np.float64], knots: list[float], index: int) -> NDArray[np.float64]:
    """The share of one knot in each value between its neighbours; shares add up to 1."""
    share = [1.0 if i == index else 0.0 for i in range(len(knots))]
    return np.asarray(np.interp(values, knots, share))


def _blur(picture: Picture, sigma_px: float) -> Picture:
    step = max(1, int(sigma_px / 3))
    if step == 1:
        return np.asarray(cv2.GaussianBlur(picture, (0, 0), sigma_px), dtype=np.uint8)
    size = (max(1, picture.shape[1] // step), max(1, picture.shape[0] // step))
    small = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
    small = cv2.GaussianBlur(small, (0, 0), sigma_px / step)
    return np.asarray(
        cv2.resize(small, picture.shape[1::-1], interpolation=cv2.INTER_CUBIC), dtype=np.uint8
    )


def lay_blades(picture: Picture, view: View, focus_m: float, f_number: float) -> None:
    """Single blades of grass in the rows that are in focus."""
    distance = _row_distance(view)
    horizon = view.height_px / 2 + view.focal_px * np.tan(np.radians(view.tilt_deg))
    wall = _far_wall(view)
    circles = np.array([blur_px(view, focus_m, f_number, float(d)) for d in distance])
    amount = np.clip(1.2 - circles / 9.0, 0, 1) * np.clip(view.focal_px / distance / 60, 0, 1)
    amount[(np.arange(view.height_px) < horizon) | (distance >= wall * 0.98)] = 0
    rows = np.flatnonzero(amount > 0.03)
    if not rows.size:
        return
    tile = blades()
    first, last = int(rows[0]), int(rows[-1]) + 1
    strokes = np.resize(np.arange(tile.shape[0]), last - first)
    columns = np.resize(np.arange(tile.shape[1]), view.width_px)
    noise = tile[np.ix_(strokes, columns)].astype(np.float32)
    noise *= (amount[first:last, None] * 0.16).astype(np.float32)
    band = picture[first:last]
    band[:] = np.clip(
        band + noise[:, :, None] * np.array([0.8, 1.0, 0.6], dtype=np.float32), 0, 255
    ).astype(np.uint8)
