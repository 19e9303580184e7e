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

    `claim` and `look` are points that agree. The others are limits of the frame test: the most
    that may have changed anywhere (pixels moved times correlation lost), the correlation of the
    half of it that agrees least, what may reach beyond the frame, and how much of the frame must
    be seen, in shares. They were chosen on one half of the test's pictures and are reported on
    the other: docs/cuttings.md.
    """

    claim: int = 12
    look: int = 6
    changed: float = 0.03
    alike: float = 0.95
    beyond: float = 0.004
    shown: float = 0.3


STANDARD = Thresholds()


@dataclass(frozen=True, slots=True)
class FrameTest:
    """The numbers of the frame test (`pictures.sameness`).

    `softened` tells that the cutting was recognised only when softened, as print is.
    """

    changed: float
    alike: float
    beyond: float
    shown: float
    softened: bool = False


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
    if test.softened:
        doubts.append("it is coarse like print: frames of one burst cannot be told apart")
    elif test.alike < limits.alike:
        doubts.append("it is too coarse to tell frames of one burst apart")
    elif test.changed > limits.changed:
        doubts.append("something in it changed: another frame, or text laid over it")
    if test.shown < limits.shown:
        doubts.append(f"only {test.shown:.0%} of the frame is seen")
    if test.beyond > limits.beyond:
        doubts.append(f"{test.beyond:.1%} of it lies outside the frame")
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
