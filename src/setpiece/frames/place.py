"""Where in the match a frame was made: minute, score, who was on, and what is not sure."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import pi, sqrt
from typing import Protocol

from setpiece.errors import WrongUse
from setpiece.match.instants import Instant, Interval
from setpiece.match.people import Side
from setpiece.match.state import State


class Fold(Protocol):
    """What is asked of the fold over the match log."""

    def state_at(self, at: Instant) -> State:
        """The match at that instant."""

    def states_within(self, interval: Interval) -> Sequence[State]:
        """Every state the match may have been in during the interval, in order."""


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
    """The frame's place by the log; a doubt for each boundary within the uncertainty."""
    state = fold.state_at(at.middle)
    states = tuple(dict.fromkeys((*fold.states_within(at), state)))
    return Place(frame_id, at, state, states, _doubts(states))


def _doubts(states: Sequence[State]) -> tuple[str, ...]:
    """What differs between states that a frame may lie in, in words."""
    return tuple(
        say(values) for look, say in _BOUNDARIES if len(values := _distinct(states, look)) > 1
    )


def _distinct(states: Iterable[State], look: Callable[[State], object]) -> list[object]:
    return list(dict.fromkeys(look(s) for s in states))


def _or(values: Sequence[object]) -> str:
    return " or ".join(str(v) for v in values)


def _on_pitch(state: State) -> object:
    return tuple(frozenset(w.person for w in state.side(s).on_pitch) for s in Side)


def _worn(state: State) -> object:
    return tuple(
        frozenset((w.person, w.number) for w in state.side(s).on_pitch) for s in Side
    ), tuple(state.side(s).kit for s in Side)


_BOUNDARIES: tuple[tuple[Callable[[State], object], Callable[[Sequence[object]], str]], ...] = (
    (lambda s: s.phase.value, lambda v: f"a whistle lies within the uncertainty: {_or(v)}"),
    (
        lambda s: s.label,
        lambda v: f"minute {_or([x if x else 'none' for x in v])}",
    ),
    (lambda s: s.score, lambda v: f"a goal lies within the uncertainty: {_or(v)}"),
    (
        lambda s: s.shoot_out,
        lambda v: f"a shoot-out kick lies within the uncertainty: {_or(v)}",
    ),
    (_on_pitch, lambda v: "a substitution or dismissal lies within the uncertainty"),
)


def chance_of_wrong_minute(sigma_s: float) -> float:
    """The share of frames that get the wrong minute when times are off by `sigma_s` (1 sd).

    A frame lies evenly in its minute and its error is normal: the mean absolute error,
    sigma * sqrt(2 / pi), over 60 s. Good to a few seconds of sigma.
    """
    if sigma_s < 0:
        raise WrongUse("a spread is not negative", thing=f"{sigma_s} s")
    return min(1.0, sigma_s * sqrt(2 / pi) / 60)
