"""From what happened to the desk: the parts of the way, and their middle values."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from setpiece.match.instants import Instant
from setpiece.plan.debrief.facts import DeliveryFact, Step


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the way. `steps` are several where what lies between them is not known."""

    steps: tuple[Step, ...]
    seconds: float

    @property
    def words(self) -> str:
        """`shot to card`; `shot to captioned` where parts run together."""
        first = self.steps[0].value.split(" to ")[0]
        return f"{first} to {self.steps[-1].value.split(' to ')[-1]}"


@dataclass(frozen=True, slots=True)
class Way:
    """One delivery with its parts in order; `total_s` is from the event, else from the shot."""

    delivery: DeliveryFact
    parts: tuple[Part, ...]

    @property
    def total_s(self) -> float:
        """The whole way."""
        return sum(p.seconds for p in self.parts)

    @property
    def slowest(self) -> Part:
        """The part that took longest, of those after the shutter."""
        after = [p for p in self.parts if p.steps != (Step.SHOT,)] or list(self.parts)
        return max(after, key=lambda p: p.seconds)


def way(delivery: DeliveryFact) -> Way:
    """The parts of a delivery's way.

    A step whose time is not known, or lies before the one before it (a frame chosen on the
    camera, a caption written before the choice), runs together with the next.
    """
    begin = delivery.event if delivery.event is not None else delivery.shot
    marks: list[tuple[Step, Instant | None]] = [
        (Step.SHOT, delivery.shot if delivery.event is not None else None),
        (Step.CARD, delivery.card),
        (Step.CHOSEN, delivery.chosen),
        (Step.CAPTIONED, delivery.captioned),
        (Step.SENT, delivery.sent),
    ]
    if delivery.event is None:
        marks = marks[1:]
    parts: list[Part] = []
    waiting: list[Step] = []
    last = begin
    for step, at in marks:
        waiting.append(step)
        if at is None or (at < last and step is not Step.SENT):
            if step is Step.SHOT:  # the frame pins what it shows: it was made at that very moment
                parts.append(Part((step,), 0.0))
                waiting = []
            continue
        parts.append(Part(tuple(waiting), max(0.0, (at - last).total_seconds())))
        waiting, last = [], max(at, last)
    return Way(delivery, tuple(parts))


@dataclass(frozen=True, slots=True)
class DeskTimes:
    """Every way; for each goal or other entry the one that was first; middle values by part.

    `medians` hold the parts that at least a third of the ways have, in their order.
    """

    ways: tuple[Way, ...]
    first: Mapping[int, Way]
    medians: Mapping[str, float]
    median_s: float | None


def desk_times(deliveries: Iterable[DeliveryFact]) -> DeskTimes:
    """The way of every delivery, in the order the desks got them."""
    ways = tuple(way(d) for d in sorted(deliveries, key=lambda d: (d.sent, d.desk)))
    first: dict[int, Way] = {}
    for one in ways:
        if one.delivery.entry is not None:
            first.setdefault(one.delivery.entry, one)
    parts: dict[str, list[float]] = {}
    order: dict[str, int] = {}
    for one in ways:
        for part in one.parts:
            parts.setdefault(part.words, []).append(part.seconds)
            order[part.words] = list(Step).index(part.steps[-1])
    return DeskTimes(
        ways,
        first,
        {
            name: median(values)
            for name, values in sorted(parts.items(), key=lambda item: order[item[0]])
            if len(values) * 3 >= len(ways)
        },
        median_to_desk_s([one.delivery for one in ways]),
    )


def median_to_desk_s(deliveries: Sequence[DeliveryFact]) -> float | None:
    """The middle time from shot to desk, None where nothing was delivered."""
    taken = [(d.sent - d.shot).total_seconds() for d in deliveries]
    return median(taken) if taken else None


def first_of_each(deliveries: Iterable[DeliveryFact]) -> tuple[float, ...]:
    """Seconds from each entry to the first picture of it at a desk."""
    return tuple(one.total_s for one in desk_times(deliveries).first.values())


def duration(seconds: float) -> str:
    """`0.4 s`, `38 s`, `4 min 10 s`, `1 h 38 min`."""
    if seconds < 10:
        return f"{seconds:.1f} s" if seconds % 1 >= 0.05 else f"{seconds:.0f} s"
    whole = round(seconds)
    minutes, rest = divmod(whole, 60)
    if not minutes:
        return f"{rest} s"
    if minutes < 60:
        return f"{minutes} min {rest:02d} s" if rest else f"{minutes} min"
    hours, minutes = divmod(minutes, 60)
    return f"{hours} h {minutes:02d} min"
