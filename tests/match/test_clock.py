"""The minute as printed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.match.clock import (
    PLAYED,
    label_span_s,
    minute_label,
    minutes_before,
    period_length_s,
)
from setpiece.match.fixture import Rules
from setpiece.match.instants import MinuteLabel

RULES = Rules()


@pytest.mark.parametrize(
    ("period", "elapsed", "printed"),
    [
        (1, 0.0, "1"),
        (1, 59.9, "1"),
        (1, 60.0, "2"),
        (1, 2699.9, "45"),
        (1, 2700.0, "45+1"),
        (2, 27 * 60 + 10, "73"),
        (2, 2700 + 181, "90+4"),
        (3, 0.0, "91"),
        (3, 900.0, "105+1"),
        (4, 899.0, "120"),
        (4, 1000.0, "120+2"),
    ],
)
def test_minute_of_an_elapsed_time(period: int, elapsed: float, printed: str) -> None:
    """The minute counts from one, goes on over the periods, and past the end is END+N."""
    assert str(minute_label(period, elapsed, RULES)) == printed


def test_shortened_periods_move_every_later_minute() -> None:
    """Halves of 35 and extra halves of 10 minutes end in 35, 70, 80 and 90."""
    rules = Rules(half_min=35, extra_half_min=10)
    ends = [str(minute_label(p, period_length_s(p, rules), rules)) for p in PLAYED]
    assert ends == ["35+1", "70+1", "80+1", "90+1"]
    assert minutes_before(4, rules) == 80


def test_added_time_stops_counting_at_99() -> None:
    """A period that nobody ended prints 45+99 for ever."""
    assert str(minute_label(1, 3 * 86_400.0, RULES)) == "45+99"


@given(st.sampled_from(PLAYED), st.floats(0, 6000, allow_nan=False))
def test_minute_and_span_are_inverse(period: int, elapsed_s: float) -> None:
    """A minute's span holds every elapsed time that is printed as that minute, and no other."""
    label = minute_label(period, elapsed_s, RULES)
    of_period, start_s, end_s = label_span_s(label, RULES)
    assert of_period == period
    assert start_s <= elapsed_s < end_s
    assert minute_label(period, start_s, RULES) == label
    assert minute_label(period, end_s, RULES) != label


def test_a_period_can_be_given_with_a_minute() -> None:
    """92 of the second half is 90+2; 46 of the first is 45+1."""
    assert label_span_s(MinuteLabel(92), RULES, period=2) == (2, 2760.0, 2820.0)
    assert label_span_s(MinuteLabel(46), RULES, period=1) == label_span_s(MinuteLabel(45, 1), RULES)


@pytest.mark.parametrize(
    ("minute", "added", "period"), [(47, 2, None), (121, 0, None), (45, 0, 2), (44, 2, 1)]
)
def test_a_minute_no_period_has(minute: int, added: int, period: int | None) -> None:
    """Added time belongs to a regular end, and each minute to its period."""
    with pytest.raises(WrongUse):
        label_span_s(MinuteLabel(minute, added), RULES, period=period)


def test_the_shoot_out_has_no_minutes() -> None:
    """Neither the shoot-out nor a clock before 0:00 has a minute."""
    with pytest.raises(WrongUse):
        minute_label(5, 10.0, RULES)
    with pytest.raises(WrongUse):
        minute_label(1, -1.0, RULES)
    with pytest.raises(WrongUse):
        label_span_s(MinuteLabel(5), RULES, period=5)
