"""What a goal needs first: the order in which frames are taken in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from setpiece.match.instants import Instant, Interval, instant

BEFORE_GOAL_S = 20.0
AFTER_GOAL_S = 60.0
"""The move that leads to a goal, and the celebration (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """A file on a card that is still to be taken in.

    `at` is when it was made as far as is known, None when nothing is. `protected` is the
    camera's own mark for a select. `key` is whatever the caller knows it by.
    """

    key: str
    protected: bool = False
    at: Interval | None = None


def around_goal(goal: Interval) -> Interval:
    """The time in which frames are of that goal: the move before, the celebration after."""
    return Interval(
        instant(goal.start - timedelta(seconds=BEFORE_GOAL_S)),
        instant(goal.end + timedelta(seconds=AFTER_GOAL_S)),
    )


def order(waiting: Sequence[Waiting], goals: Sequence[Interval] = ()) -> tuple[Waiting, ...]:
    """Protected first, then near the newest goal, then the newest first.

    Of frames whose time is unknown the order given is kept; they come last.
    """
    near = around_goal(max(goals, key=lambda g: g.middle)) if goals else None

    def urgency(item: Waiting) -> tuple[bool, bool, float]:
        at = item.at
        of_goal = at is not None and near is not None and at.meets(near)
        newest = -at.middle.timestamp() if at is not None else float("inf")
        return not item.protected, not of_goal, newest

    return tuple(sorted(waiting, key=urgency))


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
