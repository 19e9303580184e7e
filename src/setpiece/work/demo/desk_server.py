"""The demo's picture desk: a real FTP server on this machine, for as long as the demo runs."""

from __future__ import annotations

import logging
import secrets
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

USER = "setpiece"


@dataclass(frozen=True, slots=True)
class DeskServer:
    """Where the demo's desk listens, and where its files land."""

    port: int
    password: str
    folder: Path


@contextmanager
def desk_server(folder: Path) -> Iterator[DeskServer]:
    """Runs the desk's server on 127.0.0.1 while the block lasts; its user may only write here."""
    from pyftpdlib.authorizers import DummyAuthorizer
    from pyftpdlib.handlers import FTPHandler
    from pyftpdlib.ioloop import IOLoop
    from pyftpdlib.servers import FTPServer

    quiet = logging.getLogger("pyftpdlib")
    quiet.addHandler(logging.NullHandler())
    quiet.propagate = False
    folder.mkdir(parents=True, exist_ok=True)
    password = secrets.token_urlsafe(12)
    users = DummyAuthorizer()
    users.add_user(USER, password, str(folder), perm="elradfmwMT")
    handler = type("DemoDesk", (FTPHandler,), {"authorizer": users, "banner": "Demo desk ready."})
    server = FTPServer(("127.0.0.1", 0), handler, ioloop=IOLoop())
    stop = threading.Event()

    def serve() -> None:
        while not stop.is_set():
            server.serve_forever(timeout=0.05, blocking=False)

    thread = threading.Thread(target=serve, name="demo desk", daemon=True)
    thread.start()
    try:
        yield DeskServer(server.socket.getsockname()[1], password, folder)
    finally:
        stop.set()
        thread.join()
        server.close_all()
