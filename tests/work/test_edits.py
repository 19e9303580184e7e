"""Crops: free ones in shares, and the largest of a ratio."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.pictures.look import Look
from setpiece.pictures.rendition import Edit
from setpiece.work.edits import ratio_box, read_box

SIDES = st.integers(200, 9000)
SHARES = st.floats(0, 1)


@given(SIDES, SIDES, st.sampled_from(["3:2", "2:3", "4:5", "16:9", "1:1"]), SHARES, SHARES)
def test_a_ratio_is_the_largest_crop_of_its_shape(
    width: int, height: int, ratio: str, across: float, down: float
) -> None:
    """It has the ratio, lies inside, and touches two opposite sides of the picture."""
    look = Look(picture=True, width_px=width, height_px=height)
    left, top, wide, high = ratio_box(ratio, look, across, down)
    wanted = int(ratio.split(":")[0]) / int(ratio.split(":")[1])
    assert wide * width / (high * height) == pytest.approx(wanted)
    assert max(wide, high) == pytest.approx(1.0)
    Edit((left, top, wide, high))


def test_the_middle_is_kept_where_it_fits() -> None:
    """An upright part of a landscape picture lies around the place asked for."""
    look = Look(picture=True, width_px=3000, height_px=2000)
    left, top, wide, high = ratio_box("1:1", look, across=0.5)
    assert (left + wide / 2, top, high) == (pytest.approx(0.5), 0.0, 1.0)
    assert ratio_box("1:1", look, across=0.0)[0] == 0.0


@pytest.mark.parametrize("text", ["", "3", "3:0", "a:b", "1:100"])
def test_what_is_no_ratio_is_told(text: str) -> None:
    """A ratio is two numbers, 1:10 to 10:1."""
    with pytest.raises(WrongUse):
        ratio_box(text, Look(picture=True, width_px=3000, height_px=2000))


def test_a_box_is_four_shares() -> None:
    """Left, top, width, height; anything else is told."""
    assert read_box("0.1,0.2,0.5,0.4") == (0.1, 0.2, 0.5, 0.4)
    with pytest.raises(WrongUse, match="in shares"):
        read_box("10,20,30")
