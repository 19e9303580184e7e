"""What becomes of a picture on its way into print or onto a page, done to pixels.

Each attack takes an RGB picture and a seeded generator and gives the cutting, RGB. Sizes and
strengths are drawn anew for each picture. Printed ones go through a halftone screen (85 to 120
lines an inch at 45 degrees, as newspapers print), paper, ink gain, and a scan at 150 to 200 dots
an inch; photographed ones also through perspective, uneven light and noise.
"""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

import cv2
import numpy as np
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]
Chance = np.random.Generator
Attack = Callable[[Pixels, Chance], Pixels]


def _u8(values: NDArray[np.floating]) -> Pixels:
    return np.clip(np.rint(values), 0, 255).astype(np.uint8)


def to_width(rgb: Pixels, long_px: int) -> Pixels:
    """The picture at that long side."""
    scale = long_px / max(rgb.shape[:2])
    size = (max(1, round(rgb.shape[1] * scale)), max(1, round(rgb.shape[0] * scale)))
    way = cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC
    return np.asarray(cv2.resize(rgb, size, interpolation=way), dtype=np.uint8)


def jpeg(rgb: Pixels, quality: int) -> Pixels:
    """The picture as it comes back from a JPEG."""
    _, data = cv2.imencode(
        ".jpg", cv2.cvtColor(rgb, cv2.COLOR_RGB2BGR), [cv2.IMWRITE_JPEG_QUALITY, quality]
    )
    back = cv2.imdecode(data, cv2.IMREAD_COLOR)
    return np.asarray(cv2.cvtColor(back, cv2.COLOR_BGR2RGB), dtype=np.uint8)


def crop(rgb: Pixels, chance: Chance, share: float) -> Pixels:
    """A crop of that share of the area, in a shape of its own, anywhere."""
    height, width = rgb.shape[:2]
    shape = chance.uniform(0.8, 1.25)
    w = min(width, round(width * np.sqrt(share) * shape))
    h = min(height, round(height * width * share / w))
    x, y = chance.integers(0, width - w + 1), chance.integers(0, height - h + 1)
    return rgb[y : y + h, x : x + w]


def web(rgb: Pixels, chance: Chance) -> Pixels:
    """A small picture on a page, 480 to 1,000 px."""
    return jpeg(to_width(rgb, int(chance.integers(480, 1001))), int(chance.integers(55, 86)))


def thumb(rgb: Pixels, chance: Chance) -> Pixels:
    """A teaser of 300 px."""
    return jpeg(to_width(rgb, 300), 60)


def small(rgb: Pixels, chance: Chance) -> Pixels:
    """A picture of 480 px on a page."""
    return jpeg(to_width(rgb, 480), 75)


def recompressed(rgb: Pixels, chance: Chance) -> Pixels:
    """Saved three times over, badly."""
    for quality in (50, 40, 30):
        rgb = jpeg(to_width(rgb, 900), quality)
    return rgb


def tinted(rgb: Pixels, chance: Chance) -> Pixels:
    """Other colours, contrast and brightness."""
    gain = chance.uniform(0.7, 1.3, 3)
    gamma = chance.uniform(0.65, 1.5)
    return web(_u8(255 * (np.clip(rgb / 255 * gain, 0, 1) ** gamma)), chance)


def grey(rgb: Pixels, chance: Chance) -> Pixels:
    """Black and white, with more contrast."""
    one = cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY).astype(float)
    one = (one - one.mean()) * chance.uniform(1.0, 1.5) + one.mean()
    return web(np.repeat(_u8(one)[..., None], 3, axis=2), chance)


