"""What was planted: counts, names, sharpness, people."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from pathlib import Path

import pytest

from setpiece.errors import NotFound
from setpiece.work.demo.planted import planted
from setpiece.work.demo.scenario import sheet, true_label, true_score

TRUTH = planted(Path("cards"))


def test_counts():
    """300 frames of three cameras in 67 passages, one damaged, 13 protected, 303 files."""
    assert len(TRUTH.frames) == 300
    assert Counter(f.camera for f in TRUTH.frames) == {"A": 184, "B": 88, "C": 28}
    assert len(TRUTH.passages) == 67
    assert len(TRUTH.damaged) == 1
    assert len(TRUTH.protected) == 13
    assert sum(f.memo is not None for f in TRUTH.frames) == 2
    assert len(TRUTH.files) == 303


def test_no_two_files_lie_in_one_place():
    """Every file has a place of its own."""
    assert len(set(TRUTH.files)) == len(TRUTH.files)


def test_names_of_two_cameras_collide_and_one_rolls_over():
    """A and B share at least 50 names; A runs from 9999 to 0001."""
    names = {c: {f.file.name for f in TRUTH.frames if f.camera == c} for c in "ABC"}
    assert len(names["A"] & names["B"]) >= 50
    assert {"SPA_9999.JPG", "SPA_0001.JPG"} <= names["A"]


def test_numbers_rise_with_time():
    """Each camera's frames are numbered in the order in which they were made."""
    for camera in "ABC":
        own = [f for f in TRUTH.frames if f.camera == camera]
        assert [f.true for f in own] == sorted(f.true for f in own)
        assert all(b.file_number == a.file_number % 9999 + 1 for a, b in pairwise(own))


def test_one_frame_of_each_passage_is_the_sharpest():
    """It is alone at its sharpness, by more than a pixel and a half."""
    for name in TRUTH.passages:
        soft = sorted(f.soft_px for f in TRUTH.frames if f.passage == name)
        best = [f for f in TRUTH.frames if f.passage == name and f.sharpest]
        assert len(best) == 1
        assert best[0].soft_px == soft[0] == 0
        assert soft[1] - soft[0] > 1.5


def test_every_camera_photographed_the_clock_card():
    """At least four frames each, with a code that appeared 0 to 0.2 s before."""
    counts = Counter(f.camera for f in TRUTH.frames if f.card_newest)
    assert all(counts[c] >= 4 for c in "ABC")
    for frame in TRUTH.frames:
        if frame.card_newest is not None:
            assert 0 <= (frame.true - frame.card_newest).total_seconds() <= 0.2


def test_people_stand_from_left_to_right_and_are_on_the_sheet():
    """Placement follows the picture; whoever is named is on the team sheet."""
    known = sheet()
    for frame in TRUTH.frames:
        assert [s.across for s in frame.people] == sorted(s.across for s in frame.people)
        assert all(known.person(s.person) is not None for s in frame.people)
        if len(frame.people) == 2:
            assert [s.placement for s in frame.people] == ["left", "right"]


def test_minute_and_score_are_those_of_the_instant():
    """Every frame carries the minute and the score at its own true time."""
    for frame in TRUTH.frames:
        assert frame.label == true_label(frame.true)
        assert frame.score == true_score(frame.true)


def test_pins_follow_what_they_pin_within_a_second():
    """A pin's frame was made after the entry happened, and soon."""
    assert len(TRUTH.pins) == 5
    for pin in TRUTH.pins:
        late_s = (TRUTH.frame(pin.frame).true - pin.happened).total_seconds()
        assert 0 <= late_s < 1


def test_an_unknown_frame_is_refused():
    """A frame or passage that was not planted is not found."""
    with pytest.raises(NotFound):
        TRUTH.frame("joy-99/A1")
    with pytest.raises(NotFound):
        TRUTH.best("joy-99")
