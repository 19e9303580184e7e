"""What of a picture stands still: sky, stands, boards, pitch, goals; drawn once a passage.

It is drawn sharp at a reduced scale, then blurred row by row as far as a lens focused at the
subject would blur it (thin lens; plan/optics has the sources of the formula).
"""

from __future__ import annotations

from math import ceil

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.work.demo.brush import Rgb
from setpiece.work.demo.depth import lay_blades, out_of_focus
from setpiece.work.demo.light import Light
from setpiece.work.demo.markings import lines, mown_bands, surround
from setpiece.work.demo.sky import lay_hills, lay_lamps, sky
from setpiece.work.demo.stadium import (
    BOARD_GAP_M,
    BOARD_HEIGHT_M,
    ROW_M,
    STANDS,
    Stand,
    boards,
    crowd,
    mottle,
)
from setpiece.work.demo.view import PITCH_LENGTH_M, PITCH_WIDTH_M, View

Picture = NDArray[np.uint8]
Vec = NDArray[np.float64]

GRASS_LIGHT: Rgb = (104, 146, 74)
GRASS_DARK: Rgb = (86, 128, 64)
_SURROUND: Rgb = (92, 122, 74)
_TRACK: Rgb = (104, 106, 98)
_BEYOND: Rgb = (66, 74, 64)
_LINE: Rgb = (236, 238, 228)
_UP = np.array([0.0, 0.0, 1.0])
_FAR_PX = 4e6
"""Corners further out are pulled in: the filling takes no larger numbers."""


def draw_backdrop(
    view: View,
    light: Light,
    focus_m: float,
    f_number: float,
    *,
    detail: float,
    through_net: bool = False,
) -> Picture:
    """The still part of a framing, sRGB. `detail` is the scale it is drawn at before blurring.

    `through_net` leaves out the goal whose net the camera looks through: see `net_before_lens`.
    """
    small = view.scaled(detail)
    picture = sky(small, light)
    lay_hills(picture, small, light)
    _ground(picture, small, light)
    for stand in _far_to_near(small):
        _stand(picture, small, stand, light)
    _boards(picture, small, light)
    for x in sorted((0.0, PITCH_LENGTH_M), key=lambda x: -abs(x - small.x_m)):
        if not (through_net and abs(x - small.x_m) < 20):
            _goal(picture, small, x)
    lay_lamps(picture, small, light)
    blurred = out_of_focus(picture, small, focus_m, f_number)
    if detail != 1.0:
        size = (view.width_px, view.height_px)
        larger = cv2.resize(blurred, size, interpolation=cv2.INTER_CUBIC)
        blurred = np.asarray(larger, dtype=np.uint8)
    lay_blades(blurred, view, focus_m, f_number)
    return blurred


def _far_to_near(view: View) -> list[Stand]:
    def middle(stand: Stand) -> float:
        centre = np.array([*stand.origin, 0.0]) + np.array([*stand.along, 0.0]) * stand.length_m / 2
        return float(np.linalg.norm(centre - view.position))

    return sorted(STANDS, key=middle, reverse=True)


def _stand(picture: Picture, view: View, stand: Stand, light: Light) -> None:
    """Front wall, crowd, roof."""
    origin = np.array([*stand.origin, 1.0])
    along = np.array([*stand.along, 0.0])
    slope = stand.back * 0.84 + _UP * 0.545
    depth_m = stand.rows * ROW_M
    if (view.depth(np.array([origin, origin + along * stand.length_m])) < 0.5).all():
        return
    nearest = max(6.0, float(np.linalg.norm(_nearest(view, origin, along, stand.length_m))))
    px_per_m = 44 if view.focal_px / nearest > 24 else 22 if view.focal_px / nearest > 9 else 11
    texture = crowd(stand.name, px_per_m)
    bright = (0.86 if stand.roof else 0.98) * light.level + 0.14 * light.sun - 0.14 * light.lamps
    wall = np.array([origin - _UP, origin - _UP + along * stand.length_m])
    _fill(
        picture,
        view,
        np.array([wall[0], wall[1], wall[1] + _UP * 1.15, wall[0] + _UP * 1.15]),
        (70, 68, 66),
    )
    _texture(picture, view, texture, origin, along, slope, stand.length_m, depth_m, bright)
    top = origin + slope * depth_m
    if not stand.roof:
        rim = [top, top + along * stand.length_m]
        _fill(
            picture,
            view,
            np.array([rim[0], rim[1], rim[1] + _UP * 0.9, rim[0] + _UP * 0.9]),
            (60, 62, 66),
        )
        return
    over = top + _UP * 3.0
    lip = over - stand.back * (depth_m * 0.80) + _UP * 1.6
    end = along * stand.length_m
    _fill(picture, view, np.array([top, top + end, over + end, over]), (34, 36, 40))
    _fill(picture, view, np.array([over, over + end, lip + end, lip]), (58, 60, 66))
    _fill(
        picture,
        view,
        np.array([lip, lip + end, lip + end + _UP * 0.85, lip + _UP * 0.85]),
        tuple(
            float(c)
            for c in np.array((196, 198, 196)) * (0.55 + 0.45 * light.level * max(light.sun, 0.35))
        ),  # type: ignore[arg-type]
    )
    if light.lamps > 0.1:
        for share in np.linspace(0.03, 0.97, 26):
            spot = lip + end * share - _UP * 0.05
            if view.depth(spot[None])[0] > 1:
                x, y = view.project(spot[None])[0]
                size = max(1.0, 0.22 * view.focal_px / float(view.depth(spot[None])[0]))
                cv2.circle(
                    picture, (round(x), round(y)), round(size), (255, 250, 236), -1, cv2.LINE_AA
                )


