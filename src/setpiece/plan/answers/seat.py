"""What the seat command answers."""

from __future__ import annotations

from typing_extensions import TypedDict

from setpiece.plan.answers import CautionSaid, cautions_of, short, short_or_endless
from setpiece.plan.camera import Seat
from setpiece.plan.caution import Part
from setpiece.plan.coverage import cover, reach_m, share
from setpiece.plan.ground import Ground
from setpiece.plan.occlusion import (
    boards_before,
    grass_from_m,
    lens_height_over_boards_m,
    nearest_post_m,
    width_behind_post_m,
)
from setpiece.plan.optics import Lens, Sensor
from setpiece.plan.pitch import POST_WIDTH_M
from setpiece.plan.seat import compare

GRASS_M = 10.0
PLAYER_M = 40.0


class LensReach(TypedDict):
    """What one lens holds of the pitch; shares are 0 to 1."""

    lens: str
    nearest_m: float
    farthest_m: float
    share_of_pitch: float
    share_by_size_alone: float


class SeatCovered(TypedDict):
    """What one seat holds.

    `grass_from_m` is null without boards before it, or with no grass; `lens_height_for_grass_m`
    is how high the lens must be to see grass at 10 m over those boards. `strip_behind_post_m` is
    how wide a strip the nearest post hides at 40 m, null where it stands farther than that.
    """

    name: str
    x_m: float
    y_m: float
    lens_height_m: float
    in_a_zone: bool
    lenses: list[LensReach]
    share_together: float
    share_overlap: float
    share_hidden: dict[str, float]
    share_feet_hidden: float
    grass_shows: bool
    grass_from_m: float | None
    lens_height_for_grass_m: float | None
    strip_behind_post_m: float | None


class SituationCompared(TypedDict):
    """One situation: a share for each seat, and the best seats."""

    name: str
    shares: dict[str, float]
    best: list[str]


class SeatAnswer(TypedDict):
    """Everything `setpiece plan seat` says. `pitch_m` is length and width."""

    ground: str
    pitch_m: list[float]
    international_size: bool
    seats: list[SeatCovered]
    situations: list[SituationCompared]
    cautions: list[CautionSaid]


def seat_answer(
    ground: Ground, seats: tuple[Seat, ...], sensor: Sensor, lenses: tuple[Lens, ...]
) -> SeatAnswer:
    """Coverage of each seat, and the seats side by side in every situation."""
    comparison = compare(ground, seats, sensor, lenses)
    return {
        "ground": ground.name,
        "pitch_m": [ground.pitch.length_m, ground.pitch.width_m],
        "international_size": ground.pitch.international,
        "seats": [_one(ground, seat, sensor, lenses) for seat in seats],
        "situations": [
            {
                "name": name,
                "shares": {
                    seat.name: short(value) for seat, value in zip(seats, figures, strict=True)
                },
                "best": [seat.name for seat in comparison.best(row)],
            }
            for row, (name, figures) in enumerate(comparison.rows)
        ],
        "cautions": cautions_of(Part.SEAT),
    }


def _one(ground: Ground, seat: Seat, sensor: Sensor, lenses: tuple[Lens, ...]) -> SeatCovered:
    coverage = cover(ground, seat, sensor, lenses)
    grass, boards, post_m = (
        grass_from_m(ground, seat),
        boards_before(ground, seat),
        nearest_post_m(ground, seat),
    )
    lens_rows: list[LensReach] = []
    for place, lens in enumerate(lenses):
        near, far = reach_m(sensor, lens)
        lens_rows.append(
            {
                "lens": lens.name,
                "nearest_m": short(near, 2),
                "farthest_m": short(far, 2),
                "share_of_pitch": short(share(coverage.of_lens(place))),
                "share_by_size_alone": short(share(coverage.sized[place])),
            }
        )
    return {
        "name": seat.name,
        "x_m": seat.x_m,
        "y_m": seat.y_m,
        "lens_height_m": seat.lens_height_m,
        "in_a_zone": ground.in_a_zone(seat),
        "lenses": lens_rows,
        "share_together": short(share(coverage.together)),
        "share_overlap": short(share(coverage.overlap)),
        "share_hidden": {str(cause): short(share(mask)) for cause, mask in coverage.hidden.items()},
        "share_feet_hidden": short(share(coverage.feet_hidden)),
        "grass_shows": grass is None or grass != float("inf"),
        "lens_height_for_grass_m": None
        if boards is None
        else short(lens_height_over_boards_m(boards[0], boards[1], max(GRASS_M, 2 * boards[1])), 2),
        "strip_behind_post_m": short(width_behind_post_m(POST_WIDTH_M, post_m, PLAYER_M), 2)
        if 0 < post_m <= PLAYER_M
        else None,
        "grass_from_m": None if grass is None else short_or_endless(grass, 2),
    }
