"""Archive: bags in several roots, brought up to date, stopped and gone on with."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))
from after_the_match import fill, fit_clock, play, say, shoot

from setpiece.errors import NotFound, Stopped, WrongUse
from setpiece.match.instants import Instant
from setpiece.pictures.iptc import read_fields
from setpiece.store.archive import Root, copies_of
from setpiece.store.bag import harmed_tags, info_of, listed, sha512_of, trusted, unlisted
from setpiece.store.matches import Match, match_folder, match_without_fixture
from setpiece.store.workspace import Workspace
from setpiece.work.archive.filling import SET_ASIDE
from setpiece.work.archive.keep import WORKSPACE_BAG, archive_match, set_root
from setpiece.work.job import Unattended

Roots = tuple[Root, Root]


class StopsAfter(Unattended):
    """A photographer who stops after so many steps."""

    def __init__(self, at: Instant, steps: int) -> None:
        super().__init__(at)
        self.left = steps

    def stopped(self) -> bool:
        """Yes, once the steps are used up."""
        self.left -= 1
        return self.left < 0


@pytest.fixture
def played(space: Workspace, now: Instant, tmp_path: Path) -> Match:
    """A match of six frames, two of them captioned, with something in every table."""
    made = play(space, now)
    frames = [shoot(space, made, n, f"30:3{n}") for n in range(1, 7)]
    fit_clock(space, made, now)
    say(
        space,
        made,
        frames[0],
        now,
        headline="Marnstein take the lead",
        description="Signe Ørbeck celebrates with Žofie Čapková after the free kick.",
        people=["Signe Ørbeck", "Žofie Čapková"],
    )
    fill(space, made, frames[0], now, tmp_path / "copies")
    return made


@pytest.fixture
def roots(space: Workspace, now: Instant, tmp_path: Path) -> Roots:
    """Two roots of the archive."""
    for name in "ab":
        (tmp_path / name).mkdir()
    return (
        set_root(space, tmp_path / "a", now),
        set_root(space, tmp_path / "b", now, elsewhere=True),
    )


def test_every_root_holds_every_file_and_what_was_said(
    space: Workspace, played: Match, roots: Roots, now: Instant
) -> None:
    """Each root has a bag with originals byte for byte, sidecars, renditions, log, sheet, rows."""
    done = archive_match(space, played, roots, Unattended(now))
    assert [(d.why, d.troubles) for d in done] == [("", ())] * 4
    for root in roots:
        bag = root.folder / played.folder
        payload = trusted(bag)
        assert not unlisted(bag, payload)
        assert all(sha512_of(bag / p) == digest for p, digest in payload.items())
        original = match_folder(space, played) / "frames/A-100SPA/SPA_0001.JPG"
        kept = bag / "data/frames/A-100SPA/SPA_0001.JPG"
        assert kept.read_bytes() == original.read_bytes()
        fields = read_fields((bag / "data/frames/A-100SPA/SPA_0001.xmp").read_bytes())
        assert "Žofie Čapková" in fields.description
        assert (fields.guid, fields.event_ids) == ("f000000000001", (played.folder,))
        assert (bag / "data/set/City/marnstein-1.jpg").read_bytes() == b"a rendition"
        log = json.loads((bag / "data/log.json").read_text("utf-8"))
        assert len(log["entries"]) > 10
        assert json.loads((bag / "data/sheet.json").read_text("utf-8"))["people"]
        rows = json.loads((bag / "data/frames.json").read_text("utf-8"))["frames"]
        assert [(r["handle"], r["minute"], r["score"]) for r in rows[:1]] == [
            ("A-0001", "76", "2–1")
        ]
        assert rows[0]["delivered_to"] == ["City"]
        assert info_of(bag)["External-Identifier"] == played.folder
        assert (root.folder / WORKSPACE_BAG / "data/setpiece.toml").is_file()


def test_running_again_copies_only_what_is_new(
    space: Workspace, played: Match, roots: Roots, now: Instant
) -> None:
    """A second run changes no file; a new frame and a new caption bring only themselves."""
    archive_match(space, played, roots, Unattended(now))
    bag = roots[0].folder / played.folder
    before = {p: (bag / p).stat().st_mtime_ns for p in listed(bag)}
    again = archive_match(space, played, roots, Unattended(now))
    assert [d.copied for d in again] == [0] * 4
    assert {p: (bag / p).stat().st_mtime_ns for p in listed(bag)} == before
    new = shoot(space, played, 7, "30:50")
    say(space, played, new, now, headline="h", description="Marnstein players huddle.")
    third = archive_match(space, played, roots[:1], Unattended(now))
    assert third[0].copied == 1
    changed = {p for p in listed(bag) if (bag / p).stat().st_mtime_ns != before.get(p)}
    assert "data/frames/A-100SPA/SPA_0007.JPG" in changed
    assert "data/frames/A-100SPA/SPA_0007.xmp" in changed
    assert "data/record/caption.jsonl" in changed
    assert "data/frames/A-100SPA/SPA_0001.JPG" not in changed
    assert not harmed_tags(bag)


@pytest.mark.parametrize("steps", [0, 3, 6])
def test_a_stopped_run_keeps_what_it_copied(
    space: Workspace, played: Match, roots: Roots, now: Instant, steps: int
) -> None:
    """After a stop the bag lists what came so far, and the next run goes on to the end."""
    with pytest.raises(Stopped):
        archive_match(space, played, roots, StopsAfter(now, steps))
    bag = roots[0].folder / played.folder
    payload = trusted(bag)
    assert len(payload) == min(steps, 6)
    done = archive_match(space, played, roots, Unattended(now))
    assert done[0].copied == 6 - min(steps, 6)
    assert not [d for d in done if d.why or d.troubles]
    assert not unlisted(bag, trusted(bag))


def test_what_the_laptop_no_longer_has_stays_archived(
    space: Workspace, played: Match, roots: Roots, now: Instant
) -> None:
    """Files that were deleted from the workspace after they were archived are kept and listed."""
    archive_match(space, played, roots, Unattended(now))
    home = match_folder(space, played)
    for path in (home / "frames/A-100SPA/SPA_0002.JPG", home / "set/City/marnstein-1.jpg"):
        path.unlink()
    done = archive_match(space, played, roots, Unattended(now))
    assert not [d for d in done if d.troubles]
    bag = roots[0].folder / played.folder
    assert {"data/frames/A-100SPA/SPA_0002.JPG", "data/set/City/marnstein-1.jpg"} <= set(
        trusted(bag)
    )
    assert (bag / "data/frames/A-100SPA/SPA_0002.JPG").is_file()


def test_a_rotten_file_of_the_workspace_is_not_archived(
    space: Workspace, played: Match, roots: Roots, now: Instant
) -> None:
    """A file that is not what was taken in is named and left out; the others are archived."""
    path = match_folder(space, played) / "frames/A-100SPA/SPA_0003.JPG"
    data = bytearray(path.read_bytes())
    data[100] ^= 1
    path.write_bytes(bytes(data))
    done = archive_match(space, played, roots[:1], Unattended(now))
    assert [t.path for t in done[0].troubles] == ["data/frames/A-100SPA/SPA_0003.JPG"]
    assert done[0].copied == 5


def test_a_stranger_in_the_way_is_set_aside(
    space: Workspace, played: Match, roots: Roots, now: Instant
) -> None:
    """A file that somebody else put where an original goes is moved, not overwritten."""
    stranger = roots[0].folder / played.folder / "data/frames/A-100SPA/SPA_0001.JPG"
    stranger.parent.mkdir(parents=True)
    stranger.write_bytes(b"holiday")
    archive_match(space, played, roots[:1], Unattended(now))
    aside = roots[0].folder / SET_ASIDE / played.folder / "data/frames/A-100SPA/SPA_0001.JPG"
    assert aside.read_bytes() == b"holiday"
    assert stranger.read_bytes() != b"holiday"


def test_harmed_lists_are_written_anew_from_what_is_there(
    space: Workspace, played: Match, roots: Roots, now: Instant
) -> None:
    """With a manifest that cannot be trusted every file is read again, and none is lost."""
    archive_match(space, played, roots[:1], Unattended(now))
    bag = roots[0].folder / played.folder
    before = trusted(bag)
    (match_folder(space, played) / "set/City/marnstein-1.jpg").unlink()
    manifest = bag / "manifest-sha512.txt"
    manifest.write_bytes(manifest.read_bytes().replace(b"SPA_0001", b"SPA_0009"))
    done = archive_match(space, played, roots[:1], Unattended(now))
    assert "listed anew" in done[0].troubles[0].what
    assert done[0].copied == 0
    assert trusted(bag) == before


def test_a_drive_that_is_not_there_is_named_and_the_others_go_on(
    space: Workspace, played: Match, roots: Roots, now: Instant
) -> None:
    """An empty folder in the drive's stead gets nothing."""
    (roots[0].folder / "setpiece-archive.txt").unlink()
    done = archive_match(space, played, roots, Unattended(now))
    assert [bool(d.why) for d in done] == [True, True, False, False]
    assert list(roots[0].folder.iterdir()) == []
    assert {c.root_id for c in copies_of(space)} == {roots[1].id}


