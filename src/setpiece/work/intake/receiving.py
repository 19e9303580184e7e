"""Cameras that send over the air: an FTP server on the local network, off unless started.

Its one user may write and nothing else, below one folder of the workspace. A picture is taken
in; anything else goes to quarantine and is named. FTP does not tell a file that was cut from one
that is whole: the look at its pixels does. Nobody from outside the local network is let in.
"""

from __future__ import annotations

import io
import ipaddress
import logging
import os
import secrets
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import Any

from setpiece.errors import GiveUp, WrongUse
from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of
from setpiece.store.copying import sync_folder
from setpiece.store.workspace import Workspace
from setpiece.work.intake.cards import safe_name

USER = "camera"
PORT = 2121

KEPT_AS = "receive"
"""The name under which the keyring keeps the cameras' password."""

_SIGNS = "abcdefghjkmnpqrstuvwxyz23456789"  # none that is mistaken for another on a camera
_PASSWORD_SIGNS = 12
_WRITE_ONLY = "elmw"  # change folder, list, make folder, store
_MOST_CONNECTIONS, _MOST_OF_ONE_ADDRESS, _MOST_LOGINS = 16, 8, 3


@dataclass(frozen=True, slots=True)
class Arrived:
    """A file that arrived. `quarantined` says why it is not taken in, empty when it is."""

    path: Path
    quarantined: str = ""


class Receiver:
    """A running server: where it listens, and what arrived."""

    def __init__(self, folder: Path, address: str, port: int) -> None:
        self.folder = folder
        self.address = address
        self.port = port
        self._arrived: SimpleQueue[Arrived] = SimpleQueue()

    @property
    def received(self) -> Path:
        """The folder of pictures that wait to be taken in."""
        return self.folder / "received"

    def next(self, wait_s: float) -> Arrived | None:
        """The next file that arrived, None when none did in that time."""
        try:
            return self._arrived.get(timeout=wait_s)
        except Empty:
            return None

    def keep(self, path: Path) -> None:
        """Puts a file that arrived where it is taken in, or into quarantine.

        One that cannot be put away stays where it came and is told of: the next run finds it.
        """
        try:
            self._put_away(path)
        except OSError as error:
            self._arrived.put(Arrived(path, f"it cannot be put away yet ({error.strerror})"))

    def _put_away(self, path: Path) -> None:
        with path.open("rb+") as stream:
            head = stream.read(HEAD_BYTES)
            os.fsync(stream.fileno())
        if kind_of(head) is PictureKind.UNKNOWN:
            put_away = _moved(path, self.folder / "quarantine")
            self._arrived.put(Arrived(put_away, "it is no picture"))
        else:
            self._arrived.put(Arrived(_moved(path, self.received)))


def new_password() -> str:
    """A password that can be typed on a camera."""
    return "".join(secrets.choice(_SIGNS) for _ in range(_PASSWORD_SIGNS))


def intake(space: Workspace) -> Path:
    """The folder that cameras may write below."""
    return space.folder / "intake"


@contextmanager
def receiving(
    folder: Path, password: str, *, address: str = "0.0.0.0", port: int = PORT
) -> Iterator[Receiver]:
    """Runs the server while the block lasts. `port` 0 takes any that is free.

    Raises WrongUse for an address that is not this computer's, GiveUp for a port that is taken.
    """
    from pyftpdlib.authorizers import DummyAuthorizer
    from pyftpdlib.ioloop import IOLoop
    from pyftpdlib.servers import FTPServer

    logging.getLogger("pyftpdlib").setLevel(logging.ERROR)
    incoming = folder / "incoming"
    for place in (incoming, folder / "received", folder / "quarantine"):
        place.mkdir(parents=True, exist_ok=True)
    users = DummyAuthorizer()
    users.add_user(USER, password, str(incoming), perm=_WRITE_ONLY)
    receiver = Receiver(folder, address, port)
    _keep_what_was_left(incoming, receiver)
    try:
        server = FTPServer((address, port), _handler(users, receiver), ioloop=IOLoop())
    except OSError as error:
        raise _cannot_listen(address, port, error) from error
    server.max_cons, server.max_cons_per_ip = _MOST_CONNECTIONS, _MOST_OF_ONE_ADDRESS
    receiver.port = server.socket.getsockname()[1]
    stop = threading.Event()

    def serve() -> None:
        while not stop.is_set():
            server.serve_forever(timeout=0.2, blocking=False)

    thread = threading.Thread(target=serve, name="receive", daemon=True)
    thread.start()
    try:
        yield receiver
    finally:
        stop.set()
        thread.join()
        server.close_all()


