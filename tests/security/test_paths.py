"""No name, whoever made it, leads out of the workspace, the bag or the desk's folder."""

from __future__ import annotations

import json
import sys
from pathlib import Path, PurePosixPath

import numpy as np
import pytest
import simplejpeg
from hypothesis import given, settings
from hypothesis import strategies as st
from served import Page
from sqlalchemy import create_engine

sys.path.append(str(Path(__file__).parent.parent / "send"))

from servers import PyFtp

from setpiece.captions.naming import plain_name
from setpiece.errors import BadFile, TryAgain, WrongUse
from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant
from setpiece.send.desk import DeskAddress, Protocol, Secret
from setpiece.send.folder import FolderSender
from setpiece.send.ftp import FtpSender
from setpiece.send.sender import deliver_file
from setpiece.store.bag import MANIFEST, listed
from setpiece.store.matches import Match, add_fixture, folder_name
from setpiece.store.rebuilding import Recorded, build_database
from setpiece.store.records import PLACES, put_records
from setpiece.store.workspace import DATABASE, Workspace
from setpiece.work.intake.cards import safe_name
from setpiece.work.intake.take import take_in
from setpiece.work.job import Unattended

OUTSIDE = (
    "..", "../x", "../../etc/passwd", "/etc/passwd", "data/../../x", "data/./x", "data//x",
    "..\\x", "data\\..\\x", "C:\\x", "C:x", "\\\\server\\share", "data/x\0y",
)  # fmt: skip
NAMES = st.one_of(st.text(max_size=80), st.sampled_from(OUTSIDE), st.text("./\\:\0 .-", max_size=9))


def one_name(text: str) -> bool:
    """Whether it is one name in its folder, on every system."""
    return text not in ("", ".", "..") and not set(text) & set('/\\:\0\r\n<>"|?*')


@given(NAMES)
@settings(max_examples=300)
def test_a_name_of_a_card_is_one_name_in_the_workspace(name: str) -> None:
    """Whatever a file on a card is called, its copy is one name below its folder."""
    assert one_name(safe_name(name.encode("utf-8", "surrogatepass").decode("utf-8", "replace")))


@given(NAMES, NAMES)
@settings(max_examples=200)
def test_the_folder_of_a_match_is_one_name(home: str, away: str) -> None:
    """Clubs of any name give a folder that lies in the workspace."""
    assert one_name(folder_name("2027-03-06", home, away))


@given(NAMES)
@settings(max_examples=200)
def test_what_fills_a_file_names_pattern_is_part_of_one_name(name: str) -> None:
    """A person's or a club's name in a house style's pattern brings no folder and no line end."""
    assert not set(plain_name(name)) & set("/\\:\0\r\n ")
    assert plain_name(name) not in (".", "..")


def test_clubs_with_names_of_folders_stay_inside(
    space: Workspace, fixture: Fixture, now: Instant
) -> None:
    """A fixture of clubs called like folders is made in the workspace and nowhere else."""
    from dataclasses import replace

    made = add_fixture(space, replace(fixture, home="../../up", away="/etc/"), now)
    assert (space.folder / made.folder).resolve().parent == space.folder.resolve()
    assert sorted(p.name for p in space.folder.parent.iterdir()) == [space.folder.name]


def test_names_on_a_card_stay_inside(
    space: Workspace, match: Match, now: Instant, tmp_path: Path
) -> None:
    """Files that a card names like paths of other systems are copied below the match's folder."""
    card = tmp_path / "card"
    card.mkdir()
    jpeg = simplejpeg.encode_jpeg(np.zeros((64, 96, 3), np.uint8))
    strange = ("x\\..\\..\\up.jpg", "C:up.jpg", "a\nb.jpg", "~.jpg", "-rf.jpg", "CON.jpg", "….jpg")
    for number, name in enumerate(strange):
        (card / name).write_bytes(jpeg + bytes([number]))
    report = take_in(space, match, [card], Unattended(now))
    assert report.copied == len(strange)
    kept = [p for p in (space.folder / match.folder / "frames").rglob("*") if p.is_file()]
    assert len([p for p in kept if p.suffix == ".jpg"]) == len(strange)
    assert all(one_name(p.name) for p in kept)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["card", "space"]


@pytest.mark.parametrize("path", [*OUTSIDE, "data/a\tb/../../../x"])
def test_a_bag_lists_nothing_outside_itself(tmp_path: Path, path: str) -> None:
    """A manifest that names a place outside its bag is not read."""
    (tmp_path / MANIFEST).write_bytes(f"{'0' * 128}  {path}\n".encode())
    with pytest.raises(BadFile):
        listed(tmp_path)


