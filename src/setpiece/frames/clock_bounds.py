"""What reference pairs allow a clock's offset to be, and the best estimate from them.

A stamp is cut, not rounded: the true reading lies in [reading, reading + resolution). With the
true time known to an interval, each pair bounds the clock's offset from both sides; several
pairs bound it by what all of them allow. Where they do not agree, the majority is found as
Marzullo's algorithm finds it (K. Marzullo, Maintaining the Time in a Distributed System, 1984;
used for clocks in RFC 5905 section 11.2.1; from memory), and the others are dropped and counted.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import sqrt
from statistics import median

from setpiece.frames.line import huber, least_squares

STAMP_S = 0.02
"""Between the middle of an exposure and what a camera stamps (common practice, no source)."""

TYPICAL_DRIFT_PPM = 20.0
"""A clock of unknown drift is within this: 1.73 s a day (Time synchronisation for
millisecond-precision on bio-loggers, Movement Ecology 2024, table 1)."""

MOST_DRIFT_PPM = 50.0
"""A clock that seems to drift more was set in between (common practice, no source)."""

JITTER_S = 0.25
"""Pairs that miss the others by less differ by habit (shutter, screen), not by a slip."""

DAY_APART_S = 20 * 3600.0
"""Pairs must span this for drift to be fitted: within a day it hides in the stamps."""


@dataclass(frozen=True, slots=True)
class Bound:
    """What one pair allows the offset to be, from `low_s` to `high_s`, and when it was made.

    `at_s` counts from any epoch that all bounds share. `reference_half_s` is half the width of
    what is known of the true time: the part of the bound that may be the same error in all.
    """

    low_s: float
    high_s: float
    at_s: float
    reference_half_s: float

    @property
    def middle_s(self) -> float:
        """The offset's likeliest value by this bound alone."""
        return (self.low_s + self.high_s) / 2

    @property
    def half_s(self) -> float:
        """How far the offset may lie from the middle."""
        return (self.high_s - self.low_s) / 2

    def misses_s(self, low_s: float, high_s: float) -> float:
        """How far it lies from [low_s, high_s], 0 where they meet."""
        return max(0.0, self.low_s - high_s, low_s - self.high_s)


@dataclass(frozen=True, slots=True)
class Estimate:
    """The offset at `epoch_s`, within `uncertainty_s`, from `used` bounds.

    `method` is `intersection`, `median` or `line`; `remarks` are in words.
    """

    offset_s: float
    uncertainty_s: float
    epoch_s: float
    used: int
    method: str
    drift_ppm: float = 0.0
    drift_uncertainty_ppm: float = TYPICAL_DRIFT_PPM
    remarks: tuple[str, ...] = ()


def estimate(bounds: Iterable[Bound]) -> Estimate:
    """The offset that the bounds allow, and the drift where they lie days apart.

    `bounds` are at least one, in any order.
    """
    ordered = sorted(bounds, key=lambda b: (b.at_s, b.low_s))
    remarks: list[str] = []
    days = []
    for day in _split_by_day(ordered):
        kept, left_out = _majority(day)
        days.append(kept)
        remarks += _dropped_remark(kept, left_out)
    days, was_set = _since_last_set(days)
    if was_set:
        remarks.append("the clock was set between the days: only the last of them counts")
    kept = [b for day in days for b in day]
    if len(ordered) == 1:
        remarks.append("a single pair, with nothing to check it against")
    found = (_line(kept) if _reach_s(kept) >= DAY_APART_S else None) or _offset(kept)
    return replace(found, remarks=(*remarks, *found.remarks))


def _reach_s(bounds: Sequence[Bound]) -> float:
    """How long after the first bound the last one was made."""
    return bounds[-1].at_s - bounds[0].at_s


def _split_by_day(bounds: Sequence[Bound]) -> list[list[Bound]]:
    """Runs of pairs with less than half a day between them, in order of time."""
    days: list[list[Bound]] = []
    for bound in bounds:
        if days and bound.at_s - days[-1][-1].at_s < DAY_APART_S / 2:
            days[-1].append(bound)
        else:
            days.append([bound])
    return days


def _common(bounds: Sequence[Bound]) -> tuple[float, float, int]:
    """Where most bounds overlap, and how many do (Marzullo's algorithm)."""
    edges = sorted([(b.low_s, -1) for b in bounds] + [(b.high_s, 1) for b in bounds])
    depth, best, low_s, high_s = 0, 0, 0.0, 0.0
    for i, (at_s, edge) in enumerate(edges):
        depth -= edge
        if depth > best:
            best, low_s, high_s = depth, at_s, edges[i + 1][0]
    return low_s, high_s, best


def _majority(bounds: Sequence[Bound]) -> tuple[list[Bound], list[Bound]]:
    """The bounds that more than half agree on, and those dropped; all where no majority is."""
    low_s, high_s, agreeing = _common([_drifting(b, bounds) for b in bounds])
    if 2 * agreeing <= len(bounds):
        return list(bounds), []
    kept = [b for b in bounds if _drifting(b, bounds).misses_s(low_s, high_s) <= JITTER_S]
    return kept, [b for b in bounds if b not in kept]


