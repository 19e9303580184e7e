"""A photographed phone that shows the clock card: turned a little, off-axis, held in two hands."""

from __future__ import annotations

from datetime import timedelta

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.match.instants import Instant, instant
from setpiece.pictures.clock_card import draw_card
from setpiece.work.demo.brush import LightOnFigure, Patch, Rgb, oval, tube

Picture = NDArray[np.uint8]

_SKIN: Rgb = (224, 178, 144)
_CASE: Rgb = (30, 31, 36)


def lay_phone(picture: Picture, newest: Instant, rng: np.random.Generator) -> None:
    """Lay the phone in its hands over the middle of a frame in place."""
    height, width = picture.shape[:2]
    card = draw_card(newest, instant(newest - timedelta(seconds=0.1)), 1320, 760)
    screen = np.clip(card.astype(np.float32) * (0.92, 0.95, 0.98) + (8, 9, 11), 0, 255)
    long_px = width * float(rng.uniform(0.46, 0.56))
    corners = _corners(picture, long_px, rng)
    case = _grown(corners, 1.075, 1.15)
    light = LightOnFigure(-0.5, -0.8, 0.5)
    patch = Patch(0, 0, width, height, light)
    for side in (-1.0, 1.0):
        _palm(patch, corners, side, long_px)
    patch.lay([_rounded(case)], _CASE, long_px * 0.012)
    patch.onto(picture)
    _lay_screen(picture, screen.astype(np.uint8), corners)
    thumbs = Patch(0, 0, width, height, light)
    for side in (-1.0, 1.0):
        _thumb(thumbs, corners, side, long_px)
    thumbs.onto(picture)


def _corners(picture: Picture, long_px: float, rng: np.random.Generator) -> NDArray[np.float64]:
    """The screen's corners in the frame, clockwise from its upper left."""
    height, width = picture.shape[:2]
    half = np.array([long_px / 2, long_px / 2 * 760 / 1320])
    flat = half * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]], dtype=float)
    turn, tilt, lean = rng.normal(0, 0.06), rng.uniform(-0.16, 0.16), rng.uniform(-0.10, 0.10)
    away = 1 + tilt * flat[:, :1] / long_px + lean * flat[:, 1:] / long_px
    turned = flat @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    centre = np.array([width, height]) * (0.5, 0.48) + rng.normal(0, 0.02, 2) * width
    return np.asarray(centre + turned / away)


def _grown(corners: NDArray[np.float64], wide: float, tall: float) -> NDArray[np.float64]:
    centre = corners.mean(axis=0)
    along = (corners[1] - corners[0] + corners[2] - corners[3]) / 4
    down = (corners[3] - corners[0] + corners[2] - corners[1]) / 4
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return np.array([centre + x * wide * along + y * tall * down for x, y in signs])


def _rounded(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """The outline with its corners rounded off."""
    outline = []
    for index in range(4):
        here, before, after = corners[index], corners[index - 1], corners[(index + 1) % 4]
        reach = 0.16 * float(np.linalg.norm(corners[3] - corners[0]))
        start = here + (before - here) / np.linalg.norm(before - here) * reach
        end = here + (after - here) / np.linalg.norm(after - here) * reach
        for t in np.linspace(0, 1, 7):
            outline.append((1 - t) ** 2 * start + 2 * t * (1 - t) * here + t**2 * end)
    return np.array(outline)


def _lay_screen(picture: Picture, screen: Picture, corners: NDArray[np.float64]) -> None:
    height, width = screen.shape[:2]
    flat = np.array([[0, 0], [width, 0], [width, height], [0, height]], dtype=np.float32)
    to_frame = cv2.getPerspectiveTransform(flat, corners.astype(np.float32))
    size = picture.shape[1::-1]
    scale = float(np.linalg.norm(corners[1] - corners[0])) / width
    if scale < 1:  # the screen's own pixels are finer than the frame's
        screen = np.asarray(cv2.GaussianBlur(screen, (0, 0), 0.45 / scale), dtype=np.uint8)
    laid = cv2.warpPerspective(screen, to_frame, size, flags=cv2.INTER_LINEAR)
    cover = np.zeros(picture.shape[:2], dtype=np.uint8)
    cv2.fillPoly(cover, [np.round(corners * 16).astype(np.int32)], 255, cv2.LINE_8, 4)
    cv2.copyTo(laid, cover, picture)


def _axes(corners: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    along, down = corners[1] - corners[0], corners[3] - corners[0]
    return along / np.linalg.norm(along), down / np.linalg.norm(down)


def _palm(patch: Patch, corners: NDArray[np.float64], side: float, long_px: float) -> None:
    """The hand behind the phone on one side, its sleeve leaving the frame below."""
    along, down = _axes(corners)
    edge = corners.mean(axis=0) + along * side * long_px * 0.55
    wrist = edge + down * long_px * 0.34 + along * side * long_px * 0.07
    elbow = wrist + down * long_px * 0.7 + along * side * long_px * 0.16
    sleeve = tube(
        wrist + down * long_px * 0.05,
        elbow,
        [(0, long_px * 0.10), (1, long_px * 0.14)],
        (False, False),
    )
    arm = tube(
        edge + down * long_px * 0.1,
        wrist + down * long_px * 0.1,
        [(0, long_px * 0.10), (1, long_px * 0.075)],
        (True, True),
    )
    patch.lay(
        [oval(edge + down * long_px * 0.08, along, down, long_px * 0.09, long_px * 0.15), arm],
        _SKIN,
        long_px * 0.03,
    )
    for finger in range(4):
        tip = edge + down * long_px * (-0.14 + 0.075 * finger)
        patch.lay(
            [
                tube(
                    tip,
                    tip - along * side * long_px * 0.05,
                    [(0, long_px * 0.034), (1, long_px * 0.034)],
                    (True, True),
                )
            ],
            _SKIN,
            long_px * 0.014,
        )
    patch.lay([sleeve], (52, 60, 74), long_px * 0.04)


def _thumb(patch: Patch, corners: NDArray[np.float64], side: float, long_px: float) -> None:
    """The thumb on the phone's rim; it must not hide the codes."""
    along, down = _axes(corners)
    root = corners.mean(axis=0) + along * side * long_px * 0.60 + down * long_px * 0.17
    tip = corners.mean(axis=0) + along * side * long_px * 0.505 + down * long_px * 0.205
    patch.lay(
        [
            tube(
                root,
                tip,
                [(0, long_px * 0.042), (0.6, long_px * 0.038), (1, long_px * 0.030)],
                (True, True),
            )
        ],
        _SKIN,
        long_px * 0.016,
    )
    patch.lay(
        [oval(tip, along, down, long_px * 0.018, long_px * 0.014)], (240, 206, 182), long_px * 0.004
    )
