"""The ground seen from above, with the near goal at the foot of the drawing."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from setpiece.plan.camera import Seat
from setpiece.plan.drawings import canvas
from setpiece.plan.ground import Block, Flank, Ground, Stand
from setpiece.plan.pitch import (
    GOAL_WIDTH_M,
    Arc,
    End,
    Line,
    Point,
    markings,
    marks,
)

MOWN_M = 5.5
_MARK_LIMIT_M = 1.0  # arcs smaller than this are too small to matter on a whole ground


@dataclass(frozen=True, slots=True)
class GroundMap:
    """From metres to the drawing: `left` and `foot` are where the near left corner lies."""

    ground: Ground
    left: float
    foot: float
    scale: float

    def x(self, x_m: float) -> float:
        """Across the drawing."""
        return self.left + (x_m + self.ground.pitch.half_width_m) * self.scale

    def y(self, y_m: float) -> float:
        """Down the drawing."""
        return self.foot - y_m * self.scale

    def place(self, point: Point) -> tuple[float, float]:
        """A point of the ground on the drawing."""
        return self.x(point.x_m), self.y(point.y_m)

    def outline(self, points: Iterable[Point], kind: str, *, closed: bool = True) -> str:
        """A line through points of the ground."""
        return canvas.path((self.place(p) for p in points), kind, closed=closed)

    def block(self, block: Block, kind: str) -> str:
        """A rectangle of the ground."""
        return canvas.rect(
            self.x(block.left_m),
            self.y(block.top_m),
            (block.right_m - block.left_m) * self.scale,
            (block.top_m - block.bottom_m) * self.scale,
            kind,
        )

    def ring(self, seat: Seat, near_m: float, far_m: float) -> str:
        """Path data of the ring between two distances from a seat."""
        x, y = self.x(seat.x_m), self.y(seat.y_m)
        return "".join(
            f"M{canvas.number(x - r)} {canvas.number(y)}"
            f"a{canvas.number(r)} {canvas.number(r)} 0 1 0 {canvas.number(2 * r)} 0"
            f"a{canvas.number(r)} {canvas.number(r)} 0 1 0 {canvas.number(-2 * r)} 0Z"
            for r in (far_m * self.scale, near_m * self.scale)
        )


def arc_path(map_: GroundMap, arc: Arc, kind: str) -> str:
    """A marking that is part of a circle."""
    radius = arc.radius_m * map_.scale
    if arc.to_deg - arc.from_deg >= 360:
        return canvas.circle(*map_.place(arc.middle), radius, kind)
    ends = [
        map_.place(
            Point(
                arc.middle.x_m + arc.radius_m * math.cos(math.radians(angle)),
                arc.middle.y_m + arc.radius_m * math.sin(math.radians(angle)),
            )
        )
        for angle in (arc.from_deg, arc.to_deg)
    ]
    (x1, y1), (x2, y2) = ends
    r = canvas.number(radius)
    return (
        f'<path class="{kind}" d="M{canvas.number(x1)} {canvas.number(y1)}'
        f'A{r} {r} 0 0 0 {canvas.number(x2)} {canvas.number(y2)}"/>'
    )


def pitch(map_: GroundMap) -> str:
    """Turf, mown stripes, lines, goals."""
    size = map_.ground.pitch
    half = size.half_width_m
    parts = [map_.block(Block(-half, half, 0, size.length_m, 0), "turf")]
    start = 0.0
    while start < size.length_m:
        end = min(start + MOWN_M, size.length_m)
        parts.append(map_.block(Block(-half, half, start, end, 0), "mown"))
        start += 2 * MOWN_M
    for marking in markings(size):
        if isinstance(marking, Line):
            parts.append(map_.outline(marking, "mark", closed=False))
        else:
            parts.append(arc_path(map_, marking, "mark"))
    parts += [canvas.circle(*map_.place(mark), 1.6, "spot") for mark in marks(size)]
    parts += [goal(map_, end) for end in End]
    return canvas.group(*parts)


def goal(map_: GroundMap, end: End) -> str:
    """Posts, bar and net from above."""
    size, depth = map_.ground.pitch, map_.ground.net_depth_m
    half = GOAL_WIDTH_M / 2
    corners = [Point(-half, 0), Point(-half, -depth), Point(half, -depth), Point(half, 0)]
    net = [map_.outline([size.at(end, p) for p in corners], "net", closed=False)]
    for step in range(1, 6):
        x = -half + step * GOAL_WIDTH_M / 6
        net.append(
            map_.outline(
                [size.at(end, Point(x, 0)), size.at(end, Point(x, -depth))], "net", closed=False
            )
        )
    middle = [size.at(end, Point(-half, -depth / 2)), size.at(end, Point(half, -depth / 2))]
    net.append(map_.outline(middle, "net", closed=False))
    line = [size.at(end, Point(-half, 0)), size.at(end, Point(half, 0))]
    return "".join(net) + map_.outline(line, "goal", closed=False)


def surroundings(map_: GroundMap) -> str:
    """Stands with their roof edges, boards, dugouts, and the zones where the bib allows work."""
    ground = map_.ground
    parts = [_stand(map_, stand) for stand in ground.stands]
    parts += [map_.block(ground.zone_block(zone), "zone") for zone in ground.zones]
    for boards in ground.boards:
        block = ground.boards_block(boards)
        parts.append(_long_side(map_, block, "boards"))
    parts += [map_.block(ground.dugout_block(dugout), "dugout") for dugout in ground.dugouts]
    return canvas.group(*parts)


def _long_side(map_: GroundMap, block: Block, kind: str) -> str:
    """A thin block as a line."""
    middle = block.middle
    if block.right_m - block.left_m > block.top_m - block.bottom_m:
        ends = [Point(block.left_m, middle.y_m), Point(block.right_m, middle.y_m)]
    else:
        ends = [Point(middle.x_m, block.bottom_m), Point(middle.x_m, block.top_m)]
    return map_.outline(ends, kind, closed=False)


def _stand(map_: GroundMap, stand: Stand) -> str:
    """A stand, its roof edge dashed, its name and height along it."""
    ground = map_.ground
    block = ground.stand_block(stand)
    edge = ground.block(stand.flank, stand.from_m, stand.to_m, stand.roof_edge_m, 0.02, 0)
    x, y = map_.place(block.middle)
    turn = {Flank.LEFT: -90, Flank.RIGHT: 90}.get(stand.flank, 0)
    words = f"{stand.name} · {stand.height_m:g} m" if stand.name else f"{stand.height_m:g} m"
    shift = 4 if turn == 0 else 0
    label = canvas.text(
        x + (4 if turn == -90 else -4 if turn == 90 else 0),
        y + shift,
        words,
        "caps",
        anchor="middle",
        turn_deg=turn,
    )
    return map_.block(block, "stand") + _long_side(map_, edge, "roof") + label


def seat_mark(map_: GroundMap, seat: Seat, letter: str, *, chosen: bool = True) -> str:
    """A seat as a lettered disc, with room around it to be gripped."""
    x, y = map_.place(seat.lens)
    return (
        canvas.circle(x, y, 8.5, "seat" if chosen else "other-seat")
        + canvas.text(x, y + 3.8, letter, "on-ink" if chosen else "name", anchor="middle")
        + canvas.circle(x, y, 18, "grip")
    )


def north_arrow(x: float, y: float, bearing_deg: float, length: float = 17) -> str:
    """Where north lies; the drawing's upward direction has that bearing."""
    turn = math.radians(-bearing_deg)
    ahead = math.sin(turn), -math.cos(turn)
    aside = -ahead[1], ahead[0]
    tip = (x + length * ahead[0], y + length * ahead[1])
    tail = (x - length * ahead[0] * 0.75, y - length * ahead[1] * 0.75)
    wings = [
        (x - length * 0.75 * ahead[0] + side * 5 * aside[0],
         y - length * 0.75 * ahead[1] + side * 5 * aside[1])
        for side in (-1, 1)
    ]  # fmt: skip
    notch = (x - length * 0.35 * ahead[0], y - length * 0.35 * ahead[1])
    label = (x + (length + 9) * ahead[0], y + (length + 9) * ahead[1] + 4)
    return (
        canvas.path([tip, wings[0], notch, wings[1]], "spot", closed=True)
        + canvas.line(*tail, *notch, "tick")
        + canvas.text(*label, "N", "caps", anchor="middle")
    )


