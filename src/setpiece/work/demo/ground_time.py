"""The demo's own now: the match was played just before, whatever the calendar says."""

from __future__ import annotations

from datetime import timedelta

from setpiece.match.instants import Instant, instant
from setpiece.work.demo.scenario import ENDS
from setpiece.work.job import Caller, Question

AFTER_FULL_TIME_S = 240.0


class AtTheGround:
    """The caller of a job with its clock set to some minutes after the demo's full time."""

    def __init__(self, caller: Caller) -> None:
        self._caller = caller
        start = ENDS[2] + timedelta(seconds=AFTER_FULL_TIME_S)
        self._ahead = start - caller.now()

    def now(self) -> Instant:
        """Now, as at the ground; it runs on like any clock."""
        return instant(self._caller.now() + self._ahead)

    def ask(self, question: Question) -> str:
        """Passes the question on."""
        return self._caller.ask(question)

    def progress(self, done: int, total: int, what: str) -> None:
        """Passes the progress on."""
        self._caller.progress(done, total, what)

    def stopped(self) -> bool:
        """Whether the photographer asked to stop."""
        return self._caller.stopped()