def _nearest(view: View, origin: Vec, along: Vec, length_m: float) -> Vec:
    share = float(np.clip((view.position - origin) @ along, 0, length_m))
    return np.asarray(origin + along * share - view.position)


def _texture(
    picture: Picture,
    view: View,
    texture: Picture,
    origin: Vec,
    along: Vec,
    upward: Vec,
    length_m: float,
    height_m: float,
    bright: float,
) -> None:
    """Lay a texture that fills a rectangle of a plane; its bottom edge lies at `origin`."""
    end, top = along * length_m, upward * height_m
    outline = view.outlines(np.array([origin, origin + end, origin + end + top, origin + top]))
    if outline is None or len(outline) < 3:
        return
    box = _box_of(outline, view)
    if box is None:
        return
    x0, y0, x1, y1 = box
    height, width = texture.shape[:2]
    to_texture = np.array(
        [[width / length_m, 0.0, 0.0], [0.0, -height / height_m, float(height)], [0.0, 0.0, 1.0]]
    )
    shift = np.array([[1.0, 0.0, x0], [0.0, 1.0, y0], [0.0, 0.0, 1.0]])
    both = to_texture @ np.linalg.inv(view.plane(origin, along, upward)) @ shift
    laid = cv2.warpPerspective(
        texture,
        both,
        (x1 - x0, y1 - y0),
        flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
        borderMode=cv2.BORDER_REPLICATE,
    )
    cover = np.zeros((y1 - y0, x1 - x0), dtype=np.uint8)
    points = np.round((np.clip(outline, -_FAR_PX, _FAR_PX) - (x0, y0)) * 16).astype(np.int32)
    cv2.fillPoly(cover, [points], 255, cv2.LINE_8, 4)
    cv2.convertScaleAbs(laid, dst=laid, alpha=bright)
    cv2.copyTo(laid, cover, picture[y0:y1, x0:x1])


def _box_of(outline: Vec, view: View) -> tuple[int, int, int, int] | None:
    """The part of the frame that an outline touches, None when it misses the frame."""
    x0, y0 = np.maximum(np.floor(np.maximum(outline.min(axis=0), -9)).astype(int), 0)
    x1, y1 = np.ceil(np.minimum(outline.max(axis=0), 1e5)).astype(int) + 1
    x1, y1 = min(int(x1), view.width_px), min(int(y1), view.height_px)
    return (int(x0), int(y0), x1, y1) if x1 > x0 and y1 > y0 else None


def _fill(picture: Picture, view: View, corners: Vec, colour: Rgb, opacity: float = 1.0) -> None:
    outline = view.outlines(corners)
    if outline is None or len(outline) < 3:
        return
    points = np.round(np.clip(outline, -_FAR_PX, _FAR_PX) * 16).astype(np.int32)
    cv2.fillPoly(picture, [points], [int(c) for c in colour], cv2.LINE_AA, 4)


def _ground(picture: Picture, view: View, light: Light) -> None:
    _fill(picture, view, surround(4000.0), _BEYOND)
    _fill(picture, view, surround(STAND_REACH_M), _TRACK)
    _fill(picture, view, surround(BOARD_GAP_M + 0.6), _SURROUND)
    for index, band in enumerate(mown_bands()):
        _fill(picture, view, band, GRASS_LIGHT if index % 2 else GRASS_DARK)
    _mottle(picture, view)
    if light.sun > 0.05:
        edge = 21.0 + (light.hour - 15.5) * 30.0
        shade = np.array([[-8, -8, 0], [113, -8, 0], [113, edge, 0], [-8, edge, 0]], dtype=float)
        under = picture.copy()
        _fill(picture, view, shade, (20, 40, 44))
        cv2.addWeighted(picture, 0.34 * light.sun, under, 1 - 0.34 * light.sun, 0, picture)
    for line in lines():
        _fill(picture, view, line, _LINE)


