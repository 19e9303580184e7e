"""What stands in the way of a lens: net, posts, goalkeeper, boards, dugouts.

Each is a block from the ground up; a sight is blocked when the straight line from the lens to
the point crosses it. Two figures follow from the same rule and are used as such:

    over boards of height hb at distance b the grass at s shows from z >= hb s / (s - b)
    a post of width w at distance p hides w d / p at distance d
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from setpiece.errors import WrongUse
from setpiece.plan.camera import Seat
from setpiece.plan.ground import Block, Flank, Ground
from setpiece.plan.limits import within
from setpiece.plan.pitch import GOAL_HEIGHT_M, GOAL_WIDTH_M, POST_WIDTH_M, End, Point

Numbers = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]

KEEPER_WIDTH_M = 0.6  # shoulders and arms, ours
KEEPER_HEIGHT_M = 1.85  # ours
KEEPER_OFF_LINE_M = 0.5  # where a goalkeeper waits, ours


class Cause(StrEnum):
    """What hides a point. Through the net a picture can be made, but a poor one."""

    NET = "net"
    POST = "post"
    GOALKEEPER = "goalkeeper"
    BOARDS = "boards"
    DUGOUT = "dugout"


@dataclass(frozen=True, slots=True)
class Obstacle:
    """One thing in the way."""

    cause: Cause
    block: Block


def obstacles(ground: Ground) -> tuple[Obstacle, ...]:
    """Everything that can stand between a lens and a player at this ground."""
    found: list[Obstacle] = []
    for end in End:
        found += _goal(ground, end)
    found += [Obstacle(Cause.BOARDS, ground.boards_block(boards)) for boards in ground.boards]
    found += [Obstacle(Cause.DUGOUT, ground.dugout_block(dugout)) for dugout in ground.dugouts]
    return tuple(found)


def _goal(ground: Ground, end: End) -> list[Obstacle]:
    """Net, two posts and the goalkeeper of one end."""
    half = GOAL_WIDTH_M / 2
    outer = half + POST_WIDTH_M
    keeper = KEEPER_WIDTH_M / 2
    return [
        Obstacle(cause, _turned(ground, end, Block(*sides, height)))
        for cause, sides, height in (
            (Cause.NET, (-outer, outer, -ground.net_depth_m, 0.0), GOAL_HEIGHT_M),
            (Cause.POST, (-outer, -half, -POST_WIDTH_M, 0.0), GOAL_HEIGHT_M + POST_WIDTH_M),
            (Cause.POST, (half, outer, -POST_WIDTH_M, 0.0), GOAL_HEIGHT_M + POST_WIDTH_M),
            (
                Cause.GOALKEEPER,
                (-keeper, keeper, KEEPER_OFF_LINE_M, KEEPER_OFF_LINE_M + 0.3),
                KEEPER_HEIGHT_M,
            ),
        )
    ]


def _turned(ground: Ground, end: End, block: Block) -> Block:
    """A block given at the near goal, at either goal."""
    one = ground.pitch.at(end, Point(block.left_m, block.bottom_m))
    other = ground.pitch.at(end, Point(block.right_m, block.top_m))
    return Block(
        min(one.x_m, other.x_m),
        max(one.x_m, other.x_m),
        min(one.y_m, other.y_m),
        max(one.y_m, other.y_m),
        block.height_m,
    )


def blocked(seat: Seat, block: Block, x_m: Numbers, y_m: Numbers, z_m: float) -> Mask:
    """Whether the line from the lens to each point, `z_m` up, crosses the block.

    By the slabs: the parts of the line that lie between each pair of parallel faces must share
    a piece. A lens or a point inside the block counts as blocked.
    """
    enters = np.zeros(np.broadcast(x_m, y_m).shape)
    leaves = np.ones_like(enters)
    for start, towards, low, high in (
        (seat.x_m, x_m, block.left_m, block.right_m),
        (seat.y_m, y_m, block.bottom_m, block.top_m),
        (seat.lens_height_m, np.float64(z_m), 0.0, block.height_m),
    ):
        way = np.where(towards == start, 1e-12, towards - start)
        one, other = (low - start) / way, (high - start) / way
        enters = np.maximum(enters, np.minimum(one, other))
        leaves = np.minimum(leaves, np.maximum(one, other))
    return enters < leaves


def hidden(
    seat: Seat, things: tuple[Obstacle, ...], x_m: Numbers, y_m: Numbers, z_m: float
) -> dict[Cause, Mask]:
    """For each cause, which points it hides from the lens."""
    masks: dict[Cause, Mask] = {}
    for thing in things:
        mask = blocked(seat, thing.block, x_m, y_m, z_m)
        masks[thing.cause] = masks[thing.cause] | mask if thing.cause in masks else mask
    return masks


def hides(seat: Seat, things: tuple[Obstacle, ...], point: Point) -> frozenset[Cause]:
    """What hides one point."""
    x, y = np.array([point.x_m]), np.array([point.y_m])
    masks = hidden(seat, things, x, y, point.z_m)
    return frozenset(cause for cause, mask in masks.items() if bool(mask[0]))


def blind_outline(
    seat: Seat, block: Block, z_m: float, endless_m: float = 400.0
) -> tuple[Point, ...]:
    """The outline of what a block hides at height `z_m`: its shadow, were the lens a lamp.

    Empty where the block is lower than that height and the lens does not look up over it. For a
    lens no higher than the block it runs on to `endless_m`.
    """
    if block.height_m <= z_m:
        return ()
    above = seat.lens_height_m - block.height_m
    corners = [(p.x_m, p.y_m) for p in block.corners]
    farther = []
    for x, y in corners:
        away = math.hypot(x - seat.x_m, y - seat.y_m)
        grows = (seat.lens_height_m - z_m) / above if above > 0 else math.inf
        grows = min(grows, max(1.0, endless_m / max(away, 1e-6)))
        farther.append((seat.x_m + (x - seat.x_m) * grows, seat.y_m + (y - seat.y_m) * grows))
    return tuple(Point(x, y) for x, y in _hull(corners + farther))


def _hull(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The convex outline of some points (monotone chain, A. M. Andrew 1979)."""
    ordered = sorted(set(points))
    halves: list[list[tuple[float, float]]] = []
    for run in (ordered, ordered[::-1]):
        half: list[tuple[float, float]] = []
        for point in run:
            while len(half) >= 2 and _turn(half[-2], half[-1], point) <= 0:
                half.pop()
            half.append(point)
        halves.append(half[:-1])
    return halves[0] + halves[1]


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def lens_height_over_boards_m(board_height_m: float, board_m: float, grass_m: float) -> float:
    """How high the lens must be to see grass at `grass_m` over boards at `board_m`."""
    within(board_height_m, 0, 5, what="the height of boards", unit="m")
    if not 0 <= board_m < grass_m:
        raise WrongUse(
            "the boards stand between the lens and the grass",
            thing=f"{board_m:g} m and {grass_m:g} m",
            next_step="Give a distance to the grass beyond the boards.",
        )
    return board_height_m * grass_m / (grass_m - board_m)