def test_a_root_is_a_folder_outside_the_workspace(space: Workspace, now: Instant) -> None:
    """A folder in the workspace, or none, cannot be a root; no root at all is said."""
    (space.folder / "mine").mkdir()
    with pytest.raises(WrongUse, match="goes when the workspace goes"):
        set_root(space, space.folder / "mine", now)
    with pytest.raises(NotFound):
        set_root(space, space.folder / "nowhere", now)
    with pytest.raises(NotFound, match="archive root"):
        archive_match(space, match_without_fixture(space, "2027-03-06", now), [], Unattended(now))


def test_frames_without_a_fixture_are_archived_too(
    space: Workspace, roots: Roots, now: Instant
) -> None:
    """A match without fixture, sheet or log has a whole bag."""
    bare = match_without_fixture(space, "2027-03-06", now)
    done = archive_match(space, bare, roots[:1], Unattended(now))
    assert not done[0].why
    assert "data/record/match.jsonl" in trusted(roots[0].folder / bare.folder)


def test_a_caption_no_sidecar_can_hold_is_named(
    space: Workspace, played: Match, roots: Roots, now: Instant
) -> None:
    """A control character keeps the sidecar away; the record has the caption all the same."""
    say(space, played, "f000000000002", now, headline="h\x01", description="d")
    done = archive_match(space, played, roots[:1], Unattended(now))
    assert [t.path for t in done[0].troubles] == ["A-0002"]
    text = (roots[0].folder / played.folder / "data/record/caption.jsonl").read_text("utf-8")
    assert "f000000000002" in text


@pytest.mark.parametrize("survivors", range(5))
def test_a_power_cut_leaves_the_old_bag_or_the_new_one(
    space: Workspace,
    played: Match,
    roots: Roots,
    now: Instant,
    monkeypatch: pytest.MonkeyPatch,
    survivors: int,
) -> None:
    """Cut after any number of renames, the bag is whole once the next run looked at it."""
    archive_match(space, played, roots[:1], Unattended(now))
    bag = roots[0].folder / played.folder
    real, done = Path.replace, 0

    def cut(path: Path, target: Path) -> Path:
        nonlocal done
        if path.name.endswith(".setpiece-next"):
            done += 1
            if done > survivors:
                raise KeyboardInterrupt
        return real(path, target)

    say(space, played, "f000000000001", now, headline="new", description="new")
    monkeypatch.setattr(Path, "replace", cut)
    with pytest.raises(KeyboardInterrupt):
        archive_match(space, played, roots[:1], Unattended(now))
    monkeypatch.undo()
    done_again = archive_match(space, played, roots[:1], Unattended(now))
    assert not [d for d in done_again if d.why or d.troubles]
    payload = trusted(bag)
    assert all(sha512_of(bag / p) == digest for p, digest in payload.items())
    assert not unlisted(bag, payload)
