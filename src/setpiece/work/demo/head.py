"""Heads of drawn people: hair, face, and what of it is seen from where the head is turned."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np

from setpiece.work.demo.brush import Patch, Points, Rgb, oval, tube
from setpiece.work.demo.looks import Look
from setpiece.work.demo.poses import Joints

_RX, _RY = 0.0455, 0.0615


class _Axes:
    """Places on the head: x in half widths to the right of the picture, y in half heights up."""

    def __init__(self, at: dict[str, Points], body: Joints, size: float) -> None:
        way = at["head"] - at["neck"]
        self.up = way / max(float(np.hypot(*way)), 1e-6)
        self.right = np.array([-self.up[1], self.up[0]])
        if self.right[0] < 0 and abs(self.right[0]) > 0.5:
            self.right = -self.right
        self.centre = at["head"]
        self.size = size
        self.rx, self.ry = _RX * size, _RY * size
        self.yaw = radians(body.head_yaw_deg)

    def place(self, x: float, y: float) -> Points:
        return np.asarray(self.centre + self.right * x * self.rx + self.up * y * self.ry)

    def oval(
        self, x: float, y: float, rx: float, ry: float, arc: tuple[float, float] = (0, 360)
    ) -> Points:
        return oval(self.place(x, y), self.right, self.up, rx * self.rx, ry * self.ry, arc)


def draw_head(
    patch: Patch, look: Look, at: dict[str, Points], body: Joints, size: float, *, open_mouth: bool
) -> None:
    """Lay the head on the patch."""
    axes = _Axes(at, body, size)
    turn, away = sin(axes.yaw), cos(axes.yaw)
    soft = size * 0.020
    mass = axes.oval(-0.10 * turn, 0.10, 1.06, 1.06)
    patch.shadow([mass], size * 0.012, 0.3)
    if away > -0.45:
        hair_sides = (
            [mass]
            if look.style not in ("short", "cropped")
            else [axes.oval(-0.1 * turn, 0.2, 1.0, 0.95)]
        )
        patch.lay(hair_sides, look.hair, soft)
        _face(patch, axes, look, turn, away, open_mouth=open_mouth)
    else:
        patch.lay([axes.oval(0, -0.3, 0.84, 0.72)], look.skin, soft)
        patch.lay([axes.oval(-0.05 * turn, 0.14, 1.05, 1.02)], look.hair, soft)
        _strands(patch, axes, look)
    if look.style == "bun":
        patch.lay([axes.oval(-0.55 * turn, 1.12, 0.42, 0.34)], look.hair, size * 0.010)
    if look.style == "curls":
        curls = [
            axes.oval(1.02 * cos(a) - 0.15 * turn, 0.22 + 0.95 * sin(a), 0.38, 0.30)
            for a in np.linspace(-0.15, np.pi + 0.15, 11)
        ]
        patch.lay(curls, look.hair, size * 0.009)


def _face(
    patch: Patch, axes: _Axes, look: Look, turn: float, away: float, *, open_mouth: bool
) -> None:
    size = axes.size
    side = abs(turn)
    centre = 0.24 * turn
    wide = 0.90 - 0.18 * side
    face = axes.oval(centre, -0.04, wide, 0.98)
    chin = axes.oval(centre * 1.25, -0.62, 0.56, 0.42)
    shapes = [face, chin]
    if side > 0.45:
        tip = np.sign(turn)
        shapes.append(
            np.array(
                [
                    axes.place(centre + tip * (wide - 0.10), 0.22),
                    axes.place(centre + tip * (wide + 0.16), -0.16),
                    axes.place(centre + tip * (wide - 0.08), -0.30),
                ]
            )
        )
    patch.lay(shapes, look.skin, size * 0.020)
    if size >= 170:
        _features(patch, axes, look, open_mouth=open_mouth)
    _fringe(patch, axes, look, turn)
    if side > 0.35:
        ear_x = sin(axes.yaw - np.sign(turn) * radians(95))
        darker: Rgb = (look.skin[0] * 0.90, look.skin[1] * 0.86, look.skin[2] * 0.84)
        patch.lay([axes.oval(ear_x * 0.8, -0.06, 0.16, 0.22)], darker, size * 0.006)


def _fringe(patch: Patch, axes: _Axes, look: Look, turn: float) -> None:
    """The hair over the brow, swept back from where the face looks."""
    line = 0.50 if look.style != "cropped" else 0.62
    crown = axes.oval(-0.08 * turn, 0.12, 1.06, 1.05, (8, 172))
    brow = [
        axes.place(-0.98 - 0.10 * turn, 0.20 + 0.12 * max(turn, 0)),
        axes.place(-0.62 + 0.30 * turn, line + 0.05),
        axes.place(0.05 + 0.45 * turn, line + 0.16),
        axes.place(0.62 + 0.30 * turn, line + 0.02),
        axes.place(0.98 - 0.10 * turn, 0.20 + 0.12 * max(-turn, 0)),
    ]
    patch.lay([np.concatenate([crown, np.array(brow)])], look.hair, axes.size * 0.014)


def _features(patch: Patch, axes: _Axes, look: Look, *, open_mouth: bool) -> None:
    dark: Rgb = (look.skin[0] * 0.30, look.skin[1] * 0.24, look.skin[2] * 0.22)
    brow: Rgb = tuple(0.5 * h + 0.12 * s for h, s in zip(look.hair, look.skin, strict=True))  # type: ignore[assignment]
    size = axes.size
    for offset in (-27, 27):
        angle = axes.yaw + radians(offset)
        if cos(angle) < 0.22:
            continue
        x = 0.88 * sin(angle)
        narrow = cos(angle)
        patch.lay([axes.oval(x, 0.06, 0.125 * narrow, 0.060)], dark, 0)
        patch.lay(
            [
                tube(
                    axes.place(x - 0.20 * narrow, 0.24),
                    axes.place(x + 0.20 * narrow, 0.24),
                    [(0, size * 0.0014), (0.5, size * 0.0026), (1, size * 0.0014)],
                    (False, False),
                )
            ],
            brow,
            0,
            opacity=0.85,
        )
    if cos(axes.yaw) < 0.05:
        return
    nose_x = 0.95 * sin(axes.yaw)
    shade: Rgb = (look.skin[0] * 0.80, look.skin[1] * 0.74, look.skin[2] * 0.72)
    patch.lay([axes.oval(nose_x, -0.24, 0.13, 0.055)], shade, 0, opacity=0.8)
    x = 0.86 * sin(axes.yaw)
    narrow = 0.45 + 0.55 * cos(axes.yaw)
    if open_mouth:
        patch.lay([axes.oval(x, -0.54, 0.30 * narrow, 0.20)], (96, 30, 34), 0)
        patch.lay([axes.oval(x, -0.455, 0.24 * narrow, 0.065)], (238, 232, 222), 0)
    else:
        lip: Rgb = (look.skin[0] * 0.72, look.skin[1] * 0.54, look.skin[2] * 0.54)
        patch.lay([axes.oval(x, -0.52, 0.25 * narrow, 0.045)], lip, 0)


def _strands(patch: Patch, axes: _Axes, look: Look) -> None:
    """Combed lines on the back of the head."""
    if axes.size < 200:
        return
    dark: Rgb = (look.hair[0] * 0.78, look.hair[1] * 0.78, look.hair[2] * 0.78)
    for x in (-0.6, -0.25, 0.25, 0.6):
        line = tube(
            axes.place(x, 0.95 - 0.3 * abs(x)),
            axes.place(x * 0.3, 0.20),
            [(0, axes.size * 0.0008), (0.5, axes.size * 0.0022), (1, axes.size * 0.0008)],
            (False, False),
        )
        patch.lay([line], dark, 0, opacity=0.6)


def draw_tail(patch: Patch, look: Look, at: dict[str, Points], body: Joints, size: float) -> None:
    """Lay what hangs from the back of the head: a ponytail or a plait."""
    if look.style not in ("ponytail", "plait", "loose"):
        return
    axes = _Axes(at, body, size)
    turn, away = sin(axes.yaw), cos(axes.yaw)
    swing = -0.75 * turn + (0.35 if abs(turn) < 0.4 else 0.0)
    root = axes.place(-0.92 * turn, 0.30)
    down = np.array([0.0, 1.0])
    if look.style == "loose":
        if away > 0:
            shape = tube(
                axes.place(0, 0.1),
                axes.place(-0.15 * turn, -1.25),
                [(0, size * 0.046), (0.6, size * 0.052), (1, size * 0.042)],
                (True, True),
            )
        else:
            shape = tube(
                axes.place(-0.1 * turn, 0.2),
                axes.place(-0.15 * turn, -1.35),
                [(0, size * 0.044), (0.6, size * 0.046), (1, size * 0.034)],
                (True, True),
            )
        patch.lay([shape], look.hair, size * 0.016)
        return
    bend = root + np.array([swing * size * 0.055, -size * 0.004]) + down * size * 0.012
    end = (
        bend
        + np.array([swing * size * 0.030, 0.0])
        + down * size * (0.11 if look.style == "plait" else 0.085)
    )
    thick = 0.013 if look.style == "plait" else 0.019
    first = tube(root, bend, [(0, size * thick * 0.9), (1, size * thick * 1.1)], (True, True))
    second = tube(
        bend, end, [(0, size * thick * 1.1), (0.5, size * thick), (1, size * 0.005)], (True, True)
    )
    if away < 0:
        patch.shadow([first, second], size * 0.008, 0.3)
    patch.lay([first, second], look.hair, size * 0.010)
    band: Rgb = (225, 220, 210)
    patch.lay([axes.oval(-0.95 * turn, 0.30, 0.16, 0.12)], band, size * 0.004)
