"""Passages of play."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.frames.passages import (
    Joined,
    Passage,
    Pin,
    Pinned,
    Split,
    Timed,
    chance_of_wrong_order,
    passage_id,
    passages,
)
from setpiece.match.instants import Interval, instant

KICK_OFF = datetime(2027, 3, 6, 14, 0, tzinfo=UTC)


def timed(frame_id: str, at_s: float, camera: str = "A", doubt_s: float = 0.1) -> Timed:
    at = instant(KICK_OFF + timedelta(seconds=at_s))
    return Timed(frame_id, camera, Interval.around(at, doubt_s))


def ids(found: tuple[Passage, ...]) -> list[tuple[str, ...]]:
    return [p.frame_ids for p in found]


BURSTS = [timed("f1", 0), timed("f2", 0.5), timed("f3", 20), timed("f4", 21), timed("f5", 60)]


def test_a_pause_ends_a_passage() -> None:
    """Within a camera a pause longer than the gap starts a new passage."""
    assert ids(passages(BURSTS, gap_s=8)) == [("f1", "f2"), ("f3", "f4"), ("f5",)]
    assert ids(passages(BURSTS, gap_s=30)) == [("f1", "f2", "f3", "f4"), ("f5",)]
    assert passages([]) == ()


def test_cameras_join_where_true_times_meet() -> None:
    """The pieces of two bodies that lie within a gap are one passage, in true order."""
    other = [timed("g1", 3, "B"), timed("g2", 40, "B")]
    found = passages(BURSTS + other, gap_s=8)
    assert ids(found) == [("f1", "f2", "g1"), ("f3", "f4"), ("g2",), ("f5",)]
    assert found[0].cameras == ("A", "B")


def test_a_camera_bridges_the_other_ones_pause() -> None:
    """While one body shoots on, the pause of the other does not end the passage."""
    bridge = [timed(f"g{i}", i * 4, "B") for i in range(6)]
    assert len(passages([*BURSTS, *bridge], gap_s=8)) == 2


def test_a_short_piece_inside_a_long_one_ends_nothing() -> None:
    """A passage lasts as long as any of its bodies shoots, not as long as the last that began."""
    long_one = [timed(f"f{i}", i * 5) for i in range(7)]
    others = [timed("g1", 2, "B"), timed("h1", 34, "C")]
    assert len(passages(long_one + others, gap_s=8)) == 1


def test_uncertain_times_join_only_as_far_as_they_are_sure() -> None:
    """A body whose clock is a guess joins nobody, and its passages say why."""
    guessed = [timed("g1", 0, "B", 300), timed("g2", 1, "B", 300)]
    found = passages(BURSTS + guessed, gap_s=8)
    assert ("g1", "g2") in ids(found)
    (doubted,) = (p for p in found if p.cameras == ("B",))
    assert doubted.doubts == ("the time of B is a guess: fit its clock",)


def test_uncertainty_reaches_over_the_gap() -> None:
    """Two bodies a little more than a gap apart join when their doubts may close it."""
    pair = [timed("f1", 0, "A", 1), timed("g1", 9, "B", 1)]
    assert len(passages(pair, gap_s=8)) == 1
    assert len(passages([timed("f1", 0), timed("g1", 9, "B")], gap_s=8)) == 2


def test_frames_too_close_to_order_are_said_to_be() -> None:
    """Frames of two bodies whose times overlap may be in the wrong order: a doubt."""
    close = passages([timed("f1", 0), timed("g1", 0.1, "B")])
    assert close[0].doubts == ("frames of different cameras may be in the wrong order",)
    assert passages([timed("f1", 0), timed("g1", 1, "B")])[0].doubts == ()


def test_a_passage_is_not_endless() -> None:
    """Steady shooting is cut at its widest pause once a passage grows too long."""
    steady = [timed(f"f{i:02d}", i * 5 + (2 if i >= 12 else 0)) for i in range(26)]
    found = passages(steady, gap_s=8, longest_s=100)
    assert [len(p.frame_ids) for p in found] == [12, 14]
    assert all((p.span.end - p.span.start).total_seconds() <= 101 for p in found)


def test_a_passage_has_its_first_frames_id() -> None:
    """The id is the first frame's with a p: the same frames give the same id."""
    assert passage_id("f00aa") == "p00aa"
    assert [p.id for p in passages(BURSTS)] == ["p1", "p3", "p5"]


