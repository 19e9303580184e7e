"""What each `send` put in the outbox, so that it can be taken back as long as it has not gone."""

from __future__ import annotations

import secrets
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from setpiece.errors import NotFound, SetpieceError
from setpiece.store.delivery import Delivery, Kind, State
from setpiece.store.matches import Match
from setpiece.store.outbox import deliveries, find_delivery
from setpiece.store.workspace import Workspace
from setpiece.work.desk.outbox import withdraw

MOST = 50
"""So many sends are remembered, as many as the page can take back."""

QUEUED_WITHIN_S = 20.0
"""So long a stop is waited for, should it still be making renditions."""


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What became of a send that was taken back: how many did not go, and what the desks have."""

    withdrawn: int
    gone: tuple[Delivery, ...]


class Batch:
    """One send: which pictures it queued for which desks, once it has queued them."""

    def __init__(self, of: Match) -> None:
        self.name = secrets.token_hex(8)
        self.of = of
        self.stop: Callable[[], None] = lambda: None
        self.queued = threading.Event()
        self.newest = 0
        self.numbers: frozenset[int] = frozenset()
        self.pictures: frozenset[tuple[str, str]] = frozenset()

    @contextmanager
    def noting(self, space: Workspace) -> Iterator[None]:
        """Notes what is new when the block ends, however it ends."""
        rows = deliveries(space, self.of)
        self.newest = max((d.id for d in rows), default=0)
        before = {d.id for d in rows if d.state is not State.WITHDRAWN}
        try:
            yield
        finally:
            rows = deliveries(space, self.of)
            fresh = [d for d in rows if d.id not in before and d.state is not State.WITHDRAWN]
            self.numbers = frozenset(d.id for d in fresh)
            self.pictures = frozenset((d.frame_id, d.desk) for d in fresh)
            self.queued.set()

    def deliveries(self, space: Workspace) -> tuple[Delivery, ...]:
        """Its deliveries as they stand, with those that took the place of one since."""
        return tuple(d for d in deliveries(space, self.of) if self._has(d))

    def _has(self, item: Delivery) -> bool:
        if item.id <= self.newest or item.kind is Kind.KILL:
            return item.id in self.numbers
        return (item.frame_id, item.desk) in self.pictures


class Batches:
    """The sends of one server, the newest ones."""

    def __init__(self, space: Workspace) -> None:
        self.space = space
        self._known: dict[str, Batch] = {}

    def new(self, of: Match) -> Batch:
        """A batch that has queued nothing yet."""
        batch = Batch(of)
        self._known[batch.name] = batch
        while len(self._known) > MOST:
            del self._known[next(iter(self._known))]
        return batch

    def take_back(self, name: str) -> TakenBack:
        """Withdraws what has not gone. Raises NotFound for a send from before the last start."""
        batch = self._known.get(name)
        if batch is None:
            raise NotFound(
                "this was queued before the server started",
                next_step="Look at the outbox: `setpiece outbox withdraw` takes one back.",
            )
        if not batch.queued.is_set():
            batch.stop()
            batch.queued.wait(QUEUED_WITHIN_S)
        withdrawn, gone = 0, []
        for item in batch.deliveries(self.space):
            if item.state is State.WITHDRAWN:
                continue
            try:
                withdraw(self.space, batch.of, item.id)
                withdrawn += 1
            except SetpieceError:  # it is at the desk, or on its way there just now
                gone.append(find_delivery(self.space, batch.of, item.id))
        return TakenBack(withdrawn, tuple(gone))
