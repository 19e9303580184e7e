"""The ground's fixed things as flat textures: stands with their crowd, boards, grass."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.work.demo.brush import Rgb
from setpiece.work.demo.lettering import letters
from setpiece.work.demo.view import PITCH_LENGTH_M, PITCH_WIDTH_M

Texture = NDArray[np.uint8]
Vec = NDArray[np.float64]

BOARD_GAP_M = 4.0
BOARD_HEIGHT_M = 0.95
STAND_GAP_M = 7.5
ROW_M = 0.82
SEAT_M = 0.52

_COATS: tuple[Rgb, ...] = (
    (44, 48, 58),
    (62, 64, 70),
    (36, 44, 66),
    (84, 78, 70),
    (110, 96, 82),
    (58, 72, 62),
    (126, 60, 52),
    (150, 142, 130),
    (78, 92, 112),
    (46, 40, 44),
    (170, 160, 146),
    (92, 58, 66),
)
_RED: tuple[Rgb, ...] = ((172, 44, 38), (190, 60, 48), (150, 36, 34))
_PALE: tuple[Rgb, ...] = ((232, 230, 222), (214, 216, 220), (62, 84, 138))
_SKINS: tuple[Rgb, ...] = (
    (232, 196, 168),
    (222, 178, 146),
    (206, 154, 118),
    (160, 110, 78),
    (112, 74, 52),
)
_HAIRS: tuple[Rgb, ...] = (
    (52, 38, 28),
    (30, 26, 24),
    (110, 78, 48),
    (168, 132, 84),
    (120, 116, 112),
    (84, 44, 28),
)


@dataclass(frozen=True, slots=True)
class Stand:
    """One stand: its front row's left end as seen from the pitch, its direction, its rows.

    `colours` names the crowd's: `home`, `away` or `mixed`. `roof` covers it.
    """

    name: str
    origin: tuple[float, float]
    along: tuple[float, float]
    length_m: float
    rows: int
    colours: str
    roof: bool
    seed: int

    @property
    def back(self) -> Vec:
        """The level direction from the pitch into the stand."""
        return np.array([-self.along[1], self.along[0], 0.0])


STANDS = (
    Stand("far", (-12.0, PITCH_WIDTH_M + STAND_GAP_M), (1.0, 0.0), 129.0, 19, "home", True, 11),
    Stand("east", (PITCH_LENGTH_M + STAND_GAP_M, 76.0), (0.0, -1.0), 84.0, 13, "away", False, 12),
    Stand("west", (-STAND_GAP_M, -8.0), (0.0, 1.0), 84.0, 14, "home", False, 13),
    Stand("main", (117.0, -STAND_GAP_M), (-1.0, 0.0), 129.0, 24, "mixed", True, 14),
)
"""The four stands. `along` runs to the right for somebody who looks at the stand."""

SPONSORS: tuple[tuple[str, Rgb, Rgb], ...] = (
    ("FENNMARK OATS", (238, 226, 196), (122, 62, 24)),
    ("LANTERN CUP", (24, 40, 62), (244, 196, 84)),
    ("LETHTAL DAIRY", (226, 236, 242), (34, 88, 142)),
    ("ZIRBEL & ROTH TIMBER", (34, 62, 46), (236, 228, 204)),
    ("BRUNTOK TOOLS", (240, 186, 40), (32, 32, 34)),
    ("SEVEN BRIDGES BREAD", (150, 52, 44), (248, 236, 216)),
    ("TINDERLAMP", (52, 46, 78), (238, 214, 240)),
)
"""Advertisers at the ground, all invented: words, board colour, letter colour."""


@lru_cache(maxsize=8)
def crowd(name: str, px_per_m: int) -> Texture:
    """The people in a stand, front row at the bottom; the texture is sRGB."""
    stand = next(s for s in STANDS if s.name == name)
    rng = np.random.default_rng([stand.seed, 7])
    width, height = int(stand.length_m * px_per_m), int(stand.rows * ROW_M * px_per_m)
    picture = np.empty((height, width, 3), dtype=np.uint8)
    picture[:] = (58, 58, 60)
    seat, row_px = SEAT_M * px_per_m, ROW_M * px_per_m
    fans = {"home": _RED, "away": _PALE, "mixed": _RED}[stand.colours]
    share = {"home": 0.24, "away": 0.30, "mixed": 0.10}[stand.colours]
    for row in range(stand.rows - 1, -1, -1):
        foot = height - row * row_px
        cv2.rectangle(picture, (0, int(foot - row_px * 0.36)), (width, int(foot)), (92, 40, 38), -1)
        for column in range(int(width / seat)):
            if column % 44 in (0, 1) or rng.random() < 0.12:
                continue  # an aisle, or an empty seat
            x = (column + 0.5 + rng.normal(0, 0.08)) * seat
            coats = fans if rng.random() < share else _COATS
            _spectator(picture, rng, x, foot - row_px * (0.10 + rng.random() * 0.08), row_px, coats)
    for aisle in range(0, int(width / seat), 44):
        x0 = int(aisle * seat)
        cv2.rectangle(picture, (x0, 0), (int(x0 + 1.6 * seat), height), (112, 110, 106), -1)
    shade = np.linspace(0.62 if stand.roof else 0.88, 1.0, height)[:, None, None]
    return np.asarray(picture * shade, dtype=np.uint8)


def _spectator(
    picture: Texture,
    rng: np.random.Generator,
    x: float,
    foot: float,
    row_px: float,
    coats: tuple[Rgb, ...],
) -> None:
    coat = np.array(coats[rng.integers(len(coats))]) * rng.uniform(0.8, 1.12)
    skin = np.array(_SKINS[rng.integers(len(_SKINS))]) * rng.uniform(0.9, 1.0)
    hair = _HAIRS[rng.integers(len(_HAIRS))]
    tall = row_px * rng.uniform(0.92, 1.12)
    top = foot - tall

    def ellipse(cx: float, cy: float, rx: float, ry: float, colour: object) -> None:
        cv2.ellipse(
            picture,
            (round(cx * 16), round(cy * 16)),
            (max(8, round(rx * 16)), max(8, round(ry * 16))),
            0,
            0,
            360,
            [int(min(255, c)) for c in np.asarray(colour)],
            -1,
            cv2.LINE_AA,
            4,
        )

    ellipse(x, top + tall * 0.68, row_px * 0.25, tall * 0.40, coat)
    if rng.random() < 0.16:
        ellipse(x, top + tall * 0.34, row_px * 0.17, tall * 0.07, coats[0])
    ellipse(x, top + tall * 0.12, row_px * 0.150, row_px * 0.180, hair)
    ellipse(x, top + tall * 0.18, row_px * 0.122, row_px * 0.140, skin)
    if rng.random() < 0.07:
        arm = row_px * 0.07
        for way in (-1, 1):
            ellipse(x + way * row_px * 0.26, top + tall * 0.06, arm, tall * 0.26, coat)
            ellipse(x + way * row_px * 0.28, top - tall * 0.16, arm, arm * 1.1, skin)


@lru_cache(maxsize=4)
def boards(length_m: float, first: int, px_per_m: int = 64) -> Texture:
    """A row of advertising boards of that length; `first` chooses who stands first."""
    height = int(BOARD_HEIGHT_M * px_per_m)
    picture = np.zeros((height, int(length_m * px_per_m), 3), dtype=np.uint8)
    x, index = 0, first
    while x < picture.shape[1]:
        words, ground, ink = SPONSORS[index % len(SPONSORS)]
        mask = letters(words, int(height * 0.46), 0.05)
        width = mask.shape[1] + int(1.1 * height)
        end = min(x + width, picture.shape[1])
        picture[:, x:end] = ground
        picture[-max(2, height // 16) :, x:end] = np.array(ground) * 0.6
        left, top = x + (width - mask.shape[1]) // 2, (height - mask.shape[0]) // 2
        right = min(left + mask.shape[1], picture.shape[1])
        if right > left:
            a = mask[:, : right - left, None].astype(np.float32) / 255
            here = picture[top : top + mask.shape[0], left:right]
            here[:] = here * (1 - a) + np.array(ink) * a
        picture[:, max(end - max(1, height // 24), 0) : end] = (30, 30, 32)
        x, index = end, index + 1
    return picture


@lru_cache(maxsize=1)
def blades() -> NDArray[np.int8]:
    """Grass close by: short upright strokes of noise, for rows near the focus."""
    rng = np.random.default_rng([5, 1])
    noise = rng.standard_normal((1400, 1600)).astype(np.float32)
    strokes = cv2.blur(noise, (1, 7)) * 2.2 + cv2.GaussianBlur(noise, (0, 0), 2.2) * 3.0
    return np.asarray(np.clip(strokes * 30, -127, 127), dtype=np.int8)


@lru_cache(maxsize=1)
def mottle() -> Texture:
    """Worn and fresh patches of the whole pitch area, 200 where plain, 8 px a metre."""
    rng = np.random.default_rng([5, 2])
    total = np.zeros((720, 1040), dtype=np.float32)
    for cell_px, weight in ((4, 0.8), (16, 1.2), (70, 1.6)):
        small = rng.standard_normal((720 // cell_px + 2, 1040 // cell_px + 2)).astype(np.float32)
        total += weight * cv2.resize(small, (1040, 720), interpolation=cv2.INTER_CUBIC)
    return np.asarray(np.clip(200 * (1 + 0.014 * total), 0, 255), dtype=np.uint8)
