"""FTP's connections: TLS and its certificate, EPSV and PASV, blocked data ports."""

from __future__ import annotations

from dataclasses import replace

import pytest
from link_proxy import LinkProxy, closed_port
from servers import Certificate, Process, PyFtp, Server

from setpiece.errors import LinkLost, Refused, SetpieceError, TryAgain
from setpiece.send.control import Control
from setpiece.send.desk import DeskAddress, Protocol, Secret
from setpiece.send.sender import open_sender
from setpiece.send.trouble import FirstContact

pytestmark = pytest.mark.network

PICTURE = bytes(range(256)) * 500


@pytest.fixture(params=["secure_vsftpd", "implicit_vsftpd"])
def secure(request: pytest.FixtureRequest) -> Server:
    """TLS asked for, and TLS from the first byte."""
    return request.getfixturevalue(request.param)[0]


def put(server: Server, folder: str, **changes) -> None:
    """One upload."""
    with server.open(**changes) as sender:
        sender.make_folder(folder)
        sender.upload(
            PICTURE,
            f"{folder}/a.jpg",
            resume_from=0,
            progress=lambda _bytes: None,
            stopped=lambda: False,
        )


def test_a_self_signed_certificate_asks_first(
    secure: Server, certificate: Certificate, folder: str
) -> None:
    """Without a pin a self-signed certificate is not trusted; its fingerprint is told, and with
    that as the pin the desk is reached."""
    with pytest.raises(FirstContact, match="certificate does not prove") as raised:
        put(secure, folder, fingerprint="")
    assert raised.value.fingerprint == certificate.fingerprint
    put(secure, folder, fingerprint=raised.value.fingerprint)
    assert secure.files(folder) == {"a.jpg": PICTURE}


def test_another_certificate_than_the_pinned_one(secure: Server, folder: str) -> None:
    """A certificate that is not the pinned one ends the talk before the password is sent."""
    with pytest.raises(Refused, match="another certificate"):
        put(secure, folder, fingerprint="0" * 64)
    assert not (secure.home / folder).exists()


def test_a_certificate_that_an_authority_vouches_for(
    secure: Server, certificate: Certificate, folder: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A certificate the system trusts needs no pin."""
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate.cert))
    put(secure, folder, fingerprint="")
    assert secure.files(folder) == {"a.jpg": PICTURE}


def test_a_certificate_for_another_name(
    secure: Server, certificate: Certificate, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A trusted certificate that is made out to another host is not taken."""
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate.cert))
    with pytest.raises(FirstContact):
        put(secure, "x", fingerprint="", host="localhost")


def test_tls_where_there_is_none(pyftp: PyFtp) -> None:
    """Asking a plain server for TLS is refused in plain words; the password is not sent."""
    address = replace(pyftp.server.address, protocol=Protocol.FTPS)
    with pytest.raises(Refused, match="while connecting"), open_sender(address, Secret("x")):
        raise AssertionError("connected")
    implicit = replace(address, protocol=Protocol.FTPS_IMPLICIT, timeout_s=1.0)
    with pytest.raises(SetpieceError), open_sender(implicit, Secret("x")):
        raise AssertionError("connected")


def test_plain_where_tls_is_needed(secure_vsftpd: tuple[Server, Process]) -> None:
    """A desk that wants TLS refuses a plain log-in with its own words."""
    address = replace(secure_vsftpd[0].address, protocol=Protocol.FTP, fingerprint="")
    with pytest.raises(Refused) as raised, open_sender(address, Secret("x")):
        raise AssertionError("logged in")
    assert raised.value.words


def test_pasv_where_epsv_is_unknown(pyftp: PyFtp) -> None:
    """A server without EPSV is asked PASV, once and from then on."""
    pyftp.handler.replies["EPSV"] = "500 What?"
    put(pyftp.server, "in")
    assert pyftp.server.files("in") == {"a.jpg": PICTURE}


def test_pasv_only_by_setting(pyftp: PyFtp) -> None:
    """A desk set to PASV is never asked EPSV."""
    pyftp.handler.replies["EPSV"] = "421 We hang up on this."
    put(pyftp.server, "in", extended_passive=False)
    assert pyftp.server.files("in") == {"a.jpg": PICTURE}


def test_the_address_in_a_pasv_reply_is_not_believed(pyftp: PyFtp) -> None:
    """The data go to the host of the control connection, whatever address PASV gives."""
    pyftp.handler.masquerade_address = "192.0.2.1"
    put(pyftp.server, "in", extended_passive=False)
    assert pyftp.server.files("in") == {"a.jpg": PICTURE}


def test_a_blocked_epsv_port_is_got_round_by_pasv(pyftp: PyFtp) -> None:
    """Where the port that EPSV names is closed, PASV is tried before giving up."""
    pyftp.handler.replies["EPSV"] = f"229 Entering (|||{closed_port()}|)"
    put(pyftp.server, "in")
    assert pyftp.server.files("in") == {"a.jpg": PICTURE}


def test_blocked_data_ports_are_called_by_their_name(pyftp: PyFtp) -> None:
    """A reachable server with unreachable data ports is told apart from a lost link."""
    with LinkProxy(pyftp.server.address.port or 0, ftp=True) as proxy:
        proxy.data_blocked = True
        with pytest.raises(LinkLost, match="data connection is blocked") as raised:
            put(pyftp.server.through(proxy.port), "in")
    assert "firewall" in str(raised.value)


def test_nobody_answers() -> None:
    """A closed port and a name that does not exist are told apart."""
    address = DeskAddress(Protocol.FTP, "127.0.0.1", closed_port(), "ada", timeout_s=1.0)
    with pytest.raises(TryAgain, match="nothing answers"), open_sender(address, Secret("x")):
        raise AssertionError("connected")
    nowhere = replace(address, host="desk.invalid")
    with pytest.raises(TryAgain, match="name is not found"), open_sender(nowhere, Secret("x")):
        raise AssertionError("connected")


def test_words_keep_the_last_reply(pyftp: PyFtp) -> None:
    """The last reply is kept, and a password the server repeats is blotted out."""
    pyftp.handler.replies["USER"] = "530 No user with password a secret of Ada's"
    control = Control(pyftp.server.address, pyftp.server.secret)
    control.open()
    assert control.words == "220 A desk for tests"
    with pytest.raises(Exception, match="530"):
        control.log_in()
    assert control.words == "530 No user with password [hidden]"
    control.close()
