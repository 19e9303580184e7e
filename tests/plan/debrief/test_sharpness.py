"""The share of sharp frames, and the settings used."""

from __future__ import annotations

from made_up import frame

from setpiece.plan.debrief.sharpness import (
    by_distance,
    by_focal,
    by_minute,
    by_shutter,
    settings,
)


def test_a_share_counts_frames_that_have_neighbours() -> None:
    """Three of four are sharp; one alone in its passage and a damaged one are no part of it."""
    frames = [frame(n, n) for n in range(3)] + [frame(3, 3, softer_px=4.0)]
    frames += [frame(4, 4, softer_px=None), frame(5, 5, damaged=True)]
    (share,) = by_shutter(frames)
    assert (share.name, share.sharp, share.of) == ("1/1600 s", 3, 4)
    assert share.share == 0.75


def test_a_few_frames_say_nothing() -> None:
    """A kind with three frames is left out."""
    assert by_shutter([frame(n, n) for n in range(3)]) == ()


def test_lenses_and_distances_stand_in_steps() -> None:
    """A zoom at 187 mm counts to 135-200 mm; a frame at 12 m to 8-16 m; none told, no table."""
    frames = [frame(n, n, focal_length_mm=187.0, distance_m=12.0) for n in range(4)]
    frames += [frame(9 + n, n, focal_length_mm=20.0, distance_m=70.0) for n in range(4)]
    assert [s.name for s in by_focal(frames)] == ["under 35 mm", "135–200 mm"]
    assert [s.name for s in by_distance(frames)] == ["8–16 m", "from 64 m"]
    assert by_distance([frame(n, n) for n in range(9)]) == ()


def test_shutters_run_from_slow_to_fast() -> None:
    """1/500 stands before 1/1600."""
    frames = [frame(n, n, exposure_s=1 / 500) for n in range(4)] + [frame(n, n) for n in range(4)]
    assert [s.name for s in by_shutter(frames)] == ["1/500 s", "1/1600 s"]


def test_minutes_stand_in_quarters_and_added_time_in_the_last() -> None:
    """A frame at 46:30 of the first half belongs to 31-45."""
    frames = [frame(n, 46 * 60 + 30.0, period=1, elapsed_s=2790.0) for n in range(4)]
    assert [s.name for s in by_minute(frames)] == ["31–45'"]


def test_settings_give_the_range_and_the_middle() -> None:
    """One value is said once, several as a range with the middle one."""
    frames = [frame(n, n, iso=iso) for n, iso in enumerate((400, 800, 800, 3200))]
    (told,) = settings(frames)
    assert told.iso == "400 to 3200, mostly 800"
    assert told.shutter == "1/1600 s"
    assert told.focal == "400 mm"
    assert settings([frame(1, 1, iso=None)])[0].iso == "–"
