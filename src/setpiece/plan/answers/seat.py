"""What the seat command answers."""

from __future__ import annotations

from setpiece.plan.answers import Answer, cautions_of, rounded
from setpiece.plan.camera import Seat
from setpiece.plan.caution import Part
from setpiece.plan.coverage import cover, reach_m, share
from setpiece.plan.ground import Ground
from setpiece.plan.occlusion import grass_from_m
from setpiece.plan.optics import Lens, Sensor
from setpiece.plan.seat import compare


def seat_answer(
    ground: Ground, seats: tuple[Seat, ...], sensor: Sensor, lenses: tuple[Lens, ...]
) -> Answer:
    """Coverage of each seat, and the seats side by side in every situation."""
    comparison = compare(ground, seats, sensor, lenses)
    return {
        "ground": ground.name,
        "pitch_m": [ground.pitch.length_m, ground.pitch.width_m],
        "seats": [_one(ground, seat, sensor, lenses) for seat in seats],
        "situations": [
            {
                "name": name,
                "shares": {
                    seat.name: rounded(value) for seat, value in zip(seats, figures, strict=True)
                },
                "best": [seat.name for seat in comparison.best(row)],
            }
            for row, (name, figures) in enumerate(comparison.rows)
        ],
        "cautions": cautions_of(Part.SEAT),
    }


def _one(ground: Ground, seat: Seat, sensor: Sensor, lenses: tuple[Lens, ...]) -> Answer:
    coverage = cover(ground, seat, sensor, lenses)
    grass = grass_from_m(ground, seat)
    lens_rows = []
    for place, lens in enumerate(lenses):
        near, far = reach_m(sensor, lens)
        lens_rows.append(
            {
                "lens": lens.name,
                "nearest_m": rounded(near, 2),
                "farthest_m": rounded(far, 2),
                "share_of_pitch": rounded(share(coverage.of_lens(place))),
                "share_by_size_alone": rounded(share(coverage.sized[place])),
            }
        )
    return {
        "name": seat.name,
        "x_m": seat.x_m,
        "y_m": seat.y_m,
        "lens_height_m": seat.lens_height_m,
        "in_a_zone": ground.in_a_zone(seat),
        "lenses": lens_rows,
        "share_together": rounded(share(coverage.together)),
        "share_overlap": rounded(share(coverage.overlap)),
        "share_hidden": {
            str(cause): rounded(share(mask)) for cause, mask in coverage.hidden.items()
        },
        "share_feet_hidden": rounded(share(coverage.feet_hidden)),
        "grass_shows": grass is None or grass != float("inf"),
        "grass_from_m": None if grass is None else rounded(grass, 2),
    }
