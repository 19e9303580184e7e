"""Frames per minute by camera."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from made_up import SECOND, frame

from setpiece.plan.debrief.timeline import timeline

LENGTHS = {1: 46 * 60.0, 2: 47 * 60.0}


@given(st.lists(st.floats(0, 46 * 60 - 1), max_size=60), st.lists(st.floats(0, 2700), max_size=60))
def test_every_frame_is_counted_once(first: list[float], second: list[float]) -> None:
    """The minutes of all periods and what lies outside add up to the frames."""
    frames = [frame(n, s) for n, s in enumerate(first)]
    frames += [frame(100 + n, SECOND + s) for n, s in enumerate(second)]
    frames.append(frame(999, 0.0, period=None, elapsed_s=None))
    line = timeline(frames, LENGTHS)
    assert sum(m.total for s in line.stretches for m in s.minutes) + line.outside == len(frames)
    assert line.outside == 1


def test_cameras_are_counted_apart_and_empty_minutes_stand() -> None:
    """Minute 2 has two frames of A and one of B; every minute of the half is there."""
    frames = [frame(1, 61.0), frame(2, 62.0), frame(3, 70.0, camera="B")]
    line = timeline(frames, {1: 2760.0})
    assert line.cameras == ("A", "B")
    assert dict(line.stretches[0].minutes[1].frames) == {"A": 2, "B": 1}
    assert len(line.stretches[0].minutes) == 47
    assert line.busiest() is not None
    assert line.most == 3


def test_the_longest_gap_is_found() -> None:
    """Nothing from minute 5 to 11 of a half is a gap of seven minutes."""
    played = [frame(n, 60.0 * n) for n in range(47) if not 5 <= n <= 11]
    assert timeline(played, {1: 2760.0}).longest_gap() == (1, 5, 7)


def test_frames_after_the_last_whistle_of_a_period_lengthen_its_row() -> None:
    """A frame placed past the logged length is drawn, not lost."""
    line = timeline([frame(1, 2790.0)], {1: 2760.0})
    assert line.stretches[0].minutes[-1].total == 1
