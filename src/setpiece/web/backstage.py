"""Long jobs behind the page: taking in and sending, with progress, a stop, and a plain end.

Each runs in a thread of its own at lower priority; one of a kind at a time. What they did is
in the workspace, so a server that dies loses nothing: the next run goes on.
"""

from __future__ import annotations

import contextlib
import logging
import os
import threading
from collections.abc import Callable, Sequence
from contextvars import copy_context
from dataclasses import dataclass
from pathlib import Path

from setpiece.errors import AskPhotographer, Busy, SetpieceError
from setpiece.match.instants import Instant
from setpiece.store.delivery import Urgency
from setpiece.store.matches import Match
from setpiece.store.news import Topic, newest_number, news_since
from setpiece.store.workspace import Workspace
from setpiece.web.apart import take_apart, unforeseen
from setpiece.web.batches import Batches
from setpiece.web.wire import Wire
from setpiece.web.wording import Wording
from setpiece.work.battery import Battery
from setpiece.work.desk.correct import send_corrections
from setpiece.work.desk.deliver import send_waiting
from setpiece.work.desk.goal import queue_goal
from setpiece.work.desk.goal_proposal import GoalProposal
from setpiece.work.desk.queueing import NotQueued, queue_set
from setpiece.work.desk.request import answer
from setpiece.work.job import Question

LOWER_BY = 10
"""How much nicer a job's thread is than the page's, where the system can."""

CLOSE_S = 5.0
"""So long a stopping server waits for its jobs to come to their next step."""

_MOST_NEWS = 2000
_MOST_MOVED = 3


@dataclass(frozen=True, slots=True)
class Ended:
    """When the last run of sending of a match ended, and the newest news that it saw."""

    at: Instant
    news: int


class Screen:
    """The page as the caller of a job: progress goes out on the wire, nobody is asked."""

    def __init__(self, now: Callable[[], Instant], tell: Callable[[int, int, str], None]) -> None:
        self._now = now
        self._tell = tell
        self._stop = threading.Event()

    def now(self) -> Instant:
        """The laptop's clock."""
        return self._now()

    def ask(self, question: Question) -> str:
        """Nobody can be asked behind the page: raises with the question."""
        raise AskPhotographer(
            question.text, next_step="Answer it once at the command line, then send again."
        )

    def progress(self, done: int, total: int, what: str) -> None:
        """Tells the page how far the job is."""
        self._tell(done, total, what)

    def stopped(self) -> bool:
        """Whether the page asked for a stop."""
        return self._stop.is_set()

    def stop(self) -> None:
        """Asks the job to stop at its next step."""
        self._stop.set()