def test_split_by_hand() -> None:
    """A split starts a passage at that frame; at a frame that is gone it does nothing."""
    assert ids(passages(BURSTS, pins=[Split("f4")]))[1:3] == [("f3",), ("f4",)]
    assert ids(passages(BURSTS, pins=[Split("f3"), Split("gone")])) == ids(passages(BURSTS))


def test_joined_by_hand() -> None:
    """Passages that hold the named frames become one, whatever lies between."""
    found = passages(BURSTS, pins=[Joined(("f1", "f5", "gone"))])
    assert ids(found) == [("f1", "f2", "f5"), ("f3", "f4")]
    assert found[0].id == "p1"
    assert ids(passages(BURSTS, pins=[Joined(("f1", "gone"))])) == ids(passages(BURSTS))


def test_pinned_by_hand_keeps_id_and_frames() -> None:
    """A pinned passage holds exactly its frames under its id, whatever else changes."""
    pin = Pinned("p-corner", ("f2", "f3", "gone"))
    found = passages(BURSTS, pins=[pin])
    assert ids(found) == [("f1",), ("f2", "f3"), ("f4",), ("f5",)]
    assert (found[1].id, found[1].pinned) == ("p-corner", True)
    later = passages([*BURSTS, timed("f0", -1), timed("g1", 0.6, "B")], pins=[pin])
    assert ("f2", "f3") in ids(later)
    joined = passages(BURSTS, pins=[pin, Joined(("f1", "f2"))])
    assert (joined[0].id, joined[0].frame_ids) == ("p-corner", ("f1", "f2", "f3"))
    emptied = passages(BURSTS, pins=[Pinned("p-a", ("f5",)), Pinned("p-b", ("f5",))])
    assert "p-a" not in [p.id for p in emptied]


def test_a_pinned_id_is_not_given_twice() -> None:
    """A frame that was taken out of the passage it gave its id to starts one with another id."""
    found = passages(BURSTS, pins=[Pinned("p1", ("f2", "f3"))])
    assert [(p.id, p.frame_ids) for p in found[:2]] == [("p1-2", ("f1",)), ("p1", ("f2", "f3"))]


def test_what_is_said_last_holds() -> None:
    """Decisions by hand are done in order: a split after a join undoes it."""
    pins: list[Pin] = [Joined(("f1", "f3")), Split("f3")]
    assert ids(passages(BURSTS, pins=pins)) == ids(passages(BURSTS))


@pytest.mark.parametrize("said", [{"gap_s": 0}, {"longest_s": -1}])
def test_gaps_are_longer_than_nothing(said: dict[str, float]) -> None:
    """A gap or length of nothing is refused."""
    with pytest.raises(WrongUse):
        passages(BURSTS, **said)


def test_a_frame_is_given_once() -> None:
    """The same frame given twice is refused."""
    with pytest.raises(WrongUse, match="twice"):
        passages([*BURSTS, timed("f1", 5)])


def test_certain_order_and_no_order() -> None:
    """Exact clocks never exchange frames that are apart; of equal times nothing is known."""
    assert chance_of_wrong_order(0.5, 0) == 0
    assert chance_of_wrong_order(0, 0) == 0.5
    assert chance_of_wrong_order(0, 1) == 0.5


FRAMES = st.lists(
    st.tuples(st.floats(0, 600), st.sampled_from("ABC"), st.sampled_from([0.05, 0.6, 200.0])),
    max_size=40,
)


@settings(deadline=None)
@given(FRAMES, st.lists(st.integers(0, 39), max_size=6))
def test_every_frame_is_in_one_passage(
    shots: list[tuple[float, str, float]], pinned: list[int]
) -> None:
    """However frames and decisions lie, each frame is in exactly one passage, in true order, and
    the order in which frames are given makes no difference."""
    frames = [timed(f"f{i:02d}", at_s, c, d) for i, (at_s, c, d) in enumerate(shots)]
    pins: list[Pin] = [Split(f"f{i:02d}") for i in pinned[:2]]
    pins += [Joined(tuple(f"f{i:02d}" for i in pinned[2:4]))]
    pins += [Pinned("p00", tuple(f"f{i:02d}" for i in pinned[4:]))]
    found = passages(frames, pins=pins)
    assert sorted(i for p in found for i in p.frame_ids) == [f.frame_id for f in frames]
    assert len({p.id for p in found}) == len(found)
    at = {f.frame_id: f.at.middle for f in frames}
    assert all(at[a] <= at[b] for p in found for a, b in pairwise(p.frame_ids))
    assert passages(frames[::-1], pins=pins) == found
