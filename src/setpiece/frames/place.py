"""Where in the match a frame was made: minute, score, who was on, and what is not sure."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import pi, sqrt
from typing import Protocol

from setpiece.errors import WrongUse
from setpiece.match.entries import EntryId
from setpiece.match.instants import Instant, Interval
from setpiece.match.people import Side
from setpiece.match.state import State


class Fold(Protocol):
    """What is asked of the fold over the match log."""

    def state_at(self, at: Instant, /) -> State:
        """The match at that instant."""

    def states_within(self, interval: Interval, /) -> Sequence[State]:
        """Every different state the match may have been in during the interval."""

    def pins(self, frame_id: str, /) -> EntryId | None:
        """The entry that the frame is the picture of, None when it is of none."""


@dataclass(frozen=True, slots=True)
class Place:
    """A frame's place in the match.

    `state` is the state at the middle of `at`; `states` are all that the uncertainty leaves
    open. `doubts` name, in words, what differs between them; empty when the place is sure.
    """

    frame_id: str
    at: Interval
    state: State
    states: tuple[State, ...]
    doubts: tuple[str, ...] = ()

    @property
    def sure(self) -> bool:
        """Whether minute, score and players are the same all through the uncertainty."""
        return not self.doubts


def place(frame_id: str, at: Interval, fold: Fold) -> Place:
    """The frame's place by the log; a doubt for each boundary within the uncertainty.

    A frame that pins an entry shows the very moment: that its score or its players change just
    then is no doubt.
    """
    state = fold.state_at(at.middle)
    states = tuple(fold.states_within(at)) or (state,)
    looks = _BOUNDARIES[:2] if fold.pins(frame_id) is not None else _BOUNDARIES
    differing = ((say, tuple(dict.fromkeys(look(s) for s in states))) for look, say in looks)
    doubts = tuple(say(values) for say, values in differing if len(values) > 1)
    return Place(frame_id, at, state, states, doubts)


def _or(values: Sequence[object]) -> str:
    return " or ".join("none" if v is None else str(v) for v in values)


def _on_pitch(state: State) -> object:
    return tuple(frozenset(w.person for w in state.side(s).on_pitch) for s in Side)


_BOUNDARIES: tuple[tuple[Callable[[State], object], Callable[[Sequence[object]], str]], ...] = (
    (lambda s: s.phase.value, lambda v: f"a whistle lies within the uncertainty: {_or(v)}"),
    (lambda s: s.label, lambda v: f"the minute is not sure: {_or(v)}"),
    (lambda s: s.score, lambda v: f"a goal lies within the uncertainty: {_or(v)}"),
    (lambda s: s.shoot_out, lambda v: f"a kick lies within the uncertainty: {_or(v)}"),
    (_on_pitch, lambda v: "a substitution or a dismissal lies within the uncertainty"),
)
"""What is looked at in a state, and what is said when it differs; the first two are the clock's."""


def chance_of_wrong_minute(sigma_s: float) -> float:
    """The share of frames that get the wrong minute when times are off by `sigma_s` (1 sd).

    A frame lies evenly in its minute and its error is normal: the mean absolute error,
    sigma * sqrt(2 / pi), over 60 s. Good to a few seconds of sigma.
    """
    if sigma_s < 0:
        raise WrongUse("a spread is not negative", thing=f"{sigma_s} s")
    return min(1.0, sigma_s * sqrt(2 / pi) / 60)
