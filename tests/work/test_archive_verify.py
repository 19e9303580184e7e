"""Scrubs: every flipped bit, missing file and stranger found, and put right from another copy."""

from __future__ import annotations

import random
import sys
from datetime import timedelta
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))
from after_the_match import fit_clock, play, shoot

from setpiece.errors import Stopped
from setpiece.match.instants import Instant, instant
from setpiece.store.archive import NO_MATCH, Root, note_copy, scrub_of
from setpiece.store.bag import TAG_MANIFEST, Harm, change, listed, sha512, trusted
from setpiece.store.matches import Match, match_folder, match_without_fixture
from setpiece.store.workspace import Workspace
from setpiece.work.archive.keep import archive_match, set_root
from setpiece.work.archive.state import safety
from setpiece.work.archive.verify import verify
from setpiece.work.job import Unattended

PLANTED = 1000
Roots = tuple[Root, Root]


@pytest.fixture
def roots(space: Workspace, now: Instant, tmp_path: Path) -> Roots:
    """Two roots of the archive."""
    for name in "ab":
        (tmp_path / name).mkdir()
    return set_root(space, tmp_path / "a", now), set_root(space, tmp_path / "b", now)


@pytest.fixture
def archived(space: Workspace, roots: Roots, now: Instant) -> Match:
    """A match of four frames in both roots."""
    made = play(space, now)
    for n in range(1, 5):
        shoot(space, made, n, f"29:3{n}")
    fit_clock(space, made, now)
    archive_match(space, made, roots, Unattended(now))
    return made


def flip(path: Path, chance: random.Random) -> None:
    """One bit of a file turned over."""
    data = bytearray(path.read_bytes())
    data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    path.write_bytes(bytes(data))


def test_a_thousand_planted_flips_are_found(space: Workspace, roots: Roots, now: Instant) -> None:
    """Of 1,000 files with one flipped bit each the scrub names all, and no whole file."""
    chance = random.Random(1863)
    of = match_without_fixture(space, "2027-03-06", now)
    bag = roots[0].folder / of.folder
    files = {
        f"data/frames/{n // 100}/{n:05d}.bin": chance.randbytes(1 + n % 300)
        for n in range(PLANTED + 200)
    }
    for path, data in files.items():
        (bag / path).parent.mkdir(parents=True, exist_ok=True)
        (bag / path).write_bytes(data)
    change(bag, {p: sha512(d) for p, d in files.items()}, {}, [])
    note_copy(space, roots[0], of.id, now, device="1", files=len(files), size=1, news=0)
    (found,) = verify(space, roots[:1], Unattended(now), only=of)
    assert (found.read, found.harmed) == (len(files), ())
    planted = sorted(chance.sample(sorted(files), PLANTED))
    for path in planted:
        flip(bag / path, chance)
    (found,) = verify(space, roots[:1], Unattended(now), only=of)
    assert [h.path for h in found.harmed] == planted
    assert {h.harm for h in found.harmed} == {Harm.DIFFERS}


