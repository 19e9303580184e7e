"""The demo's lines of shorthand and its planted mistakes."""

from __future__ import annotations

from pathlib import Path

from setpiece.captions.fields import FIELDS
from setpiece.match.people import Side
from setpiece.match.state import Score
from setpiece.work.demo.lines import demo_lines, planted_errors
from setpiece.work.demo.planted import planted
from setpiece.work.demo.scenario import sheet, true_eleven

TRUTH = planted(Path("cards"))
LINES = demo_lines(TRUTH)


def test_there_are_at_least_fourteen_lines():
    """Enough lines to show every kind of caption, each at its own frame."""
    assert len(LINES) >= 14
    assert len({line.frame for line in LINES}) == len(LINES)


def test_whoever_a_line_names_is_in_the_frame():
    """Every person expected in a caption can be seen in the frame and is on the sheet."""
    known = sheet()
    for line in LINES:
        seen = {s.person for s in TRUTH.frame(line.frame).people}
        assert set(line.people) <= seen, line.line
        assert all(known.person(p) is not None for p in line.people)


def test_placements_typed_are_those_in_the_frame():
    """Where a line says left, centre or right of somebody, she stands there."""
    words = ("left", "centre", "right")
    for line in LINES:
        frame = TRUTH.frame(line.frame)
        said = [word for word in line.line.split() if word in words]
        if len(said) == len(line.people) > 0:
            placed = {s.person: s.placement for s in frame.people}
            assert [placed[p] for p in line.people] == said, line.line


def test_a_goal_is_captioned_with_the_score_it_made():
    """The frames that show the goals were made after them and carry the new score."""
    strikes = {line.frame: line.score for line in LINES if "score" in line.act}
    assert sorted(strikes.values()) == [Score(1, 0), Score(1, 1), Score(2, 1)]
    for frame, score in strikes.items():
        assert TRUTH.frame(frame).score == score


def test_no_good_line_stands_at_a_damaged_frame():
    """A frame whose file is cut short has no caption in the demo."""
    damaged = {f.id for f in TRUTH.damaged}
    assert not damaged & {line.frame for line in LINES}


def test_five_mistakes_are_planted_each_in_a_frame_without_a_good_line():
    """A mistake never stands where a good caption is expected."""
    errors = planted_errors(TRUTH)
    assert len({e.finding for e in errors}) == len(errors) == 5
    assert not {e.frame for e in errors} & {line.frame for line in LINES}


def test_the_mistakes_are_mistakes():
    """Each of the five says something that the log, the sheet or a field's limit denies."""
    off, score, title, name, long = planted_errors(TRUTH)
    assert "home-7" not in true_eleven(Side.HOME, TRUTH.frame(off.frame).true)
    assert str(TRUTH.frame(score.frame).score) == "1–1"
    assert "2–1" in score.description
    assert "manager Verena Stadlhuber" in title.description
    assert "Lindenrott " in name.description
    limit = next(f.max_bytes for f in FIELDS if f.name == "headline")
    assert limit is not None
    assert len(long.value.encode()) > limit
