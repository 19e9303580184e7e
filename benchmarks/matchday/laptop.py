"""The laptop: the page's server in a process of its own, its disk, its memory and files.

Run as a program it serves the page by the clock of the day: FOLDER PORT FIRST BEGAN SPEED.
"""

from __future__ import annotations

import os
import socket
import statistics
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path

from benchmarks.matchday.script import Clock

ROOT = Path(__file__).resolve().parents[2]
NO_KEYRING = "keyring.backends.null.Keyring"
START_S, STOP_S, SAMPLE_S = 60.0, 30.0, 1.0


@dataclass
class Life:
    """One process of the server: megabytes held and files open, second by second."""

    resident_mb: list[float] = field(default_factory=list)
    handles: list[int] = field(default_factory=list)
    at: list[float] = field(default_factory=list)

    def middles(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Median memory and handles of the second quarter and of the last."""
        n = len(self.at)
        early, late = slice(n // 4, n // 2), slice(n - n // 4, n)
        return (
            (statistics.median(self.resident_mb[early]), statistics.median(self.handles[early])),
            (statistics.median(self.resident_mb[late]), statistics.median(self.handles[late])),
        )


class Laptop:
    """Starts the server, kills it, starts it again on the same port, and samples it."""

    def __init__(self, folder: Path, clock: Clock, secrets: dict[str, str], log: Path) -> None:
        self.folder, self.clock, self._secrets, self._log = folder, clock, secrets, log
        with socket.create_server(("127.0.0.1", 0)) as free:
            self.port: int = free.getsockname()[1]
        self.process: subprocess.Popen[bytes] | None = None
        self.lives: list[Life] = []
        self._over = threading.Event()

    @property
    def address(self) -> str:
        """Where the page is."""
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Starts the server and waits until it listens."""
        clock = self.clock
        words = [clock.first.isoformat(), repr(clock.began_s), repr(clock.speed)]
        with self._log.open("ab") as log:
            self.process = subprocess.Popen(
                [sys.executable, "-m", "benchmarks.matchday.laptop",
                 str(self.folder), str(self.port), *words],
                cwd=ROOT, env={**os.environ, **self._secrets, "PYTHON_KEYRING_BACKEND": NO_KEYRING},
                stdin=subprocess.DEVNULL, stdout=log, stderr=log,
            )  # fmt: skip
        life = Life()
        self.lives.append(life)
        threading.Thread(target=self._sample, args=(self.process, life), daemon=True).start()
        until = time.monotonic() + START_S
        while time.monotonic() < until:
            with suppress(OSError), socket.create_connection(("127.0.0.1", self.port), 1):
                return
            assert self.process.poll() is None, self._log.read_text("utf-8")[-2000:]
            time.sleep(0.05)
        raise AssertionError(f"the server did not start: {self._log.read_text('utf-8')[-2000:]}")

    def kill(self) -> None:
        """As a power cut would."""
        assert self.process is not None
        self.process.kill()
        self.process.wait()

    def stop(self) -> None:
        """As Ctrl-C does."""
        if self.process is None or self.process.poll() is not None:
            return
        self.process.terminate()
        try:
            self.process.wait(STOP_S)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()

    def _sample(self, process: subprocess.Popen[bytes], life: Life) -> None:
        place = Path(f"/proc/{process.pid}")
        began = time.monotonic()
        while process.poll() is None:
            with suppress(OSError, ValueError, IndexError):
                status = (place / "status").read_text("ascii")
                resident = int(status.partition("VmRSS:")[2].split()[0]) / 1e3
                open_files = len(list((place / "fd").iterdir()))
                life.resident_mb.append(resident)
                life.handles.append(open_files)
                life.at.append(time.monotonic() - began)
            time.sleep(SAMPLE_S)


class Disk:
    """The workspace's disk: a file mounted as one, which can be filled to the last byte."""

    def __init__(self, place: Path, why_not: str = "") -> None:
        self.place, self.why_not, self.is_full = place, why_not, False
        self._ballast = place / "ballast"

    def fill(self) -> None:
        """Takes all that is free."""
        self.is_full = True
        with self._ballast.open("wb") as file:
            free = os.statvfs(self.place)
            with suppress(OSError):
                os.posix_fallocate(file.fileno(), 0, free.f_bavail * free.f_bsize)
            file.seek(0, os.SEEK_END)
            for block in (1 << 20, 1 << 12, 1):
                with suppress(OSError):
                    while True:
                        os.write(file.fileno(), bytes(block))

    def free(self) -> None:
        """Gives it back."""
        self._ballast.unlink()
        self.is_full = False

    def told(self) -> list[str]:
        """What there is to tell of it."""
        return ["disk full"] if self.is_full else []


@contextmanager
def small_disk(place: Path, image: Path, size_mb: int) -> Iterator[Disk]:
    """A disk of that size where this machine lets us mount one, else a plain folder."""
    import pytest

    sys.path.append(str(ROOT / "tests" / "work"))
    mounts = import_module("mounts").mounts
    try:
        with mounts() as mounted:
            mounted.image(place, image, size_mb)
            yield Disk(place)
            return
    except pytest.skip.Exception as reason:
        why_not = str(reason)
    place.mkdir(parents=True, exist_ok=True)
    yield Disk(place, why_not)


def main() -> None:
    """Serves until it is killed."""
    from datetime import datetime

    from setpiece.cli.page import serve_page
    from setpiece.match.instants import instant

    folder, port, first, began_s, speed = sys.argv[1:]
    clock = Clock(instant(datetime.fromisoformat(first)), float(speed), float(began_s))
    serve_page(Path(folder), int(port), clock.now, show=False, phones=("127.0.0.1",))


if __name__ == "__main__":
    main()
