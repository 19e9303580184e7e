"""A picture of the match: people, ball and light before the still backdrop of a passage."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

from setpiece.work.demo.backdrop import draw_backdrop
from setpiece.work.demo.brush import LightOnFigure, Patch
from setpiece.work.demo.depth import blur_px
from setpiece.work.demo.figure import draw_figure
from setpiece.work.demo.light import Light
from setpiece.work.demo.looks import Figure, Look, Wear
from setpiece.work.demo.net import lay_net
from setpiece.work.demo.view import View

Picture = NDArray[np.uint8]
Vec = NDArray[np.float64]

MARGIN_SHARE = 0.05
"""How much wider than a frame the backdrop is drawn, of its long side: room for the pan."""


@dataclass(frozen=True, slots=True)
class Actor:
    """Somebody in the picture. `across` is -0.5 at its left edge to 0.5 at its right.

    `poses` are taken in turn frame by frame; `drift` is in widths a second.
    """

    look: Look
    wear: Wear
    across: float
    distance_m: float
    poses: tuple[str, ...]
    yaw_deg: float
    number: str = ""
    name: str = ""
    armband: bool = False
    held: str = ""
    drift: float = 0.0
    lift_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Ball:
    """The ball: where it is at the first frame and how it moves (widths and metres a second).

    It lies still until `struck_s` after the first frame.
    """

    across: float
    distance_m: float
    height_m: float = 0.11
    drift: float = 0.0
    climb_m_s: float = 0.0
    struck_s: float = 0.0

    def moved_s(self, after_s: float) -> float:
        """How long it has moved."""
        return max(0.0, after_s - self.struck_s)

    def across_at(self, after_s: float) -> float:
        """Where it is from left to right: inside the frame between -0.5 and 0.5."""
        return self.across + self.drift * self.moved_s(after_s)


@dataclass(frozen=True, slots=True)
class Scene:
    """One framing with everybody in it. `detail` is the scale the backdrop is drawn at."""

    view: View
    light: Light
    focus_m: float
    f_number: float
    actors: tuple[Actor, ...] = ()
    bystanders: tuple[Actor, ...] = ()
    ball: Ball | None = None
    detail: float = 0.5
    through_net: bool = False


@dataclass(frozen=True, slots=True)
class Moment:
    """One frame of a scene: when (s after the first), how soft, how the camera moved.

    `soft_px` is the width over which a point of the subject is spread, in pixels.
    """

    index: int = 0
    after_s: float = 0.0
    soft_px: float = 0.0
    softness: Literal["focus", "sideways", "upright"] = "focus"
    pan_px: tuple[int, int] = (0, 0)
    grain: float = 2.0
    noise_at: tuple[int, int] = (0, 0)


@dataclass(slots=True)
class Set:
    """A scene whose backdrop is drawn; it gives any number of frames."""

    scene: Scene
    margin_px: int = field(init=False)
    backdrop: Picture = field(init=False)

    def __post_init__(self) -> None:
        scene = self.scene
        self.margin_px = round(MARGIN_SHARE * scene.view.long_side_px)
        wide = scene.view.wider(self.margin_px)
        self.backdrop = draw_backdrop(
            wide,
            scene.light,
            scene.focus_m,
            scene.f_number,
            detail=scene.detail,
            through_net=scene.through_net,
        )
        still = Moment(pan_px=(-self.margin_px, -self.margin_px))
        self._people(self.backdrop, scene.bystanders, still)

    def frame(self, moment: Moment) -> Picture:
        """One upright frame, sRGB."""
        scene, view = self.scene, self.scene.view
        x, y = self.margin_px + moment.pan_px[0], self.margin_px + moment.pan_px[1]
        picture = self.backdrop[y : y + view.height_px, x : x + view.width_px].copy()
        self._people(picture, scene.actors, moment, scene.ball)
        if scene.through_net:
            lay_net(picture, view, scene.focus_m, scene.f_number, moment.pan_px)
        soften(picture, moment)
        return develop(picture, scene.light, moment)

    def _people(
        self, picture: Picture, actors: tuple[Actor, ...], moment: Moment, ball: Ball | None = None
    ) -> None:
        """Shadows first, then people and ball, the farthest first."""
        view = self.scene.view
        on_figure = self.scene.light.on_figure(view)
        placed: list[tuple[float, Patch, Vec, float]] = []
        for actor in actors:
            ground = view.ground(actor.across + actor.drift * moment.after_s, actor.distance_m)
            patch = self._person(actor, ground, moment, on_figure)
            placed.append((actor.distance_m, patch, ground, actor.look.height_m))
        for _, patch, ground, height_m in placed:
            self._shadow(picture, patch, ground, height_m, moment)
        drawn: list[tuple[float, Patch]] = [(distance, patch) for distance, patch, _, _ in placed]
        if ball is not None:
            drawn.append((ball.distance_m - 0.01, self._ball(picture, ball, moment, on_figure)))
        for distance, patch in sorted(drawn, key=lambda item: -item[0]):
            circle = blur_px(view, self.scene.focus_m, self.scene.f_number, distance)
            patch.onto(picture, circle / 3.2 if circle > 2.5 else 0.0)

    def _person(self, actor: Actor, ground: Vec, moment: Moment, on_figure: LightOnFigure) -> Patch:
        view = self.scene.view
        at = view.project(ground + np.array([0, 0, actor.lift_m]))
        scale = view.focal_px / float(view.depth(ground[None])[0])
        figure = Figure(
            look=actor.look,
            wear=actor.wear,
            pose=actor.poses[moment.index % len(actor.poses)],
            x=float(at[0]) - moment.pan_px[0],
            y=float(at[1]) - moment.pan_px[1],
            height_px=actor.look.height_m * scale,
            yaw_deg=actor.yaw_deg,
            number=actor.number,
            name=actor.name,
            armband=actor.armband,
            held=actor.held,
        )
        return draw_figure(figure, on_figure)

    def _shadow(
        self, picture: Picture, patch: Patch, ground: Vec, height_m: float, moment: Moment
    ) -> None:
        """The person's outline laid on the grass for each lamp, and a soft spot underfoot."""
        view = self.scene.view
        pan = np.array(moment.pan_px)
        foot = view.project(ground) - pan
        scale = view.focal_px / float(view.depth(ground[None])[0])
        tall = height_m * scale
        spread = max(1.0, tall * 0.012)
        for x, y, depth in self.scene.light.shadows():
            tip = view.project(ground + np.array([x, y, 0.0]) * height_m) - pan
            _cast(picture, patch, foot, (tip - foot) / tall, depth, spread)
        width, height = tall * 0.17, max(1.5, tall * 0.022)
        _spot(picture, foot, width, height, 0.42)

    def _ball(
        self, picture: Picture, ball: Ball, moment: Moment, on_figure: LightOnFigure
    ) -> Patch:
        view = self.scene.view
        ground = view.ground(ball.across_at(moment.after_s), ball.distance_m)
        height_m = max(0.11, ball.height_m + ball.climb_m_s * ball.moved_s(moment.after_s))
        centre = view.project(ground + np.array([0, 0, height_m])) - np.array(moment.pan_px)
        radius = max(1.5, 0.11 * view.focal_px / float(view.depth(ground[None])[0]))
        foot = view.project(ground) - np.array(moment.pan_px)
        _spot(picture, foot, radius * 1.1, max(1.0, radius * 0.25), 0.35 if height_m < 1 else 0.18)
        size = int(radius * 2) + 6
        corner = np.floor(centre - size / 2).astype(int)
        patch = Patch(int(corner[0]), int(corner[1]), size, size, on_figure)
        angles = np.linspace(0, 2 * np.pi, 40)
        around = np.stack([np.cos(angles), np.sin(angles)], axis=1)
        whole = centre + radius * around
        patch.lay([whole], (246, 245, 240), radius * 0.55)
        inside = patch.full([whole])
        turn = 0.7 + 1.9 * moment.index
        for spot in range(6):
            away = 0.0 if spot == 0 else 0.88
            a = turn + spot * 2 * np.pi / 5
            at = centre + radius * away * np.array([np.cos(a), np.sin(a)])
            five = np.linspace(0, 2 * np.pi, 6)[:-1] + a
            squeeze = 1.0 if spot == 0 else 0.8
            panel = at + radius * 0.34 * squeeze * np.stack([np.cos(five), np.sin(five)], axis=1)
            patch.lay([panel], (176, 60, 48) if spot % 2 else (40, 46, 66), 0, within=inside)
        return patch


