"""Further copies on other drives, and when a card may be wiped."""

from __future__ import annotations

from pathlib import Path

import frame_maker as made
import pytest

from setpiece.errors import BadFile, NotFound
from setpiece.match.instants import Instant
from setpiece.store.copies import copies_at, forget_place, places
from setpiece.store.copying import content_of
from setpiece.store.files import files_of
from setpiece.store.matches import Match, match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.intake import second_copies
from setpiece.work.intake.second_copies import MARKER, copy_further, on_same_disk, set_place
from setpiece.work.intake.take import TakeReport, take_in
from setpiece.work.intake.urgency import Wanted
from setpiece.work.job import Unattended


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """A card of three frames, one of them protected, and a memo."""
    folder = tmp_path / "card"
    for number in (1, 2, 3):
        made.put_frame(folder, number, after_s=number, protected=number == 2)
    made.put(folder, "OSP_0001.WAV", b"RIFF\0\0\0\0WAVEfmt ")
    return folder


@pytest.fixture
def drive(tmp_path: Path) -> Path:
    """A second drive."""
    folder = tmp_path / "second drive"
    folder.mkdir()
    return folder


def why_not(report: TakeReport) -> str:
    """Every reason against wiping the only card."""
    (verdict,) = report.cards
    assert verdict.may_be_wiped is (not verdict.why_not)
    return "; ".join(verdict.why_not)


def contents(folder: Path) -> list[str]:
    """Hashes of all files below a folder but the drive's marker, the manifests and odd ones."""
    files = [p for p in folder.rglob("*") if p.is_file() and p.name != MARKER]
    return sorted(content_of(p) for p in files if p.parent.name != "manifests")


def test_a_card_may_be_wiped_when_every_file_is_held_twice(
    space: Workspace, match: Match, card: Path, drive: Path, now: Instant
) -> None:
    """With a second drive every file of the card is there too, byte for byte, and it is said."""
    set_place(space, drive, now)
    report = take_in(space, match, [card], Unattended(now))
    assert contents(drive) == contents(card)
    assert [(c.copied, c.missing, c.why) for c in report.copies] == [(4, 0, "")]
    (verdict,) = report.cards
    assert verdict.may_be_wiped
    assert "held twice" in verdict.words
    assert str(drive) in verdict.words


