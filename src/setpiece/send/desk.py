"""A desk's address: how to reach it, without any secret in it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from types import MappingProxyType

from setpiece.errors import WrongUse


class Protocol(StrEnum):
    """How a desk receives. The values are what a photographer types."""

    FTP = "ftp"
    FTPS = "ftps"  # TLS asked for after connecting (RFC 4217)
    FTPS_IMPLICIT = "ftps-implicit"  # TLS from the first byte, by custom on port 990
    SFTP = "sftp"
    FOLDER = "folder"  # a folder of this computer, or one mounted from another


DEFAULT_PORT: MappingProxyType[Protocol, int] = MappingProxyType(
    {Protocol.FTP: 21, Protocol.FTPS: 21, Protocol.FTPS_IMPLICIT: 990, Protocol.SFTP: 22}
)
"""IANA Service Name and Transport Protocol Port Number Registry: ftp, ftps, ssh."""

_SSH_PIN = re.compile(r"SHA256:[A-Za-z0-9+/]{43}")
_CERTIFICATE_PIN = re.compile(r"[0-9a-f]{64}")
_UNSAFE = re.compile(r"[\x00-\x1f\x7f]")


@dataclass(frozen=True, slots=True)
class DeskAddress:
    """Where and how a desk receives.

    `folder` is the folder at the server below which everything goes, "" for where the log-in
    lands. `path` is the receiving folder of a FOLDER desk. `temporary_name` False is for desks
    that forbid renaming. `connections` says how many senders may be open at once.
    `extended_passive` False skips EPSV for firewalls that understand only PASV. `timeout_s` is
    how long a silent link is waited for; `keep_alive_s` how often an idle one is kept awake,
    0 for never. `key_file` is the private key an SFTP desk knows us by. `fingerprint` pins the
    server: for SFTP as `SHA256:...` of its host key, for FTPS the SHA-256 of its
    certificate in hexadecimal.
    """

    protocol: Protocol
    host: str = ""
    port: int | None = None
    user: str = ""
    folder: str = ""
    path: Path | None = None
    temporary_name: bool = True
    connections: int = 1
    extended_passive: bool = True
    timeout_s: float = 30.0
    keep_alive_s: int = 60
    fingerprint: str = ""
    key_file: Path | None = None

    def __post_init__(self) -> None:
        if self.protocol is Protocol.FOLDER:
            self._check_folder_desk()
        else:
            self._check_server()
        if _UNSAFE.search(self.folder) or ".." in self.folder.split("/"):
            raise WrongUse("a desk's folder is a plain path", thing=repr(self.folder))
        if not 1 <= self.connections <= 10:
            raise WrongUse("a desk takes 1 to 10 connections", thing=str(self.connections))
        if not 0 < self.timeout_s <= 600:
            raise WrongUse("a desk is waited for up to 600 s", thing=str(self.timeout_s))
        if not 0 <= self.keep_alive_s <= 3600:
            raise WrongUse("keep-alive is 0 to 3600 s", thing=str(self.keep_alive_s))
        if self.key_file is not None and self.protocol is not Protocol.SFTP:
            raise WrongUse(f"{self.protocol} has no use for a key file", thing=str(self.key_file))
        object.__setattr__(self, "fingerprint", self._read_fingerprint())

    def _check_folder_desk(self) -> None:
        if self.path is None or not self.path.is_absolute():
            raise WrongUse(
                "a folder desk needs the whole path of its folder",
                thing=str(self.path or ""),
                next_step="Give it from the root or the drive on.",
            )
        if self.host or self.port is not None or self.user:
            raise WrongUse("a folder desk has no host, port or user", thing=str(self.path))

    def _check_server(self) -> None:
        if not self.host or _UNSAFE.search(self.host) or set(self.host) & set(" /@\\"):
            raise WrongUse(
                "this is no host",
                thing=repr(self.host),
                next_step="Give a name such as ftp.desk.example, or an address; "
                "user, port and folder go separately.",
            )
        if self.port is not None and not 1 <= self.port <= 65_535:
            raise WrongUse("ports run from 1 to 65535", thing=str(self.port))
        if not self.user or _UNSAFE.search(self.user):
            raise WrongUse("a desk with a server needs a user", thing=self.host)
        if self.path is not None:
            raise WrongUse(
                "only a folder desk has a path",
                thing=str(self.path),
                next_step="The folder at the server is `folder`.",
            )

    def _read_fingerprint(self) -> str:
        given = self.fingerprint.strip()
        if not given:
            return ""
        if self.protocol is Protocol.SFTP:
            pin = given.rstrip("=")
            if _SSH_PIN.fullmatch(pin):
                return pin
            raise WrongUse(
                "this is no fingerprint of an SSH host key",
                thing=given,
                next_step="It reads SHA256: and 43 letters, as the desk test shows it.",
            )
        if self.protocol in (Protocol.FTPS, Protocol.FTPS_IMPLICIT):
            pin = given.lower().removeprefix("sha256:").replace(":", "")
            if _CERTIFICATE_PIN.fullmatch(pin):
                return pin
            raise WrongUse(
                "this is no SHA-256 fingerprint of a certificate",
                thing=given,
                next_step="It has 64 hexadecimal digits, as the desk test shows it.",
            )
        raise WrongUse(f"{self.protocol} has nothing to pin", thing=given)

    @property
    def port_used(self) -> int:
        """The port given, else the protocol's own; 0 for a folder."""
        return self.port if self.port is not None else DEFAULT_PORT.get(self.protocol, 0)

    def spelled(self, path: str = "") -> str:
        """The address, or a file there, as messages show it: `sftp://user@host:22/path`."""
        if self.protocol is Protocol.FOLDER:
            return str(self.path / path) if self.path and path else str(self.path)
        host = f"[{self.host}]" if ":" in self.host else self.host
        port = "" if self.port is None else f":{self.port}"
        tail = f"/{path.lstrip('/')}" if path else ""
        return f"{self.protocol}://{self.user}@{host}{port}{tail}"


@dataclass(frozen=True, slots=True)
class Secret:
    """What proves who we are at a desk. Never printed, never stored.

    `key_file` is a private key for SFTP in place of the address's; `key_passphrase` unlocks it.
    """

    password: str | None = field(default=None, repr=False)
    key_file: Path | None = None
    key_passphrase: str | None = field(default=None, repr=False)

    def hidden_in(self, text: str) -> str:
        """The text with the password and the passphrase blotted out, should they be in it."""
        for word in (self.password, self.key_passphrase):
            if word:
                text = text.replace(word, "[hidden]")
        return text
