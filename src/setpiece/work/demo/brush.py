"""A brush for drawn people: soft rounded shapes laid one over the other on a small patch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

Rgb = tuple[float, float, float]
Points = NDArray[np.float64]
Picture = NDArray[np.uint8]

_SHIFT = 4
_COOL: NDArray[np.float32] = np.array([1.06, 1.0, 0.90], dtype=np.float32)


@dataclass(frozen=True, slots=True)
class LightOnFigure:
    """Where light falls from in the picture: `dx` right, `dy` down, a unit vector.

    `contrast` is 0 for flat light to 1 for a low sun.
    """

    dx: float = -0.6
    dy: float = -0.8
    contrast: float = 0.7


class Patch:
    """A transparent picture that shapes are laid on; `origin` is its corner in the frame."""

    def __init__(self, x: int, y: int, width: int, height: int, light: LightOnFigure) -> None:
        self.origin = (x, y)
        self.rgb = np.zeros((height, width, 3), dtype=np.uint8)
        self.alpha = np.zeros((height, width), dtype=np.uint8)
        self.light = light

    def mask(self, shapes: Sequence[Points]) -> tuple[NDArray[np.uint8], int, int] | None:
        """The union of the outlines as a mask with its corner in the patch; None when outside."""
        height, width = self.alpha.shape
        every = np.concatenate(shapes) - np.array(self.origin)
        x0, y0 = np.maximum(np.floor(every.min(axis=0)).astype(int) - 2, 0)
        x1, y1 = np.ceil(every.max(axis=0)).astype(int) + 3
        x1, y1 = min(int(x1), width), min(int(y1), height)
        if x1 - x0 < 1 or y1 - y0 < 1:
            return None
        mask = np.zeros((y1 - y0, x1 - x0), dtype=np.uint8)
        corner = np.array([self.origin[0] + x0, self.origin[1] + y0])
        for shape in shapes:
            points = np.round((shape - corner) * (1 << _SHIFT)).astype(np.int32)
            cv2.fillPoly(mask, [points], 255, cv2.LINE_AA, _SHIFT)
        return mask, int(x0), int(y0)

    def lay(
        self,
        shapes: Sequence[Points],
        colour: Rgb,
        round_px: float = 0.0,
        *,
        relief: float = 1.0,
        within: NDArray[np.uint8] | None = None,
        opacity: float = 1.0,
    ) -> None:
        """Lay the union of the outlines in one colour, rounded by `round_px` under the light.

        `within` (a mask as large as the patch) keeps the shape inside another one.
        """
        found = self.mask(shapes)
        if found is None:
            return
        mask, x, y = found
        cover = mask
        here = (slice(y, y + mask.shape[0]), slice(x, x + mask.shape[1]))
        if within is not None:
            cover = np.asarray(cv2.multiply(mask, within[here], scale=1 / 255), dtype=np.uint8)
        if opacity < 1:
            cover = np.asarray(cv2.convertScaleAbs(cover, alpha=opacity), dtype=np.uint8)
        if round_px >= 1.2 and relief > 0:
            painted = _rounded(mask, colour, round_px, relief, self.light)
        else:
            flat = np.clip(np.array(colour), 0, 255).astype(np.uint8)
            painted = np.empty((*mask.shape, 3), dtype=np.uint8)
            painted[:] = flat
        _mix(self.rgb[here], painted, cover)
        np.maximum(self.alpha[here], cover, out=self.alpha[here])

    def shadow(self, shapes: Sequence[Points], soft_px: float, depth: float = 0.30) -> None:
        """Darken what is already laid there: the shade of a shape about to be laid above it."""
        if soft_px < 1.5:
            return
        away = np.array([-self.light.dx, -self.light.dy]) * soft_px * 0.9
        found = self.mask([shape + away for shape in shapes])
        if found is None:
            return
        mask, x, y = found
        here = (slice(y, y + mask.shape[0]), slice(x, x + mask.shape[1]))
        soft = _soft(mask, soft_px)
        keep = cv2.convertScaleAbs(soft, alpha=-depth, beta=0)  # depth x mask
        np.subtract(255, keep, out=keep)
        self.rgb[here] = cv2.multiply(self.rgb[here], cv2.merge([keep, keep, keep]), scale=1 / 255)

    def stamp(
        self,
        decal: NDArray[np.uint8],
        frame_of: NDArray[np.float64],
        colour: Rgb,
        within: NDArray[np.uint8] | None,
        *,
        lit: bool = False,
    ) -> None:
        """Lay a mask by an affine map from its pixels to the frame, kept inside `within`.

        `lit` shines by itself; anything else takes the light of the cloth under it.
        """
        affine = frame_of.copy()
        affine[:, 2] -= np.array(self.origin)
        height, width = self.alpha.shape
        corners = np.array(
            [[0, 0, 1], [decal.shape[1], 0, 1], [0, decal.shape[0], 1], [*decal.shape[::-1], 1]]
        )
        spots = corners @ affine.T
        x0, y0 = np.maximum(np.floor(spots.min(axis=0)).astype(int) - 1, 0)
        x1, y1 = np.ceil(spots.max(axis=0)).astype(int) + 2
        x1, y1 = min(int(x1), width), min(int(y1), height)
        if x1 <= x0 or y1 <= y0:
            return
        affine[:, 2] -= (x0, y0)
        scale = float(np.sqrt(abs(np.linalg.det(affine[:, :2]))))
        if scale < 0.5:  # reduce first, or thin strokes break up
            smaller = (max(1, round(decal.shape[1] * scale)), max(1, round(decal.shape[0] * scale)))
            reduced = cv2.resize(decal, smaller, interpolation=cv2.INTER_AREA)
            affine[:, 0] *= decal.shape[1] / smaller[0]
            affine[:, 1] *= decal.shape[0] / smaller[1]
            decal = np.asarray(reduced, dtype=np.uint8)
        cover = cv2.warpAffine(decal, affine, (x1 - x0, y1 - y0), flags=cv2.INTER_LINEAR)
        here = (slice(y0, y1), slice(x0, x1))
        if within is not None:
            cover = cv2.multiply(cover, within[here], scale=1 / 255)
        a = cover.astype(np.float32)[:, :, None] / 255
        under = self.rgb[here].astype(np.float32)
        if lit:
            self.rgb[here] = (under * (1 - a) + np.asarray(colour) * a).astype(np.uint8)
            return
        mean = under.max(axis=2, keepdims=True)
        level = np.clip(mean / max(float(np.percentile(mean, 80)), 1.0), 0.6, 1.1)
        tone = np.asarray(colour, dtype=np.float32) * level
        self.rgb[here] = np.clip(under * (1 - a) + tone * a, 0, 255).astype(np.uint8)

    def full(self, shapes: Sequence[Points]) -> NDArray[np.uint8]:
        """The union of the outlines as a mask as large as the patch."""
        whole = np.zeros(self.alpha.shape, dtype=np.uint8)
        found = self.mask(shapes)
        if found is not None:
            mask, x, y = found
            whole[y : y + mask.shape[0], x : x + mask.shape[1]] = mask
        return whole

    def onto(self, picture: Picture, soft_px: float = 0.0) -> None:
        """Lay the patch on a frame, out of focus by `soft_px` (a standard deviation)."""
        pad = int(3 * soft_px) if soft_px >= 0.6 else 0
        x, y = self.origin[0] - pad, self.origin[1] - pad
        mask = cv2.merge([self.alpha, self.alpha, self.alpha])
        premultiplied = _softer(cv2.multiply(self.rgb, mask, scale=1 / 255), pad, soft_px)
        alpha = _softer(self.alpha, pad, soft_px)
        height, width = picture.shape[:2]
        x0, y0 = max(x, 0), max(y, 0)
        x1, y1 = min(x + alpha.shape[1], width), min(y + alpha.shape[0], height)
        if x1 <= x0 or y1 <= y0:
            return
        cut = (slice(y0 - y, y1 - y), slice(x0 - x, x1 - x))
        keep = 255 - alpha[cut]
        there = picture[y0:y1, x0:x1]
        rest = cv2.multiply(there, cv2.merge([keep, keep, keep]), scale=1 / 255)
        picture[y0:y1, x0:x1] = cv2.add(rest, np.ascontiguousarray(premultiplied[cut]))


def _softer(picture: NDArray[Any], pad: int, soft_px: float) -> Picture:
    """The picture on a wider ground, blurred; as it is without a pad."""
    if not pad:
        return np.asarray(picture, dtype=np.uint8)
    wider = cv2.copyMakeBorder(picture, pad, pad, pad, pad, cv2.BORDER_CONSTANT)
    return np.asarray(cv2.GaussianBlur(wider, (0, 0), soft_px), dtype=np.uint8)


def _mix(under: Picture, over: Picture, cover: NDArray[np.uint8]) -> None:
    """Lay `over` on `under` in place, as far as `cover` goes."""
    keep = cv2.bitwise_not(cover)
    rest = cv2.multiply(np.ascontiguousarray(under), cv2.merge([keep, keep, keep]), scale=1 / 255)
    laid = cv2.multiply(over, cv2.merge([cover, cover, cover]), scale=1 / 255)
    under[:] = cv2.add(rest, laid)


def _reduced(mask: NDArray[np.uint8], soft_px: float) -> tuple[NDArray[np.uint8], int]:
    """The mask at a scale at which a blur of `soft_px` is small, and that scale's divisor."""
    step = max(1, min(8, int(soft_px / 2.5)))
    if step == 1:
        return mask, 1
    size = (max(1, mask.shape[1] // step), max(1, mask.shape[0] // step))
    return np.asarray(cv2.resize(mask, size, interpolation=cv2.INTER_AREA), dtype=np.uint8), step


def _soft(mask: NDArray[np.uint8], soft_px: float) -> NDArray[np.uint8]:
    """The mask blurred, worked out at a reduced scale."""
    small, step = _reduced(mask, soft_px)
    soft = cv2.GaussianBlur(small, (0, 0), soft_px / step)
    if step > 1:
        soft = cv2.resize(soft, mask.shape[::-1], interpolation=cv2.INTER_LINEAR)
    return np.asarray(soft, dtype=np.uint8)


def _rounded(
    mask: NDArray[np.uint8], colour: Rgb, round_px: float, relief: float, light: LightOnFigure
) -> Picture:
    """The colour, brighter on edges turned to the light and darker on those turned away."""
    small, step = _reduced(mask, round_px)
    reach = max(1.0, round_px / step)
    pad = int(np.ceil(reach)) + 1
    height, width = small.shape
    padded = cv2.copyMakeBorder(small, pad, pad, pad, pad, cv2.BORDER_CONSTANT, value=0)
    soft = cv2.GaussianBlur(padded, (0, 0), reach * 0.8)
    dx, dy = round(light.dx * reach), round(light.dy * reach)

    def at(sx: int, sy: int) -> NDArray[np.float32]:
        rows, left = slice(pad + sy, pad + sy + height), pad + sx
        return soft[rows, left : left + width].astype(np.float32)

    shade = ((at(-dx, -dy) - at(dx, dy)) * (relief / 200.0))[:, :, None]
    bright = 1 + 0.22 * light.contrast * np.maximum(shade, 0)
    dark = 1 + (0.28 + 0.30 * light.contrast) * np.minimum(shade, 0) * _COOL
    tone = np.asarray(colour, dtype=np.float32)
    painted = np.clip(tone * bright * dark, 0, 255).astype(np.uint8)
    if step > 1:
        painted = cv2.resize(painted, mask.shape[::-1], interpolation=cv2.INTER_LINEAR)
    return np.asarray(painted, dtype=np.uint8)


def tube(
    start: Points, end: Points, widths: Sequence[tuple[float, float]], cap: tuple[bool, bool]
) -> Points:
    """A limb's outline along a line: `widths` are (share of the way, half width) pairs.

    `cap` rounds the start and the end.
    """
    axis = end - start
    length = float(np.hypot(*axis))
    along = axis / length if length > 1e-6 else np.array([0.0, 1.0])
    across = np.array([-along[1], along[0]])
    share = np.array([t for t, _ in widths])[:, None]
    half = np.array([w for _, w in widths])[:, None]
    middle = start + along * length * share
    outline = [middle + across * half]
    if cap[1]:
        outline.append(_half_circle(end, widths[-1][1], along, across))
    outline.append((middle - across * half)[::-1])
    if cap[0]:
        outline.append(_half_circle(start, widths[0][1], -along, -across))
    return np.concatenate(outline)


_TURNS = np.linspace(0.25, np.pi - 0.25, 7)[:, None]


def _half_circle(centre: Points, radius: float, ahead: Points, across: Points) -> Points:
    turned = centre + radius * (np.cos(_TURNS) * across + np.sin(_TURNS) * ahead)
    return np.asarray(turned)


def oval(
    centre: Points,
    right: Points,
    up: Points,
    rx: float,
    ry: float,
    arc: tuple[float, float] = (0, 360),
) -> Points:
    """An ellipse, or the part of it between two angles (degrees, 0 right, 90 up)."""
    angles = np.radians(np.linspace(arc[0], arc[1], 28))[:, None]
    return np.asarray(centre + rx * np.cos(angles) * right + ry * np.sin(angles) * up)
