"""What is chosen before the match."""

from __future__ import annotations

from dataclasses import replace

import pytest

from setpiece.errors import WrongUse
from setpiece.plan.camera import Camera, Seat
from setpiece.plan.choices import USUAL_LENSES, Choices
from setpiece.plan.optics import Orientation, Sensor
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


def test_the_camera_is_the_one_chosen() -> None:
    """Seat, lens, way of holding, rate, exposure and sensor go into it as they were typed."""
    seat = Seat("left", -8, -2)
    chosen = Choices(
        focal_length_mm=300, orientation="portrait", frames_per_s=12, shutter="1/800",
        sensor="1.5x", pixels="5568x3712",
    )  # fmt: skip
    assert chosen.camera(seat) == Camera(
        seat, 300, Orientation.PORTRAIT, 12, 1 / 800, Sensor(23.5, 15.6, 5568, 3712)
    )


def test_a_whole_plan_may_be_chosen() -> None:
    """What is not chosen stands as in the docs; the edges of what can be chosen are taken."""
    usual = Choices()
    assert (usual.template, usual.kind, usual.start, usual.speed_m_s) == (
        "league", "penalty", "", 28.0,
    )  # fmt: skip
    assert (usual.travel_min, usual.bodies, usual.rain, usual.contacts) == (0, 2, False, ())
    assert (usual.struck, usual.seats, usual.frames_per_s) == ((), (), 20.0)
    assert (usual.focal_length_mm, usual.orientation, usual.shutter) == (
        200.0, "landscape", "1/1000",
    )  # fmt: skip
    assert len(Choices(lenses=("400/2.8",) * 4).glass) == 4
    assert len(Choices(lenses=("400/2.8",)).glass) == 1
    strike = Choices(kind="header", speed_m_s=12).strike(Pitch(), End.NEAR)
    assert (strike.launch_speed_m_s, strike.target.z_m, strike.target.x_m) == (12, 1.22, 0)
