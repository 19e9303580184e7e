"""What a goal needs first: the order in which frames are taken in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import zip_longest

from setpiece.match.instants import Instant, Interval, instant
from setpiece.match.pinning import BURST_GAP_S, Taken, parted, proposed_pins

BEFORE_GOAL_S = 20.0
AFTER_GOAL_S = 60.0
"""The move that leads to a goal, and the celebration (common practice, no source)."""

KNOWN_WITHIN_S = 3.0
"""A goal whose time is known so well is shown by the frames nearest to it. Our choice."""

STRIKE_FIRST = 10
"""So many frames of the strike come before any of the celebration. Our choice."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """A file on a card that is still to be taken in.

    `at` is when it was made as far as is known, None when nothing is. `protected` is the
    camera's own mark for a select. `key` is whatever the caller knows it by, `camera` what tells
    one body from another.
    """

    key: str
    protected: bool = False
    at: Interval | None = None
    camera: str = ""


def around_goal(goal: Interval) -> Interval:
    """The time in which frames are of that goal: the move before, the celebration after."""
    return Interval(
        instant(goal.start - timedelta(seconds=BEFORE_GOAL_S)),
        instant(goal.end + timedelta(seconds=AFTER_GOAL_S)),
    )


def order(waiting: Sequence[Waiting], goals: Sequence[Interval] = ()) -> tuple[Waiting, ...]:
    """Protected first, then near the newest goal, then the newest first.

    Near the goal the strike comes first, then some frames of every burst after it. Of frames
    whose time is unknown the order given is kept; they come last.
    """
    ranks: dict[str, int] = {}
    if goals:
        goal = max(goals, key=lambda g: g.middle)
        near = around_goal(goal)
        ranks = _ranks([w for w in waiting if w.at is not None and w.at.meets(near)], goal)

    def urgency(item: Waiting) -> tuple[bool, float, float]:
        newest = -item.at.middle.timestamp() if item.at is not None else float("inf")
        return not item.protected, ranks.get(item.key, float("inf")), newest

    return tuple(sorted(waiting, key=urgency))


def _ranks(frames: Sequence[Waiting], goal: Interval) -> dict[str, int]:
    """The place of each of a goal's frames in the order, by its key."""
    taken = [Taken(w.key, w.at) for w in frames if w.at is not None]
    if not taken:
        return {}
    strike = _strike(goal, taken)
    camera = {w.key: w.camera for w in frames}

    def from_strike_s(frame: Taken) -> float:
        return (frame.at.middle - strike).total_seconds()

    lead = _from(strike, [t for t in taken if abs(from_strike_s(t)) <= BURST_GAP_S])
    after: dict[str, list[Taken]] = defaultdict(list)
    for frame in sorted(taken, key=lambda t: t.at.middle):
        if from_strike_s(frame) > BURST_GAP_S:
            after[camera[frame.frame_id]].append(frame)
    bursts = [burst for mine in after.values() for burst in parted(mine, BURST_GAP_S)]
    bursts.sort(key=lambda b: b[0].at.middle)
    rounds = zip_longest(*(_from(b[len(b) // 2].at.middle, b) for b in bursts))
    in_turn = [frame for several in rounds for frame in several if frame is not None]
    before = [t for t in taken if from_strike_s(t) < -BURST_GAP_S]
    ordered = [*lead[:STRIKE_FIRST], *in_turn, *lead[STRIKE_FIRST:], *_from(strike, before)]
    return {frame.frame_id: rank for rank, frame in enumerate(ordered)}


def _strike(goal: Interval, taken: Sequence[Taken]) -> Instant:
    """When the goal fell: as logged, or by the frames where the log leaves it open."""
    pins = proposed_pins(goal, taken) if goal.width_s > KNOWN_WITHIN_S else ()
    return next((t.at.middle for t in taken if t.frame_id in pins[:1]), goal.middle)


def _from(at: Instant, frames: Sequence[Taken]) -> list[Taken]:
    """The frames by their distance from an instant."""
    return sorted(frames, key=lambda t: abs((t.at.middle - at).total_seconds()))


def quick_pass(
    waiting: Sequence[Waiting],
    *,
    only_protected: bool = False,
    since: Instant | None = None,
    goal: Interval | None = None,
) -> tuple[Waiting, ...]:
    """What a first quick pass takes in: the frames that meet every condition given.

    A frame whose time is unknown meets neither `since` nor `goal`.
    """
    near = around_goal(goal) if goal else None
    return tuple(
        w
        for w in waiting
        if (w.protected or not only_protected)
        and (since is None or (w.at is not None and w.at.end >= since))
        and (near is None or (w.at is not None and w.at.meets(near)))
    )
