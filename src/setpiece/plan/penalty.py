"""How many frames hold the one who strikes *and* the ball: a penalty, a free kick, a header.

From the strike on, both are in the frame for a window of L seconds: until the ball leaves the
frame, or reaches its target. A camera at r frames a second falls on that window with an unknown
phase, every phase as likely as another. A frame counts when both are in it for the whole
exposure t, so frames fit into L - t: floor((L - t) r) of them, and one more with the
probability of the fraction. Their mean is (L - t) r.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from setpiece.errors import WrongUse
from setpiece.plan.camera import Camera, longest_focal_for_pair_mm
from setpiece.plan.flight import Kick
from setpiece.plan.pitch import Point

_WHOLE = 1e-9  # a window this close to a whole number of frames holds exactly that number


@dataclass(frozen=True, slots=True)
class Held:
    """What one camera gets of one kick.

    `window_s` counts from the strike, before the exposure is taken off. `frames` gives each
    possible count its probability. `leaves_at` is where the ball leaves the frame, None when it
    reaches its target first; `ball_m` is how far it has come by then.
    """

    window_s: float
    flight_s: float
    frames: Mapping[int, float]
    mean: float
    ball_m: float
    leaves_at: Point | None


def held(camera: Camera, kick: Kick) -> Held:
    """The frames of a kick that hold the one who strikes and the ball, by the best aim."""
    whole = kick.distance_m
    way = whole if _fits(camera, kick, whole) else _last_fit(camera, kick, whole)
    window = kick.ball.time_s(way, kick.launch_speed_m_s)
    usable = max(0.0, window - camera.exposure_s)
    return Held(
        window_s=window,
        flight_s=kick.flight_s,
        frames=MappingProxyType(frame_counts(usable, camera.frames_per_s)),
        mean=usable * camera.frames_per_s,
        ball_m=way,
        leaves_at=None if way >= whole else kick.at_distance(way),
    )


def frame_counts(usable_s: float, frames_per_s: float) -> dict[int, float]:
    """The chance of each number of frames in that time when the phase is unknown."""
    expected = max(0.0, usable_s) * frames_per_s
    nearest = round(expected)
    if abs(expected - nearest) < _WHOLE:
        return {nearest: 1.0}
    fewer = math.floor(expected)
    more_likely = expected - fewer
    return {fewer: 1.0 - more_likely, fewer + 1: more_likely}


def longest_focal_mm(camera: Camera, kick: Kick, frames: int) -> float:
    """The longest focal length that keeps that many frames whatever the phase.

    The camera's own focal length plays no part. Raises WrongUse when the ball reaches its
    target before that many frames are made.
    """
    if frames < 1:
        raise WrongUse("ask for at least one frame", thing=str(frames))
    needed_s = frames / camera.frames_per_s + camera.exposure_s
    if needed_s > kick.flight_s:
        raise WrongUse(
            f"the ball is there after {kick.flight_s:.3f} s, {frames} frames take {needed_s:.3f} s",
            thing=kick.what,
            next_step="Ask for fewer frames or set a faster frame rate.",
        )
    return longest_focal_for_pair_mm(
        camera.seat, camera.sensor, camera.orientation, kick.start, kick.at_time(needed_s)
    )


def most_frames(kick: Kick, frames_per_s: float, exposure_s: float = 0.0) -> int:
    """How many frames the flight itself has room for, whatever the phase."""
    return max(0, math.floor((kick.flight_s - exposure_s) * frames_per_s + _WHOLE))


def frames_by_speed(
    camera: Camera, kick: Kick, speeds_m_s: Iterable[float]
) -> tuple[tuple[float, Held], ...]:
    """The same kick at several launch speeds."""
    return tuple(
        (speed, held(camera, Kick(kick.start, kick.target, speed, kick.ball, kick.what)))
        for speed in speeds_m_s
    )


def _fits(camera: Camera, kick: Kick, way_m: float) -> bool:
    """Whether striker and ball fit in the frame when the ball has come that far."""
    allowed = longest_focal_for_pair_mm(
        camera.seat, camera.sensor, camera.orientation, kick.start, kick.at_distance(way_m)
    )
    return camera.focal_length_mm <= allowed * (1 + 1e-12)


def _last_fit(camera: Camera, kick: Kick, too_far_m: float) -> float:
    """The way after which the ball leaves the frame, by halving to a micrometre.

    Both fitting at one way, they fit at every shorter one under the same aim: the way is
    straight, so its picture is, and a frame has no dents.
    """
    fits_m = 0.0
    while too_far_m - fits_m > 1e-6:
        middle = (fits_m + too_far_m) / 2
        if _fits(camera, kick, middle):
            fits_m = middle
        else:
            too_far_m = middle
    return fits_m
