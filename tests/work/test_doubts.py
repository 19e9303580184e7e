"""Doubts about frames that are whole: settings and dates that may be a mistake."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import frame_maker as made
import pytest
from typed_commands import run

from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant, Interval, instant
from setpiece.pictures.metadata import CameraMetadata
from setpiece.store.frames import frames_of, type_time
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.intake.doubts import date_doubt, doubts_of, setting_doubts
from setpiece.work.intake.take import take_in
from setpiece.work.job import Unattended
from setpiece.work.listing import listed
from setpiece.work.matchday import Matchday

CROPPED = {"Exif.Photo.DigitalZoomRatio": "3/2"}


@pytest.mark.parametrize(
    ("setting", "words"),
    [("monochrome", "black and white"), ("small_size", "smaller"), ("crop_mode", "crop mode")],
)
def test_each_setting_is_said_in_words(setting: str, words: str) -> None:
    """A setting the camera tells of is one doubt that names it; silence is none."""
    (said,) = setting_doubts(CameraMetadata(**{setting: True}))
    assert words in said
    assert setting_doubts(CameraMetadata()) == ()


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (-365.0, "made 365 days before the match, or the camera's date is wrong"),
        (-1.2, "made 1 day before the match, or the camera's date is wrong"),
        (-0.9, ""),
        (0.4, ""),
        (31.0, "made 31 days after the match, or the camera's date is wrong"),
    ],
)
def test_another_day_is_a_doubt(fixture: Fixture, days: float, words: str) -> None:
    """Frames within a day of the kick-off are of the match; others are of another day."""
    at = Interval.exactly(instant(fixture.kick_off + timedelta(days=days)))
    assert date_doubt(at, fixture) == words


def test_doubts_are_counted_by_camera_and_go_when_they_are_answered(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """Two bodies in crop mode are two doubts; a frame of last year is one, until its time is
    typed. Frames in a list say it too."""
    for number in (1, 2, 3):
        made.put_frame(tmp_path / "one", number, after_s=number, tags=CROPPED)
    made.put_frame(tmp_path / "two", 9, serial="9", tags=CROPPED)
    made.put_frame(tmp_path / "two", 8, serial="9", after_s=-300 * 86_400)
    take_in(space, match, [tmp_path / "one"], Unattended(now))
    report = take_in(space, match, [tmp_path / "two"], Unattended(now))
    zoomed, dated = "crop mode or zoom", "made 300 days before the match"
    said = {t.path: t.what for t in report.doubts}
    assert set(said) == {"A-0001 and 2 more", "B-0009", "B-0008"}
    assert zoomed in said["A-0001 and 2 more"]
    assert zoomed in said["B-0009"]
    assert dated in said["B-0008"]
    (old,) = [f for f in frames_of(space, match) if f.file_number == 8]
    type_time(space, match, old.id, Interval.exactly(now))
    assert {t.path for t in doubts_of(space, match)} == {"A-0001 and 2 more", "B-0009"}
    assert old.id in Matchday(space, match).frames


def test_a_list_of_frames_says_its_doubts(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """A row of `frames` tells of the setting and of the day."""
    made.put_frame(tmp_path / "card", 1, after_s=-40 * 86_400, tags=CROPPED)
    take_in(space, played, [tmp_path / "card"], Unattended(now))
    (row,) = listed(Matchday(space, played))
    assert "crop mode" in row.words
    assert "days before the match" in row.words


def test_doubts_are_printed_as_questions(space: Workspace, match: Match, tmp_path: Path) -> None:
    """The command asks about them and ends well: nothing is broken."""
    made.put_frame(tmp_path / "card", 1, tags=CROPPED)
    ran = run(space.folder, "take", str(tmp_path / "card"))
    assert ran.status == 0
    assert "Is that right? A-0001: the camera uses a part of its sensor only" in ran.out


def test_without_a_fixture_no_day_is_doubted(
    space: Workspace, tmp_path: Path, now: Instant
) -> None:
    """Before the fixture is made nobody knows which day is right."""
    made.put_frame(tmp_path / "card", 1, after_s=-300 * 86_400)
    assert take_in(space, None, [tmp_path / "card"], Unattended(now)).doubts == ()
