"""A worker: a thread that takes deliveries for one desk and tries them over its own connection."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from time import monotonic

from setpiece.errors import SetpieceError, TryAgain, WrongUse
from setpiece.match.instants import Instant
from setpiece.send.sender import Sender
from setpiece.store.delivery import Delivery, Kind, State
from setpiece.store.leases import claim, leftovers
from setpiece.store.matches import Match
from setpiece.store.requests import Stage, move_request
from setpiece.store.workspace import Workspace
from setpiece.work.desk.arrivals import by_worth, may_go_at
from setpiece.work.desk.link import DeskLink
from setpiece.work.desk.tries import Ended, Tries, Try
from setpiece.work.style_files import load_style

_LOOK_AGAIN_S = 0.5
_IDLE_S = 30.0  # an idle connection is closed after this long: it may be dead without a word
_MOST_TROUBLES = 50


class Shared:
    """What the threads of one run of sending share."""

    def __init__(
        self,
        space: Workspace,
        of: Match,
        owner: str,
        now: Callable[[], Instant],
        least: Callable[[], int],
    ) -> None:
        self.space, self.of, self.owner, self.now, self.least = space, of, owner, now, least
        self.gone: frozenset[str] = frozenset()
        self.ended = threading.Event()
        self.delivered = self.refused = self.sent_bytes = 0
        self.troubles: dict[str, None] = {}
        self.error: BaseException | None = None
        self.round = 0
        self._changed = threading.Condition()
        self._tries: dict[int, Try] = {}

    def wait(self, seconds: float) -> None:
        """Waits until something changes, at most so long."""
        with self._changed:
            self._changed.wait(seconds)

    def wake(self) -> None:
        """Something may go now that could not before."""
        with self._changed:
            self.round += 1
            self._changed.notify_all()

    def end(self) -> None:
        """Stops every try and lets every worker end."""
        self.ended.set()
        for this in self.under_way():
            this.stop()
        self.wake()

    def under_way(self) -> tuple[Try, ...]:
        """The tries going on."""
        with self._changed:
            return tuple(self._tries.values())

    def begin(self, this: Try) -> None:
        """A try begins; one that begins after the end is stopped at once."""
        with self._changed:
            self._tries[this.item.id] = this
        if self.ended.is_set():
            this.stop()

    def finish(self, this: Try, ended: Ended | None) -> None:
        """A try is over; None when another process has it now."""
        with self._changed:
            self._tries.pop(this.item.id, None)
            if ended is not None:
                self.delivered += ended.receipt is not None
                self.refused += ended.item.state is State.REFUSED
                if ended.receipt is not None:
                    self.sent_bytes += ended.item.size
                if ended.words:
                    self.trouble(f"{this.item.remote_name} to {this.item.desk}: {ended.words}")
            self._changed.notify_all()

    def trouble(self, words: str) -> None:
        """Keeps a trouble for the report, each once."""
        if len(self.troubles) < _MOST_TROUBLES:
            self.troubles[words] = None


class DeskWorker(threading.Thread):
    """Sends to one desk until the run ends. `has_nothing` when nothing could be claimed."""

    def __init__(self, shared: Shared, link: DeskLink) -> None:
        super().__init__(name=f"sending to {link.desk.name}", daemon=True)
        self._shared = shared
        self._link = link
        self._tries = Tries(shared.space, shared.of, link, shared.now)
        self._sender: Sender | None = None
        self._used = monotonic()
        self._nothing_in = -1

    @property
    def has_nothing(self) -> bool:
        """Whether it looked since the last change and found nothing that may go."""
        return not self.is_alive() or self._nothing_in == self._shared.round

    def run(self) -> None:
        """The thread."""
        try:
            while not self._shared.ended.is_set():
                self._once()
        except BaseException as error:
            self._shared.error = error
            self._shared.wake()
        finally:
            self._close()

    def _once(self) -> None:
        around = self._shared.round
        item = self._claim()
        if item is not None:
            self._try(item)
            return
        self._clean()
        self._nothing_in = around
        if self._sender is not None and monotonic() - self._used > _IDLE_S:
            self._close()
        self._shared.wait(_LOOK_AGAIN_S)

    def _clean(self) -> None:
        """Takes away what withdrawn deliveries left at the desk, while nothing else is to do."""
        link = self._link
        if self._may_not_go() or not leftovers(self._shared.space, self._shared.of, link.desk.name):
            return
        try:
            if self._sender is None:
                self._sender = link.open()
            self._tries.clean(self._sender)
        except SetpieceError:
            self._close()
            link.lost(self._shared.now())

    def _may_not_go(self) -> bool:
        """Whether the desk is blocked or paused, or waits for its next try."""
        link, now = self._link, self._shared.now()
        paused = link.not_before is not None and now < link.not_before
        return bool(link.blocked) or link.desk.settings.paused or paused

    def _claim(self) -> Delivery | None:
        if self._may_not_go():
            return None
        return claim(
            self._shared.space,
            self._shared.of,
            self._shared.owner,
            self._shared.now(),
            desk_name=self._link.desk.name,
            choose=self._choose,
            gone=self._shared.gone,
        )

    def _choose(self, free: Sequence[Delivery]) -> Delivery | None:
        """The best by worth; while the desk's spacing runs, notices of a kill only."""
        now = self._shared.now()
        style = load_style(self._shared.space.folder, self._link.desk.style)
        due = may_go_at(self._link.last_picture, style)
        busy = any(t.item.desk == self._link.desk.name for t in self._shared.under_way())
        if style.spacing_s and (busy or (due is not None and now < due)):
            free = [d for d in free if d.kind is Kind.KILL]
        least = self._shared.least()
        free = [d for d in free if d.urgency <= least]
        order = by_worth(free, now, self._link.pace)
        return order[0] if order else None

    def _try(self, item: Delivery) -> None:
        this = Try(item)
        self._shared.begin(this)
        ended: Ended | None = None
        try:
            ended = self._connected_try(this)
        except WrongUse:
            self._close()  # another process has taken it over: leave it alone
        finally:
            self._shared.finish(this, ended)
        if ended is None:
            return
        self._used = monotonic()
        if ended.spent:
            self._close()
        if ended.failed:
            self._link.lost(self._shared.now())
        if ended.receipt is not None:
            self._link.arrived(ended.item, ended.receipt)
            if ended.item.request_id is not None:
                said = f"{ended.item.remote_name}, {ended.receipt.size:,} bytes"
                space, of = self._shared.space, self._shared.of
                move_request(space, of, ended.item.request_id, Stage.CLOSED, said)

    def _connected_try(self, this: Try) -> Ended:
        if self._sender is None:
            try:
                self._sender = self._link.open()
                self._tries.clean(self._sender)
            except SetpieceError as error:
                if not isinstance(error, TryAgain):
                    self._link.blocked = str(error)
                return self._tries.not_connected(this.item, error)
        return self._tries.run(this, self._sender)

    def _close(self) -> None:
        if self._sender is not None:
            self._sender.close()
            self._sender = None
