"""Coverage of the pitch."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.plan.camera import Seat
from setpiece.plan.coverage import Spots, cells, cover, holds_size, reach_m, share
from setpiece.plan.ground import Boards, Flank, Ground
from setpiece.plan.occlusion import Cause
from setpiece.plan.optics import Lens, Sensor
from setpiece.plan.pitch import Pitch

GROUND = Ground(boards=(Boards(Flank.NEAR, 0.9, 3.0),))
SEAT = Seat("behind the line", -14, -5, 1.15)
SENSOR = Sensor()
LENSES = (Lens(400, 400), Lens(70, 200), Lens(24, 70))


def test_cells_fill_the_pitch() -> None:
    """One cell a square metre, all inside, none twice, the same arrays again when asked again."""
    spots = cells(Pitch(105, 68))
    assert spots.x_m.shape == (105, 68)
    assert (spots.x_m.min(), spots.x_m.max()) == (-33.5, 33.5)
    assert (spots.y_m.min(), spots.y_m.max()) == (0.5, 104.5)
    assert cells(Pitch(105, 68)) is spots
    assert cells(Pitch(105, 68), 5).x_m.shape == (21, 14)


def test_the_reach_of_a_lens_is_where_the_player_fits() -> None:
    """At the reach's ends the player fills 90 % upright and 40 % lying."""
    near, far = reach_m(SENSOR, Lens(400, 400))
    assert near == pytest.approx(0.4 * (1 + 1800 / (0.9 * 36)))
    assert far == pytest.approx(0.4 * (1 + 1800 / (0.4 * 24)))


def test_size_ends_at_the_reach() -> None:
    """Just inside the reach the lens holds a player, just outside it does not."""
    near, far = reach_m(SENSOR, Lens(400, 400))
    seat = Seat("level", 0, 0, 0.9)
    distance = np.array([near - 0.1, near + 0.1, far - 0.1, far + 0.1])
    held = holds_size(seat, SENSOR, Lens(400, 400), Spots(np.zeros(4), distance))
    assert held.tolist() == [False, True, True, False]


@settings(max_examples=25)
@given(st.floats(-30, 30), st.floats(-8, -3), st.floats(0.5, 2))
def test_together_is_at_least_each_and_overlap_at_most(x: float, y: float, h: float) -> None:
    """Lenses together hold all that each holds; two at once only what both hold; clear only."""
    coverage = cover(GROUND, Seat("s", x, y, h), SENSOR, LENSES)
    for place in range(3):
        assert not (coverage.of_lens(place) & ~coverage.together).any()
    assert not (coverage.overlap & ~coverage.together).any()
    assert not (coverage.together & ~coverage.clear).any()


@settings(max_examples=25)
@given(st.floats(100, 500), st.floats(1, 1.5))
def test_a_longer_lens_reaches_farther(focal: float, longer: float) -> None:
    """Both ends of the reach move away with the focal length."""
    short = reach_m(SENSOR, Lens(focal, focal))
    long = reach_m(SENSOR, Lens(focal * longer, focal * longer))
    assert long[0] >= short[0]
    assert long[1] >= short[1]


def test_a_zoom_holds_what_its_ends_hold() -> None:
    """Everything either end of a zoom holds, the zoom holds."""
    spots = cells(GROUND.pitch)
    zoom = holds_size(SEAT, SENSOR, Lens(70, 200), spots)
    for end in (70, 200):
        assert not (holds_size(SEAT, SENSOR, Lens(end, end), spots) & ~zoom).any()


def test_what_hides_is_told_apart() -> None:
    """Net, posts and goalkeeper hide chests; boards hide feet only."""
    coverage = cover(GROUND, SEAT, SENSOR, LENSES)
    assert share(coverage.hidden[Cause.NET]) > share(coverage.hidden[Cause.POST]) > 0
    assert share(coverage.hidden[Cause.BOARDS]) == 0
    assert share(coverage.feet_hidden) > share(~coverage.clear)


def test_no_lens_covers_nothing() -> None:
    """Without a lens there is nothing to compute; nothing of nothing is nothing."""
    with pytest.raises(WrongUse, match="at least one lens"):
        cover(GROUND, SEAT, SENSOR, ())
    assert share(np.zeros(0, dtype=bool)) == 0
