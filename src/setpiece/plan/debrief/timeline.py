"""Frames per minute by camera, period by period, and the log along the same axis."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from setpiece.plan.debrief.facts import FrameFact


@dataclass(frozen=True, slots=True)
class Minute:
    """The frames of one minute of a period, by camera. `number` counts from 0 in the period."""

    number: int
    frames: Mapping[str, int]

    @property
    def total(self) -> int:
        """Frames of all cameras."""
        return sum(self.frames.values())


@dataclass(frozen=True, slots=True)
class Stretch:
    """One period: how long it was played, and every minute of it, empty ones too."""

    period: int
    length_s: float
    minutes: tuple[Minute, ...]


@dataclass(frozen=True, slots=True)
class Timeline:
    """The whole match. `outside` counts frames before, between and after the periods."""

    cameras: tuple[str, ...]
    stretches: tuple[Stretch, ...]
    outside: int

    @property
    def most(self) -> int:
        """Frames of the busiest minute."""
        return max((m.total for s in self.stretches for m in s.minutes), default=0)

    def busiest(self) -> tuple[int, Minute] | None:
        """The minute with the most frames, and its period."""
        every = [(s.period, m) for s in self.stretches for m in s.minutes if m.total]
        return max(every, key=lambda pair: pair[1].total, default=None)

    def longest_gap(self) -> tuple[int, int, int]:
        """The longest run of minutes without a frame: period, first minute, how many."""
        found = (0, 0, 0)
        for stretch in self.stretches:
            run = 0
            for minute in stretch.minutes:
                run = 0 if minute.total else run + 1
                if run > found[2]:
                    found = (stretch.period, minute.number - run + 1, run)
        return found


def printed_minute(period: int, number: int) -> str:
    """A minute that counts from 0 in its period, as it is printed: `1'`, `45+2'`."""
    before = {1: 0, 2: 45, 3: 90, 4: 105}.get(period, 0)
    regular = 45 if period <= 2 else 15
    if number >= regular:
        return f"{before + regular}+{number - regular + 1}'"
    return f"{before + number + 1}'"


def timeline(frames: Sequence[FrameFact], lengths_s: Mapping[int, float]) -> Timeline:
    """The frames of each camera, minute by minute of every period that was played."""
    counts: dict[tuple[int, int], Counter[str]] = {}
    outside = 0
    for frame in frames:
        if frame.period is None or frame.elapsed_s is None or frame.period not in lengths_s:
            outside += 1
            continue
        minute = int(frame.elapsed_s // 60)
        counts.setdefault((frame.period, minute), Counter())[frame.camera] += 1
    stretches = []
    for period, length_s in sorted(lengths_s.items()):
        last = max([int(length_s // 60), *(m for p, m in counts if p == period)])
        minutes = tuple(Minute(n, dict(counts.get((period, n), {}))) for n in range(last + 1))
        stretches.append(Stretch(period, length_s, minutes))
    cameras = tuple(sorted({f.camera for f in frames}))
    return Timeline(cameras, tuple(stretches), outside)