@pytest.mark.parametrize(
    ("table", "column", "place"),
    [
        ("match", "folder", "../x"), ("match", "folder_was", "/etc"), ("frame", "best_file", 7),
        ("file", "path", "C:x"), ("delivery", "path", "/etc/passwd"),
        ("statement", "path", "a/../../b"), ("cutting", "path", "a\\b"),
    ],
)  # fmt: skip
def test_an_archives_records_name_no_place_outside(
    tmp_path: Path, table: str, column: str, place: object
) -> None:
    """A record that would have files outside read, sent or moved is refused, and no database is
    made of it."""
    assert column in PLACES[table]
    with create_engine("sqlite://").connect() as connection:
        connection.exec_driver_sql(f'CREATE TABLE "{table}" ("{column}" TEXT)')
        with pytest.raises(BadFile, match="no place inside"):
            put_records(connection, {table: json.dumps({column: place}) + "\n"})
        inside = json.dumps({column: "a/b.jpg"}) + "\n"
        assert put_records(connection, {table: inside}) == {table: 1}


def test_no_database_is_made_of_a_record_that_leads_outside(tmp_path: Path) -> None:
    """A rebuild of such records is refused as a whole."""
    row = json.dumps({"id": 1, "folder": "../x", "folder_was": "", "made": ""}) + "\n"
    with pytest.raises(BadFile, match="no place inside"):
        build_database(tmp_path, [Recorded("m", "0002", {"match": row})])
    assert not (tmp_path / DATABASE).exists()


def test_a_delivery_has_one_name_at_the_desk(tmp_path: Path) -> None:
    """A file name with a path in it, or a line end, is sent to no desk."""
    sender = FolderSender(DeskAddress(Protocol.FOLDER, path=tmp_path))
    for name in ("../x.jpg", "a/b.jpg", "a\\b.jpg", "x.jpg\r\nDELE y", "..", "", "x\0.jpg"):
        with pytest.raises(WrongUse, match="no file name"):
            deliver_file(
                sender, b"x", "", name, temporary_name=True, progress=lambda _: None,
                stopped=lambda: False, resume_from_partial=False,
            )  # fmt: skip
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(WrongUse, match="leave"):
        sender.size("in/../../x")


@pytest.mark.parametrize("folder", ["a/../../b", "..", "in\r\nDELE x", "in\0"])
def test_a_desks_folder_is_a_plain_path(folder: str) -> None:
    """A desk's folder neither climbs nor holds a command."""
    with pytest.raises(WrongUse, match="plain path"):
        DeskAddress(Protocol.FTP, "desk.example", None, "ada", folder)


def test_names_that_a_server_lists_are_names(monkeypatch: pytest.MonkeyPatch) -> None:
    """What a hostile server lists is cut down to plain names."""
    sender = FtpSender(DeskAddress(Protocol.FTP, "desk.example", None, "ada"), Secret("x"))
    said = ["../../etc/passwd", "/etc/shadow", "..", ".", "in/a.jpg", "b.jpg", ""]
    monkeypatch.setattr(sender, "_lines", lambda _: said)
    assert sender.list_names("") == ["a.jpg", "b.jpg", "passwd", "shadow"]


def test_a_fixture_and_a_sheet_from_the_page_stay_inside(lan: Page) -> None:
    """Clubs and people typed on the page make one folder more, in the workspace."""
    before = _lasting(lan)
    form = {
        "home": "../../../tmp/x", "away": "C:\\y", "competition": "Cup",
        "kick_off": "2027-03-07T15:30", "zone": "Europe/Vienna",
    }  # fmt: skip
    made = lan.post("/fixtures", form).value["go"]
    assert PurePosixPath(made).parent.name == "2027-03-07-tmp-x-c-y"
    new = _lasting(lan) - before
    assert new == {"2027-03-07-tmp-x-c-y"}
    lan.post(f"{lan.match}/sheet", {"text": "9 ../../up\n10 /etc/passwd", "side": "home"})
    assert _lasting(lan) - before == new


def _lasting(lan: Page) -> set[str]:
    """What lies in the workspace, but for the locks of what goes by itself meanwhile."""
    return {p.name for p in lan.made.folder.iterdir() if p.suffix != ".lock"}


@pytest.mark.network
def test_a_listing_without_an_end_is_cut_off(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A server that lists for ever is given up, in words."""
    from setpiece.send import ftp

    monkeypatch.setattr(ftp, "_LONGEST_LISTING", 20)
    for number in range(9):
        (tmp_path / f"picture-{number}.jpg").touch()
    with PyFtp(tmp_path) as served, served.server.open() as sender:
        with pytest.raises(TryAgain, match="makes no sense"):
            sender.list_names("")


def test_a_data_connection_goes_to_the_server_only() -> None:
    """A server that names another machine's address for the data is not believed."""
    from setpiece.send.control import Control

    assert Control.trust_server_pasv_ipv4_address is False
