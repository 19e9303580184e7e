"""What is chosen before the match."""

from __future__ import annotations

from dataclasses import replace

import pytest

from setpiece.errors import WrongUse
from setpiece.plan.choices import USUAL_LENSES, Choices
from setpiece.plan.pitch import End, Pitch


def test_what_was_not_chosen_has_its_usual_value() -> None:
    """Three lenses, a full frame, a thousandth."""
    usual = Choices()
    assert [lens.name for lens in usual.glass] == list(USUAL_LENSES)
    assert usual.exposure_s == pytest.approx(1 / 1000)
    assert usual.chip.width_mm == 36


@pytest.mark.parametrize(
    "wrong",
    [
        {"template": "friendly"},
        {"lenses": ()},
        {"lenses": ("400/2.8",) * 5},
        {"lenses": ("long",)},
        {"shutter": "fast"},
        {"sensor": "large"},
        {"frames_per_s": 0},
        {"orientation": "askew"},
        {"travel_min": -1},
        {"bodies": 0},
    ],
)
def test_what_cannot_be_is_refused(wrong: dict) -> None:
    """Nothing is kept that the plan could not be made from."""
    with pytest.raises(WrongUse):
        replace(Choices(), **wrong)


def test_a_strike_needs_no_place_typed() -> None:
    """A penalty is struck at its mark whatever is typed; a free kick from a usual place."""
    pitch = Pitch()
    typed = Choices(start="6,22").strike(pitch, End.NEAR)
    assert typed == Choices().strike(pitch, End.NEAR)
    free = Choices(kind="free-kick").strike(pitch, End.NEAR)
    assert (free.start.x_m, free.start.y_m) == (6, 22)
    assert Choices(kind="header").strike(pitch, End.FAR).what == "header"
