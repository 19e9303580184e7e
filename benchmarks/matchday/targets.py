"""What the day cost: waits, memory, open files, the time to the desks. Targets, not truths."""

from __future__ import annotations

import statistics
from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import datetime

from benchmarks.matchday.hand import Waited
from benchmarks.matchday.laptop import Life
from benchmarks.matchday.verdict import Outcome, Verdict
from setpiece.store.delivery import State

MEMORY_MB, MEMORY_GROWTH, HANDLES_MORE = 600.0, 1.15, 8
FEWEST_SAMPLES = 30


def memory(lives: Sequence[Life]) -> Iterator[Verdict]:
    """Whether the server's memory and open files stay what they were."""
    for number, life in enumerate(lives, 1):
        if len(life.at) < FEWEST_SAMPLES:
            continue
        (early_mb, early), (late_mb, late) = life.middles()
        peak = max(life.resident_mb)
        yield Verdict(
            f"server's life {number}: memory, second quarter to last (x {MEMORY_GROWTH})",
            f"{early_mb:.0f} to {late_mb:.0f} MB, most {peak:.0f} of {MEMORY_MB:.0f}",
            late_mb <= early_mb * MEMORY_GROWTH and peak <= MEMORY_MB, truth=False,
        )  # fmt: skip
        yield Verdict(
            f"server's life {number}: open files, the same (+ {HANDLES_MORE})",
            f"{early:.0f} to {late:.0f}, most {max(life.handles)}",
            late <= early + HANDLES_MORE, truth=False,
        )  # fmt: skip


TARGETS_S = {
    "line read": 0.05, "next frame shown": 0.1, "page opened": 2.0, "caption taken": 0.5,
    "caption shown": 0.5, "decision shown": 0.5, "opened frame shown": 0.5,
}  # fmt: skip
"""Ours: those of the page (docs/performance.md) where it has one, else half a second."""


def p95(times: Sequence[float]) -> float:
    """The 95th percentile of sorted values."""
    return times[round(0.95 * (len(times) - 1))]


def wait_lines(waits: Sequence[Waited]) -> Iterator[str]:
    """Every kind of wait: how often, p50, p95, the worst and what went on then."""
    kinds: dict[str, list[Waited]] = defaultdict(list)
    for one in waits:
        kinds[one.what].append(one)
    yield f"{'the operator waited for':34}{'n':>5}{'p50':>9}{'p95':>9}{'worst':>9}  while"
    for what, some in sorted(kinds.items()):
        times = sorted(w.seconds for w in some)
        worst = max(some, key=lambda w: w.seconds)
        aim = TARGETS_S.get(what)
        missed = f" (target {aim * 1000:.0f} ms, p95 MISSED)" if aim and p95(times) > aim else ""
        cause = worst.cause or "nothing else"
        figures = (statistics.median(times), p95(times), worst.seconds)
        shown = "".join(f"{s * 1000:6.0f} ms" for s in figures)
        yield f"{what:34}{len(times):5}{shown}  {cause}{missed}"


def delivery_lines(of: Outcome) -> Iterator[str]:
    """From the outbox to each desk, in seconds of the day."""
    title = "from the outbox to the desk, s of the day"
    yield f"{title:46}{'n':>5}{'p50':>9}{'p95':>9}{'worst':>9}"
    for desk in of.files:
        arrived = [d for d in of.matchday.outbox if d.desk == desk and d.state is State.DELIVERED]
        times = sorted(
            (datetime.fromisoformat(d.ended) - datetime.fromisoformat(d.queued)).total_seconds()
            for d in arrived
        )
        if times:
            middle = statistics.median(times)
            yield f"{desk:46}{len(times):5}{middle:9.0f}{p95(times):9.0f}{times[-1]:9.0f}"
