"""Real servers on the loopback address, and the desk address that leads to each."""

from __future__ import annotations

import base64
import contextlib
import datetime
import hashlib
import ipaddress
import logging
import os
import secrets
import shutil
import socket
import subprocess
import tempfile
import threading
import time
import warnings
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Self

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from link_proxy import closed_port

from setpiece.send.desk import DeskAddress, Protocol, Secret
from setpiece.send.sender import Sender, open_sender

with warnings.catch_warnings():  # it builds on asyncore, which Python 3.11 calls deprecated
    warnings.simplefilter("ignore", DeprecationWarning)
    from pyftpdlib.authorizers import DummyAuthorizer
    from pyftpdlib.handlers import FTPHandler
    from pyftpdlib.ioloop import IOLoop
    from pyftpdlib.servers import FTPServer

logging.getLogger("pyftpdlib").addHandler(logging.NullHandler())
logging.getLogger("pyftpdlib").propagate = False

TIMEOUT_S = 3.0
"""Short for tests, long enough for two cores that are busy."""


@dataclass(frozen=True)
class Server:
    """A server that runs: how a desk is addressed there, and where its files really are."""

    address: DeskAddress
    secret: Secret
    home: Path
    known_hosts: tuple[Path, ...] = ()
    host_key: str = ""

    def open(self, **changes: Any) -> Sender:
        """A sender to it, with these changes to its address."""
        return open_sender(
            replace(self.address, **changes), self.secret, known_hosts=self.known_hosts
        )

    def through(self, port: int) -> Server:
        """The same server behind a proxy's port, where known hosts don't know it."""
        pin = self.host_key or self.address.fingerprint
        return replace(self, address=replace(self.address, port=port, fingerprint=pin))

    def files(self, folder: str = "") -> dict[str, bytes]:
        """Every file below the folder, by its path."""
        place = self.home / folder
        return {
            path.relative_to(place).as_posix(): path.read_bytes()
            for path in sorted(place.rglob("*"))
            if path.is_file()
        }


class QuirkyHandler(FTPHandler):  # type: ignore[misc]
    """pyftpdlib's handler, and what a test wants it to do wrong.

    `replies` maps a command to the reply given instead of obeying; `lose_tail` bytes of each
    upload are confirmed but not kept.
    """

    replies: dict[str, str]
    lose_tail: int
    auth_failed_timeout = 0
    banner = "A desk for tests"

    def pre_process_command(self, line: str, cmd: str, arg: str) -> None:
        if cmd in self.replies:
            self.respond(self.replies[cmd])
        else:
            super().pre_process_command(line, cmd, arg)

    def on_file_received(self, file: str) -> None:
        if self.lose_tail:
            size = Path(file).stat().st_size
            os.truncate(file, max(0, size - self.lose_tail))


class PyFtp:
    """pyftpdlib in a thread of this process."""

    def __init__(self, home: Path, user: str = "ada", password: str = "a secret of Ada's") -> None:
        self.home = home
        self.handler = type("Handler", (QuirkyHandler,), {"replies": {}, "lose_tail": 0})
        self.handler.authorizer = DummyAuthorizer()
        self.handler.authorizer.add_user(user, password, str(home), perm="elradfmwMT")
        self._stop = threading.Event()
        self.ftp = FTPServer(("127.0.0.1", 0), self.handler, ioloop=IOLoop())
        self.server = Server(
            DeskAddress(Protocol.FTP, "127.0.0.1", self.ftp.address[1], user, timeout_s=TIMEOUT_S),
            Secret(password),
            home,
        )
        self._thread = threading.Thread(target=self._run, daemon=True)

    def _run(self) -> None:
        while not self._stop.is_set():
            self.ftp.ioloop.loop(timeout=0.005, blocking=False)
        self.ftp.close_all()
        self.ftp.ioloop.close()

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self._thread.join()


