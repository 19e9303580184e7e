"""Figures beside the drawings of the plan: what a photographer reads off before choosing."""

from __future__ import annotations

from dataclasses import dataclass, replace
from zoneinfo import ZoneInfo

from setpiece.plan.answers.lens import AtWork, lens_answer
from setpiece.plan.answers.light import clock, looks
from setpiece.plan.camera import Camera, Seat
from setpiece.plan.drawings.lens import DISTANCES_M
from setpiece.plan.flight import Kick
from setpiece.plan.ground import Ground
from setpiece.plan.light import DayLight
from setpiece.plan.motion import KICK, SPRINT
from setpiece.plan.optics import NEAREST_IN_FOCAL_LENGTHS, Lens, Orientation
from setpiece.plan.penalty import longest_focal_mm, most_frames
from setpiece.plan.typed import write_shutter
from setpiece.web.wording import Wording

MOST_ROWS = 6
LONGEST_MM = 2400
"""No lens is longer: beyond it any will do."""


@dataclass(frozen=True, slots=True)
class Figures:
    """A small table under a drawing; the first cell of a row is its name."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""


def strike_figures(camera: Camera, kick: Kick, words: Wording) -> Figures:
    """The longest focal length that keeps so many frames whatever the shutter's phase."""
    most = min(MOST_ROWS, most_frames(kick, camera.frames_per_s, camera.exposure_s))

    def longest(frames: int) -> tuple[str, ...]:
        held = (longest_focal_mm(replace(camera, orientation=w), kick, frames) for w in Orientation)
        return tuple(f"{mm:.0f} mm" if mm < LONGEST_MM else f"> {LONGEST_MM} mm" for mm in held)

    return Figures(
        words("plan.longest"),
        (words("plan.frames"), *(words(f"plan.orientation-{w}") for w in Orientation)),
        tuple((str(frames), *longest(frames)) for frames in range(1, most + 1)),
    )


def light_figures(
    ground: Ground, seat: Seat, day: DayLight, zone: ZoneInfo, words: Wording
) -> Figures:
    """How the sun falls on what the seat's camera looks at, through the match."""
    ends = (ground.near_end, ground.far_end)

    def row(light: int) -> tuple[str, ...]:
        then = day.through[light]
        falls = looks(ground, seat, then)
        lit = (words(f"lit.{falls[end].replace(' ', '-')}") for end in ends)
        return clock(then.at, zone), f"{then.sun.apparent_deg:.0f}°", *lit

    return Figures(
        words("plan.falls", seat=seat.name),
        ("", words("plan.sun"), *ends),
        tuple(row(n) for n in range(len(day.through))),
    )


def lens_figures(camera: Camera, lens: Lens, mains_hz: float, words: Wording) -> Figures:
    """Blur, shutter, panning and a run at the camera, by distance; and the floodlights' flicker."""
    work = AtWork(camera.exposure_s, camera.frames_per_s, mains_hz=mains_hz)
    nearest = NEAREST_IN_FOCAL_LENGTHS * camera.focal_length_mm / 1000
    distances = tuple(d for d in DISTANCES_M if d >= nearest) or (nearest,)
    answer = lens_answer(camera.sensor, lens, camera.focal_length_mm, distances, work)
    rows = tuple(
        (
            f"{at['distance_m']:g} m",
            f"{at['blur_px'][SPRINT.name]:.0f} px",
            f"{at['blur_px'][KICK.name]:.0f} px",
            write_shutter(at["exposure_for_blur_s"][SPRINT.name]),
            write_shutter(at["exposure_for_streak_s"]),
            f"{at['sharp_frames_of_a_run']:.0f}",
        )
        for at in answer["distances"]
    )
    flicker = answer["flicker"]
    steady = ", ".join(write_shutter(s) for s in flicker["steady_exposures_s"])
    return Figures(
        words("plan.moving", shutter=write_shutter(camera.exposure_s)),
        ("", *(words(f"plan.{k}") for k in ("sprint", "kick", "frozen", "streak", "run"))),
        rows,
        words("plan.flicker", stops=f"{flicker['stops_peak_to_peak']:.2f}", steady=steady),
    )