STAND_REACH_M = 7.6


def _mottle(picture: Picture, view: View) -> None:
    horizon = view.height_px / 2 + view.focal_px * np.tan(np.radians(view.tilt_deg))
    first = int(np.clip(ceil(horizon) + 2, 0, view.height_px))
    if first >= view.height_px:
        return
    to_frame = view.plane(
        np.array([-12.5, -11.0, 0.0]), np.array([1.0, 0, 0]), np.array([0, 1.0, 0])
    )
    down = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, first], [0.0, 0.0, 1.0]])
    both = np.diag([8.0, 8.0, 1.0]) @ np.linalg.inv(to_frame) @ down
    laid = cv2.warpPerspective(
        mottle(),
        both,
        (view.width_px, view.height_px - first),
        flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
        borderMode=cv2.BORDER_REPLICATE,
    )
    below = picture[first:]
    cv2.multiply(below, cv2.merge([laid, laid, laid]), dst=below, scale=1 / 200)


def _boards(picture: Picture, view: View, light: Light) -> None:
    gap = BOARD_GAP_M
    sides = (
        ((-gap, PITCH_WIDTH_M + gap), (1.0, 0.0), PITCH_LENGTH_M + 2 * gap, 0),
        ((PITCH_LENGTH_M + gap, PITCH_WIDTH_M + gap), (0.0, -1.0), PITCH_WIDTH_M + 2 * gap, 2),
        ((-gap, -gap), (0.0, 1.0), PITCH_WIDTH_M + 2 * gap, 4),
    )
    for corner, along, length_m, first in sides:
        origin = np.array([*corner, 0.0])
        way = np.array([*along, 0.0])
        inward = np.array([way[1], -way[0], 0.0])
        if float((view.position - origin) @ inward) < 0.4:
            continue  # seen from behind, or sat upon
        _texture(
            picture,
            view,
            boards(length_m, first),
            origin,
            way,
            _UP,
            length_m,
            BOARD_HEIGHT_M,
            0.80 * light.level + 0.22 * max(light.sun, 0.75 * light.lamps),
        )


def _goal(picture: Picture, view: View, x: float) -> None:
    """Net, then posts and bar; the net hangs behind the line."""
    out = -1.0 if x < 1 else 1.0
    low, high, bar, deep = 34 - 3.66, 34 + 3.66, 2.44, 2.0
    net: list[Vec] = []
    for y in np.arange(low, high + 0.01, 0.2033):
        net.append(np.array([[x, y, bar], [x + out * 0.9, y, bar], [x + out * deep, y, 0.0]]))
    for share in np.linspace(0, 1, 15):
        spot = [x + out * (0.9 + (deep - 0.9) * share), bar * (1 - share)]
        net.append(np.array([[spot[0], low, spot[1]], [spot[0], high, spot[1]]]))
        for y in (low, high):
            net.append(np.array([[x, y, bar * (1 - share)], [spot[0], y, spot[1]]]))
    under = picture.copy()
    for strand in net:
        if (view.depth(strand) > NEAR_NET_M).all():
            points = np.round(view.project(strand) * 16).astype(np.int32)
            cv2.polylines(picture, [points], False, (232, 234, 230), 1, cv2.LINE_AA, 4)
    cv2.addWeighted(picture, 0.5, under, 0.5, 0, picture)
    frame = [
        (np.array([x, low, 0.0]), np.array([x, low, bar])),
        (np.array([x, high, 0.0]), np.array([x, high, bar])),
        (np.array([x, low - 0.06, bar]), np.array([x, high + 0.06, bar])),
    ]
    for start, end in frame:
        ends = np.array([start, end])
        if (view.depth(ends) > NEAR_NET_M).all():
            distance = float(view.depth(ends).mean())
            thick = max(1, round(0.12 * view.focal_px / distance))
            a, b = np.round(view.project(ends)).astype(int)
            cv2.line(picture, a.tolist(), b.tolist(), (150, 154, 156), thick, cv2.LINE_AA)
            if thick > 2:
                cv2.line(
                    picture,
                    a.tolist(),
                    b.tolist(),
                    (240, 240, 236),
                    max(1, round(thick * 0.66)),
                    cv2.LINE_AA,
                )


NEAR_NET_M = 0.6
