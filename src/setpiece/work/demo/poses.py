"""Attitudes of the drawn people, read from `poses.toml`, and the joints they give.

Angles are in degrees. A limb's `lift` is 0 hanging down, 90 level, 180 straight up; its `plane`
is 0 forward, 90 out to its own side, 180 backward, -90 across the body. Lengths are in body
heights. Proportions are common drawing practice (about seven and a half heads), no source.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field
from functools import lru_cache
from importlib.resources import files
from math import cos, radians, sin
from typing import Any

import numpy as np
from numpy.typing import NDArray

Vec = NDArray[np.float64]

SHIN, THIGH, SPINE = 0.232, 0.242, 0.287
UPPER_ARM, FOREARM = 0.160, 0.140
SHOULDER_HALF, HIP_HALF = 0.104, 0.052
ANKLE_UP, NECK_TO_HEAD = 0.042, 0.113


@dataclass(frozen=True, slots=True)
class Limb:
    """Two bones: the upper one's lift and plane, then the lower one's."""

    lift: float
    plane: float
    lower_lift: float
    lower_plane: float


@dataclass(frozen=True, slots=True)
class Pose:
    """One attitude of a body. `roll` turns the whole body in the picture, clockwise positive."""

    left_arm: Limb
    right_arm: Limb
    left_leg: Limb
    right_leg: Limb
    lean: float = 0.0
    lean_plane: float = 0.0
    twist: float = 0.0
    roll: float = 0.0
    head_turn: float = 0.0
    head_nod: float = 0.0
    open_mouth: bool = False
    off_ground: float = 0.0


@dataclass(frozen=True, slots=True)
class Joints:
    """Joints in the picture plane: x right, y up, z towards the lens; the feet stand at y = 0.

    `across` is the body's own left on the shoulder line, `up` the spine, `front` the chest's
    outward direction: unit vectors.
    """

    points: dict[str, Vec]
    across: Vec
    up: Vec
    front: Vec
    head_yaw_deg: float = 0.0
    lowest: float = field(default=0.0)


def _direction(forward: Vec, side: Vec, lift: float, plane: float) -> Vec:
    out = sin(radians(lift)) * (cos(radians(plane)) * forward + sin(radians(plane)) * side)
    return np.asarray(out - cos(radians(lift)) * np.array([0.0, 1.0, 0.0]))


def joints(pose: Pose, yaw_deg: float) -> Joints:
    """The joints of a body turned by `yaw_deg`: 0 faces the lens, 90 the right of the picture."""
    yaw = radians(yaw_deg)
    forward = np.array([sin(yaw), 0.0, cos(yaw)])
    left = np.array([cos(yaw), 0.0, -sin(yaw)])
    lean = _direction(forward, left, 180 - pose.lean, pose.lean_plane)
    turn = radians(pose.twist)
    across = cos(turn) * left + sin(turn) * forward
    across = across - np.dot(across, lean) * lean
    across = across / np.linalg.norm(across)
    front = np.cross(across, lean)
    hip = np.zeros(3)
    neck = hip + SPINE * lean
    points: dict[str, Vec] = {"hip": hip, "neck": neck}
    for name, sign, arm, leg in (
        ("left", 1.0, pose.left_arm, pose.left_leg),
        ("right", -1.0, pose.right_arm, pose.right_leg),
    ):
        shoulder = neck + sign * SHOULDER_HALF * across - 0.012 * lean
        chest_forward = np.cross(across, np.array([0.0, 1.0, 0.0]))
        chest_forward = chest_forward / max(float(np.linalg.norm(chest_forward)), 1e-6)
        elbow = shoulder + UPPER_ARM * _direction(chest_forward, sign * across, arm.lift, arm.plane)
        hand = elbow + FOREARM * _direction(
            chest_forward, sign * across, arm.lower_lift, arm.lower_plane
        )
        thigh_top = hip + sign * HIP_HALF * left
        knee = thigh_top + THIGH * _direction(forward, sign * left, leg.lift, leg.plane)
        shin = _direction(forward, sign * left, leg.lower_lift, leg.lower_plane)
        ankle = knee + SHIN * shin
        flat = 1.0 if leg.lower_lift < 40 else 0.45
        toe_way = flat * forward + (1 - flat) * shin + np.array([0.0, -0.18 * flat, 0.0])
        toe = ankle + 0.088 * toe_way / np.linalg.norm(toe_way) + np.array([0.0, -0.012, 0.0])
        points |= {
            f"{name} shoulder": shoulder,
            f"{name} elbow": elbow,
            f"{name} hand": hand,
            f"{name} thigh": thigh_top,
            f"{name} knee": knee,
            f"{name} ankle": ankle,
            f"{name} toe": toe,
        }
    points["head"] = neck + NECK_TO_HEAD * (
        lean * cos(radians(pose.head_nod)) + front * sin(radians(pose.head_nod))
    )
    if pose.roll:
        points = {name: _rolled(p, pose.roll) for name, p in points.items()}
        across, lean, front = (_rolled(v, pose.roll) for v in (across, lean, front))
    lowest = min(
        min(float(points[f"{s} ankle"][1]) - ANKLE_UP, float(points[f"{s} toe"][1]) - 0.016)
        for s in ("left", "right")
    )
    if abs(pose.roll) > 45 or pose.lean > 60:
        lowest = min(lowest, *(float(p[1]) - 0.04 for p in points.values()))
    shift = np.array([0.0, pose.off_ground - lowest, 0.0])
    return Joints(
        {name: p + shift for name, p in points.items()},
        across,
        lean,
        front,
        head_yaw_deg=yaw_deg + pose.head_turn,
        lowest=pose.off_ground,
    )


def _rolled(point: Vec, roll_deg: float) -> Vec:
    c, s = cos(radians(roll_deg)), sin(radians(roll_deg))
    return np.array([c * point[0] + s * point[1], -s * point[0] + c * point[1], point[2]])


@lru_cache(maxsize=1)
def poses() -> dict[str, Pose]:
    """Every attitude, by the name the shot plan gives it, from `poses.toml`."""
    table = tomllib.loads(files(__package__).joinpath("poses.toml").read_text(encoding="utf-8"))
    return {name: _pose(row) for name, row in table.items()}


def _pose(row: dict[str, Any]) -> Pose:
    values: dict[str, Any] = {k: Limb(*v) if isinstance(v, list) else v for k, v in row.items()}
    return Pose(**values)
