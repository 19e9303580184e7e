"""Taking in: proved copies, nothing twice, nothing lost, odd files reported."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import frame_maker as made
import numpy as np
import pytest
import simplejpeg

from setpiece.errors import Busy, NoSpace, NotFound, Stopped, TryAgain
from setpiece.match.instants import Instant
from setpiece.store.copying import PART, content_of
from setpiece.store.files import files_of, waiting_files
from setpiece.store.frames import frames_of
from setpiece.store.lock import alone
from setpiece.store.matches import Match, add_fixture, find_match, matches
from setpiece.store.workspace import Workspace
from setpiece.work.intake import carrying, shelving
from setpiece.work.intake.look import look_at_new, previews
from setpiece.work.intake.take import LOCK, take_in
from setpiece.work.intake.urgency import Wanted
from setpiece.work.job import Unattended


def picture(seed: int) -> bytes:
    """A small JPEG, different for each seed."""
    pixels = np.random.default_rng(seed).integers(0, 255, (90, 120, 3), dtype=np.uint8)
    return bytes(simplejpeg.encode_jpeg(pixels, quality=80))


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """A card with three whole pictures, one cut short, an empty file and a text."""
    folder = tmp_path / "card" / "DCIM" / "100SPA"
    folder.mkdir(parents=True)
    for number in range(1, 4):
        (folder / f"SPA_000{number}.JPG").write_bytes(picture(number))
    (folder / "SPA_0004.JPG").write_bytes(picture(4)[:2500])
    (folder / "SPA_0005.JPG").write_bytes(b"")
    (folder / "INDEX.TXT").write_text("not a picture")
    return tmp_path / "card"


class Impatient(Unattended):
    """Stops a job after so many questions whether to stop."""

    def __init__(self, at: Instant, patience: int) -> None:
        super().__init__(at)
        self.patience = patience

    def stopped(self) -> bool:
        """True once the patience is gone."""
        self.patience -= 1
        return self.patience < 0


def contents(folder: Path) -> Iterator[str]:
    """Hashes of the files below a folder that hold anything."""
    return (content_of(p) for p in folder.rglob("*.JPG") if p.stat().st_size)


def test_every_file_is_copied_and_the_card_is_untouched(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """All pictures are in the match's folder byte by byte; the card is as it was."""
    before = {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in card.rglob("*") if p.is_file()}
    report = take_in(space, match, [card], Unattended(now))
    assert (report.copied, report.known, report.frames) == (4, 0, 4)
    assert [t.what for t in report.troubles] == ["an empty file"]
    assert [Path(p).name for p in report.left] == ["INDEX.TXT"]
    assert set(contents(card)) == set(contents(space.folder / match.folder / "frames"))
    after = {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in card.rglob("*") if p.is_file()}
    assert before == after