def first_grass_m(seat_height_m: float, board_height_m: float, board_m: float) -> float:
    """Where the grass begins to show over boards; `inf` when the lens is not above them."""
    if seat_height_m <= board_height_m:
        return math.inf
    return seat_height_m * board_m / (seat_height_m - board_height_m)


def boards_before(ground: Ground, seat: Seat) -> tuple[float, float] | None:
    """Height and distance of the boards right before a seat that hide most; None without any."""
    half, length = ground.pitch.half_width_m, ground.pitch.length_m
    beyond = {
        Flank.LEFT: -half - seat.x_m,
        Flank.RIGHT: seat.x_m - half,
        Flank.NEAR: -seat.y_m,
        Flank.FAR: seat.y_m - length,
    }
    before = [
        (boards.height_m, beyond[boards.flank] - boards.set_back_m)
        for boards in ground.boards
        if beyond[boards.flank] > boards.set_back_m
    ]
    return max(before, key=lambda b: first_grass_m(seat.lens_height_m, *b), default=None)


def grass_from_m(ground: Ground, seat: Seat) -> float | None:
    """How far from a seat the grass begins to show over the boards right before it.

    None where no boards stand before it; `inf` where they are as high as the lens.
    """
    boards = boards_before(ground, seat)
    return None if boards is None else first_grass_m(seat.lens_height_m, *boards)


def nearest_post_m(ground: Ground, seat: Seat) -> float:
    """How far the nearest post of either goal is from a seat, over the ground."""
    return min(
        math.hypot(seat.x_m - thing.block.middle.x_m, seat.y_m - thing.block.middle.y_m)
        for thing in obstacles(ground)
        if thing.cause is Cause.POST
    )


def width_behind_post_m(width_m: float, post_m: float, distance_m: float) -> float:
    """How wide a strip a post at `post_m` hides at `distance_m`."""
    within(width_m, 0, 1, what="the width of a post", unit="m")
    if not 0 < post_m <= distance_m:
        raise WrongUse("what a post hides lies behind it", thing=f"{distance_m:g} m")
    return width_m * distance_m / post_m