@contextlib.contextmanager
def small_disk(place: Path, size: str, owner: str, mount: str, umount: str) -> Iterator[None]:
    """A disk of that size mounted as a new folder, for root only."""
    import pwd  # this system has no such module where it has no root either

    place.mkdir()
    options = f"size={size},uid={pwd.getpwnam(owner).pw_uid}"
    mounted = subprocess.run(
        [mount, "-t", "tmpfs", "-o", options, "tmpfs", str(place)], capture_output=True, check=False
    )
    if mounted.returncode:
        pytest.skip("this system does not let us mount a small disk")
    try:
        yield
    finally:
        subprocess.run([umount, "-l", str(place)], check=True)


@dataclass(frozen=True)
class Account:
    """A user of this computer made for the tests."""

    name: str
    password: str
    home: Path
    base: Path


@contextlib.contextmanager
def made_account(need_tool: Callable[[str], str]) -> Iterator[Account]:
    """An account without rights whose home anybody may enter. Needs root."""
    if os.name != "posix" or os.geteuid() != 0:
        reason = "only root can make the account that the server logs in"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    base = Path(tempfile.mkdtemp(prefix="setpiece-desk-"))
    base.chmod(0o755)
    home = base / "home"
    name, password = f"desk{secrets.token_hex(4)}", secrets.token_hex(8)
    subprocess.run(
        [need_tool("useradd"), "-M", "-d", str(home), "-s", "/bin/sh", name],
        check=True,
        capture_output=True,
    )
    try:
        subprocess.run([need_tool("chpasswd")], input=f"{name}:{password}", check=True, text=True)
        home.mkdir()
        shutil.chown(home, name)
        yield Account(name, password, home, base)
    finally:
        subprocess.run([need_tool("userdel"), name], check=False, capture_output=True)
        shutil.rmtree(base, ignore_errors=True)


