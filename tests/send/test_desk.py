"""Addresses of desks: what is accepted, what is refused, what is printed."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.send.desk import DeskAddress, Protocol, Secret

SSH_PIN = "SHA256:" + "a" * 43
CERTIFICATE_PIN = "0123456789abcdef" * 4
HERE = Path("/desk").absolute()


@pytest.mark.parametrize(
    ("protocol", "port"),
    [
        (Protocol.FTP, 21),
        (Protocol.FTPS, 21),
        (Protocol.FTPS_IMPLICIT, 990),
        (Protocol.SFTP, 22),
    ],
)
def test_each_protocol_has_its_port(protocol: Protocol, port: int) -> None:
    """Without a port the protocol's own is used; a port given wins."""
    assert DeskAddress(protocol, "desk.example", user="ada").port_used == port
    assert DeskAddress(protocol, "desk.example", 2121, "ada").port_used == 2121


@pytest.mark.parametrize(
    "wrong",
    [
        {"host": ""},
        {"host": "ftp://desk.example"},
        {"host": "ada@desk.example"},
        {"host": "desk.example\r\n"},
        {"user": ""},
        {"user": "ada\r\nDELE x"},
        {"port": 0},
        {"port": 65_536},
        {"folder": "in/../../etc"},
        {"folder": "in\n"},
        {"connections": 0},
        {"connections": 11},
        {"timeout_s": 0},
        {"timeout_s": 601},
        {"keep_alive_s": -1},
        {"path": HERE},
        {"fingerprint": "MD5:00:11"},
        {"fingerprint": CERTIFICATE_PIN},
    ],
    ids=str,
)
def test_what_is_no_address(wrong: dict[str, object]) -> None:
    """Each of these values makes the address invalid, so it cannot exist."""
    right = {"protocol": Protocol.SFTP, "host": "desk.example", "user": "ada"}
    DeskAddress(**right)
    with pytest.raises(WrongUse):
        DeskAddress(**(right | wrong))


@pytest.mark.parametrize(
    "wrong",
    [
        {"path": None},
        {"path": Path("in")},
        {"host": "x"},
        {"port": 1},
        {"user": "ada"},
        {"key_file": HERE},
    ],
)
def test_what_is_no_folder_desk(wrong: dict[str, object]) -> None:
    """A folder desk has a whole path and nothing of a server."""
    right = {"protocol": Protocol.FOLDER, "path": HERE}
    DeskAddress(**right)
    with pytest.raises(WrongUse):
        DeskAddress(**(right | wrong))


def test_pins_are_kept_in_one_form() -> None:
    """A fingerprint is taken as OpenSSH, OpenSSL and browsers print it, and kept one way."""
    ssh = DeskAddress(Protocol.SFTP, "desk.example", user="ada", fingerprint=f" {SSH_PIN}= ")
    assert ssh.fingerprint == SSH_PIN
    spaced = ":".join(CERTIFICATE_PIN.upper()[i : i + 2] for i in range(0, 64, 2))
    for given_pin in (CERTIFICATE_PIN, spaced, f"sha256:{CERTIFICATE_PIN}"):
        tls = DeskAddress(Protocol.FTPS, "desk.example", user="ada", fingerprint=given_pin)
        assert tls.fingerprint == CERTIFICATE_PIN


def test_plain_ftp_has_nothing_to_pin() -> None:
    """A fingerprint for a protocol that shows none is a mistake, not ignored."""
    with pytest.raises(WrongUse):
        DeskAddress(Protocol.FTP, "desk.example", user="ada", fingerprint=CERTIFICATE_PIN)


def test_how_an_address_is_spelled() -> None:
    """Messages show protocol, user, host, a port that was given, and the file."""
    sftp = DeskAddress(Protocol.SFTP, "desk.example", user="ada")
    assert sftp.spelled() == "sftp://ada@desk.example"
    assert sftp.spelled("in/a.jpg") == "sftp://ada@desk.example/in/a.jpg"
    six = DeskAddress(Protocol.FTP, "2001:db8::7", 2121, "ada")
    assert six.spelled() == "ftp://ada@[2001:db8::7]:2121"
    assert DeskAddress(Protocol.FOLDER, path=HERE).spelled("a.jpg") == str(HERE / "a.jpg")


@given(password=st.text(min_size=6), passphrase=st.text(min_size=6))
def test_a_secret_is_never_printed(password: str, passphrase: str) -> None:
    """Neither repr nor str of a secret holds the password or the passphrase."""
    secret = Secret(password, Path("key"), passphrase)
    plain = Secret(None, Path("key"), None)
    assert repr(secret) == str(secret) == repr(plain)


def test_a_secret_is_blotted_out() -> None:
    """Text that holds the password or the passphrase loses it; other text stays."""
    secret = Secret("hollin-7", key_passphrase="vale-9")
    assert secret.hidden_in("PASS hollin-7, vale-9") == "PASS [hidden], [hidden]"
    assert Secret().hidden_in("as it was") == "as it was"
