"""Carrying files off cards: each card is read in a thread of its own, in the order given.

A file is read, written under a temporary name, flushed and read back here. While one waits for
the disk the next is read already. It gets its name and its place in the workspace elsewhere
(`shelving`), in the thread of the run.
"""

from __future__ import annotations

import contextlib
from collections import defaultdict, deque
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from queue import Empty, Full, Queue
from threading import Event, Lock, Thread

from setpiece.errors import BadFile, TryAgain
from setpiece.frames.identity import FileFacts
from setpiece.pictures.metadata import CameraMetadata
from setpiece.pictures.segments import read_header
from setpiece.store.copying import (
    KEPT_BYTES,
    Part,
    Unproved,
    copy_part,
    drop,
    prove_part,
    reading,
)
from setpiece.work.intake.cards import GONE_AFTER, device_of, printable
from setpiece.work.intake.first_listing import Listed, facts_of

_AHEAD = 32
_TICK_S = 0.2
_PROVED_AT_ONCE = 3
_UNDER_WAY = 6
"""Files of one card read and not told of yet: what waits for the disk holds no memory."""

_BEGINNING_BYTES = 1 << 18
"""Nearly every JPEG's header ends here, and with it what the camera wrote."""

_ONE_WHOLE = Lock()
"""Files that must be held whole to be understood are so one at a time."""


@dataclass(frozen=True, slots=True)
class Carried:
    """A file whose copy is proved, and what it says of itself. `part.data` is let go."""

    listed: Listed
    part: Part
    facts: FileFacts
    metadata: CameraMetadata


@dataclass(frozen=True, slots=True)
class Failed:
    """A file that could not be carried, and why."""

    listed: Listed
    error: BaseException

    @property
    def ends_the_run(self) -> bool:
        """Whether no other file could be carried either: the disk is full, not the file bad."""
        return not isinstance(self.error, BadFile | TryAgain)


@dataclass(frozen=True, slots=True)
class CardGone:
    """A card that went away with so many files still on it."""

    source: Path
    left: int


Outcome = Carried | Failed | CardGone


class Carrying:
    """Carries files into `folder`, several cards side by side, until all are done or it is left."""

    def __init__(self, files: Sequence[Listed], folder: Path) -> None:
        self._folder = folder
        self._outcomes: Queue[Outcome | None] = Queue(_AHEAD)
        self._in_hand: Outcome | None = None
        self._stop = Event()
        by_source: dict[Path, list[Listed]] = defaultdict(list)
        for item in files:
            by_source[item.file.source].append(item)
        self._threads = [
            Thread(target=self._carry, args=(source, mine), name="carry", daemon=True)
            for source, mine in by_source.items()
        ]

    def __enter__(self) -> Carrying:
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        for thread in self._threads:
            while thread.is_alive():
                self._discard()
                thread.join(_TICK_S)
        self._discard()
        if isinstance(self._in_hand, Carried):  # given out, and perhaps left without a place
            drop(self._in_hand.part)

    def outcomes(self) -> Iterator[Outcome | None]:
        """What became of each file; None when nothing came for a moment."""
        running = len(self._threads)
        while running:
            try:
                outcome = self._outcomes.get(timeout=_TICK_S)
            except Empty:
                yield None
                continue
            if outcome is None:
                running -= 1
            else:
                self._in_hand = outcome
                yield outcome
                self._in_hand = None

    def _discard(self) -> None:
        with contextlib.suppress(Empty):
            while True:
                outcome = self._outcomes.get_nowait()
                if isinstance(outcome, Carried):
                    drop(outcome.part)

    def _tell(self, outcome: Outcome | None) -> None:
        while not self._stop.is_set():
            with contextlib.suppress(Full):
                self._outcomes.put(outcome, timeout=_TICK_S)
                return
        if isinstance(outcome, Carried):
            drop(outcome.part)

    def _carry(self, source: Path, files: Sequence[Listed]) -> None:
        device = device_of(source)
        lost: list[Failed] = []
        left = 0
        under_way: deque[Future[Outcome]] = deque()
        with ThreadPoolExecutor(_PROVED_AT_ONCE, thread_name_prefix="prove") as provers:
            for done, item in enumerate(files):
                if self._stop.is_set():
                    break
                copied = self._copy(item)
                if isinstance(copied, Failed) and isinstance(copied.error, TryAgain):
                    lost.append(copied)
                    if device_of(source) != device:
                        left = len(files) - done + len(lost) - 1
                        break
                    continue
                if lost or isinstance(copied, Failed):
                    self._tell_all(under_way, wait_for=len(under_way))
                    self._tell_lost(source, lost, 0)
                    lost = []
                if isinstance(copied, Failed):
                    self._tell(copied)
                else:
                    under_way.append(provers.submit(_proved, item, copied))
                self._tell_all(under_way, wait_for=len(under_way) - _UNDER_WAY)
            self._tell_all(under_way, wait_for=len(under_way))
        self._tell_lost(source, lost, left or (len(lost) if len(lost) >= GONE_AFTER else 0))
        self._tell(None)

    def _tell_lost(self, source: Path, lost: Sequence[Failed], left: int) -> None:
        """Files that went away one by one, or, with so many left, the card with all of them."""
        if left:
            self._tell(CardGone(source, left))
            return
        for failed in lost:
            self._tell(failed)

    def _tell_all(self, under_way: deque[Future[Outcome]], *, wait_for: int) -> None:
        """Tells in order what is proved; waits for the first `wait_for`."""
        while under_way and (wait_for > 0 or under_way[0].done()):
            self._tell(under_way.popleft().result())
            wait_for -= 1

    def _copy(self, item: Listed) -> Unproved | Failed:
        try:
            return copy_part(item.file.path, self._folder)
        except BaseException as error:  # raised again in the run's own thread
            return Failed(item, error)


def _proved(item: Listed, unproved: Unproved) -> Outcome:
    try:
        part = prove_part(unproved, kept_bytes=_BEGINNING_BYTES)
        try:
            if part.size != item.file.size:
                raise BadFile("it changed while it was read", thing=printable(item.file.path))
            return Carried(item, replace(part, data=None), *_facts(item, part))
        except BaseException:
            drop(part)
            raise
    except BaseException as error:  # raised again in the run's own thread
        return Failed(item, error)


def _facts(item: Listed, part: Part) -> tuple[FileFacts, CameraMetadata]:
    """What the file says of itself, from its beginning where that is a JPEG's whole header."""
    beginning = part.data or b""
    if part.size <= len(beginning) or read_header(beginning).scan_at is not None:
        return facts_of(item.file, part.content, beginning)
    with _ONE_WHOLE:
        return facts_of(item.file, part.content, _whole(part.path))


def _whole(path: Path) -> bytes:
    """As much of a file as is ever held in memory."""
    with reading(path), path.open("rb") as stream:
        return stream.read(KEPT_BYTES)
