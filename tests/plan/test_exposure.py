"""Light to exposure."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.plan.exposure import (
    ISO_STEPS,
    ev_at_iso_100,
    ev_of,
    exposure_needed_s,
    iso_for_lens,
    iso_needed,
    iso_to_set,
    light_metered_lx,
    light_of_ev_lx,
)
from setpiece.plan.optics import Lens

lux = st.floats(10, 50_000)
stops = st.floats(1.2, 16)
times = st.floats(1 / 16_000, 1)


@given(lux, stops, times)
def test_light_time_and_sensitivity_answer_each_other(e: float, n: float, t: float) -> None:
    """The ISO for a light meters back to that light, and asks for that time."""
    iso = iso_needed(e, n, t)
    if 25 <= iso <= 1_000_000:
        assert light_metered_lx(n, t, iso) == pytest.approx(e)
        assert exposure_needed_s(e, n, iso) == pytest.approx(t)


@given(lux, lux)
def test_more_light_never_needs_more_iso(one: float, other: float) -> None:
    """ISO falls as the light grows."""
    dim, bright = sorted((one, other))
    assert iso_needed(bright, 2.8, 1 / 1000) <= iso_needed(dim, 2.8, 1 / 1000)


@given(st.floats(-2, 16))
def test_exposure_value_and_light_are_inverse(ev: float) -> None:
    """The light of an exposure value has that value."""
    assert ev_at_iso_100(light_of_ev_lx(ev)) == pytest.approx(ev)


def test_a_converter_asks_for_more_iso() -> None:
    """1.4 times the f-number is twice the ISO, nearly."""
    plain = iso_for_lens(Lens(300, 300, 2.8), 800, 1 / 1000)
    assert iso_for_lens(Lens(300, 300, 2.8, 1.4), 800, 1 / 1000) == pytest.approx(1.96 * plain)


@pytest.mark.parametrize(
    ("iso", "set_to"), [(3, 100), (100, 100), (2390, 2500), (2501, 2500), (102_400, 102_400)]
)
def test_the_next_step_is_set(iso: float, set_to: int) -> None:
    """Upwards to the next third of a stop, but not for a hundredth of one."""
    assert iso_to_set(iso) == set_to


def test_more_iso_than_any_camera_has_is_refused() -> None:
    """The message says what else can be done."""
    with pytest.raises(WrongUse, match="accept a darker frame"):
        iso_to_set(ISO_STEPS[-1] * 1.1)


def test_an_aperture_and_a_time_have_an_exposure_value() -> None:
    """f/1 at one second is nought."""
    assert ev_of(1, 1) == 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: iso_needed(0, 2.8, 1 / 1000),
        lambda: iso_needed(800, 0.1, 1 / 1000),
        lambda: iso_needed(800, 2.8, 100),
        lambda: iso_needed(800, 2.8, 1 / 1000, 100),
        lambda: exposure_needed_s(800, 2.8, 1),
        lambda: light_metered_lx(2.8, 1 / 1000, 800, 900),
        lambda: light_of_ev_lx(60),
    ],
)
def test_light_out_of_range_is_refused(call) -> None:
    """Every quantity has its range."""
    with pytest.raises(WrongUse, match="must lie between"):
        call()
