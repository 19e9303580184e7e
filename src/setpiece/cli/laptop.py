"""The laptop's own clock, read at the edge: what time it is, and whether somebody set it."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from threading import Event, Thread
from typing import TYPE_CHECKING

from setpiece.errors import SetpieceError

if TYPE_CHECKING:
    from setpiece.store.laptop_clock import ClockReading
    from setpiece.store.workspace import Workspace

_BOOT = Path("/proc/sys/kernel/random/boot_id")

EVERY_S = 60.0
"""So often a program that runs on looks whether the clock was set."""


def watch_clock(space: Workspace) -> float:
    """Notes the laptop's clock in the workspace; the step in seconds if it was set, else 0."""
    from setpiece.store.laptop_clock import note_reading

    return note_reading(space, clock_reading())


@contextmanager
def watched_clock(
    folder: Path, told: Callable[[str], object], *, every_s: float = EVERY_S
) -> Iterator[None]:
    """Watches the laptop's clock for the workspace in `folder` meanwhile; a step is told at once.

    Where readings are compared within one process only, this is what notices a step.
    """
    over = Event()

    def watch() -> None:
        while True:
            with suppress(SetpieceError):  # a busy or missing workspace: at the next look
                if step_s := _watched(folder):
                    told(
                        f"The laptop's clock was set by {step_s:+.1f} s: photograph the clock card "
                        "again with every camera."
                    )
            if over.wait(every_s):
                return

    thread = Thread(target=watch, name="laptop's clock", daemon=True)
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()


def _watched(folder: Path) -> float:
    from setpiece.store.workspace import Workspace

    space = Workspace.open(folder)
    try:
        return watch_clock(space)
    finally:
        space.close()


def clock_reading() -> ClockReading:
    """What the clock says beside what the system has been running, sleep included.

    Linux names its boot. Elsewhere readings are compared within one process only.
    """
    from setpiece.match.instants import instant
    from setpiece.store.laptop_clock import ClockReading

    running_s = time.monotonic()
    boot = f"process {os.getpid()}"
    if hasattr(time, "CLOCK_BOOTTIME"):
        running_s = time.clock_gettime(time.CLOCK_BOOTTIME)
    if _BOOT.exists():
        boot = _BOOT.read_text("ascii").strip()
    return ClockReading(boot, running_s, instant(datetime.now(UTC)))
