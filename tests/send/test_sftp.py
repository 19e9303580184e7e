"""The SFTP sender: host keys, keys and passwords, full disks, stalled links."""

from __future__ import annotations

import socket
import subprocess
import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import paramiko
import pytest
from link_proxy import Fault, LinkProxy
from servers import Account, Process, PyFtp, Server, openssh, small_disk

from setpiece.errors import LinkLost, NotFound, Refused, Stopped, TryAgain, WrongUse
from setpiece.send.desk import Protocol, Secret
from setpiece.send.sender import Receipt, deliver_file, open_sender, temporary_name_for
from setpiece.send.trouble import FirstContact

pytestmark = pytest.mark.network

PICTURE = bytes(range(256)) * 1000
NAME = "corner.jpg"


@pytest.fixture
def server(sshd: tuple[Server, Process]) -> Server:
    """OpenSSH."""
    return sshd[0]


def deliver(server: Server, folder: str, data: bytes = PICTURE, resume: bool = False) -> Receipt:
    """One try."""
    with server.open() as sender:
        return deliver_file(
            sender,
            data,
            folder,
            NAME,
            temporary_name=True,
            progress=lambda _bytes: None,
            stopped=lambda: False,
            resume_from_partial=resume,
        )


def test_an_unknown_server_asks_first(server: Server, folder: str) -> None:
    """A host key nobody confirmed is not trusted; its fingerprint is told, and with that as the
    pin the desk is reached without any file of known hosts."""
    stranger = replace(server, known_hosts=())
    with pytest.raises(FirstContact, match="not known yet") as raised:
        deliver(stranger, folder)
    assert raised.value.fingerprint == server.host_key
    pinned = replace(
        stranger, address=replace(server.address, fingerprint=raised.value.fingerprint)
    )
    assert deliver(pinned, folder).size == len(PICTURE)


def test_another_key_than_the_known_one(server: Server, folder: str, tmp_path: Path) -> None:
    """A host key that differs from the known or the pinned one ends the talk: no log-in."""
    other = tmp_path / "known_hosts"
    line = server.known_hosts[0].read_text().split()
    user_key = (server.secret.key_file or Path()).with_suffix(".pub").read_text().split()
    other.write_text(f"{line[0]} {user_key[0]} {user_key[1]}\n")
    with pytest.raises(Refused, match="another key") as raised:
        deliver(replace(server, known_hosts=(other,)), folder)
    assert raised.value.words == server.host_key
    pinned = replace(server.address, fingerprint="SHA256:" + "a" * 43)
    with pytest.raises(Refused, match="another key"):
        deliver(replace(server, address=pinned), folder)


def test_the_users_own_known_hosts(
    server: Server, folder: str, tmp_path: Path, monkeypatch
) -> None:
    """By default the user's own file of known hosts is read, with comments and odd lines in it."""
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    (tmp_path / ".ssh").mkdir()
    with pytest.raises(FirstContact), open_sender(server.address, server.secret):
        raise AssertionError("trusted")
    known = server.known_hosts[0].read_text()
    (tmp_path / ".ssh" / "known_hosts").write_text(f"# mine\nnot a line\n\n{known}")
    with open_sender(server.address, server.secret) as sender:
        assert sender.list_names("") is not None


def test_a_password_instead_of_a_key(server: Server, account: Account, folder: str) -> None:
    """A password logs in, a wrong one is refused, and no text shows it."""
    right = replace(server, secret=Secret(account.password))
    assert deliver(right, folder).size == len(PICTURE)
    with pytest.raises(Refused, match="does not accept this user") as raised:
        deliver(replace(server, secret=Secret("not-the-password")), folder)
    assert "not-the-password" not in f"{raised.value} {raised.value.__cause__!r}"


def test_a_key_that_is_not_known_there(server: Server, tmp_path: Path, need_tool) -> None:
    """A key the desk does not know is refused; with the right password besides, that decides."""
    stray = tmp_path / "stray"
    make = [need_tool("ssh-keygen"), "-q", "-t", "ed25519", "-N", "", "-f", str(stray)]
    subprocess.run(make, check=True)
    with pytest.raises(Refused, match="does not accept"):
        deliver(replace(server, secret=Secret(key_file=stray)), "x")


def test_the_key_of_the_address(server: Server, folder: str) -> None:
    """A key that belongs to the desk's address logs in without any secret."""
    address = replace(server.address, key_file=server.secret.key_file)
    keyed = replace(server, address=address, secret=Secret())
    assert deliver(keyed, folder).size == len(PICTURE)


def test_no_proof_at_all(server: Server) -> None:
    """With neither key nor password the desk asks for a proof."""
    with pytest.raises(Refused, match="proof"):
        deliver(replace(server, secret=Secret()), "x")


