"""Cameras that send over the air, over a real FTP connection on this machine."""

from __future__ import annotations

import ftplib
import io
import threading
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import frame_maker as made
import pytest
from mounts import mounts

from setpiece.errors import GiveUp, WrongUse
from setpiece.match.instants import Instant
from setpiece.store.files import files_of
from setpiece.store.frames import frames_of
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.intake import arriving
from setpiece.work.intake.arriving import take_in_what_arrives
from setpiece.work.intake.cards import Trouble
from setpiece.work.intake.receiving import (
    USER,
    Receiver,
    _is_near,
    intake,
    new_password,
    own_address,
    receiving,
)
from setpiece.work.intake.take import TakeReport, take_in
from setpiece.work.job import Unattended

pytestmark = pytest.mark.network

PASSWORD = "only-for-this-test"
LIMIT_S = 30


@pytest.fixture
def receiver(tmp_path: Path) -> Iterator[Receiver]:
    """A running receiver on a free port of the loopback address."""
    with receiving(tmp_path / "intake", PASSWORD, address="127.0.0.1", port=0) as running:
        yield running


def camera(receiver: Receiver, password: str = PASSWORD) -> ftplib.FTP:
    """A camera that has logged in."""
    link = ftplib.FTP(timeout=LIMIT_S)
    link.connect("127.0.0.1", receiver.port)
    link.login(USER, password)
    return link


def send(link: ftplib.FTP, name: str, data: bytes) -> None:
    """Sends one file."""
    link.storbinary(f"STOR {name}", io.BytesIO(data))


def test_a_picture_arrives_whole_under_its_own_name(receiver: Receiver) -> None:
    """What a camera sends into a folder it makes is there, byte for byte, and told."""
    with camera(receiver) as link:
        link.mkd("DCIM")
        link.cwd("DCIM")
        send(link, "OSP_0001.JPG", made.frame(1))
    arrived = receiver.next(LIMIT_S)
    assert arrived is not None
    assert (arrived.path.name, arrived.quarantined) == ("OSP_0001.JPG", "")
    assert arrived.path.is_relative_to(receiver.received)
    assert arrived.path.read_bytes() == made.frame(1)
    assert receiver.next(0.1) is None


def test_two_cameras_may_send_one_name_at_once(receiver: Receiver) -> None:
    """Files of one name from two connections, sent in turn piece by piece, are both whole."""
    names = []
    with camera(receiver) as first, camera(receiver) as second:
        links = [first.transfercmd("STOR SAME.JPG"), second.transfercmd("STOR SAME.JPG")]
        pictures = [made.frame(1), made.frame(2)]
        for start in range(0, max(map(len, pictures)), 1000):
            for link, picture in zip(links, pictures, strict=True):
                link.sendall(picture[start : start + 1000])
        for link, control in zip(links, (first, second), strict=True):
            link.close()
            control.voidresp()
        for _ in pictures:
            arrived = receiver.next(LIMIT_S)
            assert arrived is not None
            names.append(arrived.path)
    assert {p.read_bytes() for p in names} == set(pictures)


def test_the_same_name_again_overwrites_nothing(receiver: Receiver) -> None:
    """A camera whose numbers began anew sends a name twice: both files are kept."""
    with camera(receiver) as link:
        send(link, "OSP_0001.JPG", made.frame(1))
        send(link, "OSP_0001.JPG", made.frame(2))
    arrived = [receiver.next(LIMIT_S), receiver.next(LIMIT_S)]
    kept = [a.path.read_bytes() for a in arrived if a]
    assert kept == [made.frame(1), made.frame(2)]


def answered(link: ftplib.FTP, name: str, data: bytes) -> None:
    """Sends, and reads the answer also where the data link is cut before the last byte."""
    try:
        send(link, name, data)
    except OSError:
        link.voidresp()


