"""What is said of a cutting, from numbers: this frame, same moment, look, or not mine.

A false claim is worse than a miss, since it goes on an invoice. So a claim needs both many points
that agree and a frame in which nothing moved; whatever is doubtful is for a person to compare.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from setpiece.errors import WrongUse


class Verdict(StrEnum):
    """What is said of a cutting. None of them goes to the ledger without a person's yes."""

    THIS_FRAME = "this frame"
    SAME_MOMENT = "same moment, compare"
    LOOK = "look"
    NOT_MINE = "not mine"


@dataclass(frozen=True, slots=True)
class Thresholds:
    """Where one verdict ends and the next begins.

    `claim` and `look` are points that agree; the others are limits of the frame test (what moved
    in px where the overlap is 480 px long, correlation of the tiles, shares beyond). They were
    chosen on one half of the test's pictures and hold on the other; docs/cuttings.md has both.
    """

    claim: int = 12
    look: int = 6
    moved_px: float = 0.5
    most_moved_px: float = 1.0
    alike: float = 0.95
    least_alike: float = 0.9
    beyond: float = 0.004


STANDARD = Thresholds()


@dataclass(frozen=True, slots=True)
class FrameTest:
    """The numbers of the frame test (`pictures.sameness`), and whether the cutting is print."""

    moved_px: float
    most_moved_px: float
    alike: float
    least_alike: float
    beyond: float
    printed: bool = False


@dataclass(frozen=True, slots=True)
class Judged:
    """A verdict and its reasons in words."""

    verdict: Verdict
    why: tuple[str, ...]


def judged(score: int, test: FrameTest | None, limits: Thresholds = STANDARD) -> Judged:
    """The verdict on one picture of the archive, by how many points agree and the frame test."""
    points = f"{score} points agree"
    if score < limits.look:
        return Judged(Verdict.NOT_MINE, (points,))
    if score < limits.claim:
        return Judged(Verdict.LOOK, (points, f"{limits.claim} are needed"))
    doubts = doubts_of(test, limits)
    if doubts:
        return Judged(Verdict.SAME_MOMENT, (points, *doubts))
    return Judged(Verdict.THIS_FRAME, (points, "nothing moved between the two"))


def doubts_of(test: FrameTest | None, limits: Thresholds = STANDARD) -> tuple[str, ...]:
    """What keeps a cutting from being claimed as this very frame, in words; none: it is."""
    if test is None:
        return ("too little of it can be compared with the frame",)
    doubts = []
    if test.printed:
        doubts.append("it is print, too coarse to tell frames of one burst apart")
    if test.moved_px > limits.moved_px or test.most_moved_px > limits.most_moved_px:
        doubts.append(f"something moved, by up to {test.most_moved_px:.1f} px of 480")
    if test.alike < limits.alike or test.least_alike < limits.least_alike:
        doubts.append("parts of it look different: another frame, or text laid over it")
    if test.beyond > limits.beyond:
        doubts.append(f"{test.beyond * 100:.1f} % of it lies outside the frame")
    return tuple(doubts)


class State(StrEnum):
    """What a person said of a cutting."""

    OPEN = "open"
    CONFIRMED = "confirmed"
    REJECTED = "rejected"


_NEXT: dict[State, frozenset[State]] = {
    State.OPEN: frozenset({State.CONFIRMED, State.REJECTED}),
    State.REJECTED: frozenset({State.OPEN}),
    State.CONFIRMED: frozenset(),  # its use is in the ledger: reverse that entry there
}


def moved_on(state: State, to: State) -> State:
    """The state after a person's word. Raises WrongUse where it cannot follow."""
    if to in _NEXT[state]:
        return to
    advice = {
        State.CONFIRMED: "Its use is in the ledger: reverse that entry if it was wrong.",
        State.REJECTED: "Open it again first.",
        State.OPEN: "Confirm or reject it.",
    }
    raise WrongUse(f"this cutting is {state} already", next_step=advice[state])


@dataclass(frozen=True, slots=True)
class Publication:
    """Who published a cutting, where and when, as far as is known; `day` as 2027-03-07.

    `told_by` says how it is known: typed, or from the file.
    """

    outlet: str = ""
    day: str = ""
    title: str = ""
    placement: str = ""
    credit: str = ""
    told_by: str = ""

    def typed_over(self, **typed: str) -> Publication:
        """The same with what a person typed in its place; empty values change nothing."""
        given = {name: value for name, value in typed.items() if value}
        return replace(self, **given, told_by="typed") if given else self
