"""The index: put in once, brought up to date, asked with conditions, never broken by words."""

from __future__ import annotations

import sqlite3
from datetime import datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from setpiece.errors import NotFound
from setpiece.match.instants import Instant, instant
from setpiece.store import search as module
from setpiece.store.saved import delete_search, save_search, saved_search, saved_searches
from setpiece.store.search import Condition, beginning_with, rows_with, search, words_of_length
from setpiece.store.search_index import SearchRow, counts, forget_all, put_rows, tidy_index
from setpiece.store.workspace import DATABASE, Workspace
from setpiece.work.find.words import expression_of


def row(number: int, words: str, at: Instant, **other: object) -> SearchRow:
    """A captioned frame."""
    values: dict[str, object] = {
        "frame_id": f"f{number}", "version": 1, "match_id": 1, "taken": at,
        "texts": {"words": words}, "minute": number,
    }  # fmt: skip
    return SearchRow(**(values | other))  # type: ignore[arg-type]


def ids(space: Workspace, expression: str, condition: Condition | None = None) -> list[str]:
    """Ids of the frames found."""
    found = search(space, expression, condition or Condition(), most=50)
    return [r.frame_id for r in found.rows]


def later(at: datetime, seconds: float) -> Instant:
    """So long after."""
    return instant(at + timedelta(seconds=seconds))


def test_a_row_is_put_in_once_and_a_changed_one_replaces_it(space: Workspace, now: Instant) -> None:
    """The same rows again change nothing; a new caption is found by its own words only."""
    rows = [row(n, f"player{n} celebrates", later(now, n)) for n in range(1, 4)]
    assert put_rows(space, 1, rows, whole=True) == 3
    assert put_rows(space, 1, rows, whole=True) == 0
    assert put_rows(space, 1, [row(2, "coach reacts", later(now, 2))], whole=False) == 1
    assert ids(space, '"celebrates"') == ["f3", "f1"]
    assert ids(space, '"coach"') == ["f2"]
    assert counts(space) == (3, 1)


def test_what_is_no_longer_of_the_match_no_longer_counts(space: Workspace, now: Instant) -> None:
    """A whole match without a frame takes that frame out; another match's stay."""
    put_rows(space, 1, [row(1, "a", now), row(2, "a", now)], whole=True)
    put_rows(space, 2, [row(9, "a", now, match_id=2)], whole=True)
    put_rows(space, 1, [row(1, "a", now)], whole=True)
    assert sorted(ids(space, '"a"')) == ["f1", "f9"]
    forget_all(space)
    assert ids(space, '"a"') == []
    assert rows_with(space, "a") == 0


def test_frames_of_one_second_stand_by_themselves(space: Workspace, now: Instant) -> None:
    """Forty frames of the same instant are forty hits."""
    put_rows(space, 1, [row(n, "burst", now) for n in range(40)], whole=True)
    tidy_index(space)
    assert len(ids(space, '"burst"')) == 40


def test_conditions_narrow_what_words_find(space: Workspace, now: Instant) -> None:
    """Time, minute, camera, lens, focal length and orientation each leave what meets them."""
    put_rows(
        space,
        1,
        [
            row(1, "goal", now, camera="A", lens="400mm", focal_length_mm=400.0, upright=True),
            row(2, "goal", later(now, 60), camera="B", lens="70 200mm", focal_length_mm=135.0),
            row(3, "goal", later(now, 7200), minute=None),
        ],
        whole=True,
    )
    wanted = {
        "since": (Condition(since=later(now, 1)), ["f3", "f2"]),
        "until": (Condition(until=later(now, 60)), ["f2", "f1"]),
        "minutes": (Condition(minutes=(2, 90)), ["f2"]),
        "cameras": (Condition(cameras=("A", "C")), ["f1"]),
        "lens": (Condition(lens="70 200"), ["f2"]),
        "focal": (Condition(focal_length_mm=(390.0, 410.0)), ["f1"]),
        "upright": (Condition(upright=True), ["f1"]),
        "landscape": (Condition(upright=False), ["f3", "f2"]),
        "match": (Condition(match_ids=(2,)), []),
    }
    for name, (condition, expected) in wanted.items():
        assert ids(space, '"goal"', condition) == expected, name
        assert ids(space, "", condition) == expected, name


