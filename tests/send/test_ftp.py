"""The FTP sender against servers that lie, refuse, lack commands or run out of room."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from servers import Account, Process, PyFtp, Server, small_disk

from setpiece.errors import LinkLost, NotFound, Refused, SetpieceError, TryAgain
from setpiece.send.desk import Secret
from setpiece.send.sender import Receipt, Sender, deliver_file, open_sender, temporary_name_for

pytestmark = pytest.mark.network

PICTURE = bytes(range(256)) * 1000
NAME = "corner.jpg"


def deliver(server: Server, resume: bool = False, folder: str = "", **changes) -> Receipt:
    """One try over a connection of its own."""
    with server.open(**changes) as sender:
        return put(sender, resume, folder, changes.get("temporary_name", True))


def put(
    sender: Sender, resume: bool = False, folder: str = "", temporary_name: bool = True
) -> Receipt:
    """One try."""
    return deliver_file(
        sender,
        PICTURE,
        folder,
        NAME,
        temporary_name=temporary_name,
        progress=lambda _bytes: None,
        stopped=lambda: False,
        resume_from_partial=resume,
    )


def test_a_short_file_that_was_confirmed_is_caught(pyftp: PyFtp) -> None:
    """A server that answers 226 and keeps less is found out, and the next try sends the rest."""
    pyftp.handler.lose_tail = 10_000
    with pytest.raises(TryAgain, match="confirmed 256,000 bytes but holds 246,000"):
        deliver(pyftp.server)
    assert NAME not in pyftp.server.files()
    pyftp.handler.lose_tail = 0
    assert deliver(pyftp.server, resume=True).resumed_from == 246_000
    assert pyftp.server.files() == {NAME: PICTURE}


def test_a_file_that_vanished_is_caught(pyftp: PyFtp) -> None:
    """A server that keeps nothing of what it confirmed is found out."""
    pyftp.handler.lose_tail = len(PICTURE)
    pyftp.handler.replies["SIZE"] = "550 No such file"
    with pytest.raises(TryAgain, match="holds nothing"):
        deliver(pyftp.server)


def test_without_size_the_listing_tells(pyftp: PyFtp) -> None:
    """Where SIZE is not known the size is read off the listing, and the delivery is proven."""
    pyftp.handler.replies["SIZE"] = "502 Command not implemented."
    assert deliver(pyftp.server, folder="in").size == len(PICTURE)
    assert pyftp.server.files("in") == {NAME: PICTURE}
    pyftp.handler.lose_tail = 10
    (pyftp.home / "in" / NAME).unlink()
    with pytest.raises(TryAgain, match="holds 255,990"):
        deliver(pyftp.server, folder="in")


def test_a_size_that_is_no_number(pyftp: PyFtp) -> None:
    """A SIZE reply without a number counts as none: the listing tells."""
    pyftp.handler.replies["SIZE"] = "213 many"
    assert deliver(pyftp.server).size == len(PICTURE)


def test_a_desk_that_states_no_sizes_at_all(pyftp: PyFtp, monkeypatch) -> None:
    """Without SIZE and with a listing that cannot be read, delivery is refused: it has no proof."""
    pyftp.handler.replies["SIZE"] = "500 What?"
    monkeypatch.setattr(
        "pyftpdlib.filesystems.AbstractedFS.format_list",
        lambda *_args, **_more: iter([b"something else\r\n"]),
    )
    with pytest.raises(Refused, match="states no sizes") as raised:
        deliver(pyftp.server)
    assert "something else" in str(raised.value)


@pytest.mark.parametrize("reply", ["500 What?", "213 then", "213 20279999999999", "550 No"])
def test_a_server_without_a_clock(pyftp: PyFtp, reply: str) -> None:
    """A desk that states no time, or nonsense, gets its delivery; the receipt has no time."""
    pyftp.handler.replies["MDTM"] = reply
    receipt = deliver(pyftp.server)
    assert receipt.server_time is None
    assert receipt.size == len(PICTURE)


def test_a_wrong_clock_at_the_server_changes_nothing(pyftp: PyFtp) -> None:
    """The receipt keeps the server's time as stated, however wrong."""
    pyftp.handler.replies["MDTM"] = "213 19800101000000.500"
    receipt = deliver(pyftp.server)
    assert receipt.server_time is not None
    assert receipt.server_time.isoformat() == "1980-01-01T00:00:00+00:00"


@pytest.mark.parametrize("command", ["RNFR", "RNTO"])
def test_rename_refused(pyftp: PyFtp, command: str) -> None:
    """Where renaming is refused the reason is told with the server's words, and nothing stays."""
    pyftp.handler.replies[command] = "550 Not enough privileges."
    with pytest.raises(Refused, match="does not allow renaming") as raised:
        deliver(pyftp.server)
    assert "Not enough privileges" in str(raised.value)
    assert "temporary names off" in str(raised.value)
    assert pyftp.server.files() == {}
    deliver(pyftp.server, temporary_name=False)
    assert pyftp.server.files() == {NAME: PICTURE}