class Backstage:
    """Starts the long jobs and tells the page what they do."""

    def __init__(
        self,
        space: Workspace,
        wire: Wire,
        now: Callable[[], Instant],
        words: Wording,
        battery: Battery,
    ) -> None:
        self.space = space
        self.wire = wire
        self.now = now
        self.words = words
        self.battery = battery
        self.batches = Batches(space)
        self.on_end: Callable[[], None] = lambda: None
        self._running: dict[tuple[str, int], Screen] = {}
        self._threads: set[threading.Thread] = set()
        self._ended: dict[int, Ended] = {}
        self._troubles: dict[int, str] = {}
        self._asked: set[int] = set()
        self._started = 0
        self._lock = threading.Lock()

    def send(self, of: Match, desks: Sequence[str], frames: Sequence[str] | None) -> str:
        """Queues frames (None: the set) for those desks and sends what waits.

        Gives the name of the batch, by which it is taken back.
        """

        def queued(screen: Screen) -> list[str]:
            report = queue_set(self.space, of, desks, screen, frames=frames)
            return self._left_out(report.left_out)

        return self._queue_batch(of, queued)

    def answer(self, of: Match, request: int, frames: Sequence[str]) -> str:
        """Queues the frames that answer a request, and sends; gives the batch's name."""

        def queued(screen: Screen) -> list[str]:
            return self._left_out(answer(self.space, of, request, frames, screen).left_out)

        return self._queue_batch(of, queued)

    def goal(self, of: Match, proposal: GoalProposal, desks: Sequence[str]) -> str:
        """Captions and queues the frames of a goal; the first goes while the rest is made.

        Gives the batch's name.
        """
        batch = self.batches.new(of)

        def job(screen: Screen) -> str:
            batch.stop = screen.stop
            with batch.noting(self.space):
                report = queue_goal(
                    self.space, of, proposal, desks, screen,
                    first=lambda: self.go_on(of, quietly=True),
                )  # fmt: skip
            self.go_on(of, quietly=True)
            return " ".join(self._left_out(report.left_out))

        with self._lock:
            self._start("queue", of, job)
        return batch.name

    def correct(self, of: Match, desks: Sequence[str]) -> str:
        """Writes captions anew whose facts changed, queues corrections, and sends.

        Gives the batch's name.
        """

        def queued(screen: Screen) -> list[str]:
            report = send_corrections(self.space, of, screen, desks=desks)
            said = [self.words.count("job.corrections", report.queued)]
            return [*said, *self._left_out(report.left_out)]

        return self._queue_batch(of, queued)

    def go_on(self, of: Match, *, quietly: bool = False) -> None:
        """Sends what waits; quietly, it tells only what arrived or was refused."""
        self._queue(of, lambda screen: [], quietly=quietly)

    def is_sending(self, of: Match) -> bool:
        """Whether a run of sending goes on for this match."""
        with self._lock:
            return ("send", of.id) in self._running

    def ended(self, of: Match) -> Ended | None:
        """How the last run of sending of this match ended; None before the first."""
        return self._ended.get(of.id)

    def least(self, of: Match) -> int:
        """The least urgent that goes now: with a low battery only what cannot wait goes by itself,
        and the rest when it is asked for."""
        if of.id in self._asked or not self.battery.is_low:
            return Urgency.ORDINARY
        return Urgency.FIRST

    def forget_ends(self) -> None:
        """What stood in the way may be gone: the next look tries again."""
        self._ended.clear()

    def _queue_batch(self, of: Match, queued: Callable[[Screen], list[str]]) -> str:
        batch = self.batches.new(of)

        def noted(screen: Screen) -> list[str]:
            batch.stop = screen.stop
            with batch.noting(self.space):
                return queued(screen)

        self._queue(of, noted)
        return batch.name

    def _queue(
        self,
        of: Match,
        queued: Callable[[Screen], list[str]],
        *,
        quietly: bool = False,
    ) -> None:
        """Queues and sends; while a run of sending goes on it takes what is queued itself."""

        def job(screen: Screen) -> str:
            said = queued(screen)
            return " ".join([*said, self._sent(of, screen, quietly=quietly)])

        with self._lock:
            if not quietly:
                self._asked.add(of.id)
            if ("send", of.id) not in self._running:
                self._start("send", of, self._once(of, job) if quietly else job, quietly=quietly)
            elif not quietly:
                self._start("queue", of, lambda screen: " ".join(queued(screen)))

    def _once(self, of: Match, job: Callable[[Screen], str]) -> Callable[[Screen], str]:
        """The job, which tells the same trouble of a match only once in a row."""

        def quiet(screen: Screen) -> str:
            try:
                said = job(screen)
            except SetpieceError as error:
                if self._troubles.get(of.id) == str(error):
                    return ""
                self._troubles[of.id] = str(error)
                raise
            self._troubles.pop(of.id, None)
            return said

        return quiet

    def take(self, of: Match, sources: Sequence[Path]) -> None:
        """Takes cards or folders in, looks at the new frames and fits the clocks."""

        def job(screen: Screen) -> str:
            taken = take_apart(self.space.folder, of, sources, screen)
            said = [self.words.count("job.taken", taken.copied)]
            if taken.known:
                said.append(self.words.count("job.known", taken.known))
            if taken.damaged:
                said.append(self.words.count("job.taken-damaged", taken.damaged))
            if taken.moved:
                handles = self.words.listed([m.handle for m in taken.moved[:_MOST_MOVED]])
                said.append(self.words.count("job.moved", len(taken.moved), which=handles))
            said += [f"{which}: {self.words.told(what)}." for which, what in taken.doubts]
            return " ".join(said)

        with self._lock:
            self._start("take", of, job)

    def stop(self) -> None:
        """Asks every running job to stop."""
        for screen in list(self._running.values()):
            screen.stop()

    def close(self) -> None:
        """Stops the jobs and waits a little for them; what they finished is kept."""
        self.stop()
        for thread in list(self._threads):
            thread.join(CLOSE_S)

    def _start(
        self, kind: str, of: Match, job: Callable[[Screen], str], *, quietly: bool = False
    ) -> None:
        """Starts a job; the lock is held. Sending and taking in go once a match at a time."""

        def tell(done: int, total: int, what: str) -> None:
            if done or not quietly:
                self.wire.progress(of.id, kind, done, total, self.words.told(what))

        if (kind, of.id) in self._running and kind != "queue":
            raise Busy(self.words("did.busy"), thing=self.words(f"job.{kind}"))
        self._started += 1
        key = (kind, of.id if kind != "queue" else -self._started)
        screen = self._running[key] = Screen(self.now, tell)
        context = copy_context()  # it speaks the language of whoever started it
        thread = threading.Thread(
            target=context.run,
            args=(self._run, key, of, screen, job),
            name=f"setpiece {kind}",
            daemon=True,
        )
        self._threads.add(thread)
        thread.start()

    def _run(
        self, key: tuple[str, int], of: Match, screen: Screen, job: Callable[[Screen], str]
    ) -> None:
        _be_nice()
        before = newest_number(self.space)
        said, tone = "", "wrong"
        try:
            said, tone = job(screen), ""
        except SetpieceError as error:
            said, tone = self.words.told(str(error)), "wrong"
        except Exception as error:
            logging.getLogger(__name__).exception(key[0])
            said, tone = self.words.told(str(unforeseen(error))), "wrong"
        finally:
            with self._lock:
                if key[0] == "send":
                    self._asked.discard(of.id)
                    self._ended[of.id] = Ended(self.now(), self._seen(before, said))
                del self._running[key]
                self._threads.discard(threading.current_thread())
        self.wire.said(of.id, key[0], said, tone)
        self.on_end()

    def _seen(self, before: int, said: str) -> int:
        """The newest news that a run which began at `before` has seen for certain.

        What came while it went on may have come after its last look. Its own is news of the
        outbox: a run that told nothing made no other, and must not be its own reason to run again.
        """
        meanwhile = news_since(self.space, before, most=_MOST_NEWS)
        if said or any(n.topic is not Topic.OUTBOX for n in meanwhile):
            return before
        return max((n.number for n in meanwhile), default=before)

    def _sent(self, of: Match, screen: Screen, *, quietly: bool) -> str:
        report = send_waiting(self.space, of, screen, until_done=True, least=lambda: self.least(of))
        if quietly and not report.delivered and not report.refused:
            return ""
        none = self.words("job.sent-none")
        said = [self.words.count("job.sent", report.delivered) if report.delivered else none]
        if report.refused:
            said.append(self.words.count("job.refused", report.refused))
        if report.waiting:
            said.append(self.words.count("job.waiting", report.waiting))
        return " ".join([*said, *map(self.words.told, report.troubles[:2])])

    def _left_out(self, left_out: Sequence[NotQueued]) -> list[str]:
        told = dict.fromkeys(
            f"{n.frame}, {'; '.join(map(self.words.told, n.why))}" for n in left_out
        )
        return [self.words("job.left-out", what=t) for t in list(told)[:2]]


def _be_nice() -> None:
    """Lets the page go first. Threads have a priority of their own on Linux only."""
    if hasattr(os, "setpriority") and os.uname().sysname == "Linux":
        with contextlib.suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), LOWER_BY)