def test_the_best_stand_first_and_of_equals_the_newest(space: Workspace, now: Instant) -> None:
    """A name in the people column weighs more than one in the words; a total is exact."""
    put_rows(
        space,
        1,
        [
            row(1, "orbeck " + "filler " * 5, later(now, 9)),
            row(2, "x", now, texts={"people": "orbeck", "words": "filler " * 5}),
        ],
        whole=True,
    )
    found = search(space, '"orbeck"', Condition(), most=1, ranked=True)
    assert ([r.frame_id for r in found.rows], found.total) == (["f2"], 2)


def test_too_many_hits_come_newest_first_without_a_total(
    space: Workspace, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Past the limit hits are not counted, and the newest come first."""
    monkeypatch.setattr(module, "COUNTED_AT_MOST", 5)
    put_rows(space, 1, [row(n, "goal", later(now, n)) for n in range(9)], whole=True)
    found = search(space, '"goal"', Condition(), most=3)
    assert [r.frame_id for r in found.rows] == ["f8", "f7", "f6"]
    assert (found.total, found.newest_first) == (None, True)
    narrowed = search(space, '"goal"', Condition(minutes=(1, 2)), most=2)
    assert narrowed.total == 2


def test_the_index_keeps_no_copy_of_the_text(space: Workspace, now: Instant) -> None:
    """No table of the workspace holds a sentence that was indexed."""
    put_rows(space, 1, [row(1, "marnstein supporters lift a scarf", now)], whole=True)
    with sqlite3.connect(space.folder / DATABASE) as raw:
        assert "marnstein supporters" not in "\n".join(raw.iterdump())
    raw.close()


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(typed=st.text(max_size=40))
def test_no_words_break_the_search(space: Workspace, typed: str) -> None:
    """Whatever is typed is words to the index, never its syntax."""
    for column in ("", "people"):
        asked = expression_of(space, typed, column)
        search(space, asked.match, Condition(), most=5, ranked=asked.ranked)


@pytest.mark.parametrize(
    "typed", ['"', 'a" OR "b', "NEAR(a b)", "people : a", "a*b", "(", "^a", "-a"]
)
def test_syntax_of_the_engine_is_taken_for_words(
    space: Workspace, now: Instant, typed: str
) -> None:
    """Signs that mean something to the index engine do no harm."""
    put_rows(space, 1, [row(1, "a b near or people", now)], whole=True)
    asked = expression_of(space, typed)
    assert asked.possible
    search(space, asked.match, Condition(), most=5, ranked=asked.ranked)


def test_words_are_known_by_beginning_and_length(space: Workspace, now: Instant) -> None:
    """What slips are compared with is the vocabulary of the captions."""
    put_rows(space, 1, [row(1, "equaliser goal", now)], whole=True)
    put_rows(space, 1, [row(2, "goal goal", now)], whole=False)
    assert beginning_with(space, "equal", 9) == ({"equaliser": 1}, 1)
    assert beginning_with(space, "", 1)[1] == 3
    assert (rows_with(space, "equal"), beginning_with(space, "qual", 9)) == (0, ({}, 0))
    assert rows_with(space, "goal") == 2
    assert words_of_length(space, 8, 9) == ["equaliser"]


def test_saved_searches_are_kept_under_their_names(space: Workspace, now: Instant) -> None:
    """A name holds its newest search until it is forgotten."""
    for text in ("{}", '{"words": "goal"}'):
        save_search(space, "goals", text, now)
    assert saved_searches(space) == {"goals": '{"words": "goal"}'}
    delete_search(space, "goals")
    with pytest.raises(NotFound, match="no search"):
        saved_search(space, "goals")