class Process:
    """A server that is a process of its own, which can be killed and started again."""

    def __init__(self, command: list[str], port: int, log: Path) -> None:
        self._command = command
        self._port = port
        self._log = log
        self._running: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Starts it and waits until it answers."""
        with self._log.open("ab") as log:
            self._running = subprocess.Popen(
                self._command, stdin=subprocess.DEVNULL, stdout=log, stderr=log
            )
        for _ in range(200):
            with (
                contextlib.suppress(OSError),
                socket.create_connection(("127.0.0.1", self._port), 1),
            ):
                return
            if self._running.poll() is not None:
                break
            time.sleep(0.02)
        raise AssertionError(f"{self._command[0]} did not start: {self._log.read_text()[-2000:]}")

    def kill(self) -> None:
        """Kills it and the sessions it serves, as a power cut would."""
        if self._running is None:
            return
        parent = self._running.pid
        for child in _descendants(parent):
            with contextlib.suppress(ProcessLookupError):
                os.kill(child, 9)
        self._running.kill()
        self._running.wait()
        self._running = None


def _descendants(parent: int) -> list[int]:
    """The processes below one, from /proc, deepest first."""
    found: list[int] = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            if int(stat.read_text().rpartition(")")[2].split()[1]) == parent:
                child = int(stat.parent.name)
                found += [*_descendants(child), child]
    return found


VSFTPD = """\
listen=YES
listen_address=127.0.0.1
listen_port={port}
background=NO
anonymous_enable=NO
local_enable=YES
write_enable=YES
local_umask=022
pam_service_name=vsftpd
secure_chroot_dir={empty}
seccomp_sandbox=NO
isolate=NO
isolate_network=NO
xferlog_enable=NO
connect_from_port_20=NO
delay_failed_login=0
"""

VSFTPD_TLS = """\
ssl_enable=YES
implicit_ssl={implicit}
force_local_logins_ssl=YES
force_local_data_ssl=YES
require_ssl_reuse=YES
ssl_ciphers=HIGH
rsa_cert_file={cert}
rsa_private_key_file={key}
"""


@contextlib.contextmanager
def vsftpd(
    account: Account, tool: str, protocol: Protocol, certificate: Certificate | None = None
) -> Iterator[tuple[Server, Process]]:
    """vsftpd with its own settings on its own port."""
    port = closed_port()
    empty = account.base / "empty"
    empty.mkdir(exist_ok=True)
    text = VSFTPD.format(port=port, empty=empty)
    pin = ""
    if certificate is not None:
        implicit = "YES" if protocol is Protocol.FTPS_IMPLICIT else "NO"
        text += VSFTPD_TLS.format(implicit=implicit, cert=certificate.cert, key=certificate.key)
        pin = certificate.fingerprint
    settings = account.base / f"vsftpd-{port}.conf"
    settings.write_text(text)
    process = Process([tool, str(settings)], port, account.base / f"vsftpd-{port}.log")
    process.start()
    try:
        address = DeskAddress(
            protocol, "127.0.0.1", port, account.name, timeout_s=TIMEOUT_S, fingerprint=pin
        )
        yield Server(address, Secret(account.password), account.home), process
    finally:
        process.kill()


SSHD = """\
ListenAddress 127.0.0.1
Port {port}
HostKey {base}/host_key
AuthorizedKeysFile {base}/authorized_keys
PidFile none
StrictModes no
UsePAM no
PasswordAuthentication yes
MaxStartups 100
"""


@contextlib.contextmanager
def openssh(
    account: Account, sshd: str, keygen: str, *, files: bool = True
) -> Iterator[tuple[Server, Process]]:
    """OpenSSH's server with its own host key and the account's key. The secret is the key.

    Without `files` it offers no SFTP.
    """
    base, port = account.base, closed_port()
    for name in ("host_key", "user_key"):
        if (base / name).exists():
            continue
        subprocess.run(
            [keygen, "-q", "-t", "ed25519", "-N", "", "-f", str(base / name)], check=True
        )
    shutil.copy(base / "user_key.pub", base / "authorized_keys")
    Path("/run/sshd").mkdir(exist_ok=True)
    settings = base / f"sshd-{port}.conf"
    subsystem = "Subsystem sftp internal-sftp\n" if files else ""
    settings.write_text(SSHD.format(port=port, base=base) + subsystem)
    known = base / f"known_hosts-{port}"
    host_key = (base / "host_key.pub").read_text().split()
    known.write_text(f"[127.0.0.1]:{port} {host_key[0]} {host_key[1]}\n")
    process = Process([sshd, "-D", "-e", "-f", str(settings)], port, base / "sshd.log")
    process.start()
    try:
        address = DeskAddress(Protocol.SFTP, "127.0.0.1", port, account.name, timeout_s=TIMEOUT_S)
        secret = Secret(key_file=base / "user_key")
        yield Server(address, secret, account.home, (known,), _fingerprint(host_key[1])), process
    finally:
        process.kill()


def _fingerprint(public_key: str) -> str:
    """As OpenSSH prints it: base64 of the SHA-256 of the key's bytes."""
    digest = hashlib.sha256(base64.b64decode(public_key)).digest()
    return "SHA256:" + base64.b64encode(digest).decode().rstrip("=")


@dataclass(frozen=True)
class Certificate:
    """A self-signed certificate for 127.0.0.1, as files, and its fingerprint."""

    cert: Path
    key: Path
    fingerprint: str


def made_certificate(folder: Path) -> Certificate:
    """A new one, valid today."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "desk.example")])
    today = datetime.datetime.now(datetime.UTC)
    cert = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(today - datetime.timedelta(days=1))
        .not_valid_after(today + datetime.timedelta(days=7))
        .add_extension(
            x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address("127.0.0.1"))]),
            critical=False,
        )
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    cert_file, key_file = folder / "cert.pem", folder / "key.pem"
    cert_file.write_bytes(cert.public_bytes(serialization.Encoding.PEM))
    key_file.write_bytes(
        key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
    )
    return Certificate(cert_file, key_file, cert.fingerprint(hashes.SHA256()).hex())