def test_a_flip_in_any_list_is_found(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """One flipped bit anywhere in the four tag files is seen, hundreds of times over."""
    chance = random.Random(1863)
    bag = roots[0].folder / archived.folder
    names = [*listed(bag, TAG_MANIFEST), TAG_MANIFEST]
    for turn in range(200):
        path = bag / names[turn % len(names)]
        whole = path.read_bytes()
        flip(path, chance)
        (found,) = verify(space, roots[:1], Unattended(now), only=archived)
        assert not found.good, (turn, path.name)
        path.write_bytes(whole)
    (found,) = verify(space, roots[:1], Unattended(now), only=archived)
    assert found.good


def test_what_is_wrong_is_taken_from_another_copy(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """Flipped, missing and cut files come back; a stranger is set aside; the bag is whole."""
    bag = roots[0].folder / archived.folder
    before = {p: (bag / p).read_bytes() for p in listed(bag)}
    frames = bag / "data/frames/A-100SPA"
    flip(frames / "SPA_0001.JPG", random.Random(1))
    (frames / "SPA_0002.JPG").unlink()
    (frames / "SPA_0003.JPG").write_bytes(b"cut")
    (bag / "data/log.json").unlink()
    (frames / "holiday.jpg").write_bytes(b"not ours")
    (seen,) = verify(space, roots[:1], Unattended(now), only=archived)
    assert {(Path(h.path).name, h.harm) for h in seen.harmed} == {
        ("SPA_0001.JPG", Harm.DIFFERS),
        ("SPA_0002.JPG", Harm.MISSING),
        ("SPA_0003.JPG", Harm.DIFFERS),
        ("log.json", Harm.MISSING),
        ("holiday.jpg", Harm.UNLISTED),
    }
    assert safety(space, archived)[0].held[0].wrong == 5
    mended = verify(space, roots, Unattended(now), only=archived, repair=True)
    assert [m.good for m in mended] == [True, True]
    assert len(mended[0].repaired) == 5
    assert {p: (bag / p).read_bytes() for p in trusted(bag)} == before
    assert (roots[0].folder / "set-aside" / archived.folder / "data/frames/A-100SPA").is_dir()
    assert safety(space, archived)[0].held[0].wrong == 0


def test_the_workspace_is_a_copy_to_repair_from(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """With one root only, originals come back from the workspace, and only with their hash."""
    bag = roots[0].folder / archived.folder
    for n in (1, 2):
        flip(bag / f"data/frames/A-100SPA/SPA_000{n}.JPG", random.Random(n))
    flip(match_folder(space, archived) / "frames/A-100SPA/SPA_0002.JPG", random.Random(5))
    (mended,) = verify(space, roots[:1], Unattended(now), only=archived, repair=True)
    assert [Path(p).name for p in mended.repaired] == ["SPA_0001.JPG"]
    assert [Path(h.path).name for h in mended.left] == ["SPA_0002.JPG"]


def test_harmed_lists_come_from_a_root_as_new(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """A manifest that went bad is taken from another root, and every file is read against it."""
    bag = roots[0].folder / archived.folder
    flip(bag / "manifest-sha512.txt", random.Random(7))
    flip(bag / "data/frames/A-100SPA/SPA_0001.JPG", random.Random(7))
    mended = verify(space, roots, Unattended(now), only=archived, repair=True)
    assert [m.good for m in mended] == [True, True]
    assert "data/frames/A-100SPA/SPA_0001.JPG" in mended[0].repaired


def test_lists_of_an_older_copy_are_not_taken(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """Where the other root is behind, harmed lists stay named for the next archive run."""
    later = instant(now + timedelta(days=1))
    shoot(space, archived, 9, "29:40")
    archive_match(space, archived, roots[:1], Unattended(later))
    bag = roots[0].folder / archived.folder
    flip(bag / "manifest-sha512.txt", random.Random(7))
    (first, _) = verify(space, roots, Unattended(later), only=archived, repair=True)
    assert [h.path for h in first.left] == ["manifest-sha512.txt"]
    archive_match(space, archived, roots[:1], Unattended(later))
    assert verify(space, roots[:1], Unattended(later), only=archived)[0].good


class StopsAfter(Unattended):
    """A photographer who stops after so many files."""

    def __init__(self, at: Instant, files: int) -> None:
        super().__init__(at)
        self.left = files

    def stopped(self) -> bool:
        """Yes, once the files are used up."""
        self.left -= 1
        return self.left < 0


def test_a_stopped_scrub_goes_on_and_forgets_nothing(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """What was found before the stop is in the end's report; no file is read twice."""
    bag = roots[0].folder / archived.folder
    first = sorted(listed(bag))[0]
    flip(bag / first, random.Random(3))
    stops = StopsAfter(now, 5)
    with pytest.raises(Stopped):
        verify(space, roots[:1], stops, only=archived)
    left = scrub_of(space, roots[0], archived.id)
    assert left is not None
    assert [h.path for h in left.found] == [first]
    (found,) = verify(space, roots[:1], Unattended(now), only=archived)
    assert [h.path for h in found.harmed] == [first]
    assert found.read < len(listed(bag))
    assert scrub_of(space, roots[0], archived.id) is None


def test_a_scrub_left_for_long_begins_again(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """After more than 30 days every file is read again."""
    with pytest.raises(Stopped):
        verify(space, roots[:1], StopsAfter(now, 5), only=archived)
    later = instant(now + timedelta(days=31))
    (found,) = verify(space, roots[:1], Unattended(later), only=archived)
    assert found.read == len(listed(roots[0].folder / archived.folder))


def test_a_bag_that_is_gone_is_said(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """A drive that is away, and a bag that is no longer on it, are told apart."""
    (roots[0].folder / archived.folder).rename(roots[0].folder / "elsewhere")
    (roots[1].folder / "setpiece-archive.txt").unlink()
    gone, away = verify(space, roots, Unattended(now), only=archived)
    assert [h.path for h in gone.left] == ["manifest-sha512.txt"]
    assert away.why == "the drive is not there"


def test_the_state_counts_copies_drives_and_places(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """Workspace and two roots are three copies; one disk is said to be one drive."""
    (state,) = safety(space)
    assert (state.copies, state.drives, state.elsewhere) == (3, 1, 0)
    assert state.lacking == ("a copy on another drive", "a copy kept elsewhere")
    set_root(space, roots[1].folder, now, elsewhere=True)
    for root, device in zip(roots, "xy", strict=True):
        note_copy(space, root, archived.id, now, device=device, files=1, size=1, news=10**6)
    (state,) = safety(space, archived)
    assert state.met
    assert (state.copies, state.drives, state.elsewhere) == (3, 3, 1)


def test_what_changed_since_is_said(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """A frame taken in since makes both roots lag behind; a file the laptop lost counts."""
    shoot(space, archived, 9, "29:40")
    (state,) = safety(space, archived)
    assert [h.behind for h in state.held] == [True, True]
    assert "what changed since" in " ".join(state.lacking)
    (match_folder(space, archived) / "frames/A-100SPA/SPA_0001.JPG").unlink()
    assert safety(space, archived)[0].copies == 2
    assert NO_MATCH == 0
