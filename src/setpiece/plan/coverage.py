"""Which part of the pitch a seat's lenses hold, cell by cell.

A lens holds a cell when a player who stands there fills 40 to 90 % of the frame's height, the
camera held either way, somewhere in the lens's range. Seen from above the player looks shorter
by the cosine of the lens's angle down. Size and sight are kept apart: what is hidden, by what,
is a mask of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from setpiece.errors import WrongUse
from setpiece.plan.camera import Seat
from setpiece.plan.ground import Ground
from setpiece.plan.limits import within
from setpiece.plan.occlusion import Cause, Mask, Numbers, hidden, obstacles
from setpiece.plan.optics import PLAYER_HEIGHT_M, Lens, Orientation, Sensor, distance_for_share_m
from setpiece.plan.pitch import Pitch

SMALLEST_SHARE = 0.4
LARGEST_SHARE = 0.9
CHEST_M = 1.3  # the height at which a sight counts as free, ours
FEET_M = 0.05


@dataclass(frozen=True, slots=True)
class Spots:
    """Places on the ground as two arrays of one shape."""

    x_m: Numbers
    y_m: Numbers


@lru_cache(maxsize=8)
def cells(pitch: Pitch, cell_m: float = 1.0) -> Spots:
    """The middles of the pitch's cells, row by row from the near goal line."""
    within(cell_m, 0.05, 20, what="the size of a cell", unit="m")
    across = max(1, round(pitch.width_m / cell_m))
    along = max(1, round(pitch.length_m / cell_m))
    x = (np.arange(across) + 0.5) / across * pitch.width_m - pitch.half_width_m
    y = (np.arange(along) + 0.5) / along * pitch.length_m
    x_m, y_m = np.meshgrid(x, y)
    x_m.setflags(write=False)
    y_m.setflags(write=False)
    return Spots(x_m, y_m)


def reach_m(
    sensor: Sensor, lens: Lens, *, height_m: float = PLAYER_HEIGHT_M
) -> tuple[float, float]:
    """Nearest and farthest distance at which the lens holds a player, from level ground."""
    shortest, longest = lens.focal_lengths_mm
    tall, low = sorted(sensor.sides_mm(Orientation.LANDSCAPE), reverse=True)
    return (
        distance_for_share_m(tall, shortest, LARGEST_SHARE, height_m=height_m),
        distance_for_share_m(low, longest, SMALLEST_SHARE, height_m=height_m),
    )


def holds_size(
    seat: Seat,
    sensor: Sensor,
    lens: Lens,
    spots: Spots,
    *,
    height_m: float = PLAYER_HEIGHT_M,
) -> Mask:
    """Where a player of that height has the right size in the frame."""
    level = np.hypot(spots.x_m - seat.x_m, spots.y_m - seat.y_m)
    sight = np.hypot(level, seat.lens_height_m - height_m / 2)
    looks_mm = height_m * 1000 * level / np.maximum(sight, 1e-9)
    shortest, longest = lens.focal_lengths_mm
    beyond_mm = sight * 1000
    usable = beyond_mm > 2 * longest  # a lens so near makes no such picture
    smallest = looks_mm * shortest / np.maximum(beyond_mm - shortest, 1e-9)
    largest = looks_mm * longest / np.maximum(beyond_mm - longest, 1e-9)
    found = np.zeros(level.shape, dtype=bool)
    for orientation in Orientation:
        up_mm = sensor.sides_mm(orientation)[1]
        found |= (largest >= SMALLEST_SHARE * up_mm) & (smallest <= LARGEST_SHARE * up_mm)
    return found & usable


@dataclass(frozen=True, slots=True)
class Coverage:
    """What one seat's lenses hold of some places. Every mask has the places' shape.

    `sized` is per lens, by size alone; `hidden` per cause at chest height; `feet_hidden` is
    where anything hides the feet.
    """

    seat: Seat
    lenses: tuple[Lens, ...]
    spots: Spots
    sized: tuple[Mask, ...]
    hidden: Mapping[Cause, Mask]
    feet_hidden: Mask

    @property
    def clear(self) -> Mask:
        """Where nothing stands in the way."""
        free = np.ones(self.spots.x_m.shape, dtype=bool)
        for mask in self.hidden.values():
            free &= ~mask
        return free

    @property
    def together(self) -> Mask:
        """Where at least one lens has the size and the sight is free."""
        found: Mask = np.logical_or.reduce(self.sized) & self.clear
        return found

    @property
    def overlap(self) -> Mask:
        """Where two lenses or more have the size and the sight is free."""
        found: Mask = (np.sum(self.sized, axis=0) >= 2) & self.clear
        return found

    def of_lens(self, place: int) -> Mask:
        """Where that lens has the size and the sight is free."""
        return self.sized[place] & self.clear


def share(mask: Mask) -> float:
    """How much of the places a mask holds, 0 to 1."""
    return float(np.count_nonzero(mask)) / mask.size if mask.size else 0.0


def cover(
    ground: Ground,
    seat: Seat,
    sensor: Sensor,
    lenses: tuple[Lens, ...],
    spots: Spots | None = None,
    *,
    height_m: float = PLAYER_HEIGHT_M,
) -> Coverage:
    """What the lenses hold of the pitch's one-metre cells, or of the given places."""
    if not lenses:
        raise WrongUse("no lens given", thing=seat.name, next_step="Name at least one lens.")
    places = cells(ground.pitch) if spots is None else spots
    things = obstacles(ground)
    chest_m = CHEST_M * height_m / PLAYER_HEIGHT_M
    feet = np.zeros(places.x_m.shape, dtype=bool)
    for mask in hidden(seat, things, places.x_m, places.y_m, FEET_M).values():
        feet |= mask
    return Coverage(
        seat=seat,
        lenses=lenses,
        spots=places,
        sized=tuple(holds_size(seat, sensor, lens, places, height_m=height_m) for lens in lenses),
        hidden=hidden(seat, things, places.x_m, places.y_m, chest_m),
        feet_hidden=feet,
    )
