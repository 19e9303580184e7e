"""Closed forms against simulation: rays marched in small steps, flights in small time steps.

Nothing here uses the room's own projection, occlusion or flight: only its results are compared.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from setpiece.plan.camera import Camera, Seat
from setpiece.plan.coverage import CHEST_M, cells, cover
from setpiece.plan.flight import Ball, Kick, free_kick, header, penalty
from setpiece.plan.ground import Boards, Dugout, Flank, Ground
from setpiece.plan.occlusion import obstacles
from setpiece.plan.optics import Lens, Orientation, Sensor
from setpiece.plan.penalty import held
from setpiece.plan.pitch import End

CELLS_SHARE = 0.005  # what coverage may differ by
FRAMES = 0.01  # what frame counts may differ by

GROUND = Ground(
    dugouts=(Dugout(Flank.RIGHT, "home dugout", 42), Dugout(Flank.RIGHT, "away dugout", 63)),
    boards=(Boards(Flank.NEAR, 0.95, 4.0), Boards(Flank.LEFT, 1.0, 3.0)),
)
SEATS = [
    Seat("behind the goal line", -14, -5, 1.15),
    Seat("close to the post", 4.6, -3, 0.6),
    Seat("touch line", 39, 30, 1.1),
    Seat("gantry", -45, 52, 14),
]


def sized_by_projection(seat: Seat, sensor: Sensor, lens: Lens) -> np.ndarray:
    """Cells where feet and head, projected apart, span 40 to 90 % of the frame at some zoom."""
    spots = cells(GROUND.pitch)
    level = np.hypot(spots.x_m - seat.x_m, spots.y_m - seat.y_m)
    to_middle = np.arctan2(0.9 - seat.lens_height_m, level)
    distance_mm = 1000 * np.hypot(level, 0.9 - seat.lens_height_m)
    up = np.tan(np.arctan2(1.8 - seat.lens_height_m, level) - to_middle)
    down = np.tan(np.arctan2(0 - seat.lens_height_m, level) - to_middle)
    found = np.zeros(level.shape, dtype=bool)
    shortest, longest = lens.focal_lengths_mm
    for focal in np.linspace(shortest, longest, 1 if shortest == longest else 120):
        image_mm = focal * distance_mm / np.maximum(distance_mm - focal, 1e-9)
        for side in (sensor.height_mm, sensor.width_mm):
            share = image_mm * (up - down) / side
            found |= (share >= 0.4) & (share <= 0.9) & (distance_mm > 2 * longest)
    return found


def blocked_by_marching(seat: Seat, z_m: float, step: float = 0.015) -> np.ndarray:
    """Cells whose sight line, walked in small steps, comes to stand inside something."""
    spots = cells(GROUND.pitch)
    x, y = spots.x_m.ravel(), spots.y_m.ravel()
    blocks = [thing.block for thing in obstacles(GROUND)]
    far = np.sqrt((x - seat.x_m) ** 2 + (y - seat.y_m) ** 2)
    found = np.zeros(x.shape, dtype=bool)
    for walked in np.arange(0, far.max(), step):
        on = ~found & (walked < far)
        part = walked / far[on]
        px = seat.x_m + part * (x[on] - seat.x_m)
        py = seat.y_m + part * (y[on] - seat.y_m)
        pz = seat.lens_height_m + part * (z_m - seat.lens_height_m)
        inside = np.zeros(px.shape, dtype=bool)
        for b in blocks:
            inside |= (
                (px >= b.left_m)
                & (px <= b.right_m)
                & (py >= b.bottom_m)
                & (py <= b.top_m)
                & (pz <= b.height_m)
            )
        found[np.flatnonzero(on)[inside]] = True
    return found.reshape(spots.x_m.shape)


@pytest.mark.parametrize("seat", SEATS, ids=[s.name for s in SEATS])
@pytest.mark.parametrize("lens", [Lens(400, 400), Lens(70, 200), Lens(300, 300, converter=1.4)])
def test_size_in_the_frame_agrees_with_projected_players(seat: Seat, lens: Lens) -> None:
    """On all but half a per cent of the cells the closed form and the projection agree."""
    sensor = Sensor()
    ours = cover(GROUND, seat, sensor, (lens,)).sized[0]
    assert np.mean(ours != sized_by_projection(seat, sensor, lens)) <= CELLS_SHARE


@pytest.mark.parametrize("seat", SEATS, ids=[s.name for s in SEATS])
def test_what_is_hidden_agrees_with_marched_rays(seat: Seat) -> None:
    """On all but half a per cent of the cells the slabs and the marched rays agree."""
    ours = ~cover(GROUND, seat, Sensor(), (Lens(400, 400),)).clear
    assert np.mean(ours != blocked_by_marching(seat, CHEST_M)) <= CELLS_SHARE


def flight_in_steps(kick: Kick, step: float = 2e-5) -> tuple[np.ndarray, np.ndarray]:
    """Times and distances of the ball by Euler steps, to its target."""
    k = kick.ball.air_kg_m3 * kick.ball.area_m2 * kick.ball.drag_coefficient / 2
    x, v, way = 0.0, kick.launch_speed_m_s, [0.0]
    while x < kick.distance_m:
        v -= k * v * v / kick.ball.mass_kg * step
        x += v * step
        way.append(min(x, kick.distance_m))
    return np.arange(len(way)) * step, np.array(way)


def frame_place(seat: Seat, points: np.ndarray, pan: np.ndarray, tilt: np.ndarray) -> tuple:
    """Tangents right and up of each point under each aim: shape (aims, points)."""
    ray = points - np.array(seat.lens)
    level = np.hypot(ray[:, 0], ray[:, 1])
    bearing = np.arctan2(ray[:, 0], ray[:, 1])
    turn = bearing[None, :] - pan[:, None]
    ahead = level * np.cos(turn) * np.cos(tilt[:, None]) + ray[:, 2] * np.sin(tilt[:, None])
    up = ray[:, 2] * np.cos(tilt[:, None]) - level * np.cos(turn) * np.sin(tilt[:, None])
    return level * np.sin(turn) / ahead, up / ahead


def window_by_search(camera: Camera, kick: Kick) -> float:
    """The longest time both stay inside, over every aim of a fine net, narrowed three times."""
    times, way = flight_in_steps(kick)
    every = max(1, len(times) // 1500)
    times, way = times[::every], way[::every]
    start, target = np.array(kick.start), np.array(kick.target)
    balls = start + (way / kick.distance_m)[:, None] * (target - start)
    across, up = camera.sensor.sides_mm(camera.orientation)
    right, high = across / 2 / camera.focal_length_mm, up / 2 / camera.focal_length_mm
    ray = start - np.array(camera.seat.lens)
    pan = math.atan2(ray[0], ray[1])
    tilt = math.atan2(ray[2], math.hypot(ray[0], ray[1]))
    reach_pan, reach_tilt = math.atan(right) * 1.05, math.atan(high) * 1.05
    best = 0.0
    for _ in range(4):
        pans, tilts = np.meshgrid(
            np.linspace(pan - reach_pan, pan + reach_pan, 41),
            np.linspace(tilt - reach_tilt, tilt + reach_tilt, 21),
        )
        u, v = frame_place(camera.seat, balls, pans.ravel(), tilts.ravel())
        inside = (
            (np.abs(u) <= right)
            & (np.abs(v) <= high)
            & inside_start(camera.seat, start, pans.ravel(), tilts.ravel(), right, high)
        )
        stays = np.cumprod(inside, axis=1).sum(axis=1)
        top = int(np.argmax(stays))
        if stays[top]:
            best = max(best, float(times[stays[top] - 1]))
        pan, tilt = float(pans.ravel()[top]), float(tilts.ravel()[top])
        reach_pan, reach_tilt = reach_pan / 8, reach_tilt / 4
    return best


def inside_start(
    seat: Seat, start: np.ndarray, pan: np.ndarray, tilt: np.ndarray, right: float, high: float
) -> np.ndarray:
    """Aims that have the striker on the frame."""
    u, v = frame_place(seat, start[None, :], pan, tilt)
    return (np.abs(u) <= right) & (np.abs(v) <= high)


def mean_frames_by_phase(camera: Camera, window_s: float) -> tuple[float, dict[int, float]]:
    """Frames wholly inside the window, counted for 20,000 phases."""
    phases = (np.arange(20_000) + 0.5) / 20_000 / camera.frames_per_s
    frames = np.arange(0, 60)[None, :] / camera.frames_per_s + phases[:, None]
    counts = (frames + camera.exposure_s <= window_s).sum(axis=1)
    values, times = np.unique(counts, return_counts=True)
    shares = {int(v): float(n) / len(phases) for v, n in zip(values, times, strict=True)}
    return float(counts.mean()), shares


LANDSCAPE, PORTRAIT = Orientation.LANDSCAPE, Orientation.PORTRAIT
STRIKES = [
    (Camera(SEATS[0], 200, LANDSCAPE, 20), penalty(28)),
    (Camera(SEATS[0], 400, PORTRAIT, 30, 1 / 1000), penalty(33, aim_x_m=3.2, aim_height_m=0.3)),
    (Camera(SEATS[1], 300, LANDSCAPE, 20, 1 / 2000), penalty(25, aim_x_m=-3.2, aim_height_m=2.2)),
    (Camera(SEATS[2], 135, PORTRAIT, 12, 1 / 500), penalty(20)),
    (Camera(SEATS[0], 400, LANDSCAPE, 20), penalty(24, end=End.FAR)),
    (Camera(SEATS[2], 85, LANDSCAPE, 20, 1 / 1250), free_kick(-8, 22, 27, ball=Ball(0.45, 0.25))),
    (Camera(SEATS[0], 70, LANDSCAPE, 20, 1 / 1600), header(13, x_m=3, y_m=7, height_m=2.3)),
    (Camera(SEATS[3], 600, PORTRAIT, 20, 1 / 1000), penalty(30)),
]


@pytest.mark.parametrize(("camera", "kick"), STRIKES)
def test_frames_with_both_agree_with_a_search_over_aims_and_phases(
    camera: Camera, kick: Kick
) -> None:
    """No aim of a fine net holds both longer, and counting phases gives the same chances."""
    ours = held(camera, kick)
    searched = window_by_search(camera, kick)
    assert searched * camera.frames_per_s == pytest.approx(
        ours.window_s * camera.frames_per_s, abs=FRAMES
    )
    mean, shares = mean_frames_by_phase(camera, ours.window_s)
    assert mean == pytest.approx(ours.mean, abs=FRAMES)
    for count in {*shares, *ours.frames}:
        assert shares.get(count, 0) == pytest.approx(ours.frames.get(count, 0), abs=FRAMES)
