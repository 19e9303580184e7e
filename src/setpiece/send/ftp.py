"""The FTP sender: plain, with TLS asked for, or with TLS from the first byte."""

from __future__ import annotations

import contextlib
import ftplib
import re
import selectors
import socket
import ssl
from collections.abc import Callable
from datetime import datetime

from setpiece.errors import LinkLost, Refused, Stopped, TryAgain
from setpiece.match.instants import Instant, instant
from setpiece.send.control import Control, end_of_data, farewell
from setpiece.send.desk import DeskAddress, Secret
from setpiece.send.link import SLICE_S, Patience, Rising
from setpiece.send.sender import Sender, name_taken
from setpiece.send.trouble import Doing, border

_CHUNK = 128 * 1024

_LONGEST_LISTING = 16 * 1024 * 1024
"""No desk's folder has so many names: a server that goes on is not listened to."""

_NOT_UNDERSTOOD = ("500", "501", "502", "504", "554")
"""Replies to a command or its argument that the server does not know (554: RFC 3659, REST)."""

_LISTED_SIZE = re.compile(
    r"-\S{9,10}\s+\d+\s+\S+\s+\S+\s+(\d+)\s"  # as `ls -l` prints it
    r"|\d\d-\d\d-\d{2,4}\s+\d\d:\d\d[AP]M\s+(\d+)\s"  # as a Windows server does
)
_WHEN = re.compile(r"213 (\d{8})(\d{6})")


