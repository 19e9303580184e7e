"""How a job speaks with whoever called it: it asks, reports progress, and can be stopped.

Screens answer: the terminal by prompts and a progress bar, the page by events, tests by canned
answers. A job never reads the clock; it asks `Caller.now`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from setpiece.errors import AskPhotographer, Stopped
from setpiece.match.instants import Instant


@dataclass(frozen=True, slots=True)
class Question:
    """Something only the photographer can decide. `choices` empty means a free answer.

    `secret` answers (passwords) are never shown or stored.
    """

    text: str
    choices: tuple[str, ...] = ()
    secret: bool = False


class Caller(Protocol):
    """Who called the job."""

    def now(self) -> Instant:
        """True time as the laptop knows it."""

    def ask(self, question: Question) -> str:
        """The photographer's answer. Raises AskPhotographer when nobody is there to ask."""

    def progress(self, done: int, total: int, what: str) -> None:
        """Tells how far the job is; `total` 0 means not known yet."""

    def stopped(self) -> bool:
        """Whether the photographer asked the job to stop."""


def go_on(caller: Caller, done: str) -> None:
    """Raises Stopped if the photographer asked to stop; `done` says what is already kept."""
    if caller.stopped():
        raise Stopped("stopped as you asked", thing=done, next_step="Run it again to go on.")


class Unattended:
    """A caller that asks nobody, shows nothing and runs to the end, at a given instant."""

    def __init__(self, at: Instant) -> None:
        self._at = at

    def now(self) -> Instant:
        """The instant it was made with."""
        return self._at

    def ask(self, question: Question) -> str:
        """Nobody is there: raises AskPhotographer with the question."""
        raise AskPhotographer(question.text, next_step="Answer it on the screen or by an option.")

    def progress(self, done: int, total: int, what: str) -> None:
        """Shows nothing."""

    def stopped(self) -> bool:
        """Never."""
        return False
