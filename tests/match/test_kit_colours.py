"""What a kit looks like on the screen where only its colour's word was typed."""

from __future__ import annotations

from itertools import combinations

import pytest

from setpiece.match.kit_colours import SHADES, UNKNOWN, shade_of
from setpiece.match.sheet_audit import LEAST_COLOUR_DISTANCE, colour_distance


@pytest.mark.parametrize(
    ("word", "shade"),
    [("red", "red"), (" Navy ", "navy"), ("sky blue", "sky blue"), ("dark green", "green")],
)
def test_a_colours_word_has_its_shade(word: str, shade: str) -> None:
    """A word has its shade, however it is written; of two words the last that is known."""
    assert shade_of(word) == SHADES[shade]


def test_a_word_that_is_not_known_is_grey() -> None:
    """No shade is guessed."""
    assert shade_of("petrol") == UNKNOWN


def test_common_kits_are_told_apart() -> None:
    """No two of the usual kits' shades look alike to the check of the sheet."""
    usual = ("red", "yellow", "green", "sky blue", "blue", "purple", "black", "white", "orange")
    for one, other in combinations(usual, 2):
        distance = colour_distance(SHADES[one], SHADES[other])
        assert distance is not None
        assert distance >= LEAST_COLOUR_DISTANCE, (one, other)
