"""The seat: what each of its lenses holds, what is hidden, and seats side by side."""

from __future__ import annotations

import math

from setpiece.plan.camera import Seat
from setpiece.plan.coverage import CHEST_M, Coverage, cover, reach_m, share
from setpiece.plan.drawings import canvas
from setpiece.plan.drawings.canvas import Drawing, percent
from setpiece.plan.drawings.ground_map import (
    GroundMap,
    fitted,
    north_arrow,
    pitch,
    seat_mark,
    surroundings,
)
from setpiece.plan.ground import Ground
from setpiece.plan.occlusion import Cause, blind_outline, obstacles
from setpiece.plan.optics import Lens, Sensor
from setpiece.plan.pitch import Point
from setpiece.plan.seat import Comparison

WIDTH = 480.0
KINDS = 3  # lenses told apart by hatching and colour; a fourth begins again
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def seat_map(ground: Ground, seats: tuple[Seat, ...]) -> tuple[GroundMap, float]:
    """Where the ground lies in the drawing of its seats, and where it ends."""
    return fitted(ground, WIDTH, canvas.HEAD + 10, seats)


def draw_seat(
    ground: Ground,
    seats: tuple[Seat, ...],
    sensor: Sensor,
    lenses: tuple[Lens, ...],
    chosen: int = 0,
) -> Drawing:
    """The ground with the reach of the chosen seat's lenses; the other seats as open discs."""
    seat = seats[chosen]
    coverage = cover(ground, seat, sensor, lenses)
    map_, foot = seat_map(ground, seats)
    half, length = ground.pitch.half_width_m, ground.pitch.length_m
    parts = [
        canvas.masthead(
            WIDTH,
            f"From seat {LETTERS[chosen % 26]}, {seat.name}",
            "Shaded: a player fills 40 to 90 % of the frame, held either way",
        ),
        "<defs>",
        *(
            canvas.hatching(f"seat-hatch-{n}", f"hatch-{n}", turn)
            for n, turn in ((1, 45), (2, -45), (3, 0))
        ),
        canvas.clip_rect(
            "seat-pitch", map_.x(-half), map_.y(length), 2 * half * map_.scale, length * map_.scale
        ),
        "</defs>",
        surroundings(map_),
        pitch(map_),
        canvas.group(
            *(_reach(map_, seat, sensor, lens, n) for n, lens in enumerate(lenses)),
            *_blind(map_, ground, seat),
            clip="seat-pitch",
        ),
        *_labels(map_, seat, sensor, lenses),
        *(
            seat_mark(map_, other, LETTERS[n % 26], chosen=n == chosen)
            for n, other in sorted(enumerate(seats), key=lambda pair: pair[0] == chosen)
        ),
        north_arrow(WIDTH - 30, map_.y(length) - 24, ground.bearing_deg),
    ]
    legend, height = _legend(foot + 16, sensor, coverage)
    parts.append(legend)
    return Drawing(
        WIDTH,
        height,
        f"Reach of {len(lenses)} lenses from {seat.name}",
        f"At least one lens holds {percent(share(coverage.together))} of the pitch in free sight.",
        "".join(parts),
    )


def _reach(map_: GroundMap, seat: Seat, sensor: Sensor, lens: Lens, place: int) -> str:
    """The ring that a lens holds: tint, hatching, and both edges."""
    kind = place % KINDS + 1
    near, far = (_on_the_ground(seat, r) for r in reach_m(sensor, lens))
    ring = map_.ring(seat, near, far)
    return (
        f'<path class="tint-{kind}" fill-rule="evenodd" d="{ring}"/>'
        + canvas.filled(ring, f"seat-hatch-{kind}")
        + f'<path class="edge-{kind}" d="{ring}"/>'
    )


def _on_the_ground(seat: Seat, distance_m: float) -> float:
    """A straight distance from the lens, measured over the ground."""
    rise = seat.lens_height_m - 0.9
    return math.sqrt(max(0.0, distance_m**2 - rise**2))


def _blind(map_: GroundMap, ground: Ground, seat: Seat) -> list[str]:
    """What stands in the way, as the ground it hides."""
    found = []
    for thing in obstacles(ground):
        outline = blind_outline(seat, thing.block, CHEST_M)
        kind = "blind see-through" if thing.cause is Cause.NET else "blind"
        if outline:
            found.append(map_.outline(outline, kind))
    return found


def _labels(map_: GroundMap, seat: Seat, sensor: Sensor, lenses: tuple[Lens, ...]) -> list[str]:
    """Each lens's name on the middle of its reach, where that lies on the pitch."""
    found: list[str] = []
    taken: list[Point] = []
    for lens in lenses:
        near, far = reach_m(sensor, lens)
        spot = _label_place(map_, seat, near, far, taken)
        if spot is None:
            continue
        taken.append(spot)
        x, y = map_.place(spot)
        found.append(canvas.text(x, y + 4, f"{_reach_name(lens)}", "name halo", anchor="middle"))
    return found