def _cast(
    picture: Picture, patch: Patch, foot: Vec, per_height: Vec, depth: float, spread: float
) -> None:
    """The patch's outline sheared to lie along `per_height` from the feet, darkening the ground."""
    step = max(1, patch.alpha.shape[0] // 220)
    alpha = patch.alpha[::step, ::step]
    # A point dx right of the feet and h above them falls at foot + (dx, 0) + h * per_height.
    ox, oy = patch.origin
    affine = np.array(
        [
            [step, -step * per_height[0], ox - foot[0] + foot[0] + (foot[1] - oy) * per_height[0]],
            [0.0, -step * per_height[1], foot[1] + (foot[1] - oy) * per_height[1]],
        ]
    )
    corners = np.array(
        [[0, 0, 1], [alpha.shape[1], 0, 1], [0, alpha.shape[0], 1], [*alpha.shape[::-1], 1]]
    )
    spots = corners @ affine.T
    pad = int(spread * 3) + 2
    x0, y0 = np.maximum(np.floor(spots.min(axis=0)).astype(int) - pad, 0)
    x1, y1 = np.ceil(spots.max(axis=0)).astype(int) + pad
    x1, y1 = min(int(x1), picture.shape[1]), min(int(y1), picture.shape[0])
    if x1 - x0 < 2 or y1 - y0 < 2:
        return
    affine[:, 2] -= (x0, y0)
    half = 2 if (x1 - x0) * (y1 - y0) > 60_000 else 1
    size = ((int(x1 - x0) + half - 1) // half, (int(y1 - y0) + half - 1) // half)
    laid = cv2.warpAffine(np.ascontiguousarray(alpha), affine / half, size, flags=cv2.INTER_LINEAR)
    laid = cv2.GaussianBlur(laid, (0, 0), max(0.8, spread / half))
    laid = cv2.resize(laid, (int(x1 - x0), int(y1 - y0)), interpolation=cv2.INTER_LINEAR)
    _darken(picture, int(x0), int(y0), np.asarray(laid, dtype=np.uint8), depth)


def _spot(picture: Picture, centre: Vec, rx: float, ry: float, depth: float) -> None:
    pad = 2.4
    x0, y0 = max(int(centre[0] - rx * pad), 0), max(int(centre[1] - ry * pad), 0)
    x1 = min(int(centre[0] + rx * pad) + 1, picture.shape[1])
    y1 = min(int(centre[1] + ry * pad) + 1, picture.shape[0])
    if x1 - x0 < 2 or y1 - y0 < 2:
        return
    dx = (np.arange(x0, x1, dtype=np.float32) - centre[0])[None, :] / rx
    dy = (np.arange(y0, y1, dtype=np.float32) - centre[1])[:, None] / ry
    _darken(picture, x0, y0, (255 * np.exp(-(dx * dx + dy * dy))).astype(np.uint8), depth)


def _darken(picture: Picture, x: int, y: int, mask: NDArray[np.uint8], depth: float) -> None:
    here = picture[y : y + mask.shape[0], x : x + mask.shape[1]]
    keep = cv2.bitwise_not(cv2.convertScaleAbs(mask, alpha=depth))
    here[:] = cv2.multiply(np.ascontiguousarray(here), cv2.merge([keep, keep, keep]), scale=1 / 255)


def soften(picture: Picture, moment: Moment) -> None:
    """Blur a frame in place as a lens out of focus or a camera in motion does.

    A Gaussian stands for the blur circle: its standard deviation is that of a box as wide.
    """
    if moment.soft_px < 0.3:
        return
    if moment.softness == "focus":
        cv2.GaussianBlur(picture, (0, 0), moment.soft_px / 12**0.5, dst=picture)
        return
    reach = max(1, round(moment.soft_px))
    size = (reach, 1) if moment.softness == "sideways" else (1, reach)
    cv2.blur(picture, size, dst=picture)


@lru_cache(maxsize=1)
def _grain_tile() -> NDArray[np.uint8]:
    """Sensor noise around 128, a little smoothed, the same in every run."""
    rng = np.random.default_rng([3, 1])
    light = rng.standard_normal((1200, 1700)).astype(np.float32)
    colour = cv2.GaussianBlur(rng.standard_normal((1200, 1700, 3)).astype(np.float32), (0, 0), 1.0)
    both = cv2.GaussianBlur(light, (0, 0), 0.6)[:, :, None] * 22 + colour * 18
    return np.asarray(np.clip(128 + both, 0, 255), dtype=np.uint8)


def develop(picture: Picture, light: Light, moment: Moment) -> Picture:
    """The light's colour over the frame, then the sensor's noise."""
    steps = np.arange(256, dtype=np.float32)
    curve = 255 * (steps / 255) ** (1.02 - 0.05 * light.sun)
    table = np.stack([np.clip(curve * t, 0, 255) for t in light.tint], axis=-1).astype(np.uint8)
    graded = cv2.LUT(picture, table[None])
    tile = _grain_tile()
    height, width = graded.shape[:2]
    reach_y, reach_x = tile.shape[0], tile.shape[1]
    noise = np.empty_like(graded)
    oy, ox = moment.noise_at
    for y in range(-oy, height, reach_y):
        for x in range(-ox, width, reach_x):
            y0, x0 = max(y, 0), max(x, 0)
            y1, x1 = min(y + reach_y, height), min(x + reach_x, width)
            if y1 > y0 and x1 > x0:
                noise[y0:y1, x0:x1] = tile[y0 - y : y1 - y, x0 - x : x1 - x]
    amount = moment.grain / 16
    return np.asarray(cv2.addWeighted(graded, 1.0, noise, amount, -128 * amount), dtype=np.uint8)
