"""A penalty or a free kick, planned against got: the plan's arithmetic on what was really set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from setpiece.plan.camera import Camera, Seat
from setpiece.plan.flight import Kick
from setpiece.plan.optics import Orientation
from setpiece.plan.penalty import held, longest_focal_mm, most_frames

BEFORE_S, AFTER_S = 0.7, 1.3
"""How far around the strike frames are shown."""

USUAL_SPEED_M_S = {"penalty": 28.0, "free kick": 27.0}
"""Taken where no speed is told: the middle of the speeds docs/planning.md names."""


@dataclass(frozen=True, slots=True)
class Planned:
    """What a camera could get of a kick from a seat.

    `better` holds, for each number of frames the flight has room for, the longest focal length
    that keeps them for certain.
    """

    mean: float
    window_s: float
    flight_s: float
    better: tuple[tuple[int, float], ...]


def planned(camera: Camera, kick: Kick) -> Planned:
    """The plan's answer for that camera."""
    got = held(camera, kick)
    most = most_frames(kick, camera.frames_per_s, camera.exposure_s)
    better = tuple((n, longest_focal_mm(camera, kick, n)) for n in range(1, most + 1))
    return Planned(got.mean, got.window_s, got.flight_s, better)


def camera_at(
    seat: Seat, focal_length_mm: float, exposure_s: float, rate: float, *, upright: bool
) -> Camera:
    """The camera as it was set, its exposure no longer than its frame rate leaves time for."""
    way = Orientation.PORTRAIT if upright else Orientation.LANDSCAPE
    return Camera(seat, focal_length_mm, way, rate, min(exposure_s, 1 / rate))


def rate_of(offsets_s: Sequence[float]) -> float | None:
    """Frames a second of a burst: one over the middle gap, None for fewer than three frames."""
    ordered = sorted(offsets_s)
    gaps = [b - a for a, b in pairwise(ordered) if b > a]
    return 1 / median(gaps) if len(gaps) >= 2 else None


def spread(stamps_s: Sequence[float], resolution_s: float) -> tuple[float, ...]:
    """When the frames of one burst were made, in order, by stamps that a camera cut.

    A camera that stamps whole seconds says of many frames the same: they are taken as evenly
    spaced, by the middle of the gaps that the stamps leave possible. Stamps that tell the frames
    apart stay as they are.
    """
    stamps = list(stamps_s)
    pairs = [(j - i, stamps[j] - stamps[i]) for i in range(len(stamps)) for j in
             range(i + 1, len(stamps))]  # fmt: skip
    if not pairs or all(apart > 0 for _, apart in pairs):
        return tuple(stamps)
    least = max(0.0, *((apart - resolution_s) / count for count, apart in pairs))
    most = min((apart + resolution_s) / count for count, apart in pairs)
    if most <= least:  # no even spacing fits: a pause within the burst
        return tuple(stamps)
    gap_s = (least + most) / 2
    earliest = max(stamp - gap_s * i for i, stamp in enumerate(stamps))
    latest = min(stamp + resolution_s - gap_s * i for i, stamp in enumerate(stamps))
    start_s = (earliest + max(earliest, latest)) / 2
    return tuple(start_s + gap_s * i for i in range(len(stamps)))
