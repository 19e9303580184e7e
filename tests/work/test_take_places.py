"""Disks that fill, places that cannot be written, cards that are pulled: real ones."""

from __future__ import annotations

import io
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import frame_maker as made
import pytest
from mounts import Mounts, mounts
from typed_commands import run

from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant
from setpiece.store.copying import PART, content_of
from setpiece.store.files import files_of
from setpiece.store.frames import frames_of
from setpiece.store.matches import Match, add_fixture, find_match, match_folder
from setpiece.store.workspace import DATABASE, Workspace
from setpiece.work.intake.second_copies import set_place
from setpiece.work.intake.take import TakeReport, take_in
from setpiece.work.job import Unattended

FRAMES = 40


@pytest.fixture
def disks() -> Iterator[Mounts]:
    """Small disks of this test."""
    with mounts() as made_here:
        yield made_here


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """A card of 40 frames of some 80 kB."""
    for number in range(1, FRAMES + 1):
        made.put_frame(tmp_path / "card", number, after_s=number, size=(300, 225), small=False)
    return tmp_path / "card"


def contents(folder: Path) -> list[str]:
    """Hashes of the pictures below a folder, in order."""
    return sorted(content_of(p) for p in folder.rglob("*.JPG"))


def begun(folder: Path, fixture: Fixture, now: Instant) -> None:
    """A new workspace with its match."""
    space = Workspace.create(folder)
    add_fixture(space, fixture, now)
    space.close()


def check_sound(folder: Path) -> None:
    """The database is whole, what it notes is there, and nothing unfinished lies about."""
    connection = sqlite3.connect(folder / DATABASE)
    assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    connection.close()
    space = Workspace.open(folder)
    of = find_match(space, None)
    for stored in files_of(space, of):
        assert content_of(match_folder(space, of) / stored.path) == stored.content
    space.close()
    assert list((folder / of.folder / "frames").rglob("*" + PART)) == []


def words_against(report: TakeReport) -> str:
    """Every reason against wiping the only card."""
    (verdict,) = report.cards
    assert not verdict.may_be_wiped
    return verdict.words


@pytest.mark.parametrize("share", [0.0, 0.001, 0.03, 0.2, 0.5, 0.8, 1.05])
def test_a_full_disk_says_so_and_the_run_after_it_completes(
    disks: Mounts, tmp_path: Path, card: Path, fixture: Fixture, now: Instant, share: float
) -> None:
    """With room for that share of the card's bytes the disk fills up in the database, the copies or
    the small pictures: the run ends with status 3 and a sentence, keeps what it copied, and goes
    on once there is room."""
    folder = disks.disk(tmp_path / "workspace", "64m")
    begun(folder, fixture, now)
    used_kb, card_kb = (sum(p.stat().st_blocks for p in f.rglob("*")) / 2 for f in (folder, card))
    disks.change(folder, f"size={used_kb + share * card_kb:.0f}k")
    full = run(folder, "take", str(card))
    assert (full.status, full.out) == (3, "")
    assert "the disk is full" in full.err
    assert "Free some space" in full.err
    assert len(full.err.splitlines()) == 1
    disks.change(folder, "size=64m")
    check_sound(folder)
    again = run(folder, "take", str(card))
    assert again.status == 0, again.err
    check_sound(folder)
    assert contents(next(folder.glob("*/frames"))) == contents(card)
    space = Workspace.open(folder)
    frames = frames_of(space, find_match(space, None))
    space.close()
    assert len(frames) == FRAMES
    assert all(f.look for f in frames)