def test_without_a_second_drive_nothing_may_be_wiped(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """Held in the workspace alone is not enough."""
    assert "no second drive" in why_not(take_in(space, match, [card], Unattended(now)))


def test_a_drive_that_is_not_there_is_made_up_for_later(
    space: Workspace, match: Match, card: Path, drive: Path, now: Instant
) -> None:
    """Without the drive its folder is not written to and the card not released; when it is back,
    the next run copies what is missing."""
    set_place(space, drive, now)
    (drive / MARKER).rename(drive.parent / MARKER)
    report = take_in(space, match, [card], Unattended(now))
    assert list(drive.iterdir()) == []
    assert [(c.missing, c.why) for c in report.copies] == [(4, "the drive is not there")]
    assert f"4 files not in {drive}" in why_not(report)
    (drive.parent / MARKER).rename(drive / MARKER)
    again = take_in(space, match, [card], Unattended(now), prove=True)
    assert contents(drive) == contents(card)
    assert again.cards[0].may_be_wiped


@pytest.mark.parametrize(
    ("name", "data", "reason"),
    [
        ("CLIP.MP4", b"\0\0\0\x18ftypmp42 a film", "on the card only, no picture: CLIP.MP4"),
        ("OSP_0009.JPG", b"", "with trouble: OSP_0009.JPG"),
    ],
)
def test_one_file_that_is_not_held_keeps_the_card(
    space: Workspace,
    match: Match,
    card: Path,
    drive: Path,
    now: Instant,
    name: str,
    data: bytes,
    reason: str,
) -> None:
    """A film that was left, or an empty file that may be rescued, forbids wiping and is named."""
    set_place(space, drive, now)
    made.put(card, name, data)
    assert why_not(take_in(space, match, [card], Unattended(now))) == f"1 file {reason}"


def test_a_quick_pass_keeps_the_card(
    space: Workspace, match: Match, card: Path, drive: Path, now: Instant
) -> None:
    """What a quick pass left on the card is counted, and waits in the listing."""
    set_place(space, drive, now)
    report = take_in(space, match, [card], Unattended(now), wanted=Wanted(only_protected=True))
    assert (report.copied, report.waiting) == (1, 3)
    assert "3 files not taken in yet" in why_not(report)


def test_a_few_frames_wanted_at_once_are_copied_further_by_the_next_run(
    space: Workspace, match: Match, card: Path, drive: Path, now: Instant
) -> None:
    """Taking in the two most urgent files waits for no second drive, and releases no card."""
    set_place(space, drive, now)
    report = take_in(space, match, [card], Unattended(now), wanted=Wanted(most=2))
    assert (report.copied, report.copies) == (2, ())
    assert contents(drive) == []
    assert f"2 files not in {drive}" in why_not(report)
    take_in(space, match, [card], Unattended(now))
    assert contents(drive) == contents(card)


def test_what_was_not_read_again_keeps_the_card(
    space: Workspace, match: Match, card: Path, drive: Path, now: Instant
) -> None:
    """Files known by name, size and time alone release no card; reading them again does. A memo
    is always read: memos may all be of one size."""
    take_in(space, match, [card], Unattended(now))
    set_place(space, drive, now)
    again = take_in(space, match, [card], Unattended(now))
    assert (again.known, again.unread) == (4, 3)
    assert "not read" in why_not(again)
    proved = take_in(space, match, [card], Unattended(now), prove=True)
    assert (proved.known, proved.unread) == (4, 0)
    assert proved.cards[0].may_be_wiped


def test_a_copy_that_goes_bad_is_found_and_made_again(
    space: Workspace, match: Match, card: Path, drive: Path, now: Instant
) -> None:
    """Reading everything again finds a rotten copy here and one on the drive, replaces both, and
    keeps the rotten ones aside."""
    set_place(space, drive, now)
    take_in(space, match, [card], Unattended(now))
    pictures = [f for f in files_of(space, match) if f.kind == "JPEG"]
    here = match_folder(space, match) / pictures[0].path
    there = drive / match.folder / pictures[1].path
    for path in (here, there):
        path.write_bytes(b"rot" + path.read_bytes()[3:])
    report = take_in(space, match, [card], Unattended(now), prove=True)
    assert len(report.troubles) == 2
    assert content_of(here) == pictures[0].content
    assert set(contents(card)) <= set(contents(match_folder(space, match)))
    assert set(contents(card)) <= set(contents(drive))
    assert len(files_of(space, match)) == 4
    after = take_in(space, match, [card], Unattended(now), prove=True)
    assert after.troubles == ()
    assert after.cards[0].may_be_wiped


def test_a_file_deleted_from_the_workspace_comes_back(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """A file that somebody deleted is copied again, under its old name, and is no new frame."""
    first = take_in(space, match, [card], Unattended(now))
    gone = match_folder(space, match) / files_of(space, match)[0].path
    gone.unlink()
    again = take_in(space, match, [card], Unattended(now))
    assert (again.copied, again.frames) == (1, first.frames)
    assert gone.exists()
    assert len(files_of(space, match)) == 4


def test_a_file_cut_short_in_the_workspace_is_replaced(
    space: Workspace, match: Match, card: Path, drive: Path, now: Instant
) -> None:
    """A copy that lost its end is put aside, and the card's takes its name; the drive is made up
    and the card may be wiped after it."""
    first = take_in(space, match, [card], Unattended(now))
    cut = next(f for f in files_of(space, match) if f.kind == "JPEG")
    path = match_folder(space, match) / cut.path
    path.write_bytes(path.read_bytes()[:-100])
    set_place(space, drive, now)
    again = take_in(space, match, [card], Unattended(now), prove=True)
    assert (again.copied, again.frames) == (1, first.frames)
    assert [t.path for t in again.troubles] == [cut.path]
    assert content_of(path) == cut.content
    assert len(files_of(space, match)) == 4
    after = take_in(space, match, [card], Unattended(now), prove=True)
    assert (after.troubles, after.cards[0].may_be_wiped) == ((), True)


def test_a_bad_source_does_not_spoil_the_drive(
    space: Workspace, match: Match, card: Path, drive: Path, now: Instant
) -> None:
    """A workspace file that went bad is not spread: the drive gets all others, and it is said."""
    take_in(space, match, [card], Unattended(now))
    bad = files_of(space, match)[1]
    (match_folder(space, match) / bad.path).write_bytes(b"rot")
    place = set_place(space, drive, now)
    (done,) = copy_further(space, match, match_folder(space, match), Unattended(now))
    assert (done.copied, done.missing) == (3, 1)
    assert bad.path in done.why
    assert bad.path not in copies_at(space, match, place)
    assert len(contents(drive)) == 3


def test_a_full_drive_costs_the_workspace_nothing(
    space: Workspace,
    match: Match,
    card: Path,
    drive: Path,
    now: Instant,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """When the drive can take no more, the run ends well, says so, and keeps what was copied."""
    set_place(space, drive, now)
    real = second_copies.copy_proved
    count = 0

    def full(source: Path, target: Path) -> object:
        nonlocal count
        count += 1
        if count == 3:
            from setpiece.errors import NoSpace

            raise NoSpace("the disk is full", thing=str(target))
        return real(source, target)

    monkeypatch.setattr(second_copies, "copy_proved", full)
    report = take_in(space, match, [card], Unattended(now))
    assert report.copied == 4
    assert [(c.copied, c.missing, c.why) for c in report.copies] == [(2, 2, "the disk is full")]
    assert len(copies_at(space, match, places(space)[0])) == 2


def test_places_are_set_and_forgotten(
    space: Workspace, drive: Path, now: Instant, tmp_path: Path
) -> None:
    """A place is set once, known as being on the same disk, and forgotten without touching it."""
    with pytest.raises(NotFound, match="no such folder"):
        set_place(space, tmp_path / "nowhere", now)
    place = set_place(space, drive, now)
    assert set_place(space, drive, now).id == place.id
    assert on_same_disk(space, place)
    forget_place(space, drive)
    assert places(space) == ()
    assert (drive / MARKER).exists()
    with pytest.raises(NotFound, match="no further copy"):
        forget_place(space, drive)


def test_a_copy_of_other_content_is_refused(tmp_path: Path) -> None:
    """A copy whose content is not what was taken in is removed again."""
    from setpiece.store.copies import CopyPlace, ToCopy

    here = tmp_path / "here"
    (here / "frames").mkdir(parents=True)
    (here / "frames" / "a.JPG").write_bytes(b"other")
    place = CopyPlace(1, tmp_path)
    with pytest.raises(BadFile, match="not what was taken in"):
        second_copies._copied(ToCopy(1, "frames/a.JPG", "0" * 32), here, tmp_path / "m", place)
    assert list((tmp_path / "m").rglob("*.JPG")) == []
