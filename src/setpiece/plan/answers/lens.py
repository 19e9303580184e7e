"""What the lens command answers: angles, sizes, sharpness, blur and panning by distance."""

from __future__ import annotations

from dataclasses import dataclass

from typing_extensions import TypedDict

from setpiece.plan import motion
from setpiece.plan.answers import CautionSaid, cautions_of, short, short_or_endless
from setpiece.plan.caution import Part
from setpiece.plan.coverage import reach_m
from setpiece.plan.limits import within
from setpiece.plan.optics import (
    NEAREST_IN_FOCAL_LENGTHS,
    Lens,
    Orientation,
    Sensor,
    angle_of_view_deg,
    depth_of_field,
    field_m,
    focal_length_for_share_mm,
    hyperfocal_m,
    pixels_tall,
    share_of_frame,
)
from setpiece.plan.run import run_at_camera


@dataclass(frozen=True, slots=True)
class AtWork:
    """How a lens is used: exposure, frame rate, who moves how fast, which streaks are wanted."""

    exposure_s: float = 1 / 1000
    frames_per_s: float = 20.0
    speed_m_s: float = motion.SPRINT.speed_m_s
    blur_px: float = 2.0
    streak_px: float = 300.0
    mains_hz: float = 50.0
    flicker_factor: float = 0.05
    readout_s: float = motion.MEASURED_READOUTS_S[1]


class Flicker(TypedDict):
    """What the exposure leaves of the floodlights' ripple, and when nothing is left.

    `stops_by_class` is the same at the average limit of each class of ground (UEFA Stadium
    Lighting Guide 2023); `bands_in_frame` is how many bands an electronic shutter draws.
    """

    mains_hz: float
    flicker_factor: float
    stops_peak_to_peak: float
    stops_by_class: dict[str, float]
    bands_in_frame: float
    steady_exposures_s: list[float]


class RunHeld(TypedDict):
    """Someone who runs at the camera, from 40 to 90 % of the frame's height."""

    from_m: float
    to_m: float
    in_frame_s: float
    in_frame_frames: float


class MovementSeen(TypedDict):
    """Something that moves: its speed, its way in this exposure, the exposure for 1 cm of it."""

    name: str
    speed_m_s: float
    blur_cm: float
    exposure_for_1_cm_s: float
    source: str


class AtDistance(TypedDict):
    """One distance. `share_of_height` is by orientation; `sharp_to_m` is null when endless.

    `blur_px` and `exposure_for_blur_s` are by movement, across the line of sight. `lean_px` is
    how far an electronic shutter makes a sprint lean; `focal_length_for_half_mm` is the lens that
    would fill half of the height of a frame in landscape.
    """

    distance_m: float
    field_m: list[float]
    share_of_height: dict[str, float]
    player_px: float
    sharp_from_m: float
    sharp_to_m: float | None
    sharp_frames_of_a_run: float
    blur_px: dict[str, float]
    exposure_for_blur_s: dict[str, float]
    exposure_for_streak_s: float
    lean_px: float
    focal_length_for_half_mm: float


class LensAnswer(TypedDict):
    """Everything `setpiece plan lens` says. `run_at_camera` is by orientation."""

    lens: str
    focal_length_mm: float
    f_number: float
    sensor_mm: list[float]
    sensor_px: list[int]
    angle_of_view_deg: dict[str, float]
    holds_player_m: list[float]
    hyperfocal_m: float
    circle_of_confusion_mm: float
    exposure_s: float
    readout_s: float
    row_time_s: float
    accepted_blur_px: float
    movements: list[MovementSeen]
    flicker: Flicker
    run_speed_m_s: float
    run_at_camera: dict[str, RunHeld]
    distances: list[AtDistance]
    nearest_computed_m: float
    cautions: list[CautionSaid]


