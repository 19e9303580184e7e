"""Which frame pins an entry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from setpiece.match.entries import Kind
from setpiece.match.instants import Interval
from setpiece.match.pinning import Taken, pinned, proposed_pins

if TYPE_CHECKING:
    from conftest import Match


def frames(tie: Match, *bursts: tuple[float, int]) -> list[Taken]:
    """Bursts at ten frames a second: when each begins, and how many frames it has."""
    return [
        Taken(f"{begin:.0f}-{n}", Interval.around(tie.at(begin + n / 10), 0.3))
        for begin, count in bursts
        for n in range(count)
    ]


def test_the_strike_then_the_celebrations(tie: Match) -> None:
    """Of the last scene before the typing: end of its first burst, then each later burst."""
    taken = frames(tie, (400, 5), (560, 8), (566, 12), (575, 4))
    when = Interval(tie.at(420), tie.at(600))
    assert proposed_pins(when, taken) == ("560-7", "566-0", "575-0")


def test_one_burst_and_none(tie: Match) -> None:
    """A single burst proposes its end; no frame in the interval proposes nothing."""
    when = Interval(tie.at(420), tie.at(600))
    assert proposed_pins(when, frames(tie, (560, 3))) == ("560-2",)
    assert proposed_pins(when, frames(tie, (700, 3))) == ()
    assert proposed_pins(when, []) == ()


def test_an_accepted_proposal_pins(tie: Match) -> None:
    """Once accepted, the entry happened when the frame was made, and the frame pins it."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    goal = tie.log(Kind.GOAL, 600, person="home 9")
    taken = frames(tie, (560, 3))
    (proposal,) = proposed_pins(tie.fold().when(goal), taken)
    frame = next(f for f in taken if f.frame_id == proposal)
    tie.entries[-1] = pinned(goal, frame)
    fold = tie.fold()
    assert fold.pins(proposal) == goal.id
    assert fold.when(goal) == frame.at
    assert str(fold.score_made_by(goal.id)) == "1–0"
    assert str(fold.state_at(frame.at.start).score) == "0–0"
