"""The order by worth against first in, first out: one half of a match, simulated.

Thirty pictures wait at kick-off, play and cards follow, a goal falls after 16 minutes and 24 s and
its three pictures are queued 66 s later. The link is a plain one of 0.5, 2 or 10 Mbit/s with a
third of a second for the round trips of each picture. Nothing is random but the sizes and times
drawn once with a fixed start; the rule is the program's own (setpiece.work.desk.worth).

Run: python benchmarks/outbox_order.py
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from setpiece.store.delivery import Urgency
from setpiece.work.desk.link import Patience
from setpiece.work.desk.pace import Pace
from setpiece.work.desk.worth import OF_AN_EVENT, Offer, in_order, worth

HALF_TIME_S = 45 * 60.0
GOAL_S = 16 * 60 + 24.0
GOAL_QUEUED_S = GOAL_S + 66.0
BESIDE_S = 0.33


@dataclass
class Picture:
    """A picture in the simulated outbox."""

    key: int
    queued_s: float
    happened_s: float
    weight: float
    urgency: Urgency
    bytes_left: float
    arrived_s: float | None = None


Choose = Callable[[Sequence[Picture], float, Pace], Picture]


def half() -> list[Picture]:
    """The pictures of the half, in the order in which they are queued."""
    dice = random.Random(17)
    made: list[tuple[float, float, float, Urgency]] = [
        (0.0, -60.0 * (n + 1), 1.0, Urgency.ORDINARY) for n in range(30)
    ]
    at_s = 90.0
    while at_s < HALF_TIME_S - 120:
        event = OF_AN_EVENT if dice.random() < 0.2 else 1.0
        made += [(at_s + 60, at_s, event, Urgency.ORDINARY) for _ in range(dice.randint(1, 3))]
        at_s += dice.uniform(40, 120)
    made += [(GOAL_QUEUED_S, GOAL_S, OF_AN_EVENT, Urgency.FIRST)] * 3
    made.sort(key=lambda m: m[0])
    return [
        Picture(n, queued, happened, weight, urgency, dice.uniform(0.7e6, 2.8e6))
        for n, (queued, happened, weight, urgency) in enumerate(made)
    ]


def first_come(waiting: Sequence[Picture], _now_s: float, _pace: Pace) -> Picture:
    """First in, first out."""
    return min(waiting, key=lambda p: (p.queued_s, p.key))


def by_worth(waiting: Sequence[Picture], now_s: float, pace: Pace) -> Picture:
    """The program's rule."""
    offers = [
        Offer(p.key, p.urgency, p.weight, now_s - p.happened_s, pace.seconds(int(p.bytes_left)))
        for p in waiting
    ]
    first = in_order(offers)[0].key
    return next(p for p in waiting if p.key == first)


def run(choose: Choose, mbit_s: float, *, set_aside: bool) -> list[Picture]:
    """Sends the half over such a link; pictures know when they arrived."""
    pictures, pace = half(), Pace(mbit_s * 1e6 / 8, BESIDE_S)
    now_s = 0.0
    while any(p.arrived_s is None for p in pictures):
        waiting = [p for p in pictures if p.arrived_s is None and p.queued_s <= now_s]
        if not waiting:
            now_s = min(p.queued_s for p in pictures if p.arrived_s is None)
            continue
        going = choose(waiting, now_s, pace)
        ends_s = now_s + pace.seconds(int(going.bytes_left))
        comes = GOAL_QUEUED_S
        late = set_aside and going.urgency > Urgency.FIRST and now_s < comes < ends_s
        if late and ends_s - comes > Patience().aside_s:
            moved_s = max(0.0, comes - now_s - BESIDE_S)
            going.bytes_left = max(0.0, going.bytes_left - moved_s * pace.bytes_s)
            now_s = comes
            continue
        going.arrived_s = now_s = ends_s
    return pictures


def total(pictures: Sequence[Picture]) -> float:
    """What everything that arrived by half-time was worth when it arrived."""
    return sum(
        worth(p.weight, p.arrived_s - p.happened_s)
        for p in pictures
        if p.arrived_s is not None and p.arrived_s <= HALF_TIME_S
    )


def goal_s(pictures: Sequence[Picture]) -> tuple[float, float]:
    """Seconds from the goal until its first and its last picture had arrived."""
    times = [p.arrived_s or 0.0 for p in pictures if p.urgency is Urgency.FIRST]
    return min(times) - GOAL_S, max(times) - GOAL_S


def table() -> list[str]:
    """The lines of the table in docs/outbox.md."""
    lines = [
        "| link | order | goal: first picture | all three | worth by half-time |",
        "| --- | --- | --- | --- | --- |",
    ]
    for mbit_s in (0.5, 2.0, 10.0):
        plain = run(first_come, mbit_s, set_aside=False)
        ours = run(by_worth, mbit_s, set_aside=True)
        for name, pictures in (("first in, first out", plain), ("by worth", ours)):
            first, last = goal_s(pictures)
            gain = f" ({total(pictures) / total(plain):.2f} times)" if pictures is ours else ""
            lines.append(
                f"| {mbit_s:g} Mbit/s | {name} | {first:.0f} s | {last:.0f} s "
                f"| {total(pictures):.1f}{gain} |"
            )
    return lines


if __name__ == "__main__":
    print("\n".join(table()))
