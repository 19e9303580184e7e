"""The sharp one of a passage."""

from itertools import pairwise
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.frames.ranking import BASE_BLUR_PX, EQUAL_PX, Seen, rank, softer_by_px


def blurred(frame_id: str, blur_px: float, **said: object) -> Seen:
    """A frame with so much blur on top of perfect focus, by the law of the figure."""
    return Seen(frame_id, 900 / (1 + (blur_px / BASE_BLUR_PX) ** 2) ** 2, **said)


def test_the_sharpest_comes_first_and_says_so() -> None:
    """The largest figure ranks first, the others say how much softer they are."""
    best, second, third = rank([blurred("c", 2.0), blurred("a", 0), blurred("b", 0.8)])
    assert [f.frame_id for f in (best, second, third)] == ["a", "b", "c"]
    assert [f.rank for f in (best, second, third)] == [1, 2, 3]
    assert best.reason == "the sharpest of 3"
    assert second.reason == "softer by about 0.8 px"
    assert third.softer_px == pytest.approx(2.0)


def test_less_than_half_a_pixel_is_equal() -> None:
    """Frames that differ by less than half a pixel share a rank, the next counts on after them."""
    ranked = rank([blurred("a", 0), blurred("b", 0.45), blurred("c", 0.55)])
    assert [(f.frame_id, f.rank) for f in ranked] == [("a", 1), ("b", 1), ("c", 3)]
    assert ranked[1].reason == "as sharp as any, as far as can be told"


def test_a_fault_of_exposure_ranks_after_the_equally_sharp() -> None:
    """Among equals the well exposed come first; a sharper step still beats exposure."""
    blown = blurred("a", 0, blown_share=0.12)
    dark = blurred("c", 1.0, dark_share=0.5)
    ranked = rank([blown, blurred("b", 0.3), dark, blurred("d", 2.0)])
    assert [(f.frame_id, f.rank) for f in ranked] == [("b", 1), ("a", 2), ("c", 3), ("d", 4)]
    assert ranked[1].reason.endswith("blown out on 12% of the subject")
    assert ranked[2].reason == "softer by about 1.0 px, dark on 50% of the subject"


def test_motion_is_told_from_defocus() -> None:
    """A frame that lost along one direction only is soft by motion; one that lost along all is
    not, nor one that is as sharp as any, nor one of which that is not known."""
    sharp = Seen("a", 40, along=(10.0, 10.0, 10.0, 10.0))
    swung = Seen("b", 8, along=(1.0, 4.0, 6.0, 4.0))
    soft = Seen("c", 8, along=(2.0, 2.0, 3.0, 2.0))
    for other, said in (
        (swung, "softer by about 1.5 px, by motion more than by focus"),
        (soft, "softer by about 1.5 px"),
        (Seen("d", 8), "softer by about 1.5 px"),
        (Seen("e", 39, along=(1.0, 4.0, 6.0, 4.0)), "as sharp as any, as far as can be told"),
    ):
        assert rank([other, sharp])[1].reason == said


def test_damaged_frames_come_last() -> None:
    """A damaged frame is never the best, however sharp what is left of it."""
    ranked = rank([blurred("a", 0, damaged=True), blurred("b", 2)])
    assert [(f.frame_id, f.reason) for f in ranked] == [
        ("b", "the sharpest of 2"),
        ("a", "damaged"),
    ]
    assert rank([blurred("a", 0, damaged=True)])[0].rank == 1


def test_near_identical_frames_point_to_the_best_of_them() -> None:
    """Frames whose hashes differ in few bits name the best of them; others name themselves."""
    frames = [
        blurred("a", 1, picture_hash=0b111),
        blurred("b", 0, picture_hash=0b0),
        blurred("c", 2, picture_hash=(1 << 40) - 1),
        blurred("d", 3),
    ]
    assert {f.frame_id: f.alike for f in rank(frames)} == {"a": "b", "b": "b", "c": "c", "d": "d"}


def test_a_near_identical_frame_names_the_one_it_is_like() -> None:
    """The softer of two alike names the better by its name, by its id where it has none."""
    named = [Seen("f1", 40, picture_hash=0, name="A-0231"), Seen("f2", 10, picture_hash=1)]
    assert rank(named)[1].reason.endswith("px, nearly the same as A-0231")
    assert rank(named)[0].reason == "the sharpest of 2"
    unnamed = [Seen("f1", 40, picture_hash=0), Seen("f2", 40, picture_hash=1, blown_share=0.5)]
    assert rank(unnamed)[1].reason.endswith("of the subject, nearly the same as f1")


def test_one_frame_and_no_frame() -> None:
    """A single frame is said to be the only one; of none there is no ranking."""
    assert rank([blurred("a", 3)])[0].reason == "the only frame"
    assert rank([]) == ()


def test_nothing_sharp_at_all() -> None:
    """A figure of zero is infinitely soft beside any other, and equal among its like."""
    ranked = rank([Seen("a", 0.0), Seen("b", 5.0)])
    assert ranked[1].reason == "nothing in it is sharp"
    assert ranked[1].softer_px == inf
    assert [f.rank for f in rank([Seen("a", 0.0), Seen("b", 0.0)])] == [1, 1]


@pytest.mark.parametrize("focus", [-1.0, inf, float("nan")])
def test_a_figure_is_a_number(focus: float) -> None:
    """A negative or endless figure is refused."""
    with pytest.raises(WrongUse):
        Seen("a", focus)


@settings(deadline=None)
@given(st.lists(st.floats(0, 1e6), max_size=20))
def test_ranking_loses_nobody_and_never_inverts(figures: list[float]) -> None:
    """Every frame is ranked once; ranks never fall, and a better rank is never clearly softer."""
    seen = [Seen(str(i), f) for i, f in enumerate(figures)]
    ranked = rank(seen)
    assert sorted(r.frame_id for r in ranked) == sorted(s.frame_id for s in seen)
    assert [r.rank for r in ranked] == sorted(r.rank for r in ranked)
    focus = {s.frame_id: s.focus for s in seen}
    for better, worse in pairwise(ranked):
        assert softer_by_px(focus[better.frame_id], focus[worse.frame_id]) < EQUAL_PX
