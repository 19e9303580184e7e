"""The measured pace of a link, what it lets expect, and the pauses between tries."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.match.instants import instant
from setpiece.work.desk.pace import Pace, Sent, arrivals, measured, pause_s

START = instant(datetime(2027, 3, 6, 15, 0, tzinfo=UTC))


def test_nothing_is_promised_before_the_first_picture() -> None:
    """Without a delivery, or with one whose answer alone was lost, there is no pace."""
    assert measured([]) is None
    assert measured([Sent(1_500_000, 0.0)]) is None


@given(st.floats(20_000, 2_000_000), st.floats(0.0, 1.0))
def test_a_steady_link_is_measured_within_a_tenth(bytes_s: float, beside_s: float) -> None:
    """From five pictures of 0.4 to 3 MB the time of the next is right within a tenth, or 0.2 s."""
    sizes = [400_000, 2_900_000, 1_500_000, 800_000, 2_000_000]
    found = measured([Sent(size, beside_s + size / bytes_s) for size in sizes])
    assert found is not None
    for size in (500_000, 3_000_000):
        true_s = beside_s + size / bytes_s
        assert found.seconds(size) == pytest.approx(true_s, rel=0.1, abs=0.2)


def test_sizes_that_are_alike_give_their_own_time() -> None:
    """Where sizes cannot tell round trips from rate, the time of such a picture is right."""
    found = measured([Sent(1_500_000, 6.6), Sent(1_500_000, 6.6), Sent(1_480_000, 6.5)])
    assert found is not None
    assert found.seconds(1_500_000) == pytest.approx(6.6, rel=0.01)


def test_a_link_faster_than_the_guess_is_all_rate() -> None:
    """Pictures that took less than the guessed fixed time leave none."""
    found = measured([Sent(1_000_000, 0.01), Sent(2_000_000, 0.02)])
    assert found == Pace(1e8)


def test_a_link_that_changed_is_followed() -> None:
    """Only the last eight deliveries count."""
    slow = [Sent(1_000_000, 16.0)] * 8
    fast = [Sent(1_000_000, 1.0)] * 8
    found = measured([*slow, *fast])
    assert found is not None
    assert found.seconds(1_000_000) == pytest.approx(1.0, rel=0.05)


def test_arrivals_add_up_and_keep_the_spacing() -> None:
    """Each arrives after those before it, and never sooner than the spacing after the last."""
    pace = Pace(100_000.0)
    left = [(1, 1_000_000), (2, 100_000), (3, 4_000_000)]
    plain = arrivals(left, pace, START)
    assert [(t - START).total_seconds() for t in plain.values()] == [10.0, 11.0, 51.0]
    spaced = arrivals(left, pace, START, spacing_s=20.0)
    assert [(t - START).total_seconds() for t in spaced.values()] == [10.0, 30.0, 70.0]


def test_pauses_double_and_have_a_ceiling() -> None:
    """Pauses grow with the tries, never above the ceiling, and vary by half."""
    assert pause_s(1, 1.0) == 2.0
    assert pause_s(1, 0.0) == 1.0
    assert pause_s(2, 1.0) == 4.0
    assert pause_s(99, 1.0) == 300.0
    assert pause_s(3, 1.0, first_s=0.01, longest_s=0.02) == 0.02


def test_kilobits_are_thousands_of_bits() -> None:
    """250,000 bytes a second are 2,000 kbit/s."""
    assert Pace(250_000.0).kbit_s == 2000
    assert START + timedelta(seconds=Pace(250_000.0).seconds(500_000)) == START + timedelta(
        seconds=2
    )
