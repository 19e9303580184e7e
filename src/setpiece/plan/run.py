"""Someone runs straight at the camera: how long they fit the frame, and how long they are sharp.

in the frame from share a to share b: d = f (1 + H / (share x side)), t = (d_a - d_b) / v
sharp with the focus set: the depth of field about the focus distance, over the speed
"""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.errors import WrongUse
from setpiece.plan.limits import within
from setpiece.plan.optics import (
    PLAYER_HEIGHT_M,
    Depth,
    Orientation,
    Sensor,
    depth_of_field,
    distance_for_share_m,
)


@dataclass(frozen=True, slots=True)
class Run:
    """What one camera gets of a run.

    In the frame between the two distances; sharp, with the focus left where it was set, only
    within `depth`. Frames are means over the unknown phase.
    """

    first_m: float
    last_m: float
    in_frame_s: float
    in_frame_frames: float
    depth: Depth
    sharp_s: float
    sharp_frames: float


def run_at_camera(
    sensor: Sensor,
    orientation: Orientation,
    focal_length_mm: float,
    f_number: float,
    *,
    speed_m_s: float,
    frames_per_s: float,
    focus_m: float,
    from_share: float = 0.4,
    to_share: float = 0.9,
    height_m: float = PLAYER_HEIGHT_M,
) -> Run:
    """How many frames of a run at the camera hold someone whole, and how many are sharp.

    Shares are of the frame's height as the camera is held.
    """
    within(speed_m_s, 0.1, 15, what="the speed of a runner", unit="m/s")
    within(frames_per_s, 0.1, 240, what="a frame rate", unit="frames/s")
    if from_share >= to_share:
        raise WrongUse(
            "someone who comes nearer grows",
            thing=f"{from_share:g} to {to_share:g}",
            next_step="Give the smaller share first.",
        )
    up_mm = sensor.sides_mm(orientation)[1]
    first, last = (
        distance_for_share_m(up_mm, focal_length_mm, share, height_m=height_m)
        for share in (from_share, to_share)
    )
    depth = depth_of_field(focal_length_mm, f_number, focus_m, sensor.circle_mm)
    sharp_m = max(0.0, min(depth.far_m, first) - max(depth.near_m, last))
    in_frame_s = (first - last) / speed_m_s
    sharp_s = sharp_m / speed_m_s
    return Run(
        first_m=first,
        last_m=last,
        in_frame_s=in_frame_s,
        in_frame_frames=in_frame_s * frames_per_s,
        depth=depth,
        sharp_s=sharp_s,
        sharp_frames=sharp_s * frames_per_s,
    )