def test_a_locked_key(server: Server, tmp_path: Path, folder: str, need_tool) -> None:
    """A key with a passphrase works with it, and says what is missing without it."""
    locked = tmp_path / "locked"
    locked.write_bytes((server.secret.key_file or Path()).read_bytes())
    locked.chmod(0o600)
    change = [need_tool("ssh-keygen"), "-q", "-p", "-P", "", "-N", "vale-9", "-f", str(locked)]
    subprocess.run(change, check=True)
    opened = Secret(key_file=locked, key_passphrase="vale-9")
    assert deliver(replace(server, secret=opened), folder).size == len(PICTURE)
    for passphrase in (None, "wrong"):
        secret = Secret(key_file=locked, key_passphrase=passphrase)
        with pytest.raises(WrongUse, match="passphrase"):
            deliver(replace(server, secret=secret), folder)


def test_key_files_that_are_none(server: Server, tmp_path: Path) -> None:
    """A key file that is missing or no key is named."""
    with pytest.raises(NotFound, match="cannot be opened"):
        deliver(replace(server, secret=Secret(key_file=tmp_path / "missing")), "x")
    text = tmp_path / "text"
    text.write_text("no key")
    with pytest.raises(WrongUse, match="private key"):
        deliver(replace(server, secret=Secret(key_file=text)), "x")


def test_a_port_of_another_protocol(pyftp: PyFtp) -> None:
    """A server that speaks something else is told as such, not as a wrong password."""
    address = replace(pyftp.server.address, protocol=Protocol.SFTP, timeout_s=1.0)
    with pytest.raises(TryAgain, match="while connecting"), open_sender(address, Secret("x")):
        raise AssertionError("connected")


def test_a_server_without_sftp(account: Account, need_tool: Callable[[str], str]) -> None:
    """An SSH server that offers no files says so, and is not taken for a lost link."""
    tools = need_tool("sshd"), need_tool("ssh-keygen")
    with openssh(account, *tools, files=False) as (server, _):
        with pytest.raises(Refused, match="offers no SFTP"), server.open():
            raise AssertionError("opened")


def test_a_link_that_breaks_while_the_session_opens(
    server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A link that breaks or falls silent just then is a lost link, not a refusal, and no hang."""

    def silent(channel: paramiko.Channel, _name: str) -> None:
        channel._event_pending()
        channel._wait_for_event()

    def broken(channel: paramiko.Channel, _name: str) -> None:
        channel.get_transport().sock.shutdown(socket.SHUT_RDWR)
        raise paramiko.SSHException("Channel closed.")

    for invoke in (silent, broken):
        monkeypatch.setattr(paramiko.Channel, "invoke_subsystem", invoke)
        with pytest.raises(LinkLost), server.open(timeout_s=0.5):
            raise AssertionError("opened")


def test_a_partial_with_a_hole_starts_again(server: Server, folder: str) -> None:
    """A partial whose last part is not the file's own is not gone on with."""
    place = server.home / folder
    place.mkdir()
    part = place / temporary_name_for(PICTURE, NAME)
    part.write_bytes(PICTURE[:50_000] + bytes(30_000) + PICTURE[80_000:100_000])
    part.chmod(0o666)
    place.chmod(0o777)
    assert deliver(server, folder, resume=True).resumed_from == 0
    assert server.files(folder) == {NAME: PICTURE}


def test_the_disk_of_the_desk_is_full(
    server: Server, account: Account, folder: str, need_tool: Callable[[str], str]
) -> None:
    """A disk that fills up in the middle is told, and the final name stays absent."""
    place = account.home / folder
    tools = need_tool("mount"), need_tool("umount")
    with small_disk(place, "200k", account.name, *tools):
        with pytest.raises(TryAgain, match="could not write"):
            deliver(server, folder)
        assert not (place / NAME).exists()


def test_a_place_that_may_not_be_written(server: Server, folder: str) -> None:
    """A folder of somebody else refuses, in plain words."""
    (server.home / folder).mkdir(mode=0o755)
    with pytest.raises(Refused, match="does not allow writing"):
        deliver(server, folder)
    with pytest.raises(Refused, match="does not allow making the folder"):
        deliver(server, f"{folder}/below")


def test_stopping_a_stalled_upload(server: Server, folder: str) -> None:
    """An upload over a link that takes no more bytes can be stopped before its timeout."""
    stop = threading.Event()
    big = PICTURE * 40
    with LinkProxy(server.address.port or 0, ftp=False) as proxy:
        proxy.arm(Fault("stall", after_bytes=100_000))
        far = server.through(proxy.port).open(timeout_s=60)
        with far as sender:
            sender.make_folder(folder)
            threading.Timer(0.3, stop.set).start()
            with pytest.raises(Stopped):
                sender.upload(
                    big,
                    f"{folder}/a.part",
                    resume_from=0,
                    progress=lambda _bytes: None,
                    stopped=stop.is_set,
                )
            with pytest.raises(LinkLost, match="not logged in"):
                sender.size("a")


def test_what_the_server_is_called(server: Server) -> None:
    """After connecting, the server's own name for itself is its last word."""
    with server.open() as sender:
        assert sender.server_words.startswith("SSH-2.0-OpenSSH")