def _drifting(bound: Bound, among: Sequence[Bound]) -> Bound:
    """The bound widened by what the clock may have drifted from the middle of the others."""
    epoch_s = (among[0].at_s + among[-1].at_s) / 2
    reach_s = TYPICAL_DRIFT_PPM * 1e-6 * abs(bound.at_s - epoch_s)
    return Bound(bound.low_s - reach_s, bound.high_s + reach_s, bound.at_s, bound.reference_half_s)


def _dropped_remark(kept: Sequence[Bound], left_out: Sequence[Bound]) -> list[str]:
    """What dropped pairs tell: a slip, or a clock that was set while frames were made."""
    if not left_out:
        return []
    off_s = median(b.middle_s for b in left_out) - median(b.middle_s for b in kept)
    spread_s = max(b.middle_s for b in left_out) - min(b.middle_s for b in left_out)
    apart = left_out[0].at_s > kept[-1].at_s or left_out[-1].at_s < kept[0].at_s
    if len(left_out) > 1 and apart and spread_s <= 2 * max(b.half_s for b in left_out):
        when = "after" if left_out[0].at_s > kept[-1].at_s else "before"
        return [
            f"the {len(left_out)} pairs {when} the others differ by {off_s:+.1f} s: "
            "was the clock set in between?"
        ]
    count = _pairs(len(left_out))
    return [f"{count} disagreed with the others and did not count ({off_s:+.1f} s)"]


def _pairs(count: int) -> str:
    return f"{count} {'pair' if count == 1 else 'pairs'}"


def _since_last_set(days: list[list[Bound]]) -> tuple[list[list[Bound]], bool]:
    """The days after the last time the clock was set, and whether it was set at all."""
    for i in range(len(days) - 1, 0, -1):
        before, after = days[i - 1], days[i]
        step_s = abs(median(b.middle_s for b in after) - median(b.middle_s for b in before))
        room_s = max(b.half_s for b in before) + max(b.half_s for b in after)
        apart_s = after[-1].at_s - before[0].at_s
        if step_s > room_s + MOST_DRIFT_PPM * 1e-6 * apart_s:
            return days[i:], True
    return days, False


def _offset(bounds: Sequence[Bound]) -> Estimate:
    """The offset at the middle of the pairs: what all of them allow, else their median."""
    epoch_s = (bounds[0].at_s + bounds[-1].at_s) / 2
    wide = [_drifting(b, bounds) for b in bounds]
    low_s, high_s = max(b.low_s for b in wide), min(b.high_s for b in wide)
    if low_s <= high_s:
        return Estimate(
            (low_s + high_s) / 2,
            (high_s - low_s) / 2 + STAMP_S,
            epoch_s,
            len(bounds),
            "intersection",
        )
    miss_s = (low_s - high_s) / 2
    middle_s = median(b.middle_s for b in bounds)
    farthest_s = max(abs(b.middle_s - middle_s) for b in bounds)
    if miss_s <= JITTER_S:
        return Estimate(
            (low_s + high_s) / 2,
            miss_s + STAMP_S + JITTER_S,
            epoch_s,
            len(bounds),
            "intersection",
            remarks=(f"the pairs miss each other by {2 * miss_s:.2f} s",),
        )
    return Estimate(
        middle_s,
        farthest_s + max(b.half_s for b in bounds),
        epoch_s,
        len(bounds),
        "median",
        remarks=(
            f"the pairs disagree by {2 * miss_s:.1f} s and none is in the majority: "
            "photograph the clock card again",
        ),
    )


def _line(bounds: Sequence[Bound]) -> Estimate | None:
    """Offset and drift over days; None where the stamps are too coarse to tell a drift.

    Far points are found by Huber's line, the rest fitted by least squares. The cut of the
    stamps averages out over pairs; an error of the reference may be common to all of them.
    """
    epoch_s = (bounds[0].at_s + bounds[-1].at_s) / 2
    x, y = [b.at_s - epoch_s for b in bounds], [b.middle_s for b in bounds]
    start, slope = huber(x, y)
    used = [
        b
        for b in bounds
        if abs(b.middle_s - start - slope * (b.at_s - epoch_s)) <= b.half_s + JITTER_S
    ]
    if len(used) < 2 or used[-1].at_s - used[0].at_s < DAY_APART_S:
        return None
    epoch_s = sum(b.at_s for b in used) / len(used)
    line = least_squares([b.at_s - epoch_s for b in used], [b.middle_s for b in used])
    cut_s = sqrt(sum(b.half_s**2 for b in used) / (3 * len(used)))
    spread_s = max(line.spread, cut_s)
    sxx = sum((b.at_s - epoch_s) ** 2 for b in used)
    drift_uncertainty_ppm = 2 * spread_s / sqrt(sxx) * 1e6
    if drift_uncertainty_ppm > TYPICAL_DRIFT_PPM:
        return None
    off = len(bounds) - len(used)
    remarks = (f"{_pairs(off)} lay off the drift of the others and did not count",) if off else ()
    return Estimate(
        line.intercept,
        2 * spread_s / sqrt(len(used)) + median(b.reference_half_s for b in used) + STAMP_S,
        epoch_s,
        len(used),
        "line",
        line.slope * 1e6,
        drift_uncertainty_ppm,
        remarks,
    )