class FtpSender(Sender):
    """One control connection; each transfer opens a data connection beside it."""

    locks_partials = True  # vsftpd does, until its own timeout

    def __init__(self, address: DeskAddress, secret: Secret) -> None:
        self._address = address
        self._secret = secret
        self._open: Control | None = None
        self._home = ""
        self._known_folders: set[str] = set()
        self._says_sizes = True
        self._words = ""

    def connect(self) -> None:
        """Connects and, with TLS, checks the certificate before any proof is sent."""
        self._open = Control(self._address, self._secret)
        with self._border(Doing.CONNECT, ""):
            self._open.open()

    def log_in(self) -> None:
        """Logs in and asks for binary transfer."""
        with self._border(Doing.LOG_IN, ""):
            self._control.log_in()

    def list_names(self, folder: str) -> list[str]:
        """Names in the folder, sorted."""
        with self._border(Doing.LIST, folder):
            lines: list[str] = []
            # Servers call an empty folder 450 or 550, and a missing one a list of nothing.
            try:
                lines = self._lines(f"NLST {folder}".rstrip())
            except (ftplib.error_perm, ftplib.error_temp) as error:
                if not str(error).startswith(("450", "550")):
                    raise
            if not lines and not self._is_folder(folder):
                raise ftplib.error_perm(f"550 {self._control.words[4:]}")
        names = {line.rstrip("/").rpartition("/")[2] for line in lines}
        return sorted(names - {"", ".", ".."})

    def make_folder(self, folder: str) -> None:
        """Makes the folder and those above it; asks only once per connection."""
        if not folder.strip("/") or folder in self._known_folders:
            return
        with self._border(Doing.MAKE_FOLDER, folder):
            if not self._is_folder(folder):
                parts = folder.strip("/").split("/")
                head = "/" if folder.startswith("/") else ""
                made = False
                for depth in range(1, len(parts) + 1):
                    with contextlib.suppress(ftplib.error_perm):  # it may be there
                        made = False
                        self._control.voidcmd(f"MKD {head}{'/'.join(parts[:depth])}")
                        made = True
                if not made and not self._is_folder(folder):
                    raise ftplib.error_perm(self._control.words)
        self._known_folders.add(folder)

    def size(self, path: str) -> int | None:
        """Size in bytes as the server states it, by SIZE (RFC 3659) or, without it, by LIST."""
        with self._border(Doing.SIZE, path):
            if self._says_sizes:
                try:
                    return int(self._control.sendcmd(f"SIZE {path}")[3:])
                except ftplib.error_perm as error:
                    if not str(error).startswith(_NOT_UNDERSTOOD):
                        return None
                    self._says_sizes = False
                except ValueError:
                    self._says_sizes = False
            return self._listed_size(path)

    def modified(self, path: str) -> Instant | None:
        """When the server says it was written, by MDTM (RFC 3659: in UTC)."""
        with self._border(Doing.SIZE, path):
            try:
                reply = self._control.sendcmd(f"MDTM {path}")
            except ftplib.error_perm:
                return None
        found = _WHEN.match(reply)
        try:
            when = datetime.fromisoformat(f"{found[1]}T{found[2]}Z") if found else None
        except ValueError:  # a server whose clock or program is broken
            return None
        return instant(when) if when else None

    def matching(self, path: str, data: bytes) -> int:
        """How many bytes there are the beginning of `data`.

        A data connection is one stream, so what is there is its beginning; only a file longer
        than ours cannot be.
        """
        there = self.size(path) or 0
        return there if there <= len(data) else 0

    def upload(
        self,
        data: bytes,
        path: str,
        *,
        resume_from: int,
        progress: Callable[[int], None],
        stopped: Callable[[], bool],
    ) -> int:
        """Stores, from `resume_from` on by REST (RFC 3659) if the server knows that."""
        patience = Patience(self._address.timeout_s, stopped, self._address.spelled(path))
        try:
            with self._border(Doing.WRITE, path):
                conn, begun = self._start(path, resume_from)
                rising = Rising(progress, begun)
                with conn:
                    self._pour(conn, data, begun, rising, patience)
                    end_of_data(conn)
                    self._see_off(conn, len(data), rising, patience)
                    farewell(conn)
            with self._border(Doing.CONFIRM, path):
                self._control.voidresp()
            rising(len(data))
        except (TryAgain, Stopped):
            self.close()  # a late reply would be taken for that of the next command
            raise
        return begun

    def rename(self, old: str, new: str) -> None:
        """Renames. FTP does not say what happens to a file that has the name: it is asked."""
        there = self.size(new)
        if there is not None:
            raise name_taken(self._address.spelled(new), there)
        with self._border(Doing.RENAME, new):
            self._control.rename(old, new)

    def delete(self, path: str) -> None:
        """Deletes the file; nothing happens when it is not there."""
        try:
            with self._border(Doing.DELETE, path):
                self._control.voidcmd(f"DELE {path}")
        except Refused:
            if self.size(path) is not None:
                raise

    def close(self) -> None:
        """Ends the connection; never raises."""
        control, self._open = self._open, None
        if control is None:
            return
        self._words = control.words
        with contextlib.suppress(OSError, EOFError, AttributeError):
            control.putcmd("QUIT")
        with contextlib.suppress(OSError):
            control.close()

    @property
    def server_words(self) -> str:
        """The server's last reply."""
        return self._open.words if self._open is not None else self._words

    # What follows is between this class and ftplib.

    def _border(self, doing: Doing, path: str) -> contextlib.AbstractContextManager[None]:
        return border(doing, self._address.spelled(path), self._secret)

    @property
    def _control(self) -> Control:
        if self._open is None:
            raise LinkLost("not connected", thing=self._address.spelled())
        return self._open

    def _start(self, path: str, resume_from: int) -> tuple[socket.socket, int]:
        """The data connection for a STOR, and the byte it begins at."""
        if resume_from:
            try:
                return self._control.transfercmd(f"STOR {path}", rest=resume_from), resume_from
            except ftplib.error_perm as error:
                if not str(error).startswith(_NOT_UNDERSTOOD):
                    raise
        return self._control.transfercmd(f"STOR {path}"), 0

    def _pour(
        self,
        conn: socket.socket,
        data: bytes,
        sent: int,
        progress: Rising,
        patience: Patience,
    ) -> None:
        """Sends from that byte to the last. A server that breaks off is asked why."""
        view = memoryview(data)
        conn.settimeout(SLICE_S)
        while sent < len(data):
            patience.look()
            try:
                moved = conn.send(view[sent : sent + _CHUNK])
                patience.moved()
            except (TimeoutError, ssl.SSLWantWriteError, ssl.SSLWantReadError):
                moved = 0
            except OSError:
                self._control.reason()
                raise
            sent += moved
            progress(sent - patience.notice(conn))

    def _see_off(
        self,
        conn: socket.socket,
        size: int,
        progress: Rising,
        patience: Patience,
    ) -> None:
        """Waits while bytes are still under way, as long as they move, or until a reply comes."""
        with selectors.DefaultSelector() as replies:
            replies.register(self._control.link, selectors.EVENT_READ)
            while left := patience.notice(conn):
                progress(size - left)
                patience.look()
                if replies.select(SLICE_S):
                    return

    def _lines(self, command: str) -> list[str]:
        """What a listing command gives over a data connection."""
        received = bytearray()
        conn = self._control.transfercmd(command)
        with conn:
            while block := conn.recv(8192):
                received += block
                if len(received) > _LONGEST_LISTING:
                    raise ftplib.error_proto("a listing without an end")
        self._control.voidresp()
        return received.decode("utf-8", "replace").splitlines()

    def _is_folder(self, folder: str) -> bool:
        if not folder.strip("/"):
            return True
        self._home = self._home or self._control.pwd()
        try:
            self._control.voidcmd(f"CWD {folder}")
        except ftplib.error_perm:
            return False
        self._control.voidcmd(f"CWD {self._home}")
        return True

    def _listed_size(self, path: str) -> int | None:
        try:
            lines = self._lines(f"LIST {path}")
        except (ftplib.error_perm, ftplib.error_temp):
            return None
        if not lines:
            return None
        found = _LISTED_SIZE.match(lines[-1])
        if found is None:
            raise Refused(
                "the desk states no sizes, so that a delivery could not be proven",
                words=lines[-1],
                thing=self._address.spelled(path),
                next_step="Ask the desk for SFTP, or for a server that knows SIZE.",
            )
        return int(found[1] or found[2])
