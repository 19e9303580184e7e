"""The page on camera clocks says what the code does."""

from pathlib import Path

import pytest

from setpiece.frames import camera_clock, clock_bounds, clock_faults
from setpiece.frames.passages import chance_of_wrong_order
from setpiece.frames.place import chance_of_wrong_minute

PAGE = " ".join(
    (Path(__file__).parents[2] / "docs" / "camera-clocks.md").read_text(encoding="utf-8").split()
)
CARD_S = camera_clock.CARD_HOLD_S + camera_clock.DISPLAY_LATENCY_S


@pytest.mark.parametrize(
    "said",
    [
        f"to {CARD_S:.2f} s later: a code stands for {camera_clock.CARD_HOLD_S:g} s, and a screen "
        f"may show it up to {camera_clock.DISPLAY_LATENCY_S:g} s late",
        f"to {1 + camera_clock.DISPLAY_LATENCY_S:g} s later",
        f"miss it by more than {clock_bounds.JITTER_S:g} s are dropped",
        f"at least {clock_bounds.DAY_APART_S / 3600:g} hours apart",
        f"{clock_bounds.TYPICAL_DRIFT_PPM:g} ppm, which is "
        f"{clock_bounds.TYPICAL_DRIFT_PPM * 7200e-6:.2f} s over two hours and "
        f"{clock_bounds.TYPICAL_DRIFT_PPM * 0.0864:.2f} s over a day",
        f"more than {clock_bounds.MOST_DRIFT_PPM:g} ppm between days",
        f"At last {clock_bounds.STAMP_S:g} s are added",
        f"± {camera_clock.UNFITTED_S:g} s where the camera states its zone, "
        f"± {camera_clock.UNFITTED_SILENT_S:g} s where it is silent",
        f"one frame in {round(1 / chance_of_wrong_minute(0.3), -1):.0f} would get the wrong minute",
        f"in {chance_of_wrong_order(0.5, 0.3):.0%} of cases, 1 s apart in "
        f"{chance_of_wrong_order(1, 0.3):.0%}".replace("%", " %"),
    ],
)
def test_page_gives_the_codes_own_figure(said: str) -> None:
    """Each figure on the page is the one the code uses."""
    assert said in PAGE


def test_page_names_five_minutes_as_the_code_does() -> None:
    """A clock near a whole fault is near by the same five minutes on the page and in the code."""
    assert clock_faults.NEAR_S == 5 * 60
    assert "within five minutes of such a fault" in PAGE
