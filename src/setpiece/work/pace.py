"""The pace of a link: measured from what arrived, and what it lets expect.

A delivery takes a fixed time (round trips of its safe steps) and its bytes over the rate. Both
are fitted to the last deliveries by least squares; where their sizes are too alike to tell the
two apart, all the time counts as rate.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from statistics import fmean

from setpiece.match.instants import Instant, instant

KEPT = 8
"""So many last deliveries are looked at: enough to average, few enough to follow the link."""

_TOLD_APART = 1.6  # the largest of them over the smallest, from which two unknowns are fitted

FIRST_PAUSE_S, LONGEST_PAUSE_S = 2.0, 300.0
"""Pauses between tries: they double, with jitter, up to the longest."""


@dataclass(frozen=True, slots=True)
class Sent:
    """One delivery that arrived: the bytes of its last try and how long that took."""

    size_bytes: int
    seconds: float


@dataclass(frozen=True, slots=True)
class Pace:
    """How a link carries: bytes a second, and seconds that each delivery takes beside."""

    bytes_s: float
    beside_s: float = 0.0

    def seconds(self, size_bytes: int) -> float:
        """How long so many bytes take."""
        return self.beside_s + size_bytes / self.bytes_s

    @property
    def kbit_s(self) -> float:
        """The rate in kilobits a second."""
        return self.bytes_s * 8 / 1000


ASSUMED = Pace(250_000.0, 0.3)
"""What is assumed before anything was measured: 2 Mbit/s. Only the order rests on it."""


def measured(sent: Sequence[Sent]) -> Pace | None:
    """The pace of the last deliveries, oldest first; None while nothing can be said."""
    used = [s for s in sent if s.seconds > 0 and s.size_bytes > 0][-KEPT:]
    if not used:
        return None
    sizes = [float(s.size_bytes) for s in used]
    plain = Pace(sum(sizes) / sum(s.seconds for s in used))
    if len(used) < 3 or max(sizes) < _TOLD_APART * min(sizes):
        return plain
    mid_size, mid_s = fmean(sizes), fmean(s.seconds for s in used)
    spread = sum((x - mid_size) ** 2 for x in sizes)
    slope = sum((x - mid_size) * (s.seconds - mid_s) for x, s in zip(sizes, used, strict=True))
    if slope <= 0:
        return plain
    beside_s = mid_s - mid_size * slope / spread
    return Pace(spread / slope, beside_s) if beside_s > 0 else plain


def arrivals(
    left_bytes: Sequence[tuple[int, int]], pace: Pace, begins: Instant, spacing_s: float = 0.0
) -> dict[int, Instant]:
    """When each will have arrived, by key, when they go one after the other in this order.

    `left_bytes` are pairs of key and bytes. With a spacing none arrives sooner than that after
    the one before.
    """
    found: dict[int, Instant] = {}
    at = begins
    for key, size_bytes in left_bytes:
        taken_s = pace.seconds(size_bytes)
        if found:
            taken_s = max(taken_s, spacing_s)
        at = instant(at + timedelta(seconds=taken_s))
        found[key] = at
    return found


def pause_s(
    tries: int,
    chance: float,
    *,
    first_s: float = FIRST_PAUSE_S,
    longest_s: float = LONGEST_PAUSE_S,
) -> float:
    """Seconds until the next try after so many: doubling, jittered by `chance` in 0 to 1."""
    ceiling: float = min(longest_s, first_s * 2.0 ** min(tries - 1, 20))
    return ceiling * (0.5 + chance / 2)
