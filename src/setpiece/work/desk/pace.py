"""The pace of a link: measured from what arrived, and what it lets expect.

A delivery takes a fixed time (round trips of its safe steps) and its bytes over the rate. Both
are fitted to the last deliveries by least squares. What goes first is small, so that the first
deliveries hardly tell the two apart: a guess of the fixed time counts beside them, for a tenth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from setpiece.match.instants import Instant, instant

KEPT = 8
"""So many last deliveries are looked at: enough to average, few enough to follow the link."""

BESIDE_S = 0.3
"""The guess of the fixed time: some five round trips of a mobile link (common practice)."""

_GUESS_COUNTS = 0.1  # against the deliveries; tried on simulated links of 0.5 to 10 Mbit/s

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


ASSUMED = Pace(250_000.0, BESIDE_S)
"""What is assumed before anything was measured: 2 Mbit/s. Only the order rests on it."""


def measured(sent: Sequence[Sent]) -> Pace | None:
    """The pace of the last deliveries, oldest first; None while nothing can be said."""
    used = [s for s in sent if s.seconds > 0 and s.size_bytes > 0][-KEPT:]
    if not used:
        return None
    points = [(float(s.size_bytes), s.seconds, 1.0) for s in used]
    points.append((0.0, BESIDE_S, _GUESS_COUNTS * len(used)))
    whole = sum(w for _, _, w in points)
    mid_size = sum(w * x for x, _, w in points) / whole
    mid_s = sum(w * s for _, s, w in points) / whole
    spread = sum(w * (x - mid_size) ** 2 for x, _, w in points)
    slope = sum(w * (x - mid_size) * (s - mid_s) for x, s, w in points)
    beside_s = mid_s - mid_size * slope / spread
    if slope <= 0 or beside_s < 0:  # faster than the guess: all of the time counts as rate
        return Pace(sum(s.size_bytes for s in used) / sum(s.seconds for s in used))
    return Pace(spread / slope, beside_s)


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
