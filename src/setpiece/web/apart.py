"""Takes cards in, in a process of its own: decoding hundreds of frames never holds up the page.

The process goes behind the page where the system has priorities, tells over a pipe how far it is,
stops when it is asked to, and ends when the server is gone, however that went. Whatever it copied
is in the workspace at once, as when the command takes a card in.
"""

from __future__ import annotations

import contextlib
import ctypes
import logging
import multiprocessing
import os
import signal
import sys
import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from multiprocessing.connection import Connection
from pathlib import Path

from setpiece.errors import AskPhotographer, SetpieceError
from setpiece.match.instants import Instant, instant
from setpiece.store.matches import Match, matches
from setpiece.store.workspace import Workspace
from setpiece.work.clocks.refit import Moved, refit
from setpiece.work.intake.take import take_in
from setpiece.work.job import Caller, Question

LOWER_BY = 19
"""How much nicer the process is than the server, where the system counts so."""

LOOK_EVERY_S = 0.2
"""So often it is seen whether the page asks for a stop."""

LEFT_ALONE_S = 10.0
"""So long a process whose server is gone may take to its next step."""

_BELOW_NORMAL = 0x4000  # Windows: BELOW_NORMAL_PRIORITY_CLASS


@dataclass(frozen=True, slots=True)
class Taken:
    """What came of it: files copied and known, frames damaged, doubts as which frames and what,
    and captioned frames that stand elsewhere in the match since the clocks were fitted."""

    copied: int
    known: int
    damaged: int
    doubts: tuple[tuple[str, str], ...]
    moved: tuple[Moved, ...]


@dataclass(frozen=True, slots=True)
class _Wrong:
    """An error on its way between two processes."""

    what: str
    thing: str
    next_step: str


_Told = Taken | _Wrong | tuple[int, int, str]


def take_apart(folder: Path, of: Match, sources: Sequence[Path], caller: Caller) -> Taken:
    """Takes in, and fits the clocks of a match of the workspace in `folder`.

    Raises what the job raises, as SetpieceError with its words, also where the process ended
    before its time.
    """
    spawn = multiprocessing.get_context("spawn")
    ours, theirs = spawn.Pipe()
    process = spawn.Process(
        target=_work, args=(theirs, folder, of.id, tuple(sources), caller.now()), daemon=True
    )
    process.start()
    theirs.close()
    try:
        return _followed(ours, caller)
    finally:
        ours.close()
        process.join()


def _followed(process: Connection, caller: Caller) -> Taken:
    asked = False
    while True:
        try:
            if caller.stopped() and not asked:
                asked = True
                process.send("stop")
            if not process.poll(LOOK_EVERY_S):
                continue
            told: _Told = process.recv()
        except (EOFError, OSError) as error:
            raise SetpieceError(
                "taking in ended before it was done",
                next_step="Take the card in again: what was copied is kept.",
            ) from error
        if isinstance(told, _Wrong):
            raise SetpieceError(told.what, thing=told.thing, next_step=told.next_step)
        if isinstance(told, Taken):
            return told
        caller.progress(*told)


class _Behind:
    """The caller in the process: what it is told goes over the pipe, a stop comes from there."""

    def __init__(self, server: Connection, began: Instant) -> None:
        self._server = server
        self._began = began
        self._started = time.monotonic()
        self._stop = threading.Event()
        threading.Thread(target=self._listen, name="stop", daemon=True).start()

    def now(self) -> Instant:
        """The server's clock when it began, and what went by since."""
        return instant(self._began + timedelta(seconds=time.monotonic() - self._started))

    def ask(self, question: Question) -> str:
        """Nobody can be asked behind the page: raises with the question."""
        raise AskPhotographer(question.text, next_step="Answer it once at the command line.")

    def progress(self, done: int, total: int, what: str) -> None:
        """Tells the server."""
        self._server.send((done, total, what))

    def stopped(self) -> bool:
        """Whether the page asked for a stop, or the server is gone."""
        return self._stop.is_set()

    def _listen(self) -> None:
        try:
            self._server.recv()
            self._stop.set()
            self._server.recv()  # until the other end closes
        except (EOFError, OSError):
            self._stop.set()
            time.sleep(LEFT_ALONE_S)
            os._exit(1)


def _work(
    server: Connection, folder: Path, match_id: int, sources: tuple[Path, ...], began: Instant
) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the server, which asks for a stop
    _be_nice()
    caller = _Behind(server, began)
    answer: Taken | _Wrong
    try:
        answer = _taken(folder, match_id, sources, caller)
    except SetpieceError as error:
        answer = _wrong(error)
    except ConnectionError:
        return  # the server is gone, and nobody is there to be told
    except Exception as error:
        logging.getLogger(__name__).exception("taking in")
        answer = _wrong(unforeseen(error))
    with contextlib.suppress(OSError):  # the same
        server.send(answer)


def _wrong(error: SetpieceError) -> _Wrong:
    return _Wrong(error.what, error.thing, error.next_step)


def unforeseen(error: Exception) -> SetpieceError:
    """What is said of an error that is a slip in the program."""
    return SetpieceError(
        f"the program met something it does not know ({type(error).__name__})",
        next_step="What was finished is kept; start it again.",
    )


def _taken(folder: Path, match_id: int, sources: tuple[Path, ...], caller: Caller) -> Taken:
    space = Workspace.open(folder)
    try:
        of = next(m for m in matches(space) if m.id == match_id)
        report = take_in(space, of, sources, caller)
        moved = refit(space, of, caller).moved
        doubts = tuple((d.path, d.what) for d in report.doubts)
        return Taken(report.copied, report.known, len(report.damaged), doubts, moved)
    finally:
        space.close()


def _be_nice() -> None:
    """Lets the page go first."""
    if sys.platform == "win32":
        kernel = ctypes.windll.kernel32
        kernel.SetPriorityClass(kernel.GetCurrentProcess(), _BELOW_NORMAL)
    else:
        os.nice(LOWER_BY)
