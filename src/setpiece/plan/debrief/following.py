"""What followed each entry of the log: the first frame after it, the delay, or *missed*."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from types import MappingProxyType

from setpiece.match.entries import Kind
from setpiece.plan.debrief.facts import EntryFact, FrameFact

REACH_S = MappingProxyType(
    {
        Kind.KICK_OFF: 60.0,
        Kind.PERIOD_END: 60.0,
        Kind.GOAL: 30.0,
        Kind.PENALTY_AWARDED: 30.0,
        Kind.PENALTY_TAKEN: 15.0,
        Kind.PENALTY_SAVED: 15.0,
        Kind.PENALTY_MISSED: 15.0,
        Kind.SHOOT_OUT_KICK: 15.0,
        Kind.YELLOW: 30.0,
        Kind.SECOND_YELLOW: 30.0,
        Kind.RED: 30.0,
        Kind.SUBSTITUTION: 60.0,
        Kind.INJURY: 60.0,
        Kind.ABANDONED: 60.0,
    }
)
"""How long after each kind of entry a frame still shows it. Ours; other kinds want no picture."""

SURE_S = 2.0
"""An entry known within so many seconds has a delay; one known less well has a range."""


@dataclass(frozen=True, slots=True)
class Followed:
    """An entry and what was photographed of it.

    `frame` is the handle of the first frame after it, empty where there is none within the
    reach. The delay lies between `least_s` and `most_s`; `frames` were made in its reach.
    """

    entry: EntryFact
    frame: str
    least_s: float
    most_s: float
    frames: int

    @property
    def missed(self) -> bool:
        """Whether no frame shows it."""
        return not self.frames


def follow(entries: Iterable[EntryFact], frames: Sequence[FrameFact]) -> tuple[Followed, ...]:
    """Every entry that wants a picture, in order of time, with what was got of it."""
    in_order = sorted((f for f in frames if not f.damaged), key=lambda f: f.at)
    wanted = [e for e in entries if e.kind in REACH_S and not _begins_again(e)]
    return tuple(_follow(e, in_order) for e in sorted(wanted, key=lambda e: e.at.end))


def _begins_again(entry: EntryFact) -> bool:
    """A second half begins without a picture that anybody waits for."""
    return entry.kind is Kind.KICK_OFF and entry.period != 1


def _follow(entry: EntryFact, frames: Sequence[FrameFact]) -> Followed:
    until = entry.at.end + timedelta(seconds=REACH_S[entry.kind])
    # An entry that a frame pins happened just before it: half a second belongs to the frame.
    since = entry.at.start - timedelta(seconds=0.5)
    within = [f for f in frames if since <= f.at <= until]
    if not within:
        return Followed(entry, "", 0.0, 0.0, 0)
    first = within[0]
    least_s = max(0.0, (first.at - entry.at.end).total_seconds())
    most_s = max(0.0, (first.at - entry.at.start).total_seconds())
    return Followed(entry, first.handle, least_s, most_s, len(within))