def test_resuming_refused_starts_again(pyftp: PyFtp) -> None:
    """A server without REST gets the file from the first byte, and the receipt says so."""
    (pyftp.home / temporary_name_for(PICTURE, NAME)).write_bytes(PICTURE[:1000])
    pyftp.handler.replies["REST"] = "502 Command not implemented."
    assert deliver(pyftp.server, resume=True).resumed_from == 0
    assert pyftp.server.files() == {NAME: PICTURE}


@pytest.mark.parametrize(
    ("reply", "kind", "says"),
    [
        ("452 No space", TryAgain, "disk is full"),
        ("552 Quota exceeded", Refused, "used up"),
        ("553 Not this name", Refused, "name"),
        ("550 Permission denied", Refused, "does not allow writing"),
        ("425 Cannot open", LinkLost, "blocked"),
        ("421 Shutting down", TryAgain, "closes"),
    ],
)
def test_store_refused(pyftp: PyFtp, reply: str, kind: type[SetpieceError], says: str) -> None:
    """Each way of refusing an upload has its kind of error, and leaves nothing."""
    pyftp.handler.replies["STOR"] = reply
    with pytest.raises(kind, match=says):
        deliver(pyftp.server)
    assert pyftp.server.files() == {}


def test_a_refusal_leaves_the_connection_usable(pyftp: PyFtp) -> None:
    """After a refusal the same connection delivers the next picture."""
    with pyftp.server.open() as sender:
        pyftp.handler.replies["STOR"] = "553 Not this name"
        with pytest.raises(Refused, match="Not this name"):
            put(sender)
        del pyftp.handler.replies["STOR"]
        put(sender)
    assert pyftp.server.files() == {NAME: PICTURE}


def test_deleting_refused(pyftp: PyFtp) -> None:
    """A delete that is refused is told, unless there is nothing to delete."""
    (pyftp.home / "a.jpg").write_bytes(b"a")
    pyftp.handler.replies["DELE"] = "550 No."
    with pyftp.server.open() as sender:
        sender.delete("missing.jpg")
        with pytest.raises(Refused, match="does not allow deleting"):
            sender.delete("a.jpg")


def test_a_folder_that_may_not_be_made(pyftp: PyFtp) -> None:
    """A folder that is missing and may not be made is named before a byte is sent."""
    pyftp.handler.replies["MKD"] = "550 Not allowed."
    with pytest.raises(NotFound, match="no such folder") as raised:
        deliver(pyftp.server, folder="in/2027")
    assert "in/2027" in str(raised.value)
    assert pyftp.server.files() == {}


@pytest.mark.parametrize("reply", ["550 No files found", "450 No files found"])
def test_an_empty_folder_that_is_called_an_error(pyftp: PyFtp, reply: str) -> None:
    """Servers that call an empty folder an error are understood."""
    pyftp.handler.replies["NLST"] = reply
    with pyftp.server.open() as sender:
        assert sender.list_names("") == []


def test_a_listing_that_fails(pyftp: PyFtp) -> None:
    """A listing that is refused for another reason is an error, not an empty folder."""
    pyftp.handler.replies["NLST"] = "425 Cannot open data connection"
    with pyftp.server.open() as sender, pytest.raises(LinkLost, match="blocked"):
        sender.list_names("")


@pytest.mark.parametrize("kind", ["pyftpdlib", "vsftpd"])
def test_a_wrong_password(request: pytest.FixtureRequest, kind: str) -> None:
    """A wrong password is refused with the server's words, and no text shows it."""
    fixture = request.getfixturevalue("pyftp" if kind == "pyftpdlib" else "plain_vsftpd")
    server = fixture.server if kind == "pyftpdlib" else fixture[0]
    with pytest.raises(Refused, match="does not accept this user") as raised:
        with open_sender(server.address, Secret("not-the-password")):
            raise AssertionError("logged in")
    assert raised.value.words.startswith("530")
    assert "not-the-password" not in f"{raised.value} {raised.value!r} {raised.value.__cause__!r}"


def test_words_in_another_alphabet(pyftp: PyFtp) -> None:
    """A server whose words are not UTF-8 is still understood."""
    pyftp.handler.encoding = "latin-1"
    pyftp.handler.replies["MDTM"] = "550 Geht nicht für Züge."
    assert deliver(pyftp.server).size == len(PICTURE)


def test_the_disk_of_the_desk_is_full(
    plain_vsftpd: tuple[Server, Process],
    account: Account,
    folder: str,
    need_tool: Callable[[str], str],
) -> None:
    """A disk that fills up during the upload is told as trying again; with room it goes on."""
    server = plain_vsftpd[0]
    place = account.home / folder
    tools = need_tool("mount"), need_tool("umount")
    with small_disk(place, "200k", account.name, *tools):
        (place / "other.jpg").write_bytes(bytes(100_000))
        with pytest.raises(TryAgain) as raised:
            deliver(server, folder=folder)
        assert not isinstance(raised.value, LinkLost), "the server's own reason was not read"
        assert not (place / NAME).exists()
    with small_disk(account.home / f"{folder}-2", "2m", account.name, *tools):
        deliver(server, folder=f"{folder}-2", resume=True)
        assert server.files(f"{folder}-2") == {NAME: PICTURE}
