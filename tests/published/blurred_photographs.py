"""Bursts of real photographs, each frame with a blur, crop, gain, grain and JPEG of its own."""

from __future__ import annotations

from collections.abc import Callable

import cv2
import numpy as np
import simplejpeg

from setpiece.pictures.focus import focus_figure

PHOTOGRAPHS = (
    "Canon_EOS_5D.jpg",
    "Canon_EOS_20D__1_.jpg",
    "Nikon_D70.jpg",
    "Nikon_D90.jpg",
    "Leica_T__Typ_701_.jpg",
    "Sony_DSC-H9.jpg",
    "Apple_iPhone_6.jpg",
    "FujiFilm_FinePixS5500.jpg",
    "Nikon_E995__iptc_.jpg",
    "edited_1.jpg",
    "Issue_247-1.nef",
)
WINDOW_PX = (1200, 1600)


def photograph(data: bytes) -> np.ndarray:
    """The middle of a photograph at full scale, with room to move the crop."""
    full = simplejpeg.decode_jpeg(data, "RGB")
    height, width = (min(a, b) for a, b in zip(full.shape[:2], WINDOW_PX, strict=True))
    top, left = (full.shape[0] - height) // 2, (full.shape[1] - width) // 2
    return full[top : top + height, left : left + width]


def taken(full: np.ndarray, blur_px: float, rng: np.random.Generator) -> float:
    """The figure of a frame blurred at full scale, with a crop, gain, grain and JPEG of its own."""
    height, width = full.shape[:2]
    top, left = rng.integers(0, height // 16), rng.integers(0, width // 16)
    crop = full[top : top + height * 15 // 16, left : left + width * 15 // 16]
    soft = cv2.GaussianBlur(crop, (0, 0), blur_px) if blur_px else crop
    grain = rng.standard_normal(soft.shape, dtype=np.float32) * rng.uniform(1, 4)
    lit = np.clip(soft * np.float32(rng.uniform(0.8, 1.25)) + grain, 0, 255).astype(np.uint8)
    jpeg = simplejpeg.encode_jpeg(lit, quality=92)
    least = {"min_height": -(-lit.shape[0] // 2), "min_width": -(-lit.shape[1] // 2)}
    return focus_figure(simplejpeg.decode_jpeg(jpeg, "RGB", **least)).value


def ranked_right(
    read: Callable[[str], bytes], step_px: float, bursts: int, seed: int
) -> tuple[float, float]:
    """Shares of bursts of three whose sharpest is first, and of neighbours in the right order.

    `read` gives a photograph's bytes by its name; so many bursts are made of each.
    """
    rng = np.random.default_rng(seed)
    first: list[bool] = []
    pairs: list[bool] = []
    for name in PHOTOGRAPHS:
        full = photograph(read(name))
        for _ in range(bursts):
            start_px = rng.uniform(0, 1)
            figures = [taken(full, start_px + step * step_px, rng) for step in range(3)]
            first.append(figures[0] == max(figures))
            pairs += [figures[0] > figures[1], figures[1] > figures[2]]
    return float(np.mean(first)), float(np.mean(pairs))