def test_a_second_run_copies_nothing(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """Taking the same card in again copies nothing and makes no frame twice."""
    take_in(space, match, [card], Unattended(now))
    again = take_in(space, match, [card], Unattended(now))
    assert (again.copied, again.known, again.frames) == (0, 4, 4)


def test_a_damaged_picture_is_kept_marked_and_shown(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """The picture cut short is in the workspace, marked, with a small picture of what is left."""
    take_in(space, match, [card], Unattended(now))
    assert look_at_new(space, match, Unattended(now)) == 1
    (damaged,) = [f for f in frames_of(space, match) if f.damaged]
    assert damaged.best_file.endswith("SPA_0004.JPG")
    assert (space.folder / "previews" / f"{damaged.id}-s.jpg").stat().st_size > 0


def test_the_whole_copy_takes_the_place_of_the_short_one(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """When the whole file comes later, the frame is one, not damaged any more, and new looks are
    taken."""
    take_in(space, match, [card], Unattended(now))
    look_at_new(space, match, Unattended(now))
    (card / "DCIM" / "100SPA" / "SPA_0004.JPG").write_bytes(picture(4))
    report = take_in(space, match, [card], Unattended(now))
    assert (report.copied, report.frames) == (1, 4)
    look_at_new(space, match, Unattended(now))
    assert not [f for f in frames_of(space, match) if f.damaged]
    assert len(files_of(space, match)) == 5


def test_a_stopped_run_goes_on(space: Workspace, match: Match, card: Path, now: Instant) -> None:
    """A run stopped half way keeps what it copied; the next copies only the rest."""
    with pytest.raises(Stopped):
        take_in(space, match, [card], Impatient(now, 3))
    assert len(files_of(space, match)) == 2
    report = take_in(space, match, [card], Unattended(now))
    assert (report.copied, report.known) == (2, 2)


def test_what_a_killed_run_left_is_swept(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """Half a file under its temporary name is gone after the next run."""
    half = space.folder / match.folder / "frames" / ("x.JPG" + PART)
    half.write_bytes(b"half")
    take_in(space, match, [card], Unattended(now))
    assert not half.exists()


def test_a_copy_on_disk_that_was_not_noted_yet_is_adopted(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """A run killed between the copy and its record leaves a file that the next run takes over."""
    there = space.folder / match.folder / "frames" / "100SPA" / "SPA_0001.JPG"
    there.parent.mkdir(parents=True)
    there.write_bytes(picture(1))
    report = take_in(space, match, [card], Unattended(now))
    assert report.copied == 4
    assert len(list(there.parent.glob("*.JPG"))) == 4


def test_colliding_names_of_two_cards_keep_both(
    space: Workspace, match: Match, card: Path, tmp_path: Path, now: Instant
) -> None:
    """Two pictures of one name from two cards are two files and two frames."""
    other = tmp_path / "other" / "DCIM" / "100SPA"
    other.mkdir(parents=True)
    (other / "SPA_0001.JPG").write_bytes(picture(99))
    report = take_in(space, match, [card, tmp_path / "other"], Unattended(now))
    assert report.frames == 5
    assert len({f.path for f in files_of(space, match)}) == 5


def test_links_are_not_followed(
    space: Workspace, match: Match, card: Path, tmp_path: Path, now: Instant
) -> None:
    """A symbolic link on a card is reported and not followed."""
    secret = tmp_path / "elsewhere.JPG"
    secret.write_bytes(picture(7))
    try:
        (card / "LINK.JPG").symlink_to(secret)
    except OSError:
        pytest.skip("this system makes no symbolic links here")
    report = take_in(space, match, [card], Unattended(now))
    assert "a symbolic link, not followed" in {t.what for t in report.troubles}
    assert content_of(secret) not in {f.content for f in files_of(space, match)}


def test_random_bytes_under_a_pictures_name_are_kept(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """A file that is no picture inside is copied, kept and said to be unreadable."""
    (card / "BROKEN.JPG").write_bytes(os.urandom(4000))
    report = take_in(space, match, [card], Unattended(now))
    assert report.copied == 5
    assert look_at_new(space, match, Unattended(now)) == 2


def test_frames_can_be_taken_in_before_any_fixture(
    space: Workspace, card: Path, now: Instant, fixture: object
) -> None:
    """Without a fixture the frames wait in a folder of their day, and become the fixture's."""
    report = take_in(space, None, [card], Unattended(now))
    assert report.match == "2027-03-06-no-fixture-yet"
    made = add_fixture(space, fixture, now)  # type: ignore[arg-type]
    assert len(matches(space)) == 1
    assert len(frames_of(space, find_match(space, made.folder))) == 4
    again = take_in(space, made, [card], Unattended(now))
    assert (again.copied, again.known) == (0, 4)


def test_an_empty_or_missing_card_says_so(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """A path that is not there and a card without anything end in a sentence."""
    with pytest.raises(NotFound, match="no such card"):
        take_in(space, match, [tmp_path / "nowhere"], Unattended(now))
    (tmp_path / "blank").mkdir()
    with pytest.raises(NotFound, match="nothing to take in"):
        take_in(space, match, [tmp_path / "blank"], Unattended(now))


def test_two_frames_with_one_sidecar_keep_both(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """Byte-identical sidecars and memos of two frames are two files, each with its frame; taken
    in again from another place they are known."""
    sidecar = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'/>"
    memo = b"RIFF\0\0\0\0WAVEfmt "
    for number in (1, 2):
        made.put_frame(tmp_path / "card", number, after_s=number)
        made.put(tmp_path / "card", f"OSP_000{number}.XMP", sidecar)
        made.put(tmp_path / "card", f"OSP_000{number}.WAV", memo)
    report = take_in(space, match, [tmp_path / "card"], Unattended(now))
    assert (report.copied, report.frames) == (6, 2)
    by_frame: dict[str | None, set[str]] = {}
    for stored in files_of(space, match):
        by_frame.setdefault(stored.frame_id, set()).add(stored.name)
    assert sorted(map(sorted, by_frame.values())) == [
        ["OSP_0001.JPG", "OSP_0001.WAV", "OSP_0001.XMP"],
        ["OSP_0002.JPG", "OSP_0002.WAV", "OSP_0002.XMP"],
    ]
    (tmp_path / "card").rename(tmp_path / "mounted elsewhere")
    again = take_in(space, match, [tmp_path / "mounted elsewhere"], Unattended(now), prove=True)
    assert (again.copied, again.known) == (0, 6)


def test_one_sidecar_of_two_frames_of_one_name_is_two_files(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """After a body's numbers rolled over two of its frames share a name and a byte-identical
    sidecar: each frame keeps its own, called as its picture is called here."""
    for card, after_s in (("morning", 1), ("evening", 30_000)):
        made.put_frame(tmp_path / card, 1, after_s=after_s, seed=after_s)
        made.put(tmp_path / card, "OSP_0001.XMP", b"<x:xmpmeta/>")
    for card in ("morning", "evening"):
        take_in(space, match, [tmp_path / card], Unattended(now))
    files = {Path(f.path).name: f.frame_id for f in files_of(space, match)}
    assert len(files) == 4
    assert files["OSP_0001.JPG"] == files["OSP_0001.XMP"]
    assert files["OSP_0001-2.JPG"] == files["OSP_0001-2.XMP"] != files["OSP_0001.JPG"]
    assert len(frames_of(space, match)) == 2


def test_what_lies_beside_the_second_slots_picture_belongs_to_it(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """A picture is in two slots, a memo and a sidecar in the second only: one frame has them."""
    made.put_frame(tmp_path / "slot 1", 1)
    made.put_frame(tmp_path / "slot 2", 1)
    made.put(tmp_path / "slot 2", "OSP_0001.WAV", b"RIFF\0\0\0\0WAVEfmt ")
    made.put(tmp_path / "slot 2", "OSP_0001.JPG.xmp", b"<x:xmpmeta/>")
    for slot in ("slot 1", "slot 2"):
        report = take_in(space, match, [tmp_path / slot], Unattended(now))
    assert (report.known, report.copied, report.frames) == (1, 2, 1)
    (frame,) = frames_of(space, match)
    assert {f.frame_id for f in files_of(space, match)} == {frame.id}
    assert len({Path(f.path).parent for f in files_of(space, match)}) == 1
    assert take_in(space, match, [tmp_path / "slot 2"], Unattended(now)).copied == 0


def test_raw_files_of_one_name_size_and_time_are_told_apart(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """Two bodies fired together give raw files that look alike from outside: the second card's
    is taken in; one that was taken in is recognised without a copy."""
    for serial in ("7001", "7002"):
        data = made.frame(1, serial=serial, seed=int(serial))
        made.put(tmp_path / serial, "OSP_0001.DNG", data.ljust(90_000, b"\0"))
    for serial in ("7001", "7002"):
        report = take_in(space, match, [tmp_path / serial], Unattended(now))
        assert (report.copied, report.known) == (1, 0)
    again = take_in(space, match, [tmp_path / "7002"], Unattended(now))
    assert (again.copied, again.unread, again.frames) == (0, 1, 2)


def test_a_second_quick_pass_counts_only_what_is_not_here(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """A quick pass does not count frames as left on the card that an earlier run took in."""
    for number in (1, 2, 3):
        made.put_frame(tmp_path / "card", number, after_s=number, protected=number == 3)
    take_in(
        space, match, [tmp_path / "card" / "DCIM" / "100OSTR" / "OSP_0001.JPG"], Unattended(now)
    )
    quick = Wanted(only_protected=True)
    report = take_in(space, match, [tmp_path / "card"], Unattended(now), wanted=quick)
    assert (report.copied, report.known, report.waiting) == (1, 1, 1)


def test_a_frame_in_two_slots_is_one_file_and_one_frame(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """The same file on two cards, read side by side, is kept once."""
    for slot in ("slot 1", "slot 2"):
        for number in range(1, 9):
            made.put_frame(tmp_path / slot, number, after_s=number)
    sources = [tmp_path / "slot 1", tmp_path / "slot 2"]
    report = take_in(space, match, sources, Unattended(now))
    assert (report.copied, report.known, report.frames) == (8, 8, 8)
    assert len(list((space.folder / match.folder / "frames").rglob("*.JPG"))) == 8


def test_frames_lie_by_body_and_folder(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """Each body's files lie in folders with its letter, a memo with its picture; two bodies with
    the same names stay apart."""
    for serial in ("7001", "7002"):
        made.put_frame(tmp_path / serial, 1, serial=serial, seed=int(serial))
        made.put(tmp_path / serial, "OSP_0001.WAV", f"RIFF0000WAVE{serial}".encode())
    take_in(space, match, [tmp_path / "7001", tmp_path / "7002"], Unattended(now))
    paths = sorted(f.path for f in files_of(space, match))
    assert paths == [
        f"frames/{letter}-100OSTR/OSP_0001.{ending}" for letter in "AB" for ending in ("JPG", "WAV")
    ]


def test_the_listing_waits_until_its_files_are_here(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """Files stand in the first listing, most urgent first, until they are in the workspace."""
    for number in (1, 2, 3):
        made.put_frame(tmp_path / "card", number, after_s=number, protected=number == 2)
    with pytest.raises(Stopped):
        take_in(space, match, [tmp_path / "card"], Impatient(now, 1))
    waiting = waiting_files(space, match)
    assert [w.facts.file_number for w in waiting] == [2, 3, 1]
    assert waiting[0].protected
    assert (previews(space) / f"{waiting[0].frame_id}-s.jpg").exists()
    take_in(space, match, [tmp_path / "card"], Unattended(now))
    assert waiting_files(space, match) == ()
    assert {f.id for f in frames_of(space, match)} == {w.frame_id for w in waiting}


def test_every_run_leaves_its_manifest(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """A text file names each file a run brought, with hash, size and both places."""
    take_in(space, match, [card], Unattended(now))
    (manifest,) = (space.folder / match.folder / "frames" / "manifests").iterdir()
    lines = manifest.read_text().splitlines()[1:]
    assert len(lines) == 4
    for line in lines:
        content, size, here, there = line.split("  ")
        assert content_of(space.folder / match.folder / here) == content
        assert Path(there).stat().st_size == int(size)


def test_two_runs_at_once_are_refused(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """While one run goes on another is told to wait, and changes nothing."""
    with alone(space.folder / LOCK, "taking in"), pytest.raises(Busy, match="another taking in"):
        take_in(space, match, [card], Unattended(now))
    assert files_of(space, match) == ()
    assert take_in(space, match, [card], Unattended(now)).copied == 4


def test_a_card_that_goes_away_keeps_what_was_copied(
    space: Workspace, match: Match, tmp_path: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When a card is pulled, its rest is counted, the other card is finished, and the next run
    goes on."""
    for number in range(1, 7):
        made.put_frame(tmp_path / "pulled", number, after_s=number)
        made.put_frame(tmp_path / "other", number, after_s=number, serial="9")
    real, pulled = carrying.copy_part, []

    def pull(source: Path, folder: Path) -> object:
        if source.is_relative_to(tmp_path / "pulled"):
            pulled.append(source)
            if len(pulled) > 2:
                raise TryAgain("it went away while it was read")
        return real(source, folder)

    with monkeypatch.context() as patched:
        patched.setattr(carrying, "copy_part", pull)
        sources = [tmp_path / "pulled", tmp_path / "other"]
        report = take_in(space, match, sources, Unattended(now))
    assert report.copied == 8
    (gone,) = [t for t in report.troubles if t.path == str(tmp_path / "pulled")]
    assert "went away with 4 files" in gone.what
    again = take_in(space, match, [tmp_path / "pulled"], Unattended(now))
    assert (again.copied, again.known, again.frames) == (4, 2, 12)


def test_a_file_that_changes_while_it_is_read_is_left(
    space: Workspace, match: Match, tmp_path: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file that another program is still writing is named, not kept by half."""
    path = made.put_frame(tmp_path / "card", 1)
    real = carrying.copy_part

    def grow(source: Path, folder: Path) -> object:
        with source.open("ab") as stream:
            stream.write(b"more")
        return real(source, folder)

    with monkeypatch.context() as patched:
        patched.setattr(carrying, "copy_part", grow)
        report = take_in(space, match, [tmp_path / "card"], Unattended(now))
    assert [(t.path, t.what) for t in report.troubles] == [
        (str(path), "it changed while it was read")
    ]
    assert files_of(space, match) == ()
    assert list((space.folder / match.folder / "frames").rglob("*" + PART)) == []


def test_an_error_nobody_foresaw_still_keeps_what_was_copied(
    space: Workspace, match: Match, card: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fault of the program in a card's thread comes out in the run, and loses nothing."""
    real, calls = carrying.facts_of, []

    def fail(*said: object) -> object:
        calls.append(said)
        if len(calls) == 3:
            raise RuntimeError("a fault")
        return real(*said)  # type: ignore[arg-type]

    monkeypatch.setattr(carrying, "_PROVED_AT_ONCE", 1)
    monkeypatch.setattr(carrying, "facts_of", fail)
    with pytest.raises(RuntimeError, match="a fault"):
        take_in(space, match, [card], Unattended(now))
    assert len(files_of(space, match)) == 2
    assert all(f.frame_id for f in files_of(space, match))


def test_a_copy_that_finds_no_place_leaves_no_part(
    space: Workspace, match: Match, tmp_path: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When the disk fills up just as a new camera is noted, its first copy is taken away again."""
    made.put_frame(tmp_path / "card", 1)

    def full(*_: object) -> None:
        raise NoSpace("the disk is full", thing="setpiece.db", next_step="Free some space.")

    monkeypatch.setattr(shelving, "camera_for", full)
    with pytest.raises(NoSpace):
        take_in(space, match, [tmp_path / "card"], Unattended(now))
    assert list((space.folder / match.folder).rglob("*" + PART)) == []
