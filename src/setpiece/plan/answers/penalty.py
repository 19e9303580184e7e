"""What the penalty command answers: a penalty at both goals, a free kick or a header."""

from __future__ import annotations

from dataclasses import replace

from typing_extensions import TypedDict

from setpiece.errors import WrongUse
from setpiece.plan.answers import CautionSaid, cautions_of, short
from setpiece.plan.camera import Camera
from setpiece.plan.caution import Part
from setpiece.plan.coverage import CHEST_M
from setpiece.plan.flight import CRITICAL_DRAG, Kick
from setpiece.plan.ground import Ground
from setpiece.plan.occlusion import hides, obstacles
from setpiece.plan.optics import PLAYER_HEIGHT_M, Orientation
from setpiece.plan.penalty import frames_by_speed, held, longest_focal_mm, most_frames
from setpiece.plan.pitch import End, goal_angle_deg

SPEEDS_M_S = (20.0, 25.0, 30.0, 35.0)
LEAST_DRAG = min(drag for _, drag in CRITICAL_DRAG)


class EndAnswer(TypedDict):
    """A strike at one goal.

    `frames` gives each possible number its chance; `window_s` is before the exposure is taken
    off. `flight_s_at_least_drag` is the flight of a ball at its critical speed, where drag is
    least; `goal_angle_deg` is how wide the goal looks from the ball. `ball_leaves_at_m` is null
    when the ball reaches its target first. `longest_focal_length_mm` is by number of frames kept
    for certain, then by orientation; `mean_by_speed` by orientation, then by speed in m/s.
    """

    end: str
    frames: dict[str, float]
    window_s: float
    mean: float
    flight_s: float
    flight_s_at_least_drag: float
    goal_angle_deg: float
    ball_travels_m: float
    ball_leaves_at_m: list[float] | None
    striker_share_of_height: float
    striker_hidden_by: list[str]
    longest_focal_length_mm: dict[str, dict[str, float]]
    mean_by_speed: dict[str, dict[str, float]]


class PenaltyAnswer(EndAnswer):
    """Everything `setpiece plan penalty` says; the keys at the top are of the strike's own goal.

    `mean_by_seat` gives the ground's own seats the same strike, by goal.
    """

    kick: str
    seat_m: list[float]
    focal_length_mm: float
    orientation: str
    frames_per_s: float
    exposure_s: float
    speed_m_s: float
    other_end: EndAnswer
    mean_by_seat: dict[str, dict[str, float]]
    cautions: list[CautionSaid]


def penalty_answer(ground: Ground, camera: Camera, kick: Kick) -> PenaltyAnswer:
    """The frames that hold striker and ball, at the kick's own end and at the other one.

    The keys of the kick's own goal stand at the top; `other_end` holds the same for the other
    goal, because a shoot-out may be at either.
    """
    other = _turned(ground, kick)
    here, there = _at_one_end(ground, camera, kick), _at_one_end(ground, camera, other)
    return {
        "kick": kick.what,
        "seat_m": list(camera.seat.lens),
        "focal_length_mm": camera.focal_length_mm,
        "orientation": str(camera.orientation),
        "frames_per_s": camera.frames_per_s,
        "exposure_s": camera.exposure_s,
        "speed_m_s": kick.launch_speed_m_s,
        **here,
        "other_end": there,
        "mean_by_seat": {
            seat.name: {
                end: short(held(replace(camera, seat=seat), one).mean, 2)
                for end, one in ((here["end"], kick), (there["end"], other))
            }
            for seat in ground.seats
        },
        "cautions": cautions_of(Part.PENALTY),
    }


def _turned(ground: Ground, kick: Kick) -> Kick:
    """The same kick at the other goal."""
    at = ground.pitch.at
    return replace(kick, start=at(End.FAR, kick.start), target=at(End.FAR, kick.target))


def _at_one_end(ground: Ground, camera: Camera, kick: Kick) -> EndAnswer:
    got = held(camera, kick)
    leaves = got.leaves_at
    end = End.NEAR if kick.target.y_m < ground.pitch.length_m / 2 else End.FAR
    ball = ground.pitch.at(end, kick.start)
    return {
        "end": str(end),
        "frames": {str(count): short(chance, 6) for count, chance in got.frames.items()},
        "window_s": short(got.window_s, 6),
        "mean": short(got.mean, 6),
        "flight_s": short(got.flight_s, 6),
        "flight_s_at_least_drag": short(
            replace(kick, ball=replace(kick.ball, drag_coefficient=LEAST_DRAG)).flight_s, 6
        ),
        "goal_angle_deg": short(goal_angle_deg(ball.x_m, ball.y_m), 2),
        "ball_travels_m": short(got.ball_m, 3),
        "ball_leaves_at_m": None if leaves is None else [short(v, 3) for v in leaves],
        "striker_share_of_height": short(
            PLAYER_HEIGHT_M
            * camera.focal_length_mm
            / camera.seat.distance_m(kick.start)
            / camera.sensor.sides_mm(camera.orientation)[1]
        ),
        "striker_hidden_by": sorted(
            str(cause)
            for cause in hides(camera.seat, obstacles(ground), kick.start._replace(z_m=CHEST_M))
        ),
        "longest_focal_length_mm": longest_by_frames(camera, kick),
        "mean_by_speed": {
            str(orientation): {
                f"{speed:g}": short(one.mean, 2)
                for speed, one in frames_by_speed(
                    replace(camera, orientation=orientation), kick, SPEEDS_M_S
                )
            }
            for orientation in Orientation
        },
    }


def longest_by_frames(camera: Camera, kick: Kick, most: int = 6) -> dict[str, dict[str, float]]:
    """For 1, 2, 3 ... frames whatever the phase: the longest focal length either way."""
    table: dict[str, dict[str, float]] = {}
    for frames in range(1, min(most, most_frames(kick, camera.frames_per_s)) + 1):
        row: dict[str, float] = {}
        for orientation in Orientation:
            try:
                longest = longest_focal_mm(replace(camera, orientation=orientation), kick, frames)
            except WrongUse:  # the exposure leaves no time for that many
                continue
            row[str(orientation)] = short(longest, 1)
        if row:
            table[str(frames)] = row
    return table
