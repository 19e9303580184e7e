"""What stands in the way."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.plan.camera import Seat
from setpiece.plan.coverage import cells
from setpiece.plan.ground import Block, Boards, Dugout, Flank, Ground
from setpiece.plan.occlusion import (
    Cause,
    blind_outline,
    blocked,
    boards_before,
    first_grass_m,
    grass_from_m,
    hides,
    lens_height_over_boards_m,
    nearest_post_m,
    obstacles,
    width_behind_post_m,
)
from setpiece.plan.pitch import Pitch, Point

GROUND = Ground(boards=(Boards(Flank.NEAR, 0.9, 3.0),), dugouts=(Dugout(Flank.LEFT, middle_m=40),))
SEAT = Seat("behind the goal", -9, -4.5, 1.2)


def test_both_goals_have_net_posts_and_goalkeeper() -> None:
    """Four things at each end, turned, and what the ground adds."""
    causes = [thing.cause for thing in obstacles(GROUND)]
    assert causes.count(Cause.NET) == 2
    assert causes.count(Cause.POST) == 4
    assert causes.count(Cause.GOALKEEPER) == 2
    assert causes.count(Cause.BOARDS) == causes.count(Cause.DUGOUT) == 1
    nets = [thing.block for thing in obstacles(GROUND) if thing.cause is Cause.NET]
    assert nets[1].top_m == 105 + GROUND.net_depth_m


def test_a_corner_beyond_the_goal_is_seen_through_the_net() -> None:
    """From left behind the goal the right corner lies behind net and perhaps post."""
    assert Cause.NET in hides(SEAT, obstacles(GROUND), Point(25, 4, 1.3))
    assert hides(SEAT, obstacles(GROUND), Point(-25, 40, 1.3)) == frozenset()


def test_boards_hide_near_grass_only() -> None:
    """Over the boards the grass shows from where the rule says."""
    seat = Seat("low", -20, -5, 1.2)
    from_m = grass_from_m(GROUND, seat)
    assert from_m == pytest.approx(1.2 * 2 / 0.3)
    things = obstacles(GROUND)
    assert Cause.BOARDS in hides(seat, things, Point(-20, from_m - 5 - 0.5, 0))
    assert Cause.BOARDS not in hides(seat, things, Point(-20, from_m - 5 + 0.5, 0))


def test_a_lens_below_the_boards_sees_no_grass() -> None:
    """The grass then begins nowhere; a seat without boards before it has no such limit."""
    assert grass_from_m(GROUND, Seat("lying", -20, -5, 0.6)) == math.inf
    assert first_grass_m(0.9, 0.9, 2) == math.inf
    assert grass_from_m(GROUND, Seat("touch line", 36, 30, 0.6)) is None


def test_of_several_boards_those_that_hide_most_count() -> None:
    """Height and distance of the higher row before the lens."""
    two = Ground(boards=(Boards(Flank.NEAR, 0.5, 3.0), Boards(Flank.NEAR, 1.0, 3.5)))
    assert boards_before(two, SEAT) == (1.0, 1.0)
    assert boards_before(two, Seat("on the line", 0, 0, 1)) is None


def test_the_nearest_post_is_found_at_either_end() -> None:
    """From behind the far goal it is one of the far goal's."""
    assert nearest_post_m(GROUND, Seat("s", 3.72, -4, 1)) == pytest.approx(3.94)
    assert nearest_post_m(GROUND, Seat("s", 3.72, 109, 1)) == pytest.approx(3.94)


@given(st.floats(0.3, 1.5), st.floats(0.5, 4), st.floats(5, 60))
def test_the_height_over_boards_is_just_enough(board: float, at: float, grass: float) -> None:
    """From that height the grass begins to show at that distance."""
    height = lens_height_over_boards_m(board, at, grass)
    assert first_grass_m(height, board, at) == pytest.approx(grass, rel=1e-6)


def test_figures_that_make_no_sense_are_refused() -> None:
    """Grass before the boards, a player before the post."""
    with pytest.raises(WrongUse, match="between the lens and the grass"):
        lens_height_over_boards_m(0.9, 10, 5)
    with pytest.raises(WrongUse, match="behind it"):
        width_behind_post_m(0.12, 10, 5)


@given(st.floats(0.9, 30), st.floats(0.05, 0.5))
def test_a_post_hides_a_strip_that_widens(distance: float, width: float) -> None:
    """Twice as far behind, the strip is twice as wide."""
    near = width_behind_post_m(width, 0.5, distance)
    assert width_behind_post_m(width, 0.5, 2 * distance) == pytest.approx(2 * near)


def test_sight_lines_that_run_along_a_face_are_decided() -> None:
    """A line straight ahead, parallel to two faces, gives no warning and the right answer."""
    block = Block(-1, 1, 5, 6, 2)
    seat = Seat("ahead", 0, 0, 1)
    assert blocked(seat, block, np.array([0.0]), np.array([10.0]), 1.0).tolist() == [True]
    assert blocked(seat, block, np.array([0.0]), np.array([4.0]), 1.0).tolist() == [False]


@pytest.mark.parametrize("height", [0.6, 1.3, 2.3, 4.0, 14.0])
def test_the_drawn_blind_outline_is_what_the_rays_say(height: float) -> None:
    """Inside the outline the sight is blocked, outside it is free, but for a seam of cells."""
    block = Block(-4, 4, 10, 12, 2.2)
    seat = Seat("s", -9, -5, height)
    spots = cells(Pitch(105, 68))
    rays = blocked(seat, block, spots.x_m, spots.y_m, 1.3)
    outline = blind_outline(seat, block, 1.3)
    inside = np.ones(spots.x_m.shape, dtype=bool)
    for a, b in zip(outline, outline[1:] + outline[:1], strict=True):
        turn = (b.x_m - a.x_m) * (spots.y_m - a.y_m) - (b.y_m - a.y_m) * (spots.x_m - a.x_m)
        inside &= turn >= 0
    assert np.mean(inside != rays) < 0.001


def test_a_block_lower_than_the_chest_has_no_outline() -> None:
    """Boards hide feet, not chests."""
    assert blind_outline(SEAT, Block(-30, 30, -3, -2.9, 0.9), 1.3) == ()
