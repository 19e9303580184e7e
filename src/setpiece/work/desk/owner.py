"""Whose a lease is: every run of sending has a name and a lock that dies with its process.

So a run that follows a crash need not wait until the leases of the dead one have run out.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import socket
from collections.abc import Iterable, Iterator
from pathlib import Path

from setpiece.errors import Busy
from setpiece.store.delivery import Delivery, State
from setpiece.store.lock import alone
from setpiece.store.workspace import Workspace

_WHAT = "sending"


def _lock_of(space: Workspace, owner: str) -> Path:
    return space.folder / f".sending-{owner}.lock"


@contextlib.contextmanager
def owning(space: Workspace) -> Iterator[str]:
    """A new owner's name, alive while the block lasts."""
    owner = f"{socket.gethostname()}-{os.getpid()}-{secrets.token_hex(4)}"
    path = _lock_of(space, owner)
    try:
        with alone(path, _WHAT):
            yield owner
    finally:
        with contextlib.suppress(OSError):
            path.unlink()


def gone(space: Workspace, deliveries: Iterable[Delivery]) -> frozenset[str]:
    """The owners among these deliveries' leases whose process is known to be gone.

    One whose lock is not in this workspace (another computer's) is not known to be.
    """
    owners = {d.leased_by for d in deliveries if d.state is State.SENDING}
    return frozenset(owner for owner in owners if _is_gone(_lock_of(space, owner)))


def sweep(space: Workspace, deliveries: Iterable[Delivery]) -> None:
    """Removes locks of dead owners that hold no lease any more."""
    held = {_lock_of(space, d.leased_by) for d in deliveries if d.state is State.SENDING}
    for path in space.folder.glob(".sending-*.lock"):
        if path not in held and _is_gone(path):
            with contextlib.suppress(OSError):
                path.unlink()


def _is_gone(path: Path) -> bool:
    if not path.exists():
        return False
    try:
        with alone(path, _WHAT):
            return True
    except Busy:
        return False
