"""The taking-in process of the kill tests: it says when it is ready, is told what to take in.

It can be told to die by itself before its n-th change of the disk or the database: then it dies
in the same place however slow the machine is.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import threading
from pathlib import Path

from sqlalchemy import Engine, event

from setpiece.cli.terminal import Terminal
from setpiece.store.matches import find_match
from setpiece.store.workspace import Workspace
from setpiece.work.intake.take import take_in

CHANGES = frozenset(("os.rename", "os.link", "os.remove", "os.mkdir"))


class Changes:
    """Counts what is about to change, in every thread; dies before the one it was told."""

    def __init__(self, fatal: int) -> None:
        self.fatal = fatal
        self.count = 0
        self._lock = threading.Lock()

    def audit(self, what: str, args: tuple[object, ...]) -> None:
        """A hook of the interpreter: names that change, and files that are opened to write."""
        if what in CHANGES or (
            what == "open" and isinstance(args[2], int) and args[2] & os.O_CREAT
        ):
            self.next()

    def next(self, *_: object) -> None:
        """One more change is about to happen."""
        with self._lock:
            self.count += 1
            if self.count == self.fatal:
                os.kill(os.getpid(), getattr(signal, "SIGKILL", signal.SIGTERM))


if __name__ == "__main__":
    print("ready", flush=True)
    folder, fatal, *cards = json.loads(sys.stdin.readline())
    space = Workspace.open(Path(folder))
    changes = Changes(fatal)
    sys.addaudithook(changes.audit)
    event.listen(Engine, "commit", changes.next)
    take_in(space, find_match(space, None), [Path(c) for c in cards], Terminal())
    space.close()
    print(changes.count, flush=True)
