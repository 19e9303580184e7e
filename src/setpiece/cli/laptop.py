"""The laptop's own clock, read at the edge: what time it is, and whether somebody set it."""

from __future__ import annotations

import os
import time
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from setpiece.store.laptop_clock import ClockReading
    from setpiece.store.workspace import Workspace

_BOOT = Path("/proc/sys/kernel/random/boot_id")


def watch_clock(space: Workspace) -> float:
    """Notes the laptop's clock in the workspace; the step in seconds if it was set, else 0."""
    from setpiece.store.laptop_clock import note_reading

    return note_reading(space, clock_reading())


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