def _label_place(
    map_: GroundMap, seat: Seat, near: float, far: float, taken: list[Point]
) -> Point | None:
    """A place well inside the pitch, near the middle of a ring, away from other labels."""
    size = map_.ground.pitch
    best, best_cost = None, math.inf
    for part in (0.5, 0.62, 0.75, 0.4, 0.3):
        radius = near + part * (far - near)
        for angle in range(0, 360, 6):
            spot = Point(
                seat.x_m + radius * math.cos(math.radians(angle)),
                seat.y_m + radius * math.sin(math.radians(angle)),
            )
            inside = abs(spot.x_m) < size.half_width_m - 9 and 3 < spot.y_m < size.length_m - 3
            crowded = any(abs(spot.x_m - t.x_m) < 19 and abs(spot.y_m - t.y_m) < 5 for t in taken)
            cost = abs(part - 0.5) * 40 + abs(spot.x_m) * 0.4
            if inside and not crowded and cost < best_cost:
                best, best_cost = spot, cost
    return best


def _reach_name(lens: Lens) -> str:
    shortest, longest = lens.focal_lengths_mm
    if shortest == longest:
        return f"{longest:g} mm"
    return f"{shortest:g}–{longest:g} mm"


def _legend(top: float, sensor: Sensor, coverage: Coverage) -> tuple[str, float]:
    """One row a lens with its reach and its share of the pitch, then what is hidden."""
    parts, y = [canvas.line(16, top, WIDTH - 16, top, "rule")], top + 20
    for place, lens in enumerate(coverage.lenses):
        kind = place % KINDS + 1
        near, far = reach_m(sensor, lens)
        box = f"M16 {canvas.number(y - 10)}h24v13h-24Z"
        parts += [
            f'<path class="tint-{kind}" d="{box}"/>',
            canvas.filled(box, f"seat-hatch-{kind}"),
            f'<path class="edge-{kind}" d="{box}"/>',
            canvas.text(50, y, lens.name, "name"),
            canvas.text(176, y, f"{near:.0f} to {far:.0f} m"),
            canvas.text(
                WIDTH - 16,
                y,
                f"{percent(share(coverage.of_lens(place)))} of the pitch",
                anchor="end",
            ),
        ]
        y += 19
    parts += [
        canvas.text(50, y, "together", "name"),
        canvas.text(176, y, f"two at once on {percent(share(coverage.overlap))}"),
        canvas.text(
            WIDTH - 16, y, f"{percent(share(coverage.together))} of the pitch", "name", anchor="end"
        ),
    ]
    hidden = [
        f"{cause} {percent(share(mask), 1)}"
        for cause, mask in coverage.hidden.items()
        if share(mask) > 0
    ]
    y += 20
    words = "Left blank, hidden at chest height: " + (", ".join(hidden) or "nothing")
    parts.append(canvas.text(16, y, words, "note"))
    y += 15
    feet = f"Feet hidden by anything on {percent(share(coverage.feet_hidden))} of the pitch."
    parts.append(canvas.text(16, y, feet, "note"))
    return canvas.group(*parts), y + 14


def draw_comparison(comparison: Comparison) -> Drawing:
    """Seats side by side: a row for each situation, a bar for each seat."""
    seats = comparison.seats
    width = max(WIDTH, 236 + 80.0 * len(seats))
    columns = [216 + place * (width - 232) / len(seats) for place in range(len(seats))]
    long = (width - 232) / len(seats) - 50
    y = canvas.HEAD + 24
    parts = [
        canvas.masthead(
            width,
            "Seats side by side",
            "What is held at the right size, in free sight, face to the camera",
        ),
        *(canvas.text(x, y, LETTERS[n % 26], "big") for n, x in enumerate(columns)),
    ]
    y += 9
    for row, (name, figures) in enumerate(comparison.rows):
        parts.append(canvas.line(16, y, width - 16, y, "rule"))
        y += 18
        parts.append(canvas.text(16, y, name[0].upper() + name[1:]))
        best = comparison.best(row)
        for x, seat, value in zip(columns, seats, figures, strict=True):
            top = len(best) < len(seats) and seat in best
            parts += [
                canvas.rect(x, y - 8, long, 8, "bar-rest"),
                canvas.rect(x, y - 8, long * value, 8, "bar-best" if top else "bar"),
                canvas.text(
                    x + long + 6, y, percent(value) if value else "–", "name" if top else ""
                ),
            ]
        y += 7
    parts.append(canvas.line(16, y, width - 16, y, "rule"))
    key = " · ".join(f"{LETTERS[n % 26]} {seat.name}" for n, seat in enumerate(seats))
    parts += [
        canvas.text(16, y + 18, key, "note"),
        canvas.text(16, y + 33, "Red and bold: the best seat. The places are ours.", "note"),
    ]
    return Drawing(
        width,
        y + 46,
        "Seats side by side",
        "The share of each situation that each seat holds.",
        "".join(parts),
    )