def test_a_full_second_drive_keeps_the_card(
    disks: Mounts, space: Workspace, match: Match, tmp_path: Path, card: Path, now: Instant
) -> None:
    """The workspace takes everything in, the drive what it can; the card is not released before
    the drive has the rest as well."""
    drive = disks.disk(tmp_path / "drive", "1m")
    set_place(space, drive, now)
    report = take_in(space, match, [card], Unattended(now))
    assert report.copied == FRAMES
    (copies,) = report.copies
    assert copies.why == "the disk is full"
    assert 0 < copies.copied == FRAMES - copies.missing < FRAMES
    assert f"{copies.missing} files not in {drive}" in words_against(report)
    assert list(drive.rglob("*" + PART)) == []
    disks.change(drive, "size=64m")
    again = take_in(space, match, [card], Unattended(now), prove=True)
    assert again.cards[0].may_be_wiped
    assert contents(drive) == contents(card)


def test_a_workspace_that_cannot_be_written_says_so(
    disks: Mounts, tmp_path: Path, card: Path, fixture: Fixture, now: Instant
) -> None:
    """On a disk that is locked the run ends with status 3 and a sentence, and the card is as it
    was; unlocked, it is taken in."""
    folder = disks.disk(tmp_path / "workspace")
    begun(folder, fixture, now)
    before = {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in card.rglob("*.JPG")}
    disks.change(folder, "ro")
    locked = run(folder, "take", str(card))
    assert (locked.status, locked.out) == (3, "")
    assert "cannot be written" in locked.err
    assert len(locked.err.splitlines()) == 1
    assert before == {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in card.rglob("*.JPG")}
    disks.change(folder, "rw")
    assert run(folder, "take", str(card)).status == 0
    check_sound(folder)


def test_a_place_for_a_new_workspace_that_cannot_be_written_says_so(
    disks: Mounts, tmp_path: Path
) -> None:
    """A workspace on a locked disk is not begun, in a sentence."""
    folder = disks.disk(tmp_path / "locked")
    disks.change(folder, "ro")
    ran = run(tmp_path, "init", "--workspace", str(folder / "workspace"))
    assert ran.status == 3
    assert "Read-only file system" in ran.err


def test_a_locked_second_drive_keeps_the_card(
    disks: Mounts, space: Workspace, match: Match, tmp_path: Path, card: Path, now: Instant
) -> None:
    """A drive that cannot be written costs the workspace nothing and releases no card."""
    drive = disks.disk(tmp_path / "drive")
    set_place(space, drive, now)
    disks.change(drive, "ro")
    report = take_in(space, match, [card], Unattended(now))
    assert (report.copied, report.copies[0].missing) == (FRAMES, FRAMES)
    assert "cannot be written" in report.copies[0].why
    assert f"{FRAMES} files not in {drive}" in words_against(report)


def test_a_locked_card_is_taken_in_as_any(
    disks: Mounts, space: Workspace, match: Match, tmp_path: Path, card: Path, now: Instant
) -> None:
    """A card whose lock is on is read, nothing on it is written, and no frame counts as protected
    for it."""
    disk = disks.disk(tmp_path / "locked")
    for path in card.rglob("*.JPG"):
        made.put(disk, path.name, path.read_bytes())
    disks.change(disk, "ro")
    report = take_in(space, match, [disk], Unattended(now))
    assert (report.copied, report.troubles, report.frames) == (FRAMES, (), FRAMES)
    assert not [f for f in frames_of(space, match) if f.protected]


class Pulling(Unattended):
    """Pulls the card once some files have come."""

    def __init__(self, at: Instant, disks: Mounts, reader: Path, after: int) -> None:
        super().__init__(at)
        self._disks, self._reader, self._after = disks, reader, after

    def progress(self, done: int, total: int, what: str) -> None:
        """Told of every file that came."""
        if what == "Taking in" and done == self._after:
            self._disks.pull(self._reader)


