"""Seats side by side."""

from __future__ import annotations

import pytest

from setpiece.errors import WrongUse
from setpiece.plan.camera import Seat
from setpiece.plan.coverage import cover, share
from setpiece.plan.ground import Dugout, Flank, Ground
from setpiece.plan.optics import Lens, Sensor
from setpiece.plan.pitch import End
from setpiece.plan.seat import compare, situations

GROUND = Ground(
    near_end="West",
    far_end="East",
    home_end=End.FAR,
    dugouts=(Dugout(Flank.RIGHT, "home dugout", 42), Dugout(Flank.RIGHT, "away dugout", 63)),
)
SEATS = (Seat("West, right", 17, -5), Seat("River side", -39, 52))
LENSES = (Lens(400, 400), Lens(70, 200))


def figures(ground: Ground = GROUND, seats: tuple[Seat, ...] = SEATS) -> dict[str, tuple]:
    return dict(compare(ground, seats, Sensor(), LENSES).rows)


def test_every_situation_of_a_match_is_there() -> None:
    """Those before a goal at both ends, celebrations, faces, and the whole pitch."""
    names = [situation.name for situation in situations(GROUND)]
    for name in ("box attack", "corner", "penalty"):
        assert f"{name}, West" in names
        assert f"{name}, East" in names
    assert "celebration at a flag" in names
    assert "celebration, East (home)" in names
    assert "celebration, home dugout" in names
    assert "faces, away dugout" in names
    assert names[-1] == "anywhere"
    assert len(situations(Ground())) == 9


def test_places_of_the_far_goal_are_those_of_the_near_goal_turned() -> None:
    """The far box is the near box turned by half a circle."""
    by_name = {s.name: s for s in situations(GROUND)}
    near, far = by_name["box attack, West"].spots, by_name["box attack, East"].spots
    assert near.y_m.min() == pytest.approx(105 - far.y_m.max())
    assert near.y_m.max() < 16.5


def test_who_attacks_a_goal_shows_her_face_behind_it() -> None:
    """Behind the goal the box is held; from the touch line far up the pitch only backs are."""
    rows = figures()
    behind, side = rows["box attack, West"]
    assert behind > 0.5
    assert side == 0
    assert rows["anywhere"][1] > rows["anywhere"][0]


def test_faces_in_a_dugout_are_seen_from_where_they_look() -> None:
    """A seat in the dugouts' own row sees no face."""
    row = figures(seats=(Seat("pitch side", 33, 20), Seat("same row", 40, 20)))
    assert row["faces, home dugout"][1] == 0


def test_the_best_seats_of_a_row_are_named() -> None:
    """All with the highest figure; none where nobody holds anything."""
    comparison = compare(GROUND, SEATS, Sensor(), LENSES)
    for place, (_, row) in enumerate(comparison.rows):
        best = comparison.best(place)
        if max(row) == 0:
            assert best == ()
        else:
            assert [s.name for s in best] == [
                s.name for s, f in zip(SEATS, row, strict=True) if f == max(row)
            ]


def test_the_figure_of_the_whole_pitch_is_its_coverage() -> None:
    """Anywhere counts what the lenses together hold in free sight."""
    row = figures()["anywhere"]
    for seat, value in zip(SEATS, row, strict=True):
        assert value == share(cover(GROUND, seat, Sensor(), LENSES).together)


def test_no_seat_and_no_lens_are_no_comparison() -> None:
    """At least one seat and one lens are needed."""
    with pytest.raises(WrongUse, match="at least one lens"):
        compare(GROUND, SEATS, Sensor(), ())
    with pytest.raises(WrongUse, match="at least one seat"):
        compare(GROUND, (), Sensor(), LENSES)
