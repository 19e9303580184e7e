"""The SFTP sender, over paramiko."""

from __future__ import annotations

import contextlib
import logging
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path

import paramiko
from paramiko.pkey import UnknownKeyType
from paramiko.ssh_exception import PartialAuthentication

from setpiece.errors import LinkLost, NotFound, Refused, WrongUse
from setpiece.match.instants import Instant, instant
from setpiece.send.blocks import BLOCK, WINDOW, Blocks, Watch
from setpiece.send.desk import DeskAddress, Secret
from setpiece.send.link import Patience, open_link
from setpiece.send.sender import Sender, name_taken
from setpiece.send.trouble import Doing, FirstContact, border

# What goes wrong is raised in our words; paramiko's own log would print it a second time.
logging.getLogger("paramiko").addHandler(logging.NullHandler())

_FAST_CIPHERS = ("aes128-gcm@openssh.com", "aes256-gcm@openssh.com")
"""Cipher and checksum in one step; paramiko would ask for them last."""

_BREAKS_S = 1.0
"""How long a broken connection may take to be noticed, before a refusal is taken for one."""


class SftpSender(Sender):
    """One SSH connection with one SFTP session on it."""

    def __init__(
        self, address: DeskAddress, secret: Secret, known_hosts: Sequence[Path] | None = None
    ) -> None:
        self._address = address
        self._secret = secret
        own = Path.home() / ".ssh" / "known_hosts"
        self._known_hosts = tuple(known_hosts) if known_hosts is not None else (own,)
        self._transport: paramiko.Transport | None = None
        self._open: paramiko.SFTPClient | None = None
        self._words = ""

    def connect(self) -> None:
        """Connects, agrees on encryption, and checks the host key before any proof is sent."""
        address = self._address
        with self._border(Doing.CONNECT, ""):
            known = self._known_keys()
            link = open_link(address, address.host, address.port_used)
            try:
                transport = paramiko.Transport(link)
            except BaseException:
                link.close()
                raise
            self._transport = transport
            _prefer(transport, known)
            transport.banner_timeout = transport.auth_timeout = address.timeout_s
            transport.channel_timeout = address.timeout_s
            transport.start_client(timeout=address.timeout_s)
            if not transport.initial_kex_done:  # paramiko returns silently when time is up
                raise TimeoutError
            self._check_key(transport.get_remote_server_key(), known)
            if address.keep_alive_s:
                transport.set_keepalive(address.keep_alive_s)
        self._words = str(transport.remote_version)

    def log_in(self) -> None:
        """Proves who we are by key, password or both, and opens the SFTP session."""
        transport = self._connected()
        user, secret = self._address.user, self._secret
        key_file = secret.key_file or self._address.key_file
        with self._border(Doing.LOG_IN, ""):
            further: list[str] = []
            if key_file is not None:
                further = transport.auth_publickey(user, self._read_key(key_file))
            if secret.password is not None and not transport.is_authenticated():
                further = transport.auth_password(user, secret.password)
            if not transport.is_authenticated():
                raise PartialAuthentication(further)
            self._open = self._open_session(transport)

    def list_names(self, folder: str) -> list[str]:
        """Names in the folder, sorted."""
        with self._border(Doing.LIST, folder):
            return sorted(self._session.listdir(folder or "."))

    def make_folder(self, folder: str) -> None:
        """Makes the folder and those above it where they are missing."""
        if not folder.strip("/") or self._stat(folder) is not None:
            return
        parts = folder.strip("/").split("/")
        head = "/" if folder.startswith("/") else ""
        for depth in range(1, len(parts) + 1):
            above = head + "/".join(parts[:depth])
            if self._stat(above) is None:
                with self._border(Doing.MAKE_FOLDER, above):
                    self._session.mkdir(above)

    def size(self, path: str) -> int | None:
        """Size in bytes as the server states it, None when there is no such file."""
        found = self._stat(path)
        if found is None:
            return None
        self._words = f"{path}: {found.st_size} bytes"
        return int(found.st_size)

    def modified(self, path: str) -> Instant | None:
        """When the server says it was written."""
        found = self._stat(path)
        if found is None or not found.st_mtime:
            return None
        return instant(datetime.fromtimestamp(found.st_mtime, UTC))

    def matching(self, path: str, data: bytes) -> int:
        """How many bytes there are the beginning of `data`.

        A server may write what is on its way in any order (draft-ietf-secsh-filexfer-02 section
        6.1), so a cut can leave holes in the last window: that part is read back and compared.
        """
        there = self.size(path) or 0
        if not 0 < there <= len(data):
            return 0
        start = max(0, there - WINDOW * BLOCK)
        with self._border(Doing.SIZE, path), self._session.open(path, "rb") as file:
            file.seek(start)
            file.prefetch(there)
            tail = file.read(there - start)
        return there if tail == data[start:there] else 0

    def upload(
        self,
        data: bytes,
        path: str,
        *,
        resume_from: int,
        progress: Callable[[int], None],
        stopped: Callable[[], bool],
    ) -> int:
        """Writes with many blocks on their way; `progress` counts those the server confirmed."""
        patience = Patience(self._address.timeout_s, stopped, self._address.spelled(path))
        channel = self._session.get_channel()
        try:
            with Watch(self._connected(), patience):
                channel.settimeout(None)  # the watch decides
                self._write(data, path, resume_from, progress, patience)
                channel.settimeout(self._address.timeout_s)
        except BaseException:
            self.close()  # answers still on their way would be taken for later ones
            raise
        self._words = f"{path}: {len(data)} bytes confirmed"
        return resume_from

    def _write(
        self,
        data: bytes,
        path: str,
        start: int,
        progress: Callable[[int], None],
        patience: Patience,
    ) -> None:
        with self._border(Doing.WRITE, path):
            file = self._session.open(path, "r+b" if start else "wb")
        blocks = Blocks(self._session, file.handle)
        confirmed = sent = start
        while confirmed < len(data):
            patience.look()
            with self._border(Doing.WRITE, path), patience.over_errors():
                while sent < len(data) and blocks.waiting < WINDOW:
                    sent += blocks.write(sent, data[sent : sent + BLOCK])
            doing = Doing.CONFIRM if sent == len(data) else Doing.WRITE
            with self._border(doing, path), patience.over_errors():
                confirmed += blocks.answer()
            patience.moved()
            progress(confirmed)
        with self._border(Doing.CONFIRM, path):
            file.close()

    def rename(self, old: str, new: str) -> None:
        """Renames. By section 6.5 of the same draft no file is replaced; it is asked all the same,
        for not every server keeps to that."""
        there = self.size(new)
        if there is not None:
            raise name_taken(self._address.spelled(new), there)
        with self._border(Doing.RENAME, new):
            self._session.rename(old, new)

    def delete(self, path: str) -> None:
        """Deletes the file; nothing happens when it is not there."""
        with self._border(Doing.DELETE, path), contextlib.suppress(FileNotFoundError):
            self._session.remove(path)

    def close(self) -> None:
        """Ends the connection; never raises."""
        transport, self._transport, self._open = self._transport, None, None
        if transport is not None:
            with contextlib.suppress(Exception):
                transport.close()

    @property
    def server_words(self) -> str:
        """What the server stated last; SFTP answers in numbers, so the sentence is ours."""
        return self._words

    # What follows is between this class and paramiko.

    def _border(self, doing: Doing, path: str) -> contextlib.AbstractContextManager[None]:
        return border(doing, self._address.spelled(path), self._secret)

    def _connected(self) -> paramiko.Transport:
        if self._transport is None:
            raise LinkLost("not connected", thing=self._address.spelled())
        return self._transport

    @property
    def _session(self) -> paramiko.SFTPClient:
        if self._open is None:
            raise LinkLost("not logged in", thing=self._address.spelled())
        return self._open

    def _stat(self, path: str) -> paramiko.SFTPAttributes | None:
        with self._border(Doing.SIZE, path):
            try:
                return self._session.stat(path)
            except FileNotFoundError:
                return None

    def _open_session(self, transport: paramiko.Transport) -> paramiko.SFTPClient:
        """The SFTP session. paramiko waits for it without limit, so the watch is on."""
        patience = Patience(self._address.timeout_s, lambda: False, self._address.spelled())
        try:
            with Watch(transport, patience), patience.over_errors():
                session = paramiko.SFTPClient.from_transport(transport)
        except paramiko.SSHException:
            # A link that breaks closes the channel first and the connection a moment later.
            transport.join(_BREAKS_S)
            if not transport.is_active():
                raise
            raise Refused(
                "the server offers no SFTP to this user",
                thing=self._address.spelled(),
                next_step="Ask the desk which protocol it wants.",
            ) from None
        session.get_channel().settimeout(self._address.timeout_s)
        return session

    def _read_key(self, path: Path) -> paramiko.PKey:
        passphrase = self._secret.key_passphrase
        try:
            return paramiko.PKey.from_path(path, passphrase.encode() if passphrase else None)
        except OSError as error:
            raise NotFound(
                "the key file cannot be opened", thing=str(path), next_step="Check the path."
            ) from error
        except (ValueError, TypeError, paramiko.SSHException, UnknownKeyType) as error:
            raise WrongUse(
                "the key file cannot be read with this passphrase",
                thing=str(path),
                next_step="It must be a private key; a locked one needs its passphrase.",
            ) from error

    def _known_keys(self) -> dict[str, paramiko.PKey]:
        """The host keys known for this server, by their type."""
        address = self._address
        label = address.host if address.port_used == 22 else f"[{address.host}]:{address.port_used}"
        known: dict[str, paramiko.PKey] = {}
        for path in self._known_hosts:
            if path.is_file():
                known.update(paramiko.HostKeys(str(path)).lookup(label) or {})
        return known

    def _check_key(self, key: paramiko.PKey, known: dict[str, paramiko.PKey]) -> None:
        pin = self._address.fingerprint
        if (key.fingerprint == pin) if pin else (key in known.values()):
            return
        if not pin and not known:
            raise FirstContact(
                "this server is not known yet", key.fingerprint, thing=self._address.spelled()
            )
        raise Refused(
            "the server shows another key than the one that was confirmed",
            words=key.fingerprint,
            thing=self._address.spelled(),
            next_step="Somebody may listen in, or the desk has a new server: ask before sending.",
        )


def _prefer(transport: paramiko.Transport, known: dict[str, paramiko.PKey]) -> None:
    """Asks for the fast ciphers first, and for the types of host key that are known."""
    options = transport.get_security_options()
    options.ciphers = _first(_FAST_CIPHERS, options.ciphers)
    types: list[str] = []
    for name in known:
        types += ["rsa-sha2-512", "rsa-sha2-256"] if name == "ssh-rsa" else [name]
    options.key_types = _first(types, options.key_types)


def _first(wanted: Sequence[str], offered: Sequence[str]) -> list[str]:
    ahead = [name for name in wanted if name in offered]
    return ahead + [name for name in offered if name not in ahead]