def lens_answer(
    sensor: Sensor,
    lens: Lens,
    focal_length_mm: float,
    distances_m: tuple[float, ...],
    work: AtWork,
) -> LensAnswer:
    """What one focal length of a lens shows, wide open. Distances out of range are left out."""
    nearest = NEAREST_IN_FOCAL_LENGTHS * focal_length_mm / 1000
    within(max(distances_m, default=0.0), nearest, 1000, what="the distance", unit="m")
    near, far = reach_m(sensor, lens)
    ripple = motion.remaining_ripple(work.flicker_factor, work.mains_hz, work.exposure_s)
    stop = lens.widest_f_number
    return {
        "lens": lens.name,
        "focal_length_mm": focal_length_mm,
        "f_number": short(stop, 2),
        "sensor_mm": [sensor.width_mm, sensor.height_mm],
        "sensor_px": [sensor.pixels_wide, sensor.pixels_high],
        "angle_of_view_deg": {
            name: short(angle_of_view_deg(side, focal_length_mm), 2)
            for name, side in (
                ("width", sensor.width_mm),
                ("height", sensor.height_mm),
                ("diagonal", sensor.diagonal_mm),
            )
        },
        "holds_player_m": [short(near, 2), short(far, 2)],
        "hyperfocal_m": short(hyperfocal_m(focal_length_mm, stop, sensor.circle_mm), 1),
        "circle_of_confusion_mm": short(sensor.circle_mm),
        "exposure_s": work.exposure_s,
        "readout_s": work.readout_s,
        "row_time_s": short(motion.row_time_s(work.readout_s, sensor.pixels_high), 9),
        "accepted_blur_px": work.blur_px,
        "movements": [
            {
                "name": movement.name,
                "speed_m_s": movement.speed_m_s,
                "blur_cm": short(motion.blur_cm(movement.speed_m_s, work.exposure_s), 2),
                "exposure_for_1_cm_s": short(0.01 / movement.speed_m_s, 7),
                "source": movement.source,
            }
            for movement in motion.MOVEMENTS
        ],
        "flicker": {
            "mains_hz": work.mains_hz,
            "flicker_factor": work.flicker_factor,
            "stops_peak_to_peak": short(motion.flicker_stops(ripple), 3),
            "stops_by_class": {
                name: short(
                    motion.flicker_stops(
                        motion.remaining_ripple(average, work.mains_hz, work.exposure_s)
                    ),
                    3,
                )
                for name, average, _ in motion.FLICKER_LIMITS
            },
            "bands_in_frame": short(motion.bands_in_frame(work.readout_s, work.mains_hz), 2),
            "steady_exposures_s": [short(t, 6) for t in motion.steady_exposures_s(work.mains_hz)],
        },
        "run_speed_m_s": work.speed_m_s,
        "run_at_camera": {
            str(way): _run(sensor, way, focal_length_mm, stop, far, work) for way in Orientation
        },
        "distances": [
            _at(sensor, focal_length_mm, stop, distance, work)
            for distance in distances_m
            if distance >= nearest
        ],
        "nearest_computed_m": nearest,
        "cautions": cautions_of(Part.LENS),
    }


def _run(
    sensor: Sensor, way: Orientation, focal_mm: float, stop: float, focus_m: float, work: AtWork
) -> RunHeld:
    """How long someone who runs at the camera has the right size in the frame."""
    run = run_at_camera(
        sensor,
        way,
        focal_mm,
        stop,
        speed_m_s=work.speed_m_s,
        frames_per_s=work.frames_per_s,
        focus_m=focus_m,
    )
    return {
        "from_m": short(run.first_m, 2),
        "to_m": short(run.last_m, 2),
        "in_frame_s": short(run.in_frame_s, 3),
        "in_frame_frames": short(run.in_frame_frames, 1),
    }


def _at(
    sensor: Sensor, focal_mm: float, stop: float, distance_m: float, work: AtWork
) -> AtDistance:
    depth = depth_of_field(focal_mm, stop, distance_m, sensor.circle_mm)
    run = run_at_camera(
        sensor,
        Orientation.LANDSCAPE,
        focal_mm,
        stop,
        speed_m_s=work.speed_m_s,
        frames_per_s=work.frames_per_s,
        focus_m=distance_m,
    )
    return {
        "distance_m": distance_m,
        "field_m": [
            short(field_m(side, focal_mm, distance_m), 2)
            for side in (sensor.width_mm, sensor.height_mm)
        ],
        "share_of_height": {
            str(way): short(share_of_frame(sensor.sides_mm(way)[1], focal_mm, distance_m))
            for way in Orientation
        },
        "player_px": short(pixels_tall(sensor, Orientation.LANDSCAPE, focal_mm, distance_m), 0),
        "sharp_from_m": short(depth.near_m, 2),
        "sharp_to_m": short_or_endless(depth.far_m, 2),
        "sharp_frames_of_a_run": short(run.sharp_frames, 1),
        "blur_px": {
            movement.name: short(
                motion.blur_px(sensor, focal_mm, distance_m, movement.speed_m_s, work.exposure_s), 1
            )
            for movement in motion.MOVEMENTS
        },
        "exposure_for_blur_s": {
            movement.name: short(
                motion.exposure_for_blur_s(
                    sensor, focal_mm, distance_m, movement.speed_m_s, work.blur_px
                ),
                7,
            )
            for movement in motion.MOVEMENTS
        },
        "lean_px": short(
            motion.lean_px(sensor, focal_mm, distance_m, work.speed_m_s, work.readout_s), 1
        ),
        "focal_length_for_half_mm": short(
            focal_length_for_share_mm(sensor.height_mm, distance_m, 0.5), 0
        ),
        "exposure_for_streak_s": short(
            motion.exposure_for_streak_s(
                sensor, focal_mm, distance_m, work.speed_m_s, work.streak_px
            ),
            7,
        ),
    }