def overlaid(rgb: Pixels, chance: Chance) -> Pixels:
    """A headline in a bar, a badge and a frame laid over it, 15 to 30 % of it."""
    out = to_width(rgb, int(chance.integers(600, 1001))).copy()
    height, width = out.shape[:2]
    bar = round(height * chance.uniform(0.12, 0.24))
    top = height - bar - round(height * 0.03)
    colour = [int(c) for c in chance.integers(0, 255, 3)]
    cv2.rectangle(out, (0, top), (width, top + bar), colour, -1)
    for row in range(2):
        at = (round(width * 0.04), top + round(bar * (0.42 + 0.44 * row)))
        cv2.putText(out, "LATE WINNER SENDS TOWN", at, 2, bar / 75, (255, 255, 255), 2)
    centre = (round(width * chance.uniform(0.1, 0.9)), round(height * chance.uniform(0.1, 0.5)))
    cv2.circle(out, centre, round(height * 0.1), [int(c) for c in chance.integers(0, 255, 3)], -1)
    cv2.rectangle(out, (0, 0), (width - 1, height - 1), (250, 250, 250), round(height * 0.015))
    return jpeg(out, 75)


def turned(rgb: Pixels, chance: Chance) -> Pixels:
    """Turned by 2 to 8 degrees and cut to what is left."""
    height, width = rgb.shape[:2]
    angle = chance.uniform(2, 8) * chance.choice((-1, 1))
    lean = np.radians(abs(angle))
    shrink = 1 / (np.cos(lean) + np.sin(lean) * max(width / height, height / width))
    turn = cv2.getRotationMatrix2D((width / 2, height / 2), angle, 1.0)
    full = cv2.warpAffine(rgb, turn, (width, height))
    w, h = round(width * shrink), round(height * shrink)
    x, y = (width - w) // 2, (height - h) // 2
    return web(full[y : y + h, x : x + w], chance)


def half(rgb: Pixels, chance: Chance) -> Pixels:
    """A crop to half of the area."""
    return web(crop(rgb, chance, 0.5), chance)


def quarter(rgb: Pixels, chance: Chance) -> Pixels:
    """A crop to a quarter of the area."""
    return web(crop(rgb, chance, 0.25), chance)


def worst_web(rgb: Pixels, chance: Chance) -> Pixels:
    """A crop to half, other colours, and a headline over it."""
    return overlaid(tinted(crop(rgb, chance, 0.5), chance), chance)


def mirrored(rgb: Pixels, chance: Chance) -> Pixels:
    """Printed the wrong way round."""
    return web(np.ascontiguousarray(rgb[:, ::-1]), chance)


def printed(rgb: Pixels, chance: Chance, *, dots_an_inch: int, width_inch: float) -> Pixels:
    """Halftone on newsprint as a scanner sees it, from linear screens at four angles."""
    work = 400  # dots an inch at which the screen is drawn
    size = round(width_inch * work)
    art = to_width(rgb, size).astype(np.float32) / 255
    lines = chance.uniform(85, 120)
    height, width = art.shape[:2]
    y, x = np.mgrid[0:height, 0:width].astype(np.float32) * (lines / work)
    if chance.random() < 0.5:
        inks = [(art.mean(axis=2), 45.0, np.array([0.13, 0.13, 0.14], np.float32))]
    else:
        shades = ((0, 15.0, (0.1, 0.6, 0.8)), (1, 75.0, (0.75, 0.15, 0.45)),
                  (2, 0.0, (0.95, 0.85, 0.2)))  # fmt: skip
        inks = [(art[..., c], angle, np.array(ink, np.float32)) for c, angle, ink in shades]
    paper = np.full((height, width, 3), (0.86, 0.84, 0.79), np.float32)
    for light, angle, ink in inks:
        a = np.radians(angle)
        u, v = x * np.cos(a) + y * np.sin(a), y * np.cos(a) - x * np.sin(a)
        screen = 0.5 + 0.25 * (np.cos(2 * np.pi * u) + np.cos(2 * np.pi * v))
        dots = (np.clip(light * 1.05, 0, 1) < screen).astype(np.float32)
        dots = cv2.GaussianBlur(dots, (0, 0), 0.8)  # ink runs
        dots = np.clip(dots * 1.3, 0, 1)[..., None]
        paper *= 1 - dots * (1 - ink)
    scanned = to_width(_u8(paper * 255), round(width_inch * dots_an_inch))
    noise = chance.normal(0, 4, scanned.shape)
    return jpeg(_u8(scanned + noise), 80)