def margins_m(
    ground: Ground, seats: tuple[Seat, ...], *, least_m: float = 8.0
) -> dict[Flank, float]:
    """How much room the drawing needs beyond each line for what stands there and the seats."""
    need = dict.fromkeys(Flank, least_m)
    for stand in ground.stands:
        outer = max(stand.set_back_m + stand.depth_m, stand.roof_edge_m)
        need[stand.flank] = max(need[stand.flank], outer + 2)
    half, length = ground.pitch.half_width_m, ground.pitch.length_m
    for seat in seats:
        for flank, beyond in (
            (Flank.LEFT, -half - seat.x_m),
            (Flank.RIGHT, seat.x_m - half),
            (Flank.NEAR, -seat.y_m),
            (Flank.FAR, seat.y_m - length),
        ):
            need[flank] = max(need[flank], beyond + 4)
    return need


def fitted(
    ground: Ground, width: float, top: float, seats: tuple[Seat, ...] = ()
) -> tuple[GroundMap, float]:
    """A map of the whole ground and some seats, as wide as the drawing; and where it ends."""
    room = margins_m(ground, seats)
    across_m = ground.pitch.width_m + room[Flank.LEFT] + room[Flank.RIGHT]
    scale = (width - 32) / across_m
    left = 16 + room[Flank.LEFT] * scale
    foot = top + (room[Flank.FAR] + ground.pitch.length_m) * scale
    return GroundMap(ground, left, foot, scale), foot + room[Flank.NEAR] * scale
