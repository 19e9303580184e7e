"""Letters and figures for shirts and boards, drawn the same on every machine.

The face is the one that Pillow itself carries, so no font of the system takes part. It has no
accented letters: their marks are drawn here over the plain ones.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

Mask = NDArray[np.uint8]

_PLAIN = {"Ø": "O", "Ł": "L", "Đ": "D", "Æ": "AE", "Œ": "OE", "ß": "SS", "ı": "I", "Þ": "TH"}
_SLASHED = {"Ø", "Ł"}

_STROKES: dict[str, tuple[tuple[tuple[float, float], ...], ...]] = {
    # Combining mark -> lines in units of the mark's half width, y up from its foot.
    "\N{COMBINING ACUTE ACCENT}": (((-0.35, 0.0), (0.45, 1.0)),),
    "\N{COMBINING GRAVE ACCENT}": (((0.35, 0.0), (-0.45, 1.0)),),
    "\N{COMBINING CIRCUMFLEX ACCENT}": (((-0.8, 0.0), (0.0, 0.9), (0.8, 0.0)),),
    "\N{COMBINING CARON}": (((-0.8, 0.9), (0.0, 0.0), (0.8, 0.9)),),
    "\N{COMBINING DIAERESIS}": (((-0.6, 0.4), (-0.55, 0.45)), ((0.6, 0.4), (0.55, 0.45))),
    "\N{COMBINING DOUBLE ACUTE ACCENT}": (((-0.6, 0.0), (-0.1, 1.0)), ((0.2, 0.0), (0.7, 1.0))),
    "\N{COMBINING TILDE}": (((-0.9, 0.2), (-0.35, 0.7), (0.35, 0.2), (0.9, 0.7)),),
    "\N{COMBINING RING ABOVE}": (
        ((0.0, 0.0), (0.45, 0.45), (0.0, 0.9), (-0.45, 0.45), (0.0, 0.0)),
    ),
    "\N{COMBINING DOT ABOVE}": (((-0.05, 0.4), (0.05, 0.45)),),
}
_BELOW = {
    "\N{COMBINING CEDILLA}": (((0.0, 0.3), (0.2, -0.2), (-0.3, -0.5)),),
    "\N{COMBINING OGONEK}": (((0.5, 0.4), (0.2, -0.1), (0.7, -0.4)),),
}


@lru_cache(maxsize=512)
def letters(text: str, height_px: int = 96, weight: float = 0.055) -> Mask:
    """The text as a mask, 255 inside, cut to its own box; capitals are `height_px` high.

    `weight` is the thickening of each stroke as a share of that height.
    """
    stroke = max(1, round(height_px * weight))
    font = ImageFont.load_default(size=height_px / 0.70)
    rise = round(height_px * 0.42)
    glyphs = [_split(sign) for sign in text]
    width = sum(_advance(font, plain, stroke) for plain, _, _ in glyphs) + 4 * stroke
    page = Image.new("L", (int(width) + 2, height_px + 2 * rise), 0)
    draw = ImageDraw.Draw(page)
    x = 2.0 * stroke
    for plain, marks, slashed in glyphs:
        draw.text(
            (x, rise + height_px), plain, fill=255, font=font, anchor="ls", stroke_width=stroke
        )
        advance = _advance(font, plain, stroke)
        middle = x + (advance - stroke) / 2
        half = height_px * 0.17
        for mark in marks:
            _draw_mark(draw, mark, middle, half, rise, height_px, stroke)
        if slashed:
            reach = advance * 0.42
            draw.line(
                (middle - reach, rise + height_px * 0.95, middle + reach, rise + height_px * 0.05),
                fill=255,
                width=2 * stroke,
            )
        x += advance
    mask = np.asarray(page, dtype=np.uint8)
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    if rows.size == 0:
        return np.zeros((height_px, 1), dtype=np.uint8)
    return np.ascontiguousarray(mask[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1])


def _split(sign: str) -> tuple[str, tuple[str, ...], bool]:
    """The plain letters, the marks over or under them, and whether a stroke crosses them."""
    if sign in _PLAIN:
        return _PLAIN[sign], (), sign in _SLASHED
    parts = unicodedata.normalize("NFD", sign)
    base = _PLAIN.get(parts[0], parts[0])
    return base, tuple(parts[1:]), parts[0] in _SLASHED


def _advance(font: ImageFont.FreeTypeFont | ImageFont.ImageFont, plain: str, stroke: int) -> float:
    return float(font.getlength(plain)) + 1.3 * stroke


def _draw_mark(
    draw: ImageDraw.ImageDraw,
    mark: str,
    middle: float,
    half: float,
    rise: int,
    height_px: int,
    stroke: int,
) -> None:
    above = mark in _STROKES
    foot = rise - height_px * 0.12 if above else rise + height_px * 1.02
    for line in (_STROKES if above else _BELOW).get(mark, ()):
        points = [(middle + dx * half, foot - dy * half) for dx, dy in line]
        draw.line(points, fill=255, width=round(2.4 * stroke), joint="curve")
        for x, y in (points[0], points[-1]):
            r = 1.2 * stroke
            draw.ellipse((x - r, y - r, x + r, y + r), fill=255)
