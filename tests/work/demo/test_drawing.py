"""The drawing: framing, figures, letters, light and lines."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.match.people import Side
from setpiece.work.demo import wardrobe
from setpiece.work.demo.brush import LightOnFigure
from setpiece.work.demo.figure import draw_figure
from setpiece.work.demo.lettering import letters
from setpiece.work.demo.light import light_at
from setpiece.work.demo.looks import Figure
from setpiece.work.demo.markings import lines
from setpiece.work.demo.poses import joints, poses
from setpiece.work.demo.squads import sheet
from setpiece.work.demo.view import aim


@given(st.floats(-0.5, 0.5), st.floats(8, 90))
def test_a_place_in_the_frame_and_on_the_ground_are_inverse(across, distance_m):
    """Somebody put at a share of the frame is projected to that share."""
    view = aim((108.2, 50.0, 1.0), (80.0, 40.0, 0.9), 300, 2160, 1440)
    x, _ = view.project(view.ground(across, distance_m))
    assert x == pytest.approx((across + 0.5) * 2160, abs=2.5)  # the lens is tilted a little


def test_the_spot_aimed_at_is_in_the_middle():
    """What a camera is aimed at falls on the middle of the frame."""
    view = aim((-3.0, 50.0, 1.0), (20.0, 36.0, 0.9), 200, 2160, 1440)
    assert view.project(np.array([20.0, 36.0, 0.9])) == pytest.approx([1080, 720])


@pytest.mark.parametrize("name", sorted(poses()))
@pytest.mark.parametrize("yaw_deg", [0, 70, 180])
def test_feet_stand_on_the_ground(name, yaw_deg):
    """No joint of any attitude lies under the ground, but the thickness of a sole."""
    body = joints(poses()[name], yaw_deg)
    assert min(float(p[1]) for p in body.points.values()) > -0.02


def test_every_letter_on_a_shirt_can_be_drawn():
    """Every sign of every shirt name gives ink of its own; accents change the picture."""
    box = letters("\N{REPLACEMENT CHARACTER}", 64)
    for side in Side:
        for person in sheet().players(side):
            for sign in set(wardrobe.shirt_name(person).upper()) - {" "}:
                drawn = letters(sign, 64)
                assert drawn.any()
                assert drawn.shape != box.shape or (drawn != box).any(), sign
    assert letters("Ø", 64).shape != letters("O", 64).shape or (letters("Ø") != letters("O")).any()
    assert letters("Č", 64).shape != letters("C", 64).shape


def test_sisters_bear_their_initials():
    """Two players with one family name have their initials on their shirts, others not."""
    names = {p.number: wardrobe.shirt_name(p) for p in sheet().players(Side.HOME)}
    assert (names[10], names[11], names[9]) == ("M. Kolbrand", "H. Kolbrand", "Ørbeck")
    assert names[7] == "Tavinha"


def _figure(number: str, yaw_deg: float) -> np.ndarray:
    person = wardrobe.by_shirt("9r")
    figure = Figure(
        wardrobe.look(person.id), wardrobe.wear(person), "stand", 200, 580, 500, yaw_deg, number, ""
    )
    return draw_figure(figure, LightOnFigure()).rgb


@pytest.mark.parametrize("yaw_deg", [0, 180])
def test_a_number_shows_on_chest_and_back(yaw_deg):
    """The number changes the picture of somebody who faces the lens or turns her back."""
    assert (_figure("9", yaw_deg) != _figure("", yaw_deg)).any()


def test_a_number_hides_in_profile():
    """Seen from the side no number shows."""
    assert (_figure("9", 90) == _figure("", 90)).all()


def test_the_light_goes_over_the_afternoon():
    """The sun sinks and the floodlights come on; nothing jumps within a minute."""
    hours = [15.0 + step / 60 for step in range(150)]
    lights = [light_at(hour) for hour in hours]
    assert all(b.sun <= a.sun and b.lamps >= a.lamps for a, b in pairwise(lights))
    assert lights[0].sun == 1
    assert lights[-1].lamps > 0.9


def test_white_lines_are_twelve_centimetres_wide_and_inside_the_field():
    """No line reaches further than half its width beyond the field (Law 1)."""
    corners = np.concatenate(lines())
    assert corners[:, 0].min() == pytest.approx(-0.06)
    assert corners[:, 0].max() == pytest.approx(105.06)
    assert corners[:, 1].min() == pytest.approx(-0.06)
    assert corners[:, 1].max() == pytest.approx(68.06)
