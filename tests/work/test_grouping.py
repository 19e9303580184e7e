"""From files to frames in the workspace."""

from __future__ import annotations

from pathlib import Path

import frame_maker as made

from setpiece.frames.camera_clock import card_pair
from setpiece.match.instants import Instant
from setpiece.store.captions import add_caption, captions_of
from setpiece.store.files import files_of, mark_damaged
from setpiece.store.frames import Decision, add_pair, cameras, decide, frames_of, pairs_of
from setpiece.store.matches import Match, match_without_fixture
from setpiece.store.workspace import Workspace
from setpiece.work.intake.grouping import group_frames
from setpiece.work.intake.take import take_in
from setpiece.work.job import Unattended


def test_nothing_new_changes_nothing(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """Grouping the same files again changes no frame and says how many there are."""
    made.put_frame(tmp_path / "card", 1)
    take_in(space, match, [tmp_path / "card"], Unattended(now))
    before = frames_of(space, match)
    grouped = group_frames(space, match, now)
    assert (grouped.frames, grouped.changed) == (1, {})
    assert frames_of(space, match) == before


def test_a_card_with_two_matches_is_taken_into_both(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """Of two matches in one day each takes the whole card in; its frames are frames of each, and
    a third time changes nothing. What is decided for one match says nothing of the other."""
    for number in (1, 2):
        made.put_frame(tmp_path / "card", number)
    card, caller = [tmp_path / "card"], Unattended(now)
    days = [match, *(match_without_fixture(space, f"2027-03-0{n}", now) for n in (7, 8))]
    for _ in range(2):
        for day in days:
            report = take_in(space, day, card, caller)
            assert (report.frames, report.troubles) == (2, ())
    ids = [{f.id for f in frames_of(space, day)} for day in days]
    assert len(set.union(*ids)) == 6
    decide(space, match, min(ids[0]), Decision.SPIKE)
    assert {f.decision for f in frames_of(space, days[1])} == {Decision.NONE}


def test_a_better_file_is_named_as_changed(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """When the best file turns out damaged and a whole one is there, the frame changes to it."""
    made.put(tmp_path / "card", "OSP_0001.JPG", made.frame(1, after_s=1, size=(240, 180)))
    made.put(tmp_path / "air", "OSP_0001.JPG", made.frame(1, after_s=1))
    take_in(space, match, [tmp_path / "card", tmp_path / "air"], Unattended(now))
    (frame,) = frames_of(space, match)
    mark_damaged(space, match, frame.best_file)
    grouped = group_frames(space, match, now)
    assert set(grouped.changed) == {frame.id}
    assert grouped.changed[frame.id] != frame.best_file
    assert frames_of(space, match)[0].look is None


def test_what_was_said_of_a_frame_stays_when_it_turns_out_to_be_another(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """A small copy whose camera wrote no number is a frame of its own; when the card shows which
    exposure it was, its caption, decision and clock pair go with it, and it is one frame."""
    tags = {"Exif.Photo.SubSecTimeOriginal": "25"}
    small = made.frame(1, after_s=1, size=(60, 45), tags=tags)
    made.put(tmp_path / "air", "PIC.JPG", small, after_s=1)
    take_in(space, match, [tmp_path / "air"], Unattended(now))
    (early,) = frames_of(space, match)
    add_caption(space, match, early.id, "{}", now)
    decide(space, match, early.id, Decision.USE)
    assert early.camera_time is not None
    assert early.camera_id is not None
    pair = card_pair(early.camera_time, now, "clock card")
    add_pair(space, match, early.camera_id, pair, now, frame_id=early.id)
    for number, after_s, subsec in ((1, 1, "25"), (2, 1, "37"), (3, 2, "11")):
        made.put_frame(
            tmp_path / "card",
            number,
            after_s=after_s,
            tags={"Exif.Photo.SubSecTimeOriginal": subsec},
        )
    report = take_in(space, match, [tmp_path / "card"], Unattended(now))
    assert report.frames == 3
    (same,) = [f for f in frames_of(space, match) if f.id == early.id]
    assert (same.handle, same.decision) == ("A-0001", Decision.USE)
    assert early.id in captions_of(space, match)
    assert len(pairs_of(space, match)[early.camera_id]) == 1
    assert {f.frame_id for f in files_of(space, match)} == {f.id for f in frames_of(space, match)}


def test_a_crop_made_in_the_camera_belongs_to_its_frame(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """A crop gets a new number and keeps the time: it joins the frame, whose best file, caption
    and name stay; a frame of the same size at another hundredth does not."""
    card = tmp_path / "card"
    for number, after_s in ((1, 1.25), (2, 1.37), (3, 2.11)):
        made.put_frame(card, number, after_s=after_s, size=(240, 180))
    take_in(space, match, [card], Unattended(now))
    (first,) = [f for f in frames_of(space, match) if f.file_number == 1]
    add_caption(space, match, first.id, "{}", now)
    made.put_frame(card, 57, after_s=1.25, size=(120, 90))
    report = take_in(space, match, [card], Unattended(now))
    assert (report.copied, report.frames) == (1, 3)
    (same,) = [f for f in frames_of(space, match) if f.id == first.id]
    assert (same.best_file, same.handle) == (first.best_file, "A-0001")
    assert first.id in captions_of(space, match)
    of_frame = {f.name for f in files_of(space, match) if f.frame_id == first.id}
    assert of_frame == {"OSP_0001.JPG", "OSP_0057.JPG"}


def test_each_body_gets_a_letter(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """Bodies get letters in the order they come, and frames are called by letter and number; a
    frame whose file names no body is called by its file."""
    made.put_frame(tmp_path / "one", 12, serial="1")
    made.put_frame(tmp_path / "two", 12, serial="2", seed=99)
    made.put(tmp_path / "two", "SCAN.JPG", made.jpeg(5))
    for card in ("one", "two"):
        take_in(space, match, [tmp_path / card], Unattended(now))
    assert sorted(f.handle for f in frames_of(space, match)) == ["A-0012", "B-0012", "SCAN.JPG"]
    assert [(c.letter, c.serial) for c in cameras(space).values()] == [("A", "1"), ("B", "2")]


def test_a_mark_on_any_file_marks_the_frame(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """A frame is protected when the camera protected any of its files."""
    made.put_frame(tmp_path / "slot 1", 1, protected=True)
    made.put(tmp_path / "slot 2", "OSP_0001.JPG", made.frame(1, size=(60, 45)))
    made.put_frame(tmp_path / "slot 2", 2, after_s=1)
    take_in(space, match, [tmp_path / "slot 1", tmp_path / "slot 2"], Unattended(now))
    assert [f.protected for f in frames_of(space, match)] == [True, False]
