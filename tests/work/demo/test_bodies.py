"""The demo's cameras: what their clocks show and how they name their files."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.match.instants import read_instant
from setpiece.work.demo.bodies import BODIES, local

TRUE = read_instant("2027-03-06T15:03:12.347Z")


def test_a_is_forty_one_seconds_fast_and_counts_whole_seconds():
    """Camera A cuts to the second and says its zone."""
    assert BODIES["A"].stamp(TRUE) == ("2027:03:06 16:03:53", "", "+01:00")


def test_b_stands_on_summer_time_and_says_no_zone():
    """Camera B is an hour and a little fast, with hundredths, and silent about its zone."""
    assert BODIES["B"].stamp(TRUE) == ("2027:03:06 17:03:14", "94", "")


def test_c_is_right():
    """Camera C writes true local time with milliseconds and its zone."""
    assert BODIES["C"].stamp(TRUE) == ("2027:03:06 16:03:12", "347", "+01:00")


@given(st.integers(0, 7_200_000), st.sampled_from(sorted(BODIES)))
def test_a_reading_is_cut_never_rounded(after_ms, letter):
    """The true reading lies in the step of the clock that begins with the stamp."""
    body = BODIES[letter]
    when = TRUE + timedelta(milliseconds=after_ms)
    shown = local(when) + timedelta(seconds=body.offset_s)
    late_s = (shown - body.reading(when).reading).total_seconds()
    assert 0 <= late_s < body.resolution_s + 1e-9


@pytest.mark.parametrize(
    ("index", "folder", "name"),
    [(0, "104OSTRL", "SPA_9941.JPG"), (58, "104OSTRL", "SPA_9999.JPG"),
     (59, "105OSTRL", "SPA_0001.JPG")],
)  # fmt: skip
def test_numbers_roll_over_into_the_next_folder(index, folder, name):
    """After 9999 comes 0001, in a folder with the next number (DCF 2.0, from memory)."""
    assert BODIES["A"].file_name(index) == (folder, name)


def test_local_time_is_an_hour_ahead_of_utc():
    """The venue is on winter time on the day."""
    assert local(TRUE) == datetime(2027, 3, 6, 16, 3, 12, 347000)
