"""A drawn match scene: crowd, boards, grass and one player, each with a blur of its own."""

from __future__ import annotations

import cv2
import numpy as np

WIDTH_PX, HEIGHT_PX = 1368, 912
SKIN, WHITE = (205, 160, 130), (235, 235, 235)
KITS = ((190, 40, 40), WHITE, (40, 60, 160), (240, 200, 40))


def draw_pitch(
    seed: int, player_px: float, crowd_px: float, grass_px: float, middle: float | None = None
) -> np.ndarray:
    """The scene at half scale; blurs are one standard deviation in its own pixels."""
    rng = np.random.default_rng(seed)
    middle = rng.uniform(0.3, 0.7) if middle is None else middle
    tall = rng.uniform(0.4, 0.85)
    scene = _soft(_crowd_and_boards(rng), crowd_px)
    edge = int(HEIGHT_PX * 0.5)
    scene[edge:] = _soft(_grass(rng), grass_px)[edge:]
    player, mask = _player(rng, middle, tall, KITS[seed % len(KITS)])
    mask = _soft(mask, player_px)[:, :, None]
    scene = scene * (1 - mask) + _soft(player, player_px) * mask
    scene = _soft(scene, 0.6) + rng.normal(0, 1.5, scene.shape)
    return np.clip(scene, 0, 255).astype(np.uint8)


def _soft(picture: np.ndarray, blur_px: float) -> np.ndarray:
    picture = picture.astype(np.float32)
    return cv2.GaussianBlur(picture, (0, 0), blur_px) if blur_px else picture


def _crowd_and_boards(rng: np.random.Generator) -> np.ndarray:
    scene = np.full((HEIGHT_PX, WIDTH_PX, 3), 60, np.uint8)
    for _ in range(1600):
        x, y = int(rng.integers(WIDTH_PX)), int(rng.integers(HEIGHT_PX // 2))
        size = int(rng.integers(5, 11))
        coat = tuple(int(v) for v in rng.integers(20, 230, 3))
        cv2.circle(scene, (x, y), size, coat, -1)
        cv2.circle(scene, (x, y - size), size // 2, (190, 150, 120), -1)
    top = int(HEIGHT_PX * 0.42)
    scene[top : int(HEIGHT_PX * 0.5)] = (240, 240, 245)
    for place in range(6):
        at = (place * 240 - 30, top + 52)
        cv2.putText(scene, "OSTRELL", at, cv2.FONT_HERSHEY_SIMPLEX, 1.3, (20, 40, 120), 6)
    return scene


def _grass(rng: np.random.Generator) -> np.ndarray:
    blades = cv2.resize(rng.normal(0, 14, (HEIGHT_PX, WIDTH_PX // 2)), (WIDTH_PX, HEIGHT_PX))
    grass = np.array((70.0, 125.0, 50.0)) + blades[:, :, None]
    stripes = 1 + 0.08 * (np.arange(WIDTH_PX) // 80 % 2)
    return grass * stripes[None, :, None]


def _player(
    rng: np.random.Generator, middle: float, tall: float, kit: tuple[int, int, int]
) -> tuple[np.ndarray, np.ndarray]:
    """A figure with folds in its kit, and where it is."""
    height = int(HEIGHT_PX * tall)
    width = int(height * 0.32)
    left, top = int(WIDTH_PX * middle - width / 2), int(HEIGHT_PX * 0.92 - height)
    figure = np.zeros((HEIGHT_PX, WIDTH_PX, 3), np.uint8)
    mask = np.zeros((HEIGHT_PX, WIDTH_PX), np.uint8)

    def box(x0: float, y0: float, x1: float, y1: float, colour: tuple[int, int, int]) -> None:
        corners = [(left + int(width * x), top + int(height * y)) for x, y in ((x0, y0), (x1, y1))]
        cv2.rectangle(figure, *corners, colour, -1)
        cv2.rectangle(mask, *corners, 255, -1)

    head = (left + width // 2, top + height // 10)
    cv2.circle(figure, head, height // 12, SKIN, -1)
    cv2.circle(mask, head, height // 12, 255, -1)
    box(0.12, 0.17, 0.88, 0.5, kit)
    box(0.0, 0.17, 0.14, 0.45, SKIN)
    box(0.86, 0.17, 1.0, 0.45, SKIN)
    box(0.16, 0.5, 0.84, 0.65, (245, 245, 245))
    box(0.2, 0.65, 0.4, 1.0, SKIN)
    box(0.6, 0.65, 0.8, 1.0, kit)
    for fold in range(40):
        start = (
            left + int(width * rng.uniform(0.15, 0.85)),
            top + int(height * rng.uniform(0.17, 0.95)),
        )
        end = (start[0] + int(rng.integers(-18, 18)), start[1] + int(rng.integers(4, 36)))
        cv2.line(figure, start, end, (60, 25, 25) if fold % 2 else (230, 120, 120), 2)
    return figure, (mask > 0).astype(np.float32)