def test_a_pulled_card_keeps_what_came_and_the_next_run_completes(
    disks: Mounts, space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """The card is unmounted while it is read: what is missing is counted, nothing is half there,
    it may not be wiped; put back, the rest comes."""
    disk = disks.disk(tmp_path / "disk")
    for number in range(1, 151):
        made.put_frame(disk, number, after_s=number)
    reader, drive = tmp_path / "reader", tmp_path / "drive"
    drive.mkdir()
    set_place(space, drive, now)
    disks.insert(disk, reader)
    report = take_in(space, match, [reader], Pulling(now, disks, reader, 5))
    assert 5 <= report.copied < 150
    (gone,) = report.troubles
    assert gone.path == str(reader)
    assert f"went away with {150 - report.copied} files still on it" in gone.what
    assert "went away" in words_against(report)
    assert f"{150 - report.copied} files not taken in yet" in words_against(report)
    assert report.waiting == 150 - report.copied
    check_sound(space.folder)
    disks.insert(disk, reader)
    again = take_in(space, match, [reader], Unattended(now), prove=True)
    assert again.copied == 150 - report.copied
    assert contents(match_folder(space, match) / "frames") == contents(disk)
    assert contents(drive) == contents(disk)
    assert again.cards[0].may_be_wiped


def test_a_card_pulled_while_it_is_listed_is_one_trouble(
    space: Workspace, match: Match, tmp_path: Path, card: Path, now: Instant
) -> None:
    """Of a card that goes away before anything was copied one sentence is said, not forty."""

    class Early(Unattended):
        def progress(self, done: int, total: int, what: str) -> None:
            """Told when the listing begins."""
            if what == "Listing the card" and done == 0:
                card.rename(tmp_path / "pulled")

    report = take_in(space, match, [card], Early(now))
    assert (report.copied, report.frames) == (0, 0)
    (gone,) = report.troubles
    assert f"went away with {FRAMES} files" in gone.what
    assert "went away" in words_against(report)
    (tmp_path / "pulled").rename(card)
    assert take_in(space, match, [card], Unattended(now)).copied == FRAMES


class Failing(io.FileIO):
    """A file on a failing card: after its first bytes nothing can be read."""

    def readinto(self, room: object) -> int | None:
        """Fails as the system does."""
        if self.tell() > 1000:
            raise OSError(5, "Input/output error")
        return super().readinto(memoryview(room)[:2000])  # type: ignore[arg-type]


def test_bad_places_on_a_card_cost_only_their_files(
    space: Workspace,
    match: Match,
    tmp_path: Path,
    card: Path,
    now: Instant,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Five files in a row cannot be read to their end: each is named, all others are taken in,
    and when the card gives them after all the next run takes them."""
    bad = {card / "DCIM" / "100OSTR" / f"OSP_{number:04}.JPG" for number in range(20, 25)}
    real = Path.open

    def opened(path: Path, mode: str = "r", *said: object, **more: object) -> object:
        if path in bad and more.get("buffering") == 0:
            return Failing(path)
        return real(path, mode, *said, **more)  # type: ignore[call-overload]

    drive = tmp_path / "drive"
    drive.mkdir()
    set_place(space, drive, now)
    with monkeypatch.context() as patched:
        patched.setattr(Path, "open", opened)
        report = take_in(space, match, [card], Unattended(now))
    assert report.copied == FRAMES - len(bad)
    assert {t.path for t in report.troubles} == set(map(str, bad))
    assert {t.what for t in report.troubles} == {
        "it could not be read to its end (Input/output error)"
    }
    assert "5 files with trouble" in words_against(report)
    again = take_in(space, match, [card], Unattended(now))
    assert (again.copied, again.troubles, again.frames) == (len(bad), (), FRAMES)


def test_a_file_deleted_between_listing_and_copy_is_named(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """A file that somebody deletes from the card in the middle is a trouble of its own."""
    victim = card / "DCIM" / "100OSTR" / "OSP_0003.JPG"

    class Deleting(Unattended):
        def progress(self, done: int, total: int, what: str) -> None:
            """Told when the listing ends."""
            if what == "Listing the card" and done == total:
                victim.unlink(missing_ok=True)

    report = take_in(space, match, [card], Deleting(now))
    assert report.copied == FRAMES - 1
    assert [t.path for t in report.troubles] == [str(victim)]
    assert "went away" in report.troubles[0].what
