"""One drawn person: body, kit, number and name, from a pose and a look."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from setpiece.work.demo.brush import LightOnFigure, Patch, Points, Rgb, oval, tube
from setpiece.work.demo.head import draw_head, draw_tail
from setpiece.work.demo.lettering import letters
from setpiece.work.demo.looks import Figure
from setpiece.work.demo.poses import SPINE, Joints, joints, poses


def draw_figure(figure: Figure, light: LightOnFigure) -> Patch:
    """The person on a transparent patch placed in the frame."""
    body = joints(poses()[figure.pose], figure.yaw_deg)
    size = figure.height_px
    at: dict[str, Points] = {
        name: np.array([figure.x + p[0] * size, figure.y - p[1] * size])
        for name, p in body.points.items()
    }
    every = np.array(list(at.values()))
    pad = size * 0.16
    x0, y0 = np.floor(every.min(axis=0) - pad).astype(int)
    x1, y1 = np.ceil(every.max(axis=0) + pad).astype(int)
    patch = Patch(int(x0), int(y0), int(x1 - x0), int(y1 - y0), light)
    depth = {name: float(p[2]) for name, p in body.points.items()}
    painter = _Painter(figure, body, at, patch)
    front_arms = [
        side for side in ("left", "right") if depth[f"{side} elbow"] + depth[f"{side} hand"] > -0.02
    ]
    back_arms = [side for side in ("left", "right") if side not in front_arms]
    for side in back_arms:
        painter.arm(side)
    facing_away = np.cos(np.radians(body.head_yaw_deg)) < 0
    if not facing_away:
        draw_tail(patch, figure.look, at, body, size)
    legs = sorted(
        ("left", "right"), key=lambda side: depth[f"{side} knee"] + depth[f"{side} ankle"]
    )
    for side in legs:
        painter.leg(side)
    painter.torso()
    draw_head(patch, figure.look, at, body, size, open_mouth=poses()[figure.pose].open_mouth)
    if facing_away:
        draw_tail(patch, figure.look, at, body, size)
    for side in sorted(front_arms, key=lambda side: depth[f"{side} hand"]):
        painter.arm(side, shade=True)
    if figure.held.startswith("added "):
        painter.board(figure.held.removeprefix("added "))
    return patch


class _Painter:
    """Lays the parts of one body on its patch."""

    def __init__(self, figure: Figure, body: Joints, at: dict[str, Points], patch: Patch) -> None:
        self.figure, self.body, self.at, self.patch = figure, body, at, patch
        self.size = figure.height_px

    def arm(self, side: str, *, shade: bool = False) -> None:
        """Upper arm, forearm, hand and sleeve of one side."""
        s, wear, at = self.size, self.figure.wear, self.at
        shoulder, elbow, hand = (at[f"{side} {part}"] for part in ("shoulder", "elbow", "hand"))
        skin = wear.shirt if wear.long_sleeves else self.figure.look.skin
        thick = 1.25 if wear.long_sleeves else 1.0
        upper = tube(
            shoulder, elbow, [(0, s * 0.028 * thick), (1, s * 0.023 * thick)], (True, True)
        )
        lower = tube(
            elbow,
            hand,
            [(0, s * 0.0235 * thick), (0.3, s * 0.0235 * thick), (1, s * 0.0155 * thick)],
            (True, True),
        )
        if shade:
            self.patch.shadow([upper, lower], s * 0.016, 0.34)
        way = hand - elbow
        way = way / max(float(np.hypot(*way)), 1e-6)
        palm_colour = wear.gloves or self.figure.look.skin
        palm = tube(
            hand - way * s * 0.006,
            hand + way * s * 0.032,
            [
                (0, s * (0.020 if wear.gloves else 0.015)),
                (0.5, s * (0.024 if wear.gloves else 0.018)),
                (1, s * (0.018 if wear.gloves else 0.011)),
            ],
            (True, True),
        )
        self.patch.lay([upper, lower], skin, s * 0.015)
        self.patch.lay([palm], palm_colour, s * 0.010, relief=0.6)
        if not wear.long_sleeves:
            end = shoulder + (elbow - shoulder) * 0.66
            sleeve = tube(
                shoulder, end, [(0, s * 0.034), (0.35, s * 0.038), (1, s * 0.039)], (True, False)
            )
            cuff = tube(
                shoulder + (elbow - shoulder) * 0.585,
                end,
                [(0, s * 0.0392), (1, s * 0.0396)],
                (False, False),
            )
            self.patch.lay([sleeve], wear.shirt, s * 0.022, relief=0.75)
            if wear.stripe:
                self.patch.lay([cuff], wear.trim, s * 0.016)
        if self.figure.armband and side == "left":
            band = tube(
                shoulder + (elbow - shoulder) * 0.30,
                shoulder + (elbow - shoulder) * 0.52,
                [(0, s * 0.0425), (1, s * 0.0415)],
                (False, False),
            )
            self.patch.lay([band], (240, 205, 60), s * 0.018)
        if self.figure.held and side == "right":
            self._held(hand, way)

    def _held(self, hand: Points, way: Points) -> None:
        s = self.size
        colour = {"yellow card": (250, 214, 30), "red card": (205, 30, 32)}.get(self.figure.held)
        if colour is not None:
            base = hand + way * s * 0.02
            across = np.array([-way[1], way[0]])
            card = np.array(
                [
                    base - across * s * 0.026,
                    base + across * s * 0.026,
                    base + across * s * 0.026 + way * s * 0.072,
                    base - across * s * 0.026 + way * s * 0.072,
                ]
            )
            self.patch.lay([card], colour, 0)

    def board(self, figures: str) -> None:
        """The fourth official's board over both hands, its figures lit."""
        s = self.size
        middle = (self.at["left hand"] + self.at["right hand"]) / 2 - np.array([0, s * 0.085])
        wide, tall = s * 0.15, s * 0.085
        box = np.array([[-wide, -tall], [wide, -tall], [wide, tall], [-wide, tall]])
        self.patch.lay([middle + box], (30, 31, 34), s * 0.006)
        self.patch.lay([middle + box * 0.9], (14, 15, 17), 0)
        mask = letters(figures, 160, 0.07)
        scale = tall * 1.35 / mask.shape[0]
        corner = middle - np.array([mask.shape[1], mask.shape[0]]) * scale / 2
        affine = np.array([[scale, 0.0, corner[0]], [0.0, scale, corner[1]]])
        self.patch.stamp(mask, affine, (255, 92, 60), None, lit=True)

    def leg(self, side: str) -> None:
        """Thigh, shorts, shin, sock and boot of one side."""
        s, wear, at = self.size, self.figure.wear, self.at
        hip, knee, ankle, toe = (at[f"{side} {part}"] for part in ("thigh", "knee", "ankle", "toe"))
        skin = self.figure.look.skin
        sole = tube(
            ankle + np.array([0, s * 0.012]),
            toe,
            [(0, s * 0.0245), (0.6, s * 0.0225), (1, s * 0.018)],
            (True, True),
        )
        if wear.trousers:
            upper = tube(hip, knee, [(0, s * 0.062), (1, s * 0.044)], (True, True))
            lower = tube(knee, ankle, [(0, s * 0.043), (1, s * 0.036)], (True, False))
            self.patch.lay([sole], self.figure.look.boots, s * 0.012)
            self.patch.lay([upper, lower], wear.shorts, s * 0.026)
            return
        thigh = tube(hip, knee, [(0, s * 0.044), (0.35, s * 0.052), (1, s * 0.033)], (False, True))
        shin = tube(
            knee,
            ankle,
            [(0, s * 0.032), (0.3, s * 0.037), (0.65, s * 0.029), (1, s * 0.0215)],
            (True, True),
        )
        sock = tube(
            knee + (ankle - knee) * 0.20,
            ankle,
            [(0, s * 0.0375), (0.12, s * 0.039), (0.6, s * 0.0315), (1, s * 0.025)],
            (False, True),
        )
        self.patch.lay([thigh, shin], skin, s * 0.024)
        self.patch.lay([sock], wear.socks, s * 0.020)
        top = tube(
            knee + (ankle - knee) * 0.19,
            knee + (ankle - knee) * 0.255,
            [(0, s * 0.0385), (1, s * 0.0395)],
            (False, False),
        )
        if wear.stripe:
            self.patch.lay([top], wear.trim, s * 0.018)
        self.patch.lay([sole], self.figure.look.boots, s * 0.012)
        hem = hip + (knee - hip) * 0.60
        cloth = tube(hip, hem, [(0, s * 0.043), (0.45, s * 0.056), (1, s * 0.062)], (True, False))
        self.patch.shadow([cloth], s * 0.012, 0.3)
        self.patch.lay([cloth], wear.shorts, s * 0.032)

    def torso(self) -> None:
        """Hips, shirt, neck, and what is printed on the shirt."""
        s, wear, at, body = self.size, self.figure.wear, self.at, self.body
        hips = tube(
            at["left thigh"], at["right thigh"], [(0, s * 0.047), (1, s * 0.047)], (True, True)
        )
        self.patch.lay([hips], wear.shorts, s * 0.03)
        neck = at["neck"]
        head = at["head"]
        throat = tube(
            neck + (neck - head) * 0.25, head, [(0, s * 0.034), (1, s * 0.027)], (True, True)
        )
        self.patch.lay([throat], tuple(0.86 * c for c in self.figure.look.skin), s * 0.016)  # type: ignore[arg-type]
        outline = self._shirt_outline()
        self.patch.shadow([outline], s * 0.012, 0.28)
        colour = wear.bib or wear.shirt
        self.patch.lay([outline], colour, s * 0.040)
        inside = self.patch.full([outline])
        self._folds(inside, colour)
        self._collar(inside)
        self._scarf()
        self._print(inside, body)

    def _shirt_outline(self) -> Points:
        """The shirt from hem to neck: wide across when it faces the lens, narrow in profile."""
        s, at, body = self.size, self.at, self.body
        hip, neck = at["hip"], at["neck"]
        facing = abs(float(body.across[0]))
        edge = float(np.sqrt(max(0.0, 1 - facing**2)))
        hem = -0.42 if self.figure.wear.coat else -0.20
        loose = 1.12 if self.figure.wear.coat else 1.0
        rows = [  # share of the spine, half width seen from the front, from the side
            (hem, 0.109, 0.083),
            (0.0, 0.098, 0.075),
            (0.36, 0.082, 0.064),
            (0.72, 0.098, 0.078),
            (0.90, 0.114, 0.064),
            (0.98, 0.116, 0.054),
            (1.03, 0.086, 0.048),
            (1.07, 0.040, 0.034),
        ]
        axis = neck - hip
        length = max(float(np.hypot(*axis)), s * SPINE * 0.35)
        along = axis / max(float(np.hypot(*axis)), 1e-6)
        across = np.array([-along[1], along[0]])
        left, right = [], []
        for share, wide, deep in rows:
            half = s * loose * float(np.hypot(wide * facing, deep * edge))
            centre = hip + along * length * share
            left.append(centre + across * half)
            right.append(centre - across * half)
        return np.array(left + right[::-1])

    def _folds(self, inside: NDArray[np.uint8], colour: Rgb) -> None:
        """A few soft creases from the arms to the waist."""
        s, at = self.size, self.at
        if s < 160:
            return
        hip, neck = at["hip"], at["neck"]
        axis = neck - hip
        across = np.array([-axis[1], axis[0]])
        across = across / max(float(np.hypot(*across)), 1e-6)
        dark: Rgb = (colour[0] * 0.86, colour[1] * 0.86, colour[2] * 0.88)
        for share, offset, slant, reach in (
            (0.16, 0.5, 0.35, 0.34),
            (0.34, -0.55, -0.4, 0.34),
            (0.60, 0.62, -0.3, 0.22),
            (0.02, -0.2, 0.3, 0.3),
        ):
            start = hip + axis * share + across * offset * s * 0.09
            end = start + axis * reach * 0.5 - across * slant * s * 0.10
            fold = tube(
                start, end, [(0, s * 0.001), (0.5, s * 0.0075), (1, s * 0.001)], (False, False)
            )
            self.patch.lay([fold], dark, s * 0.006, within=inside, opacity=0.5, relief=0.6)

    def _collar(self, inside: NDArray[np.uint8]) -> None:
        s, at, body = self.size, self.at, self.body
        way = at["neck"] - at["hip"]
        up = way / max(float(np.hypot(*way)), 1e-6)
        right = np.array([-up[1], up[0]])
        base = at["neck"] + up * s * 0.012
        trim = self.figure.wear.trim if self.figure.wear.stripe else self.figure.wear.shirt
        front = float(body.front[2])
        ring = oval(
            base, right, up, s * (0.041 + 0.004 * abs(front)), s * (0.030 if front > 0 else 0.016)
        )
        self.patch.lay([ring], trim, s * 0.008, within=inside)
        if front > 0.1:
            hole = oval(base + up * s * 0.006, right, up, s * 0.034, s * 0.024)
            self.patch.lay([hole], tuple(0.86 * c for c in self.figure.look.skin), 0, within=inside)  # type: ignore[arg-type]

    def _scarf(self) -> None:
        """A scarf round the neck with one end hanging down."""
        colour = self.figure.wear.scarf
        if colour is None:
            return
        s, neck = self.size, self.at["neck"]
        loop = tube(
            neck + np.array([-s * 0.05, 0]),
            neck + np.array([s * 0.05, 0]),
            [(0, s * 0.022), (0.5, s * 0.028), (1, s * 0.022)],
            (True, True),
        )
        tail = tube(
            neck + np.array([s * 0.028, s * 0.01]),
            neck + np.array([s * 0.034, s * 0.16]),
            [(0, s * 0.02), (1, s * 0.024)],
            (True, False),
        )
        self.patch.lay([tail], colour, s * 0.01)
        self.patch.lay([loop], colour, s * 0.012)

    def _print(self, inside: NDArray[np.uint8], body: Joints) -> None:
        """The number on chest or back, the name above it on the back."""
        facing = float(body.front[2])
        if not self.figure.number or abs(facing) < 0.28 or self.size < 40:
            return
        s, at = self.size, self.at
        back = facing < 0
        right = (-1.0 if back else 1.0) * np.array([body.across[0], -body.across[1]])
        up = np.array([body.up[0], -body.up[1]])
        shift = np.array([body.front[0], -body.front[1]]) * s * 0.05 * (-1 if back else 1)
        colour = self.figure.wear.print_colour
        chest = at["hip"] + (at["neck"] - at["hip"]) * (0.46 if back else 0.56) + shift
        height = s * (0.125 if back else 0.090)
        self._decal(
            letters(self.figure.number, 160, 0.075), chest, right, up, height, None, colour, inside
        )
        if back and self.figure.name and s >= 150:
            place = at["hip"] + (at["neck"] - at["hip"]) * 0.86 + shift
            self._decal(
                letters(self.figure.name.upper(), 64, 0.06),
                place,
                right,
                up,
                s * 0.030,
                s * 0.165,
                colour,
                inside,
            )

    def _decal(
        self,
        mask: NDArray[np.uint8],
        centre: Points,
        right: Points,
        up: Points,
        height: float,
        widest: float | None,
        colour: Rgb,
        inside: NDArray[np.uint8],
    ) -> None:
        scale_y = height / mask.shape[0]
        scale_x = scale_y
        if widest is not None and mask.shape[1] * scale_x > widest:
            scale_x = widest / mask.shape[1]
        x_axis, y_axis = right * scale_x, -up * scale_y
        corner = centre - x_axis * mask.shape[1] / 2 - y_axis * mask.shape[0] / 2
        self.patch.stamp(mask, np.column_stack([x_axis, y_axis, corner]), colour, inside)
