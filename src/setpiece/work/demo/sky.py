"""What stands above the stands: the sky, the hills behind, the floodlight masts."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.work.demo.light import Light
from setpiece.work.demo.view import View

Picture = NDArray[np.uint8]


def sky(view: View, light: Light) -> Picture:
    """The sky down to the horizon, brighter low, with a few flat clouds; sRGB."""
    horizon = view.height_px / 2 + view.focal_px * np.tan(np.radians(view.tilt_deg))
    picture = np.empty((view.height_px, view.width_px, 3), dtype=np.uint8)
    if horizon <= 0:
        picture[:] = 60  # the ground covers it all
        return picture
    rows = np.arange(view.height_px)
    high = np.clip((horizon - rows) / (0.42 * view.focal_px), 0, 1)[:, None]
    column = np.array(light.sky_low) * (1 - high) + np.array(light.sky_top) * high
    picture[:] = column[:, None, :].astype(np.uint8)
    rng = np.random.default_rng([9, int(view.heading_deg) % 360])
    cells = 13 * (rng.standard_normal((26, 6)) - 0.2).clip(-1, 1.4)
    size = (view.width_px, view.height_px)
    cloud = cv2.resize(cells.astype(np.float32), size, interpolation=cv2.INTER_CUBIC)
    last = int(np.clip(horizon, 1, view.height_px))
    pale = np.maximum(cloud[:last], 0).astype(np.uint8)
    picture[:last] = cv2.add(picture[:last], cv2.merge([pale, pale, pale]))
    return picture


def lay_hills(picture: Picture, view: View, light: Light) -> None:
    """Two ridges behind the ground, for framings wide enough to hold them."""
    horizon = view.height_px / 2 + view.focal_px * np.tan(np.radians(view.tilt_deg))
    if horizon < 0 or horizon > view.height_px * 1.6:
        return
    across = (np.arange(0, view.width_px + 16, 16) - view.width_px / 2) / view.focal_px
    bearing = np.degrees(np.arctan(across)) - view.heading_deg
    for height, phase, mix in ((0.105, 0.0, 0.58), (0.070, 2.0, 0.42)):
        ridge = height * (
            1 + 0.34 * np.sin(bearing / 9 + phase) + 0.18 * np.sin(bearing / 3.7 + 2 * phase)
        )
        top = horizon - ridge * view.focal_px
        colour = np.array(light.sky_low) * mix + np.array((58, 72, 78)) * (1 - mix) * light.level
        xs = np.arange(0, view.width_px + 16, 16)
        outline = np.concatenate(
            [np.stack([xs, top], axis=1), [[view.width_px + 16, horizon + 4], [0, horizon + 4]]]
        )
        cv2.fillPoly(
            picture, [np.round(outline * 16).astype(np.int32)], colour.tolist(), cv2.LINE_AA, 4
        )


def lay_lamps(picture: Picture, view: View, light: Light) -> None:
    """A mast in each corner, its lamps lit as the light goes."""
    for x, y in ((-14.0, -12.0), (119.0, -12.0), (-14.0, 82.0), (119.0, 82.0)):
        foot, top = np.array([x, y, 0.0]), np.array([x, y, 30.0])
        if (view.depth(np.array([foot, top])) < 2).any():
            continue
        (x0, y0), (x1, y1) = view.project(np.array([foot, top]))
        scale = view.focal_px / float(view.depth(top[None])[0])
        if not -400 < x1 < view.width_px + 400 or y1 > view.height_px:
            continue
        mast = (86, 88, 92)
        cv2.line(
            picture,
            (round(x0), round(y0)),
            (round(x1), round(y1)),
            mast,
            max(1, round(scale * 0.5)),
            cv2.LINE_AA,
        )
        wide, tall = scale * 4.4, scale * 3.2
        box = np.array([[x1 - wide / 2, y1 - tall], [x1 + wide / 2, y1 + tall * 0.1]])
        cv2.rectangle(
            picture,
            np.round(box[0]).astype(int).tolist(),
            np.round(box[1]).astype(int).tolist(),
            mast,
            -1,
            cv2.LINE_AA,
        )
        lamp = tuple(int(120 + 135 * max(light.lamps, 0.1) * c) for c in (1.0, 0.985, 0.94))
        for row in range(3):
            for column in range(5):
                at = box[0] + (box[1] - box[0]) * [(column + 0.5) / 5, (row + 0.5) / 3]
                cv2.circle(
                    picture,
                    np.round(at).astype(int).tolist(),
                    max(1, round(scale * 0.32)),
                    lamp,
                    -1,
                    cv2.LINE_AA,
                )
        if light.lamps > 0.2:
            _glow(picture, float(x1), float(y1 - tall / 2), scale * 9, light.lamps)


def _glow(picture: Picture, x: float, y: float, reach: float, strength: float) -> None:
    r = int(min(reach * 2.2, 700))
    x0, y0 = max(int(x) - r, 0), max(int(y) - r, 0)
    x1, y1 = min(int(x) + r, picture.shape[1]), min(int(y) + r, picture.shape[0])
    if x1 <= x0 or y1 <= y0 or r < 2:
        return
    dx = (np.arange(x0, x1, dtype=np.float32) - x)[None, :]
    dy = (np.arange(y0, y1, dtype=np.float32) - y)[:, None]
    glow = np.exp(-np.sqrt(dx * dx + dy * dy) / (reach * 0.42)) * (120 * strength)
    warm = glow[:, :, None] * np.array([1.0, 0.96, 0.84], dtype=np.float32)
    picture[y0:y1, x0:x1] = np.clip(picture[y0:y1, x0:x1] + warm, 0, 255).astype(np.uint8)
