"""The folder sender: unmounted disks, full disks, paths that lead out."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from servers import Account, Server, small_disk

from setpiece.errors import LinkLost, NoSpace, NotFound, WrongUse
from setpiece.send.desk import DeskAddress, Protocol, Secret
from setpiece.send.sender import Receipt, deliver_file, temporary_name_for

PICTURE = bytes(range(256)) * 3000
NAME = "corner.jpg"


def deliver(desk: Server, folder: str = "in", resume: bool = False, **changes) -> Receipt:
    """One try."""
    with desk.open() as sender:
        return deliver_file(
            sender,
            PICTURE,
            folder,
            NAME,
            temporary_name=True,
            progress=changes.get("progress", lambda _bytes: None),
            stopped=lambda: False,
            resume_from_partial=resume,
        )


def test_a_disk_that_is_not_mounted(tmp_path: Path) -> None:
    """A missing receiving folder is told, and never made: its disk may not be mounted."""
    place = tmp_path / "not mounted"
    desk = Server(DeskAddress(Protocol.FOLDER, path=place), Secret(), place)
    with pytest.raises(NotFound, match="not there"):
        deliver(desk)
    assert not place.exists()


def test_a_disk_that_goes_away(folder_desk: Server) -> None:
    """A folder that vanishes is a lost link: no file there is no answer, and it is not made."""
    with folder_desk.open() as sender:
        shutil.rmtree(folder_desk.home)
        with pytest.raises(LinkLost, match="gone"):
            sender.size(NAME)
        with pytest.raises(LinkLost, match="gone"):
            sender.upload(
                PICTURE,
                NAME,
                resume_from=0,
                progress=lambda _bytes: None,
                stopped=lambda: False,
            )
    assert not folder_desk.home.exists()


@pytest.mark.parametrize("path", ["../out", "in/../../out", "/../out"])
def test_a_path_that_leads_out(folder_desk: Server, path: str) -> None:
    """No path leaves the desk's folder."""
    with folder_desk.open() as sender, pytest.raises(WrongUse):
        sender.delete(path)


def test_a_path_from_the_root_stays_inside(folder_desk: Server) -> None:
    """A stroke at the beginning means the desk's folder, not the computer's root."""
    assert deliver(folder_desk, "/in").size == len(PICTURE)
    assert folder_desk.files() == {f"in/{NAME}": PICTURE}


def test_a_partial_of_something_else_starts_again(folder_desk: Server) -> None:
    """A partial that is no beginning of the file is written over, and cut to length."""
    (folder_desk.home / "in").mkdir()
    part = folder_desk.home / "in" / temporary_name_for(PICTURE, NAME)
    part.write_bytes(b"x" * (len(PICTURE) - 1))
    assert deliver(folder_desk, resume=True).resumed_from == 0
    assert folder_desk.files("in") == {NAME: PICTURE}


def test_a_full_disk(account: Account, folder: str, need_tool: Callable[[str], str]) -> None:
    """A full disk is told as such; the final name stays absent."""
    place = account.base / folder
    with small_disk(place, "200k", account.name, need_tool("mount"), need_tool("umount")):
        desk = Server(DeskAddress(Protocol.FOLDER, path=place), Secret(), place)
        with pytest.raises(NoSpace, match="disk is full"):
            deliver(desk)
        assert not (place / "in" / NAME).exists()


def test_words_tell_what_was_done(folder_desk: Server) -> None:
    """A folder says nothing, so the last thing seen stands in the receipt."""
    assert deliver(folder_desk).server_words == f"{len(PICTURE)} bytes"
