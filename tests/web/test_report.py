"""The match as rows of minutes."""

from __future__ import annotations

import small_match
from hypothesis import given
from hypothesis import strategies as st

from setpiece.store.frames import Decision, FrameDraft, decide, save_frames
from setpiece.store.workspace import Workspace
from setpiece.web.standing import Standing
from setpiece.web.touchline.report import TIMELESS, passage_frames, passage_of, rows, run_of
from setpiece.web.touchline.thumbs import MOST, shown
from setpiece.web.wording import Wording
from setpiece.work.matchday import Matchday


def test_every_frame_is_in_exactly_one_row(day: Matchday, words: Wording) -> None:
    """Every frame of the match is in one passage, and every passage in one row."""
    placed = [p for row in rows(day, words) for p in row.passages]
    assert sorted(placed) == sorted(passage_frames(day))
    frames = [i for p in placed for i in passage_frames(day)[p]]
    assert sorted(frames) == sorted(day.frames)


def test_rows_run_from_the_newest_to_the_oldest(day: Matchday, words: Wording) -> None:
    """The end of the match stands above its beginning, added time above the minute before."""
    figures = [row.figure for row in rows(day, words)]
    order = ["16:50", "90+5'", "75'", "74'", "46'", "15:50", "45+3'", "45+2'", "32'", "1'", "14:30"]
    assert [f for f in figures if f in order] == order


def test_a_minute_with_pictures_and_no_entry_has_its_row(day: Matchday, words: Wording) -> None:
    """Frames in a minute of which nothing is logged stand in a row of that minute."""
    row = next(r for r in rows(day, words) if r.figure == "89'")
    assert row.sentences == ()
    assert len(row.passages) == 1
    assert row.under == "2–1"


def test_the_score_in_the_gutter_is_the_one_of_that_minute(day: Matchday, words: Wording) -> None:
    """Each minute carries the score at its end; the disallowed goal changes nothing."""
    under = {r.figure: r.under for r in rows(day, words)}
    assert (under["17'"], under["45+2'"], under["58'"], under["74'"]) == (
        "1–0",
        "1–1",
        "1–1",
        "2–1",
    )


def test_a_long_passage_shows_eight_frames_and_its_count(day: Matchday, words: Wording) -> None:
    """A closed passage of 26 frames shows eight, the sharpest among them, and says 26."""
    passage = next(p for p, f in passage_frames(day).items() if len(f) == 26)
    run = run_of(day, passage, words)
    assert len(run.thumbs) == MOST
    assert (run.total, run.rest) == (26, 18)
    assert sum(t.best for t in run.thumbs) == 1
    assert "26 frames" in run.facts


def test_frames_without_time_stand_last(own: small_match.Made, words: Wording) -> None:
    """A frame into which the camera wrote no time is in the last row, and opens there."""
    space = Workspace.open(own.folder)
    bare = FrameDraft("fabcdefabcdef", "C-?", None, None, None, "{}", "x.JPG", False, True, "", ())
    save_frames(space, own.match, [bare], small_match.LATER)
    day = Standing(space).of(own.match.folder)
    assert rows(day, words)[-1].key == TIMELESS
    assert passage_of(day, "fabcdefabcdef") == TIMELESS


def test_the_first_frame_in_use_opens_first(own: small_match.Made, words: Wording) -> None:
    """A passage opens at its frame in use before its sharpest."""
    space = Workspace.open(own.folder)
    day = Standing(space).of(own.match.folder)
    passage, frames = next((p, f) for p, f in passage_frames(day).items() if len(f) == 26)
    assert run_of(day, passage, words).first == frames[13]
    decide(space, own.match, frames[20], Decision.USE)
    day = Standing(space).of(own.match.folder)
    assert run_of(day, passage, words).first == frames[20]


@given(
    count=st.integers(1, 400),
    used=st.sets(st.integers(0, 399)),
    best=st.none() | st.integers(0, 399),
)
def test_what_a_closed_passage_shows(count: int, used: set[int], best: int | None) -> None:
    """At most eight frames in their order; used ones come before others; the sharpest is there."""
    frames = [f"{i:03d}" for i in range(count)]
    in_use = {frames[i] for i in used if i < count}
    sharpest = frames[best] if best is not None and best < count else None
    seen = shown(frames, in_use, sharpest)
    assert list(seen) == sorted(seen)
    assert len(seen) == min(count, MOST)
    assert len(in_use & set(seen)) == min(len(in_use), MOST)
    if sharpest and len(in_use | {sharpest}) <= MOST:
        assert sharpest in seen
