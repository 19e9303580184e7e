"""One at a time."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from setpiece.errors import Busy
from setpiece.store.lock import alone

HOLD_AND_DIE = """
import os, sys
from pathlib import Path
from setpiece.store.lock import alone
with alone(Path(sys.argv[1]), "taking in"):
    print("held", flush=True)
    sys.stdin.read()
    os._exit(9)
"""


def test_a_second_holder_is_told(tmp_path: Path) -> None:
    """While one holds the lock another gets Busy; afterwards it is free again."""
    lock = tmp_path / "lock"
    with alone(lock, "taking in"):
        with pytest.raises(Busy, match="another taking in"), alone(lock, "taking in"):
            pass
    with alone(lock, "taking in"):
        assert lock.exists()


def test_a_dead_holder_holds_nothing(tmp_path: Path) -> None:
    """The lock of a process that ended without letting go is free."""
    lock = tmp_path / "lock"
    other = subprocess.Popen(
        [sys.executable, "-c", HOLD_AND_DIE, str(lock)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )
    assert other.stdout is not None
    assert other.stdout.readline().strip() == b"held"
    with pytest.raises(Busy), alone(lock, "taking in"):
        pass
    other.communicate()
    with alone(lock, "taking in"):
        assert other.returncode == 9