def newsprint(rgb: Pixels, chance: Chance) -> Pixels:
    """Three quarters of the picture, printed 5 to 8 inches wide, scanned."""
    part = crop(rgb, chance, 0.75)
    dots = int(chance.integers(150, 201))
    return printed(part, chance, dots_an_inch=dots, width_inch=chance.uniform(5, 8))


def newsprint_small(rgb: Pixels, chance: Chance) -> Pixels:
    """Two fifths of the picture, printed 3 to 5 inches wide, scanned."""
    part = crop(rgb, chance, 0.4)
    dots = int(chance.integers(150, 201))
    return printed(part, chance, dots_an_inch=dots, width_inch=chance.uniform(3, 5))


def on_page(art: Pixels, chance: Chance, share: float) -> Pixels:
    """The picture on a page of text, filling that share of its width, or of its height if less."""
    width = round(max(art.shape[1] / share, art.shape[0] / (1.35 * 0.95)))
    height = round(width * 1.35)
    page = np.full((height, width, 3), (219, 214, 202), np.uint8)
    letter = width / 1400
    for column in range(4):
        for line in range(int(height / (26 * letter))):
            words = "".join(chance.choice(list("aeinorst dlmpu  bcfghv"), 26))
            at = (round(width * (0.03 + 0.245 * column)), round((line + 1) * 26 * letter))
            cv2.putText(page, words, at, 1, 1.05 * letter, (48, 46, 45), max(1, round(letter)))
    y = round((height - art.shape[0]) * chance.uniform(0.1, 0.6))
    x = round((width - art.shape[1]) * chance.uniform(0.05, 0.95))
    cv2.putText(page, "TOWN GO THROUGH", (round(width * 0.03), max(40, y - 30)), 2, 2.4 * letter,
                (30, 30, 30), max(2, round(5 * letter)))  # fmt: skip
    page[y : y + art.shape[0], x : x + art.shape[1]] = art
    return page


def page_scan(rgb: Pixels, chance: Chance) -> Pixels:
    """A scanned page of text with the picture on it, half to all of its width."""
    part = crop(rgb, chance, 0.75)
    art = printed(part, chance, dots_an_inch=150, width_inch=chance.uniform(5, 7))
    return jpeg(on_page(art, chance, chance.uniform(0.5, 0.95)), 75)


def telephone(rgb: Pixels, chance: Chance) -> Pixels:
    """A page of a newspaper photographed by a telephone: aslant, ill lit, a little soft."""
    page = to_width(page_scan(rgb, chance), 2400)
    height, width = page.shape[:2]
    shift = chance.uniform(0.0, 0.12, (4, 2)) * (width, height)
    corners = np.array([(0, 0), (width, 0), (width, height), (0, height)], np.float32)
    inward = corners + shift * np.where(corners > 0, -1, 1)
    lean = cv2.getPerspectiveTransform(corners, inward.astype(np.float32))
    table = tuple(int(c) for c in chance.integers(40, 120, 3))
    seen = cv2.warpPerspective(page, lean, (width, height), borderValue=table)
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    way = chance.uniform(-0.25, 0.25, 2)
    light = 0.85 + way[0] * (x / width - 0.5) + way[1] * (y / height - 0.5)
    soft = cv2.GaussianBlur(seen, (0, 0), chance.uniform(0.6, 1.4)).astype(np.float32)
    grain = chance.normal(0, 5, soft.shape)
    return jpeg(_u8(soft * light[..., None] + grain), 80)


ATTACKS: MappingProxyType[str, tuple[Attack, float | None]] = MappingProxyType(
    {
        "web size": (web, 0.99),
        "tint": (tinted, 0.99),
        "grey": (grey, 0.99),
        "overlay": (overlaid, 0.99),
        "rotation": (turned, 0.99),
        "crop to half": (half, 0.99),
        "crop to a quarter": (quarter, 0.95),
        "crop, tint and overlay": (worst_web, 0.88),
        "newsprint, three quarters": (newsprint, 0.95),
        "newsprint, two fifths": (newsprint_small, 0.90),
        "thumbnail of 300 px": (thumb, None),
        "recompressed": (recompressed, None),
        "page scanned": (page_scan, None),
        "page by telephone": (telephone, None),
    }
)
"""Each attack with the least share that must be found again; None: measured, no demand."""
