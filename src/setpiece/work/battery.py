"""The laptop's battery: how full, and whether only what cannot wait should run by itself.

Linux tells it in /sys/class/power_supply (kernel documentation, ABI/testing/sysfs-class-power),
macOS by `pmset -g batt`, Windows by GetSystemPowerStatus.
"""

from __future__ import annotations

import ctypes
import re
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

LOW_SHARE = 0.25
"""Under a quarter only the goal path runs by itself."""

READ_EVERY_S = 30.0

_SUPPLIES = Path("/sys/class/power_supply")
_ANSWERS_WITHIN_S = 5.0
_NO_BATTERY, _UNKNOWN = 128, 255  # Windows: BatteryFlag and BatteryLifePercent


@dataclass(frozen=True, slots=True)
class Power:
    """How full the battery is, 0 to 1, None where there is none; and whether it feeds on mains."""

    share: float | None
    on_mains: bool

    @property
    def is_low(self) -> bool:
        """Whether only what cannot wait should run by itself."""
        return self.share is not None and self.share < LOW_SHARE and not self.on_mains


Reading = Callable[[], Power | None]


class Battery:
    """The battery as it was read last, at most half a minute ago; None where it is not known."""

    def __init__(self, read: Reading | None = None) -> None:
        self._read = read or read_power
        self._known: Power | None = None
        self._again = 0.0

    @property
    def power(self) -> Power | None:
        """The newest reading."""
        if time.monotonic() >= self._again:
            self._known = self._read()
            self._again = time.monotonic() + READ_EVERY_S
        return self._known

    @property
    def is_low(self) -> bool:
        """Whether it is known to be low."""
        power = self.power
        return power is not None and power.is_low


def read_power() -> Power | None:
    """This machine's battery; None where the system does not tell."""
    if sys.platform == "win32":
        return _of_windows()
    with suppress(OSError, ValueError, subprocess.SubprocessError):
        return power_of_mac(_asked()) if sys.platform == "darwin" else power_in(_SUPPLIES)
    return None


def power_in(supplies: Path) -> Power | None:
    """What Linux tells in that folder; None where it lists neither mains nor battery."""
    shares, mains, seen = [], False, False
    for supply in sorted(supplies.iterdir()) if supplies.is_dir() else ():
        kind = _line(supply / "type")
        if kind == "Battery" and _line(supply / "scope") != "Device":  # not a mouse's
            seen = True
            shares.append(float(_line(supply / "capacity")) / 100)
            mains = mains or _line(supply / "status") in ("Charging", "Full", "Not charging")
        elif kind in ("Mains", "USB"):
            seen = True
            mains = mains or _line(supply / "online") == "1"
    if not seen:
        return None
    return Power(sum(shares) / len(shares) if shares else None, mains or not shares)


def power_of_mac(said: str) -> Power | None:
    """What `pmset -g batt` says."""
    mains = "'AC Power'" in said
    share = re.search(r"(\d{1,3})%", said)
    if share is None:
        return Power(None, on_mains=True) if mains else None
    return Power(int(share[1]) / 100, mains)


def _asked() -> str:
    done = subprocess.run(
        ["/usr/bin/pmset", "-g", "batt"],
        capture_output=True, text=True, timeout=_ANSWERS_WITHIN_S, check=True,
    )  # fmt: skip
    return done.stdout


def _line(path: Path) -> str:
    return path.read_text("ascii").strip() if path.is_file() else ""


def _of_windows() -> Power | None:
    class Status(ctypes.Structure):
        _fields_ = (
            ("on_mains", ctypes.c_ubyte), ("flag", ctypes.c_ubyte), ("percent", ctypes.c_ubyte),
            ("saver", ctypes.c_ubyte), ("left_s", ctypes.c_ulong), ("full_s", ctypes.c_ulong),
        )  # fmt: skip

    if sys.platform != "win32":
        return None
    status = Status()
    if not ctypes.windll.kernel32.GetSystemPowerStatus(ctypes.byref(status)):
        return None
    if status.flag & _NO_BATTERY and status.flag != _UNKNOWN:
        return Power(None, on_mains=True)
    if status.percent == _UNKNOWN:
        return None
    return Power(status.percent / 100, status.on_mains == 1)