def test_a_camera_is_told_when_the_disk_is_full(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """A picture that finds no room is refused, so that the camera keeps it and sends it again; both
    files are one frame, and it is whole."""
    with mounts() as disks:
        disk = disks.disk(tmp_path / "disk", "256k")
        data = made.frame(1, size=(600, 450))
        with receiving(disk / "intake", PASSWORD, address="127.0.0.1", port=0) as receiver:
            with camera(receiver) as link, pytest.raises(ftplib.error_temp, match="426"):
                answered(link, "OSP_0001.JPG", data)
            disks.change(disk, "size=16m")
            with camera(receiver) as link:
                send(link, "OSP_0001.JPG", data)
            told = [receiver.next(LIMIT_S), receiver.next(LIMIT_S)]
            paths = [a.path for a in told if a and not a.quarantined]
            assert data in [p.read_bytes() for p in paths]
            report = take_in(space, match, paths, Unattended(now))
    assert (report.frames, report.damaged) == (1, ())


def test_a_file_that_cannot_be_put_away_is_not_thrown_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When the disk fills up between the last byte and putting away, the picture stays where it
    came, is told of, and is there when the receiver starts again."""
    folder = tmp_path / "intake"
    real = Path.replace

    def full(path: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    with receiving(folder, PASSWORD, address="127.0.0.1", port=0) as receiver:
        monkeypatch.setattr(Path, "replace", full)
        with camera(receiver) as link:
            send(link, "OSP_0001.JPG", made.frame(1))
            stuck = receiver.next(LIMIT_S)
        monkeypatch.setattr(Path, "replace", real)
        assert stuck is not None
        assert "cannot be put away yet (No space left on device)" in stuck.quarantined
    assert stuck.path.read_bytes() == made.frame(1)
    with receiving(folder, PASSWORD, address="127.0.0.1", port=0) as receiver:
        arrived = receiver.next(LIMIT_S)
    assert arrived is not None
    assert arrived.path.is_relative_to(receiver.received)
    assert arrived.path.read_bytes() == made.frame(1)


def test_what_was_on_its_way_when_a_run_died_is_kept(tmp_path: Path) -> None:
    """A picture that was received whole but not put away yet, and half of one, are told when the
    receiver starts again: the camera may have been told that they arrived."""
    place = tmp_path / "intake" / "incoming" / "0123abc" / "DCIM"
    place.mkdir(parents=True)
    (place / "OSP_0001.JPG").write_bytes(made.frame(1))
    (place / "OSP_0002.JPG").write_bytes(made.frame(2)[:3000])
    (place / "OSP_0003.JPG").write_bytes(b"")
    with receiving(tmp_path / "intake", PASSWORD, address="127.0.0.1", port=0) as receiver:
        told = [receiver.next(LIMIT_S) for _ in range(3)]
        assert receiver.next(0) is None
    kept = {a.path.name: a for a in told if a}
    assert kept["OSP_0001.JPG"].path.read_bytes() == made.frame(1)
    assert [name for name, a in kept.items() if a.quarantined] == ["OSP_0003.JPG"]
    assert list((tmp_path / "intake" / "incoming").iterdir()) == []


def test_what_is_no_picture_goes_to_quarantine(receiver: Receiver) -> None:
    """A program, however it is called, is put away and named; it never reaches the pictures."""
    with camera(receiver) as link:
        send(link, "OSP_0001.JPG", b"MZ\x90\0 a program")
    arrived = receiver.next(LIMIT_S)
    assert arrived is not None
    assert arrived.quarantined == "it is no picture"
    assert arrived.path.is_relative_to(receiver.folder / "quarantine")
    assert list(receiver.received.iterdir()) == []


def test_half_a_picture_is_kept_and_becomes_whole(
    receiver: Receiver, space: Workspace, match: Match, now: Instant
) -> None:
    """A picture cut by a lost connection is a damaged frame; sent again it is the same frame,
    whole."""
    link = camera(receiver)
    link.voidcmd("TYPE I")
    data = link.transfercmd("STOR OSP_0001.JPG")
    data.sendall(made.frame(1)[:-2500])
    assert link.sock is not None
    link.sock.close()
    data.close()
    arrived = receiver.next(LIMIT_S)
    assert arrived is not None
    first = take_in(space, match, [arrived.path], Unattended(now))
    assert (first.frames, len(first.damaged)) == (1, 1)
    with camera(receiver) as again:
        send(again, "OSP_0001.JPG", made.frame(1))
    whole = receiver.next(LIMIT_S)
    assert whole is not None
    second = take_in(space, match, [whole.path], Unattended(now))
    assert (second.frames, len(second.damaged)) == (1, 0)


def test_a_picture_is_never_translated_as_text(receiver: Receiver) -> None:
    """A camera that asks for text mode still sends its picture byte for byte."""
    with camera(receiver) as link:
        link.voidcmd("TYPE A")
        data = link.transfercmd("STOR OSP_0001.JPG")
        data.sendall(made.frame(1) + b"\r\n\r\n")
        data.close()
        link.voidresp()
    arrived = receiver.next(LIMIT_S)
    assert arrived is not None
    assert arrived.path.read_bytes() == made.frame(1) + b"\r\n\r\n"


def test_a_camera_may_write_and_nothing_else(receiver: Receiver) -> None:
    """Reading, deleting, renaming and leaving its own folder are refused."""
    with camera(receiver) as link:
        send(link, "OSP_0001.JPG", made.frame(1))
        for command in ("RETR OSP_0001.JPG", "DELE OSP_0001.JPG", "RNFR OSP_0001.JPG",
                        "RMD /", "APPE OSP_0001.JPG", "SITE CHMOD 777 /"):  # fmt: skip
            with pytest.raises(ftplib.error_perm):
                link.voidcmd(command)
        with suppress(ftplib.error_perm):
            link.cwd("../../..")
        assert link.pwd() == "/"
        link.storbinary("STOR ../../../OUT.JPG", io.BytesIO(made.frame(2)))
    arrived = [receiver.next(LIMIT_S), receiver.next(LIMIT_S)]
    for file in arrived:
        assert file is not None
        assert file.path.is_relative_to(receiver.folder)


def test_a_wrong_password_and_a_nameless_guest_are_sent_away(receiver: Receiver) -> None:
    """Only the one user with the one password gets in."""
    for user, password in ((USER, "wrong"), ("anonymous", "x@y")):
        link = ftplib.FTP(timeout=20)
        link.connect("127.0.0.1", receiver.port)
        with pytest.raises(ftplib.error_perm, match="530"):
            link.login(user, password)
        link.close()


def test_only_the_local_network_is_let_in() -> None:
    """Private and loopback addresses are near; public ones and nonsense are not."""
    near = ("127.0.0.1", "192.168.1.20", "10.0.0.7", "172.16.3.4", "169.254.1.1", "fe80::1")
    assert all(map(_is_near, near))
    assert not any(map(_is_near, ("8.8.8.8", "93.184.216.34", "2606:2800::1", "", "nowhere")))


def test_a_taken_port_and_a_foreign_address_say_so(receiver: Receiver, tmp_path: Path) -> None:
    """A port in use and an address of another computer end in a sentence."""
    with pytest.raises(GiveUp, match="--port"):
        with receiving(tmp_path / "b", PASSWORD, address="127.0.0.1", port=receiver.port):
            pass
    with pytest.raises(WrongUse, match="no such address"):
        with receiving(tmp_path / "c", PASSWORD, address="203.0.113.9", port=0):
            pass


def test_passwords_can_be_typed_and_are_never_the_same() -> None:
    """A password has 12 signs without look-alikes; an address can be shown."""
    made_ones = {new_password() for _ in range(100)}
    assert len(made_ones) == 100
    assert all(len(p) == 12 and not set(p) & set("0o1il") for p in made_ones)
    assert own_address().count(".") == 3


class Until(Unattended):
    """Lets a job run until something is true, for ten seconds at most."""

    def __init__(self, at: Instant, true: Callable[[], bool]) -> None:
        super().__init__(at)
        self._true = true
        self._late = threading.Event()
        self._timer = threading.Timer(10, self._late.set)
        self._timer.daemon = True
        self._timer.start()

    def stopped(self) -> bool:
        """Whether it is true, or too late."""
        return self._late.is_set() or self._true()


def test_what_arrives_is_taken_in_and_cleared_away(
    space: Workspace, match: Match, now: Instant, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A small copy sent over the air is a frame at once; what is no picture is named; when the
    card brings the whole file later, it is the same frame and shows that file."""
    monkeypatch.setattr(arriving, "TICK_S", 0.2)
    reports: list[TakeReport] = []
    refused: list[Trouble] = []
    with receiving(intake(space), PASSWORD, address="127.0.0.1", port=0) as receiver:
        with camera(receiver) as link:
            send(link, "OSP_0007.JPG", made.frame(7, after_s=7, size=(60, 45)))
            send(link, "NOTES.TXT", b"not a picture")
        take_in_what_arrives(
            space,
            lambda: match,
            receiver,
            Until(now, lambda: bool(reports and refused)),
            reports.append,
            refused.append,
        )
        assert list(receiver.received.rglob("*.JPG")) == []
    assert [r.copied for r in reports] == [1]
    assert [Path(t.path).name for t in refused] == ["NOTES.TXT"]
    (early,) = frames_of(space, match)
    made.put_frame(tmp_path / "card", 7, after_s=7)
    assert take_in(space, match, [tmp_path / "card"], Unattended(now)).frames == 1
    (frame,) = frames_of(space, match)
    assert (frame.id, frame.handle) == (early.id, "A-0007")
    best = next(f for f in files_of(space, match) if f.path == frame.best_file)
    assert best.facts.width_px == 120


def test_what_an_earlier_run_received_is_taken_in_first(
    space: Workspace, match: Match, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A program that died after receiving finds the picture when it starts again."""
    monkeypatch.setattr(arriving, "TICK_S", 0.2)
    waiting = intake(space) / "received" / "a1b2" / "OSP_0001.JPG"
    waiting.parent.mkdir(parents=True)
    waiting.write_bytes(made.frame(1))
    reports: list[TakeReport] = []
    with receiving(intake(space), PASSWORD, address="127.0.0.1", port=0) as receiver:
        take_in_what_arrives(
            space,
            lambda: match,
            receiver,
            Until(now, lambda: bool(reports)),
            reports.append,
            lambda _: None,
        )
    assert [r.copied for r in reports] == [1]
    assert not waiting.exists()
