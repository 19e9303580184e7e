"""The demo's own now: the match is worked as it was played, whatever the calendar says."""

from __future__ import annotations

from datetime import timedelta

from setpiece.match.instants import Instant, instant
from setpiece.work.demo.scenario import ENDS
from setpiece.work.job import Caller, Question

AFTER_FULL_TIME_S = 240.0


class AtTheGround:
    """The caller of a job with a clock that is set by the demo, and runs on like any clock.

    It begins some minutes after the demo's full time.
    """

    def __init__(self, caller: Caller) -> None:
        self._caller = caller
        self._ahead = timedelta()
        self.move_to(instant(ENDS[2] + timedelta(seconds=AFTER_FULL_TIME_S)))

    def move_to(self, at: Instant) -> None:
        """Sets the clock to that instant."""
        self._ahead = at - self._caller.now()

    def wait_until(self, at: Instant) -> None:
        """Lets time pass until then; on a slow machine it may be later already."""
        if at > self.now():
            self.move_to(at)

    def move_on(self, seconds: float) -> None:
        """Lets so much time pass."""
        self._ahead += timedelta(seconds=seconds)

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
