"""Archived matches are valid bags by the Library of Congress's own tool.

Source: BagIt File Packaging Format 1.0, RFC 8493 (2018); tool: `bagit` of the Library of
Congress, 1.9. It reads what we wrote: declaration, tag files, manifests, every payload file's
SHA-512, Payload-Oxum. No tolerance: a bag is valid or it is not.
"""

from __future__ import annotations

import sys
from pathlib import Path

import bagit
import pytest

sys.path.append(str(Path(__file__).parent.parent / "work"))
from after_the_match import fit_clock, play, say, shoot

from setpiece.match.instants import Instant
from setpiece.store.bag import change, listed, sha512
from setpiece.store.workspace import Workspace
from setpiece.work.archive.keep import WORKSPACE_BAG, archive_match, set_root
from setpiece.work.job import Unattended

pytestmark = pytest.mark.published


def test_an_archived_match_is_a_valid_bag(space: Workspace, now: Instant, tmp_path: Path) -> None:
    """The bags of a match and of the workspace validate, new and brought up to date."""
    (tmp_path / "root").mkdir()
    root = set_root(space, tmp_path / "root", now)
    of = play(space, now)
    frame = shoot(space, of, 1, "29:30")
    fit_clock(space, of, now)
    for headline in ("first", "second"):
        say(space, of, frame, now, headline=headline, description="Žofie Čapková celebrates.")
        archive_match(space, of, [root], Unattended(now))
        for name in (of.folder, WORKSPACE_BAG):
            bag = bagit.Bag(str(root.folder / name))
            bag.validate()
            assert bag.info["External-Identifier"] == name
            assert dict(bag.payload_entries()).keys() == listed(root.folder / name).keys()


def test_a_flipped_bit_makes_it_invalid(space: Workspace, now: Instant, tmp_path: Path) -> None:
    """The same tool refuses the bag with one bit turned over, so that its yes means something."""
    (tmp_path / "root").mkdir()
    root = set_root(space, tmp_path / "root", now)
    of = play(space, now)
    archive_match(space, of, [root], Unattended(now))
    path = root.folder / of.folder / "data" / "log.json"
    data = bytearray(path.read_bytes())
    data[10] ^= 1
    path.write_bytes(bytes(data))
    with pytest.raises(bagit.BagValidationError):
        bagit.Bag(str(root.folder / of.folder)).validate()


def test_odd_names_are_read_as_we_meant_them(tmp_path: Path) -> None:
    """Blanks and accents in paths come out of the tool's reading as they are.

    Percent signs are left out: RFC 8493, 2.1.3 has them encoded, and so do we; this tool reads
    them as they stand.
    """
    names = ("data/a b.txt", "data/Čapková/ñ.txt", "data/o'neill (2).txt")
    change(tmp_path, {n: sha512(n.encode()) for n in names}, {n: n.encode() for n in names}, [])
    bag = bagit.Bag(str(tmp_path))
    bag.validate()
    assert sorted(listed(tmp_path)) == sorted(names)
