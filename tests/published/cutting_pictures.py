"""Pictures that cuttings are tried with: photographs that Debian packages carry, drawn bursts.

No football photographs under an open licence were at hand. Photographs come from the packages
lomiri-wallpapers-16.04 and mate-backgrounds (CC BY, CC BY-SA, GPL; read, never copied); the long
form takes what else lies in the folders of SETPIECE_PHOTOGRAPHS too. Bursts are drawn by the
demo: players move between frames, the camera wanders, and every frame has its own grain.
"""

from __future__ import annotations

import os
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import groupby
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from setpiece.errors import BadFile
from setpiece.pictures.features import fitted
from setpiece.pictures.opening import opened_picture
from setpiece.work.demo.exposures import Exposure, exposures, passage, take_of
from setpiece.work.demo.scene import Set
from setpiece.work.demo.staging import scene_of

Pixels = NDArray[np.uint8]

PACKAGES = ("lomiri-wallpapers-16.04", "mate-backgrounds")

PHOTOGRAPHS = (
    "seeding_by_Clements_Engelhardt", "life_by_Aitzol_Berasategi", "greentock_by_Peter_Nerlich",
    "picosdeeuropa_by_Aitzol_Berasategi", "Picture_0B_by_freespace", "Wine_by_Jakkub_Mede",
    "aitzgorri_by_Aitzol_Berasategi", "sunset_by_Aitzol_Berasategi", "free_by_Peter_Nerlich",
    "Picture_1A_by_freespace", "Bridge_by_Sander_Klootwijk", "Dragonfly_by_Bolly",
    "friends_by_Aitzol_Berasategi", "TwoWings", "Dune", "Garden", "Wood", "Storm", "GreenMeadow",
    "Aqua", "LadyBird", "YellowFlower", "RainDrops", "Blinds", "FreshFlower",
)  # fmt: skip
"""The photographs among those packages' pictures; the others are drawings and patterns."""

_LONG_SIDE_PX = 1600
_SMALLER = 2
_LEAST_PX = 240


def _places() -> list[Path]:
    named = os.environ.get("SETPIECE_PHOTOGRAPHS", "")
    more = [Path(p) for p in named.split(os.pathsep) if p]
    return [Path("/usr/share/backgrounds"), *more]


@lru_cache(maxsize=1)
def _files() -> dict[str, Path]:
    """Every picture below the places, by its path's end; the same picture once."""
    endings = {".jpg", ".jpeg", ".png", ".webp"}
    found: dict[str, Path] = {}
    for place in _places():
        for path in sorted(place.rglob("*")) if place.is_dir() else ():
            if path.suffix.lower() in endings and path.is_file() and not path.is_symlink():
                found.setdefault("/".join(path.parts[-3:]), path)
    return found


def opened(path: Path) -> Pixels | None:
    """The picture at 1,600 px; None where it is none, or too small to try."""
    try:
        rgb = fitted(opened_picture(path.read_bytes()), _LONG_SIDE_PX)
    except BadFile:
        return None
    return rgb if min(rgb.shape[:2]) >= _LEAST_PX else None


def photographs(most: int | None = None) -> dict[str, Pixels]:
    """The photographs of the archive, by name. Skips without the packages, fails in CI."""
    known = {p.stem: p for p in _files().values() if p.stem in PHOTOGRAPHS}
    if len(known) < len(PHOTOGRAPHS):
        reason = f"photographs are not installed: apt-get install {' '.join(PACKAGES)}"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    found = {name: opened(known[name]) for name in PHOTOGRAPHS[:most]}
    return {name: rgb for name, rgb in found.items() if rgb is not None}


def strangers(most: int, archived: Collection[str]) -> Iterator[tuple[str, Pixels]]:
    """Pictures that are not archived: each whole and in quarters, then in 9, 16 and 25 pieces."""
    files = [path for path in _files().values() if path.stem not in archived]
    for depths in ((1, 2), (3,), (4,), (5,)):
        for path in files:
            rgb = opened(path)
            if rgb is None:
                continue
            for depth in depths:
                for part, piece in enumerate(_pieces(rgb, depth)):
                    if most <= 0:
                        return
                    if piece.std() < 4:  # nothing is on it
                        continue
                    most -= 1
                    yield f"{path.parent.name} {path.stem} {depth}.{part}", piece


def _pieces(rgb: Pixels, depth: int) -> list[Pixels]:
    rows, columns = rgb.shape[0] // depth, rgb.shape[1] // depth
    if min(rows, columns) < _LEAST_PX * 2 // 3:
        return []
    return [
        np.ascontiguousarray(rgb[y * rows : (y + 1) * rows, x * columns : (x + 1) * columns])
        for y in range(depth)
        for x in range(depth)
    ]


@dataclass(frozen=True)
class Shot:
    """A drawn frame of a burst: the burst's name, its place in it, its pixels."""

    burst: str
    number: int
    exposure: Exposure
    rgb: Pixels


def bursts(most: int | None = None) -> list[list[Shot]]:
    """Bursts of the demo's match, evenly over it, drawn at half size; none of clock cards."""
    ordered = sorted(exposures(), key=lambda e: (e.passage, e.take, e.number_in_take))
    groups = [list(of) for _, of in groupby(ordered, key=lambda e: (e.passage, e.take))]
    groups = [frames for frames in groups if frames[0].card_newest is None]
    step = 1 if most is None else -(-len(groups) // most)
    return [_drawn(f"{frames[0].passage}-{frames[0].take}", frames) for frames in groups[::step]]


def _drawn(name: str, frames: list[Exposure]) -> list[Shot]:
    cv2.setNumThreads(1)
    whole = scene_of(take_of(frames[0]), passage(frames[0].passage).start)
    view = replace(
        whole.view,
        width_px=whole.view.width_px // _SMALLER,
        height_px=whole.view.height_px // _SMALLER,
    )
    drawing = Set(replace(whole, view=view))
    shots = []
    for frame in frames:
        x, y = frame.moment.pan_px
        moment = replace(
            frame.moment,
            pan_px=(x // _SMALLER, y // _SMALLER),
            soft_px=frame.moment.soft_px / _SMALLER,
        )
        shots.append(Shot(name, frame.number_in_take, frame, drawing.frame(moment)))
    return shots


def something_moved(one: Shot, other: Shot) -> bool:
    """Whether anybody or the ball moved between two frames of a burst, by the plan.

    Where nobody did, as in a team that stands for its picture, two frames cannot be told apart.
    """
    take = take_of(one.exposure)
    apart_s = abs(one.exposure.moment.after_s - other.exposure.moment.after_s)
    if any(_moved(part.in_turn(take.count), one, other) for part in take.parts):
        return True
    if any(abs(part.drift) * apart_s > 0.002 for part in take.parts):
        return True
    ball = take.ball
    return ball is not None and (abs(ball.drift) + abs(ball.climb_m_s)) * apart_s > 0.01


def _moved(poses: tuple[str, ...], one: Shot, other: Shot) -> bool:
    return poses[one.number] != poses[other.number]
