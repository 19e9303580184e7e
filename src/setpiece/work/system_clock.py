"""How far the laptop's clock may be off, as its system says: the bound of adjtimex(2)."""

from __future__ import annotations

import ctypes
import sys
from dataclasses import dataclass

_NOT_KEPT = 5  # TIME_ERROR
_WORDS = 64  # more than struct timex has, so that no field is written beyond it


@dataclass(frozen=True, slots=True)
class ClockBound:
    """Whether the system keeps the clock in time, and within how many seconds it then is."""

    kept: bool
    error_s: float = 0.0


class _Timex(ctypes.Structure):
    """The beginning of struct timex; nothing is set while `modes` is 0."""

    _fields_ = (
        ("modes", ctypes.c_uint),
        ("offset", ctypes.c_long),
        ("freq", ctypes.c_long),
        ("maxerror_us", ctypes.c_long),
        ("esterror_us", ctypes.c_long),
        ("status", ctypes.c_int),
        ("rest", ctypes.c_long * _WORDS),
    )


def clock_bound() -> ClockBound | None:
    """What the system says of its clock; None where it does not tell."""
    if not sys.platform.startswith("linux"):
        return None
    asked = _Timex()
    try:
        state = ctypes.CDLL(None, use_errno=True).adjtimex(ctypes.byref(asked))
    except (OSError, AttributeError):
        return None
    if state < 0:
        return None
    return ClockBound(state != _NOT_KEPT, asked.maxerror_us / 1e6)
