"""The exposure: which ISO each lens needs for the light there is, and what grounds are asked."""

from __future__ import annotations

import math
from collections.abc import Callable

from setpiece.plan.drawings import canvas
from setpiece.plan.drawings.canvas import Drawing
from setpiece.plan.exposure import ISO_STEPS, STANDARDS, iso_for_lens, iso_to_set
from setpiece.plan.optics import Lens
from setpiece.plan.typed import write_shutter

WIDTH = 480.0
LOWEST_LX, HIGHEST_LX = 60.0, 4000.0
LOWEST_ISO, HIGHEST_ISO = 400.0, 51_200.0
PLOT = (46.0, 270.0)  # left edge, height
KINDS = 4


def draw_exposure(lenses: tuple[Lens, ...], exposure_s: float, illuminance_lx: float) -> Drawing:
    """ISO over light for each lens wide open, both in doublings; the light at hand marked."""
    left, height = PLOT
    top = canvas.HEAD + 30
    right, foot = WIDTH - 16, top + height

    def x(lux: float) -> float:
        along = math.log(lux / LOWEST_LX) / math.log(HIGHEST_LX / LOWEST_LX)
        return left + (right - left) * along

    def y(iso: float) -> float:
        up = math.log(iso / LOWEST_ISO) / math.log(HIGHEST_ISO / LOWEST_ISO)
        return foot - height * up

    parts = [
        canvas.masthead(
            WIDTH,
            f"ISO at {write_shutter(exposure_s)} s",
            f"Each lens wide open; the light here: {illuminance_lx:.0f} lx on the player, upright",
        ),
        canvas.clip_rect("exposure-plot", left, top, right - left, height),
        canvas.text(16, top - 10, "iso", "caps"),
    ]
    parts += _grid(x, y, left, right, top, foot)
    for place, alike in enumerate(_alike(lenses)):
        ends = [
            (x(lx), y(iso_for_lens(alike[0], lx, exposure_s))) for lx in (LOWEST_LX, HIGHEST_LX)
        ]
        parts.append(
            canvas.group(canvas.path(ends, f"line-{place % KINDS + 1}"), clip="exposure-plot")
        )
    inside = min(max(illuminance_lx, LOWEST_LX), HIGHEST_LX)
    parts.append(canvas.line(x(inside), top, x(inside), foot, "way"))
    for alike in _alike(lenses):
        iso = iso_for_lens(alike[0], illuminance_lx, exposure_s)
        if LOWEST_ISO <= iso <= HIGHEST_ISO and inside == illuminance_lx:
            parts.append(canvas.circle(x(inside), y(iso), 3.6, "ball"))
    legend, end = _legend(lenses, exposure_s, illuminance_lx, foot + 86)
    parts.append(legend)
    return Drawing(
        WIDTH,
        end + 12,
        f"ISO at {write_shutter(exposure_s)} s",
        f"The sensitivity each lens needs wide open at {illuminance_lx:.0f} lx.",
        "".join(parts),
    )


def _grid(
    x: Callable[[float], float],
    y: Callable[[float], float],
    left: float,
    right: float,
    top: float,
    foot: float,
) -> list[str]:
    """Lines at every stop of ISO, and at every light that a rule book asks for on the vertical."""
    parts = []
    iso = LOWEST_ISO
    while iso <= HIGHEST_ISO:
        parts += [
            canvas.line(left, y(iso), right, y(iso), "rule"),
            canvas.text(left - 6, y(iso) + 4, f"{iso:.0f}", "note", anchor="end"),
        ]
        iso *= 2
    for lux in (100.0, 200.0, 500.0, 1000.0, 2000.0):
        parts += [
            canvas.line(x(lux), foot, x(lux), foot + 4, "tick"),
            canvas.text(x(lux), foot + 16, f"{lux:.0f}", "note", anchor="middle"),
        ]
    parts.append(canvas.text(right, foot + 16, "lx", "caps", anchor="end"))
    asked = sorted({(s.lux, s.who) for s in STANDARDS if s.plane == "vertical"})
    for row, (lux, who) in enumerate(asked):
        name_y = foot + 30 + 13 * (row % 4)
        parts += [
            canvas.line(x(lux), top, x(lux), foot, "tick-line"),
            canvas.line(x(lux), foot + 18, x(lux), name_y - 3, "tick-line"),
            canvas.text(x(lux) - 4, name_y, f"{who}, {lux:g}", "note halo", anchor="end"),
        ]
    return parts


def _alike(lenses: tuple[Lens, ...]) -> list[tuple[Lens, ...]]:
    """Lenses of one widest aperture together: they share a line."""
    stops = dict.fromkeys(lens.widest_f_number for lens in lenses)
    return [tuple(lens for lens in lenses if lens.widest_f_number == stop) for stop in stops]


def _to_set(iso: float) -> str:
    return f"set ISO {iso_to_set(iso)}" if iso <= ISO_STEPS[-1] else "too dark"


def _legend(
    lenses: tuple[Lens, ...], exposure_s: float, illuminance_lx: float, top: float
) -> tuple[str, float]:
    """One row an aperture: its line, its lenses, and the ISO to set in this light."""
    parts, y = [canvas.line(16, top, WIDTH - 16, top, "rule")], top + 20
    for place, alike in enumerate(_alike(lenses)):
        iso = iso_for_lens(alike[0], illuminance_lx, exposure_s)
        parts += [
            canvas.line(16, y - 4, 44, y - 4, f"line-{place % KINDS + 1}"),
            canvas.text(52, y, ", ".join(lens.name for lens in alike), "name"),
            canvas.text(WIDTH - 16, y, _to_set(iso), "name", anchor="end"),
            canvas.text(WIDTH - 126, y, f"computed {iso:.0f}", "note", anchor="end"),
        ]
        y += 19
    return canvas.group(*parts), y
