"""Views of the clock card as a camera would see it, drawn from a random start."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import cv2
import numpy as np
import simplejpeg

from setpiece.match.instants import Instant, instant
from setpiece.pictures.clock_card import CODE_MODULES, draw_card

HALF_PX = (2736, 1824)
"""A 20-megapixel frame of 5472 x 3648 at half scale; blur below is said at full scale."""

FIRST = datetime(2027, 3, 6, 14, 0, tzinfo=UTC)
CARD_PX = (1200, 900)
_GLARE_STEP_PX = 4


@dataclass(frozen=True)
class View:
    """A drawn view and what the card showed in it, newest first."""

    grey: np.ndarray
    shown: tuple[Instant, ...]
    steady: bool
    said: str


def draw_view(rng: np.random.Generator, code_share: float | None = None) -> View:
    """A view within the limits stated: one code from 15 % of the frame's width, turned any way,

    35 degrees off-axis, blur to 8 px (one standard deviation, full scale), noise, JPEG, a glare
    band, and in every third view one of the two codes caught while it changes.
    """
    tenths = int(rng.integers(0, 6 * 36_000))
    newest, before, oldest = (
        instant(FIRST + timedelta(seconds=(tenths - k) / 10)) for k in range(3)
    )
    card = _grey_card(newest, before)
    steady = bool(rng.random() > 1 / 3)
    if not steady:
        share = rng.uniform(0.05, 0.95)
        earlier = _grey_card(before, oldest)  # the newest's place showed the oldest
        card = np.rint(card * share + earlier * (1 - share)).astype(np.uint8)
    share = code_share or float(rng.uniform(0.15, 0.25))
    off_deg, turned_deg = rng.uniform(0, 35), rng.uniform(0, 360)
    picture = _background(rng)
    matrix = _view_of(share, off_deg, rng.uniform(0, 360), turned_deg, rng)
    sheet = cv2.warpPerspective(card, matrix, HALF_PX, flags=cv2.INTER_AREA)
    mask = cv2.warpPerspective(np.full(card.shape, 255, np.uint8), matrix, HALF_PX)
    picture = np.where(mask > 127, sheet * np.float32(rng.uniform(0.55, 1.0)), picture)
    picture = picture.astype(np.float32)
    blur_px = rng.uniform(0, 8)
    picture = cv2.GaussianBlur(picture, (0, 0), max(0.3, blur_px / 2))
    picture += _glare(rng, matrix)
    picture *= rng.uniform(0.6, 1.15)
    noise = rng.uniform(1, 10)
    tile = rng.standard_normal((HALF_PX[1] // 4, HALF_PX[0] // 4), dtype=np.float32)
    picture += np.tile(tile, (4, 4)) * np.float32(noise)
    seen = np.clip(picture, 0, 255).astype(np.uint8)[:, :, None]
    jpeg = simplejpeg.encode_jpeg(seen, colorspace="GRAY", quality=int(rng.integers(70, 96)))
    grey = simplejpeg.decode_jpeg(jpeg, "GRAY")[:, :, 0]
    shown = (newest, before) if steady else (newest, before, oldest)
    said = f"{share:.2f} of width, {off_deg:.0f} off, blur {blur_px:.1f}, noise {noise:.0f}"
    return View(grey, shown, steady, said)


def _background(rng: np.random.Generator) -> np.ndarray:
    """Grass, a crowd of spots, boards: enough to look like codes now and then."""
    width, height = HALF_PX
    small = rng.integers(0, 255, (height // 24, width // 24)).astype(np.uint8)
    crowd = cv2.resize(small, HALF_PX, interpolation=cv2.INTER_NEAREST).astype(np.float32)
    crowd[height // 2 :] = 94
    return crowd


def _grey_card(newest: Instant, before: Instant) -> np.ndarray:
    return cv2.cvtColor(draw_card(newest, before, *CARD_PX), cv2.COLOR_RGB2GRAY)


def _view_of(
    share: float, off_deg: float, axis_deg: float, turned_deg: float, rng: np.random.Generator
) -> np.ndarray:
    """The homography of a card whose codes are `share` of the frame wide, turned and tilted."""
    width = HALF_PX[0]
    module = min(CARD_PX[0] // 62, int(CARD_PX[1] * 0.68) // 33)
    scale = share * width / (CODE_MODULES * module)
    tilt, axis, turn = np.radians([off_deg, axis_deg, turned_deg])
    along = np.array([np.cos(axis), np.sin(axis), 0.0])
    cross = np.array([[0, 0, along[1]], [0, 0, -along[0]], [-along[1], along[0], 0]])
    rotation = np.eye(3) + np.sin(tilt) * cross + (1 - np.cos(tilt)) * cross @ cross
    spin = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
    rotation = rotation @ spin
    distance = 3.0 * width  # a long lens: little foreshortening beyond the tilt
    corners = np.array([[0, 0], [CARD_PX[0], 0], CARD_PX, [0, CARD_PX[1]]], np.float64)
    centred = (corners - np.array(CARD_PX) / 2) * scale
    solid = np.c_[centred, np.zeros(4)] @ rotation.T
    flat = solid[:, :2] * (distance / (distance + solid[:, 2:]))
    reach = np.abs(flat).max(axis=0)
    flat *= min(1.0, *(0.98 * np.array(HALF_PX) / 2 / reach))  # the whole card is in the frame
    room = np.maximum(np.array(HALF_PX) / 2 - np.abs(flat).max(axis=0), 0)
    centre = np.array(HALF_PX) / 2 + rng.uniform(-1, 1, 2) * room
    return cv2.getPerspectiveTransform(
        corners.astype(np.float32), (flat + centre).astype(np.float32)
    )


def _glare(rng: np.random.Generator, matrix: np.ndarray) -> np.ndarray:
    """A soft bright band somewhere across the card, in half of the views."""
    width, height = HALF_PX
    if rng.random() < 0.5:
        return np.zeros((height, width), np.float32)
    middle = cv2.perspectiveTransform(np.array([[rng.uniform(0, CARD_PX, 2)]]), matrix)[0, 0]
    angle = rng.uniform(0, np.pi)
    x = np.arange(0, width, _GLARE_STEP_PX, dtype=np.float32)[None]
    y = np.arange(0, height, _GLARE_STEP_PX, dtype=np.float32)[:, None]
    away = (x - middle[0]) * np.cos(angle) + (y - middle[1]) * np.sin(angle)
    reach = rng.uniform(20, 120)
    band = rng.uniform(30, 110) * np.exp(-((away / reach) ** 2))
    return cv2.resize(band.astype(np.float32), HALF_PX)
