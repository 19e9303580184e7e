"""One at a time: a lock that the system lets go of when its process ends, however it ends."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from setpiece.errors import Busy
from setpiece.store.copying import writing


@contextmanager
def alone(path: Path, what: str) -> Iterator[None]:
    """Holds the lock file `path` while the block lasts. Raises Busy when another holds it.

    `what` is done one at a time: it stands in the message.
    """
    with writing(path):
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
    try:
        if not _lock(handle):
            raise Busy(
                f"another {what} is going on", thing=str(path.parent), next_step="Wait for it."
            )
        yield
    finally:
        os.close(handle)  # lets go of the lock as well


def _lock(handle: int) -> bool:
    """Whether the lock was free. A file system without locks counts as free."""
    if sys.platform == "win32":
        import msvcrt

        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True
    import fcntl

    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:  # some network disks know no locks
        return True
    return True
