"""The lens: how large a player stands in the frame at each distance, and what is sharp."""

from __future__ import annotations

import math

from setpiece.plan.coverage import LARGEST_SHARE, SMALLEST_SHARE
from setpiece.plan.drawings import canvas
from setpiece.plan.drawings.canvas import Drawing, percent
from setpiece.plan.optics import (
    NEAREST_IN_FOCAL_LENGTHS,
    Orientation,
    Sensor,
    angle_of_view_deg,
    depth_of_field,
    field_m,
    share_of_frame,
)

WIDTH = 480.0
DISTANCES_M = (10.0, 20.0, 30.0, 40.0, 60.0, 80.0)


def draw_lens(
    sensor: Sensor,
    focal_length_mm: float,
    f_number: float,
    distances_m: tuple[float, ...] = DISTANCES_M,
) -> Drawing:
    """A player in the frame at each distance, landscape and portrait, and the depth of field.

    Distances nearer than the formulas hold are left out.
    """
    nearest = NEAREST_IN_FOCAL_LENGTHS * focal_length_mm / 1000
    shown = tuple(d for d in distances_m if d >= nearest)[:6]
    angles = ", ".join(
        f"{angle_of_view_deg(side, focal_length_mm):.1f}° {name}"
        for name, side in (
            ("across", sensor.width_mm),
            ("up", sensor.height_mm),
            ("corner to corner", sensor.diagonal_mm),
        )
    )
    title = f"{focal_length_mm:g} mm at f/{f_number:g}"
    parts = [canvas.masthead(WIDTH, title, f"Angle of view {angles}")]
    y = canvas.HEAD + 24
    columns = [16 + n * (WIDTH - 32) / 6 for n in range(len(shown))]
    wide = (WIDTH - 32) / 6 - 8
    parts += [canvas.text(x, y, f"{d:g} m", "big") for x, d in zip(columns, shown, strict=True)]
    y += 10
    for orientation in Orientation:
        height = 0.0
        for x, distance in zip(columns, shown, strict=True):
            cell, height = _cell(sensor, orientation, focal_length_mm, distance, x, y, wide)
            parts.append(cell)
        y += height + 26
    parts.append(canvas.line(16, y - 4, WIDTH - 16, y - 4, "rule"))
    y += 14
    depths = [depth_of_field(focal_length_mm, f_number, d, sensor.circle_mm) for d in shown]
    rows = (
        ("sharp from", [f"{depth.near_m:.2f} m" for depth in depths]),
        ("to", [_far(depth.far_m) for depth in depths]),
        (
            "frame spans",
            [f"{field_m(sensor.width_mm, focal_length_mm, d):.1f} m" for d in shown],
        ),
    )
    for name, values in rows:
        parts.append(canvas.text(16, y, name, "caps"))
        y += 15
        parts += [canvas.text(x, y, v) for x, v in zip(columns, values, strict=True)]
        y += 18
    parts.append(
        canvas.text(
            16, y, f"Strong: 40 to 90 % of the frame. Circle {sensor.circle_mm:.3f} mm.", "note"
        )
    )
    return Drawing(
        WIDTH,
        y + 14,
        title,
        "A 1.8 m player in the frame at each distance, and what is sharp there.",
        "".join(parts),
    )


def _cell(
    sensor: Sensor,
    orientation: Orientation,
    focal_length_mm: float,
    distance_m: float,
    x: float,
    y: float,
    wide: float,
) -> tuple[str, float]:
    """One frame with the player in it, her share below, and the frame's height.

    Frames of both orientations are drawn to one scale, so that sizes compare.
    """
    across_mm, up_mm = sensor.sides_mm(orientation)
    scale = wide / max(across_mm, up_mm)
    frame_wide, high = across_mm * scale, up_mm * scale
    share = share_of_frame(up_mm, focal_length_mm, distance_m)
    good = SMALLEST_SHARE <= share <= LARGEST_SHARE
    name = f"lens-{orientation}-{distance_m:g}".replace(".", "-")
    foot = y + high - max(0.04, (1 - share) / 2) * high if share < 1 else y + high * (1 + share) / 2
    return (
        canvas.group(
            canvas.clip_rect(name, x, y, frame_wide, high),
            canvas.rect(x, y, frame_wide, high, "frame"),
            canvas.group(
                canvas.rect(x, y + high * 0.55, frame_wide, high * 0.45, "turf"),
                canvas.figure(
                    x + frame_wide / 2, foot, share * high, "figure" if good else "figure-out"
                ),
                clip=name,
            ),
            canvas.text(x, y + high + 14, percent(share), "name" if good else "note"),
        ),
        high,
    )


def _far(far_m: float) -> str:
    return "endless" if math.isinf(far_m) else f"{far_m:.2f} m"
