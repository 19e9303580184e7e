"""The clock card: the page whose code a camera photographs so that its clock can be fitted.

The page shows two codes that change in turn, each five times a second, a tenth of a second
apart: a frame may catch one of them changing, never both. Each holds the instant at which it
appeared, as `match.instants.write_instant` writes it (22 signs, all in QR's alphanumeric set:
digits, `-`, `T`, `:`, `.`, `Z`). A page that does not know how far its device's clock is from the
match's ends it in `J`, the navigators' letter for whatever time the observer has. The newest code
that reads is what counts.

A code is QR version 2, level M (ISO/IEC 18004): 25 modules a side, 16 of 44 codewords for
correction. Two different payloads differ in at least 17 codewords, so that a blend of two codes,
caught while the page changes, gives one of the two or nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import cv2
import numpy as np
import segno
import zxingcpp
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from setpiece.errors import BadFile, WrongUse
from setpiece.match.instants import Instant, instant, write_instant

CODE_MODULES = 25
"""Modules along a side of a version 2 code (ISO/IEC 18004, section 7.3.1; from memory)."""

_PAYLOAD = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d[ZJ]", re.ASCII)
_OWN = "J"
_QUARTER_LONG_SIDE_PX = 1400
_HALF_LONG_SIDE_PX = 2800
_SHARPEN_RADIUS_PX = 2.0
_CODES_ON_CARD = 2
_INK, _PAPER = 0, 255
_QR: Any = zxingcpp.BarcodeFormat.QRCode  # typed differently by version 2 and 3


@dataclass(frozen=True, slots=True, order=True)
class CardCode:
    """What a code says: the instant, and whether it is by a clock nobody compared with ours."""

    at: Instant
    own_clock: bool = False


def draw_code(at: Instant, module_px: int = 8, quiet_modules: int = 4) -> NDArray[np.uint8]:
    """One code as a grey picture, dark modules 0 on 255, with its quiet zone."""
    if module_px < 1 or quiet_modules < 0:
        raise WrongUse("a code needs modules of at least 1 px", thing=str(module_px))
    code = segno.make_qr(write_instant(at), version=2, error="m", boost_error=False)
    modules = np.array([list(row) for row in code.matrix], dtype=np.uint8)
    grey = np.where(modules > 0, _INK, _PAPER).astype(np.uint8)
    grey = np.pad(grey, quiet_modules, constant_values=_PAPER)
    return np.kron(grey, np.ones((module_px, module_px), dtype=np.uint8))


def draw_card(
    at: Instant, previous_at: Instant, width_px: int, height_px: int
) -> NDArray[np.uint8]:
    """The page as a screen shows it, RGB: the newest code, the one before it, the seconds.

    The code that appeared at an even tenth of a second stands left, the other right, so that
    each place changes every second tenth. The figures say the newest instant's time of day, UTC.
    """
    quiet = 4
    across = 2 * (CODE_MODULES + quiet) + quiet  # the quiet zone between the codes is shared
    module_px = min(width_px // across, int(height_px * 0.68) // (CODE_MODULES + 2 * quiet))
    if module_px < 1:
        raise WrongUse("the page is too small for the card", thing=f"{width_px} x {height_px} px")
    newest_left = at.microsecond // 100_000 % 2 == 0
    left, right = (at, previous_at) if newest_left else (previous_at, at)
    card = np.full((height_px, width_px, 3), _PAPER, dtype=np.uint8)
    x = (width_px - across * module_px) // 2
    for code_at in (left, right):
        code = draw_code(code_at, module_px)
        side = code.shape[0]
        card[:side, x : x + side] = code[:, :, None]
        x += (CODE_MODULES + quiet) * module_px
    top = (CODE_MODULES + 2 * quiet) * module_px
    return _with_figures(card, at, top)


def _with_figures(card: NDArray[np.uint8], at: Instant, top: int) -> NDArray[np.uint8]:
    """The card with its time of day written below `top`, the seconds in the largest figures."""
    page = Image.fromarray(card)
    draw = ImageDraw.Draw(page)
    width, height = page.size
    room = height - top
    figures_px = max(8, min(int(room * 0.72), width // 5))
    seconds = f"{at:%S}.{at.microsecond // 100_000}"
    large = ImageFont.load_default(size=figures_px)
    small = ImageFont.load_default(size=max(8, figures_px // 4))
    middle = (width // 2, top + int(room * 0.42))
    draw.text(middle, seconds, fill=(0, 0, 0), font=large, anchor="mm")
    below = (width // 2, top + int(room * 0.9))
    draw.text(below, f"{at:%Y-%m-%d  %H:%M}  UTC", fill=(0, 0, 0), font=small, anchor="mm")
    return np.asarray(page, dtype=np.uint8).copy()


def read_code(rgb_or_grey: NDArray[np.uint8], *, thorough: bool = True) -> tuple[Instant, ...]:
    """Every clock-card instant that reads in the picture, newest first; as `read_codes`."""
    return tuple(code.at for code in read_codes(rgb_or_grey, thorough=thorough))


def read_codes(rgb_or_grey: NDArray[np.uint8], *, thorough: bool = True) -> tuple[CardCode, ...]:
    """Every clock-card code that reads in the picture, newest first; empty when none does.

    A quarter of a 20-megapixel frame's scale first; while fewer than both codes read, half
    scale, then half scale sharpened. Without `thorough` the first alone, which is enough to
    pass over frames that hold no card. A code whose payload is not exactly an instant with
    tenths is passed over.
    """
    if rgb_or_grey.ndim not in (2, 3) or min(rgb_or_grey.shape[:2]) < 1:
        raise BadFile("no picture to look for a code in", thing=str(rgb_or_grey.shape))
    grey = rgb_or_grey
    if grey.ndim == 3:
        grey = np.asarray(cv2.cvtColor(grey, cv2.COLOR_RGB2GRAY), dtype=np.uint8)
    found: set[CardCode] = set()
    for picture in _scales(grey) if thorough else (_at_most(grey, _QUARTER_LONG_SIDE_PX),):
        found |= _codes_in(picture)
        if len(found) >= _CODES_ON_CARD:
            break
    return tuple(sorted(found, reverse=True))


def _scales(grey: NDArray[np.uint8]) -> Iterator[NDArray[np.uint8]]:
    """The picture as it is tried, cheapest first."""
    quarter = _at_most(grey, _QUARTER_LONG_SIDE_PX)
    yield quarter
    half = _at_most(grey, _HALF_LONG_SIDE_PX)
    if half.shape != quarter.shape:
        yield half
    soft = cv2.GaussianBlur(half, (0, 0), _SHARPEN_RADIUS_PX)
    yield np.asarray(cv2.addWeighted(half, 3.0, soft, -2.0, 0), dtype=np.uint8)


def _at_most(grey: NDArray[np.uint8], long_side_px: int) -> NDArray[np.uint8]:
    """The picture reduced so that its long side has at most that many pixels."""
    height, width = grey.shape
    scale = long_side_px / max(height, width)
    if scale >= 1:
        return grey
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    return np.asarray(cv2.resize(grey, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)


def _codes_in(grey: NDArray[np.uint8]) -> set[CardCode]:
    """All valid clock-card codes."""
    codes = zxingcpp.read_barcodes(np.ascontiguousarray(grey), formats=_QR, try_invert=False)
    return {said for code in codes if (said := _payload(code.text)) is not None}


def _payload(text: str) -> CardCode | None:
    """What a payload says, None unless it is exactly what the card writes."""
    if not _PAYLOAD.fullmatch(text):
        return None
    try:
        at = datetime.strptime(text[:-1], "%Y-%m-%dT%H:%M:%S.%f").replace(tzinfo=UTC)
    except ValueError:
        return None
    return CardCode(instant(at), text.endswith(_OWN))