def _keep_what_was_left(incoming: Path, receiver: Receiver) -> None:
    """What was on its way when an earlier run died: the camera may take it for delivered."""
    for path in sorted(p for p in incoming.rglob("*") if p.is_file()):
        receiver.keep(path)
    for place in incoming.iterdir():
        _remove_empty(place)


def _remove_empty(place: Path) -> None:
    """Removes a folder and those in it, as far as no file is left in them."""
    inside = sorted((p for p in place.rglob("*") if p.is_dir()), reverse=True)
    for folder in (*inside, place):
        with suppress(OSError):
            folder.rmdir()


def own_address() -> str:
    """This computer's address on the local network; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address for documentation (RFC 5737)
            return str(probe.getsockname()[0])
        except OSError:
            return "127.0.0.1"


def _cannot_listen(address: str, port: int, error: OSError) -> GiveUp | WrongUse:
    if isinstance(error, socket.gaierror) or "assign" in str(error):
        return WrongUse(
            "this computer has no such address", thing=address, next_step="Leave --address out."
        )
    return GiveUp(
        f"it cannot be listened at ({error.strerror})",
        thing=f"port {port}",
        next_step="Another program may use it: choose another with --port.",
    )


def _moved(path: Path, into: Path) -> Path:
    """The file under its own name, in a folder of its own, so that names never collide."""
    place = into / secrets.token_hex(6)
    place.mkdir(parents=True)
    moved = path.replace(place / safe_name(path.name))
    for folder in (place, into):
        sync_folder(folder)
    return moved


def _is_near(address: str) -> bool:
    """Whether an address is of the local network."""
    try:
        peer = ipaddress.ip_address(address)
    except ValueError:
        return False
    return peer.is_private or peer.is_link_local or peer.is_loopback


class _Whole(io.FileIO):
    """A file whose every write is whole or fails, and which has nothing left to write when it is
    closed: on a full disk the library would else fail again there, and never answer the camera."""

    def write(self, data: Any) -> int:
        """Writes all of it."""
        left = memoryview(data)
        while left:
            left = left[super().write(left) or 0 :]
        return len(data)


def _handler(users: Any, receiver: Receiver) -> type[Any]:
    from pyftpdlib.filesystems import AbstractedFS
    from pyftpdlib.handlers import FTPHandler

    class CameraFolder(AbstractedFS):  # type: ignore[misc]
        """Where a camera writes."""

        def open(self, filename: str, mode: str) -> _Whole:
            return _Whole(filename, mode)

    class CameraHandler(FTPHandler):  # type: ignore[misc]
        """One connection of a camera, with a folder of its own to write into."""

        authorizer = users
        abstracted_fs = CameraFolder
        banner = "Ready."
        max_login_attempts = _MOST_LOGINS

        def on_connect(self) -> None:
            """Lets nobody in from outside."""
            if not _is_near(self.remote_ip):
                self.close()

        def on_login(self, username: str) -> None:
            """Two cameras that send the same name at once never meet."""
            self.own_place = receiver.folder / "incoming" / secrets.token_hex(6)
            self.own_place.mkdir(parents=True)
            self.fs.root = str(self.own_place)
            self._current_type = "i"

        def ftp_TYPE(self, line: str) -> None:
            """Pictures are never translated as text, whatever the camera asks for."""
            super().ftp_TYPE(line)
            self._current_type = "i"

        def on_file_received(self, file: str) -> None:
            receiver.keep(Path(file))

        def on_incomplete_file_received(self, file: str) -> None:
            """Half a picture is better than none; whole, it will be the same frame."""
            receiver.keep(Path(file))

        def on_disconnect(self) -> None:
            if self.authenticated:
                _remove_empty(self.own_place)

    return CameraHandler
