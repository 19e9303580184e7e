"""FTP's two connections: the control connection, and the data connections opened through it.

ftplib speaks the protocol; this adds what picture desks need: EPSV before PASV, TLS whose session
goes on over the data connection (RFC 4217 section 10), a pinned certificate, and a blocked data
connection told apart from a lost link.
"""

from __future__ import annotations

import contextlib
import ftplib
import hashlib
import select
import socket
import ssl
from time import monotonic

from setpiece.errors import Refused
from setpiece.send.desk import DeskAddress, Protocol, Secret
from setpiece.send.link import SLICE_S, open_link
from setpiece.send.trouble import Doing, FirstContact, border

_FAREWELL_S = 5.0
"""How long TLS's end is waited for at most; the reply on the control connection decides."""


class Control(ftplib.FTP):
    """The control connection. Raises ftplib's errors and, at its own steps, ours."""

    def __init__(self, address: DeskAddress, secret: Secret, *, checked: bool = True) -> None:
        super().__init__(timeout=address.timeout_s)
        self.host = address.host
        self.words = ""
        self._address = address
        self._secret = secret
        self._extended = address.extended_passive
        self._checked = checked
        self._tls: ssl.SSLContext | None = None
        if address.protocol in (Protocol.FTPS, Protocol.FTPS_IMPLICIT):
            self._tls = ssl.create_default_context()
            if address.fingerprint or not checked:  # the pin takes the place of the authorities
                self._tls.check_hostname = False
                self._tls.verify_mode = ssl.CERT_NONE

    def open(self) -> None:
        """Connects, greets, and secures the connection. Raises FirstContact."""
        address = self._address
        sock = open_link(address, address.host, address.port_used)
        self._speak_over(sock)
        if address.protocol is Protocol.FTPS_IMPLICIT:
            self._speak_over(self._secured(sock))
        self.af = sock.family
        self.welcome = self.getresp()
        if address.protocol is Protocol.FTPS:
            self.voidcmd("AUTH TLS")
            self._speak_over(self._secured(sock))

    def log_in(self) -> None:
        """Logs in; asks for secure data connections (RFC 4217 section 9) and binary transfer."""
        self.login(self._address.user, self._secret.password or "")
        if self._tls is not None:
            self.voidcmd("PBSZ 0")
            self.voidcmd("PROT P")
        self.voidcmd("TYPE I")

    def getmultiline(self) -> str:
        """The server's next reply, kept in `words`."""
        reply = super().getmultiline()
        self.words = self._secret.hidden_in(reply)
        return reply

    def makepasv(self) -> tuple[str, int]:
        """The server's address and port for the data: EPSV (RFC 2428), else PASV.

        The host is always the one of the control connection, whatever a PASV reply says.
        """
        peer = self.link.getpeername()
        if self._extended:
            try:
                return ftplib.parse229(self.sendcmd("EPSV"), peer)
            except ftplib.error_perm:
                self._extended = False
        return peer[0], ftplib.parse227(self.sendcmd("PASV"))[1]

    def ntransfercmd(
        self, cmd: str, rest: int | str | None = None
    ) -> tuple[socket.socket, int | None]:
        """Opens the data connection and starts the transfer over it."""
        conn = self._data_link()
        try:
            if rest is not None:
                self.sendcmd(f"REST {rest}")
            reply = self.sendcmd(cmd)
            if not reply.startswith("1"):
                raise ftplib.error_reply(reply)
            if self._tls is not None:
                conn = self._secured(conn)
        except BaseException:
            conn.close()
            raise
        return conn, None

    @property
    def link(self) -> socket.socket:
        """The connection itself."""
        if self.sock is None:
            raise EOFError
        return self.sock

    def reason(self) -> None:
        """Raises the reply that says why the server ended a transfer, if one has come."""
        self.link.settimeout(min(2.0, self._address.timeout_s))
        try:
            with contextlib.suppress(OSError, EOFError, ftplib.error_proto):
                self.voidresp()
        finally:
            self.link.settimeout(self._address.timeout_s)

    def _data_link(self) -> socket.socket:
        """A data connection. Where EPSV's port is blocked, PASV's is tried once."""
        for last in (not self._extended, True):
            host, port = self.makepasv()
            try:
                with border(Doing.OPEN_DATA, self._address.spelled()):
                    return open_link(self._address, host, port)
            except Exception:
                if last or not self._extended:
                    raise
                self._extended = False
        raise AssertionError("the second try returns or raises")

    def _speak_over(self, sock: socket.socket) -> None:
        """Makes the socket the control connection. Words in another alphabet must not stop us."""
        if self.file is not None:
            self.file.close()
        self.sock = sock
        self.file = sock.makefile("r", encoding="utf-8", errors="replace")

    def _secured(self, sock: socket.socket) -> socket.socket:
        """The socket with TLS on it, in the control connection's session if there is one."""
        assert self._tls is not None
        session = self.sock.session if isinstance(self.sock, ssl.SSLSocket) else None
        try:
            secured = self._tls.wrap_socket(sock, server_hostname=self.host, session=session)
        except ssl.SSLCertVerificationError as error:
            raise FirstContact(
                f"the certificate does not prove who the server is ({error.verify_message})",
                self._certificate_shown(),
                thing=self._address.spelled(),
            ) from error
        pin = self._address.fingerprint
        if pin and self._checked and fingerprint_of(secured) != pin:
            shown = fingerprint_of(secured)
            secured.close()
            raise Refused(
                "the server shows another certificate than the one that was confirmed",
                words=shown,
                thing=self._address.spelled(),
                next_step="Desks renew certificates: ask for the new fingerprint, then pin it.",
            )
        return secured

    def _certificate_shown(self) -> str:
        """The fingerprint of what the server shows, read over a second connection, no log-in."""
        other = Control(self._address, Secret(), checked=False)
        try:
            other.open()
            assert isinstance(other.sock, ssl.SSLSocket)
            return fingerprint_of(other.sock)
        finally:
            other.close()


def fingerprint_of(secured: ssl.SSLSocket) -> str:
    """The SHA-256 of the certificate the other side shows, in hexadecimal."""
    return hashlib.sha256(secured.getpeercert(binary_form=True) or b"").hexdigest()


def end_of_data(conn: socket.socket) -> None:
    """Says that all bytes are out; the connection stays open for `farewell`."""
    with contextlib.suppress(OSError):
        if isinstance(conn, ssl.SSLSocket):
            _close_tls(conn, monotonic() + _FAREWELL_S)
        conn.shutdown(socket.SHUT_WR)


def farewell(conn: socket.socket) -> None:
    """Closes a data connection whose bytes are out.

    With TLS the server's end is waited for: closing at once would reset the connection where
    TLS 1.3 tickets lie unread, and the reset can overtake the last bytes.
    """
    with contextlib.suppress(OSError):
        if isinstance(conn, ssl.SSLSocket):
            _drain(conn, monotonic() + _FAREWELL_S)
    conn.close()


def _drain(conn: socket.socket, deadline: float) -> None:
    conn.settimeout(SLICE_S)
    while monotonic() < deadline:
        with contextlib.suppress(TimeoutError):
            if not conn.recv(4096):
                return


def _close_tls(conn: ssl.SSLSocket, deadline: float) -> None:
    """Sends TLS's own end mark; the answer to it is not waited for, some servers give none."""
    conn.settimeout(0.0)
    while monotonic() < deadline:
        try:
            conn.unwrap()
            return
        except ssl.SSLWantWriteError:
            select.select([], [conn], [], SLICE_S)
        except (ssl.SSLWantReadError, ssl.SSLEOFError):
            return
