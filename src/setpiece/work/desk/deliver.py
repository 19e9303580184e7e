"""Deliver: what waits in the outbox goes out, by worth, and every receipt is kept.

Each desk has its own workers, as many as it takes connections, so that a desk that hangs holds
up no other. The main thread watches: it keeps the leases, shows progress, looks again at what is
queued when facts change, and sets a picture aside when a more urgent one comes, the desk is
paused, another uplink appears or the photographer stops. Whether an earlier try arrived is asked
of the server, never assumed.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from setpiece.errors import AskPhotographer, Stopped
from setpiece.match.instants import Instant
from setpiece.send.desk import Secret
from setpiece.store.delivery import TO_GO, Delivery, Reason, State, Urgency
from setpiece.store.leases import hurry, renew
from setpiece.store.matches import Match
from setpiece.store.news import newest_number
from setpiece.store.outbox import deliveries, to_go
from setpiece.store.workspace import Workspace
from setpiece.work.desk.desks import desk_named, secret_for
from setpiece.work.desk.kill import notices_due
from setpiece.work.desk.link import DeskLink, Open, Patience
from setpiece.work.desk.owner import gone, owning, sweep
from setpiece.work.desk.pace import ASSUMED
from setpiece.work.desk.queueing import NotQueued, QueueReport, look_again, queue_set
from setpiece.work.desk.tries import Try
from setpiece.work.desk.worker import DeskWorker, Shared
from setpiece.work.job import Caller

__all__ = ["NotQueued", "QueueReport", "SendReport", "queue_set", "send_waiting"]

TICK_S = 0.25
RENEW_EVERY_S = 5.0
UPLINK_EVERY_S = 2.0
USUAL = Patience()


@dataclass(frozen=True, slots=True)
class SendReport:
    """What a run of sending did, what is still to go, and what is held for a reason."""

    delivered: int = 0
    refused: int = 0
    waiting: int = 0
    troubles: tuple[str, ...] = ()
    seconds: float = 0.0
    held: int = 0


def send_waiting(
    space: Workspace,
    of: Match,
    caller: Caller,
    *,
    until_done: bool = False,
    patience: Patience = USUAL,
    opener: Open | None = None,
    least: Callable[[], int] = lambda: Urgency.ORDINARY,
) -> SendReport:
    """Sends what is queued; receipts are kept one by one.

    Ends when nothing more can go now; with `until_done` it waits out pauses, spacings and lost
    links until all has ended. What is less urgent than `least` says stays queued. A lost link
    leaves a delivery for its next try; a refusal waits for the photographer. Raises Stopped when
    asked to stop: the next run goes on.
    """
    began = caller.now()
    with owning(space) as owner:
        shared = Shared(space, of, owner, caller.now, least)
        _Run(shared, caller, patience, until_done, opener).go()
        outbox = deliveries(space, of)
        sweep(space, outbox)
    return SendReport(
        delivered=shared.delivered,
        refused=shared.refused,
        waiting=sum(d.state in TO_GO for d in outbox),
        troubles=tuple(shared.troubles),
        seconds=(caller.now() - began).total_seconds(),
        held=sum(d.state is State.WAITING for d in outbox),
    )


class _Run:
    """One run of sending, as the main thread sees it."""

    def __init__(
        self,
        shared: Shared,
        caller: Caller,
        patience: Patience,
        until_done: bool,
        opener: Open | None,
    ) -> None:
        self._shared = shared
        self._space, self._of = shared.space, shared.of
        self._caller = caller
        self._patience = patience
        self._until_done = until_done
        self._opener = opener
        self._links: dict[str, DeskLink] = {}
        self._workers: list[DeskWorker] = []
        self._news = -1
        self._renewed: Instant | None = None

    def go(self) -> None:
        """Sends until nothing more goes, all has ended, or it is stopped."""
        look_again(self._space, self._of, self._caller, reasons=(Reason.QUOTA,))
        outbox = deliveries(self._space, self._of)
        self._shared.gone = gone(self._space, outbox)
        uplinks = threading.Thread(target=self._watch_uplinks, name="uplinks", daemon=True)
        uplinks.start()
        try:
            self._start_workers(outbox)
            while not self._watch():
                self._shared.wait(TICK_S)
        finally:
            self._shared.end()
            for worker in self._workers:
                worker.join()
        if self._shared.error is not None:
            raise self._shared.error
        if self._caller.stopped():
            said = f"{self._shared.delivered} deliveries arrived"
            raise Stopped("stopped as you asked", thing=said, next_step="Run it again to go on.")

    def _start_workers(self, items: Sequence[Delivery]) -> None:
        """Links and workers for desks that something goes to and that have none yet."""
        wanted = {d.desk for d in items if d.state in TO_GO or d.leftover}
        for name in sorted(wanted - set(self._links)):
            desk = desk_named(self._space, name)
            outbox = deliveries(self._space, self._of)
            try:
                secret, trouble = secret_for(desk, self._caller), ""
            except AskPhotographer as error:
                secret, trouble = Secret(), str(error)
            link = DeskLink(desk, secret, self._patience, outbox, self._opener)
            self._links[name] = link
            if trouble:
                link.blocked = trouble
                self._shared.trouble(f"{name}: {trouble}")
                continue
            for _ in range(desk.address.connections):
                worker = DeskWorker(self._shared, link)
                self._workers.append(worker)
                worker.start()

    def _watch(self) -> bool:
        """One look of the main thread; whether the run is over."""
        if self._caller.stopped() or self._shared.error is not None:
            return True
        self._look_at_news()
        left = to_go(self._space, self._of)
        self._start_workers(left)
        self._keep_leases()
        self._set_aside(left)
        self._show(left)
        if self._shared.under_way() or not all(w.has_nothing for w in self._workers):
            return False
        if newest_number(self._space) != self._news:
            return False
        if not self._until_done:
            return True
        return not any(self._will_go(d) for d in left)

    def _will_go(self, item: Delivery) -> bool:
        link = self._links.get(item.desk)
        if item.urgency > self._shared.least():
            return False
        return link is not None and not link.blocked and not link.desk.settings.paused

    def _look_at_news(self) -> None:
        """Brings what is queued up to date with the facts, and desks with their settings."""
        news = newest_number(self._space)
        if news == self._news and not self._until_done:
            return
        if look_again(self._space, self._of, self._caller):
            self._shared.wake()
        if news != self._news and notices_due(self._space, self._of, self._caller):
            self._shared.wake()
        if news != self._news:
            self._news = news
            for link in self._links.values():
                link.desk = desk_named(self._space, link.desk.name)
            self._shared.wake()

    def _keep_leases(self) -> None:
        now = self._caller.now()
        if self._renewed and (now - self._renewed).total_seconds() < RENEW_EVERY_S:
            return
        self._renewed = now
        tries = self._shared.under_way()
        moved = {t.item.id: t.moved for t in tries}
        lost = renew(self._space, self._shared.owner, now, moved) if moved else frozenset()
        for this in tries:
            if this.item.id in lost:
                this.stop()

    def _set_aside(self, left: Sequence[Delivery]) -> None:
        """Stops tries that make room for a more urgent one, and those of paused desks."""
        now = self._caller.now().isoformat()
        for this in self._shared.under_way():
            link = self._links[this.item.desk]
            urgent = any(
                d.desk == this.item.desk
                and d.state is State.QUEUED
                and d.urgency < this.item.urgency
                and d.not_before <= now
                for d in left
            )
            if link.desk.settings.paused or (urgent and self._takes_long(this, link)):
                this.stop()

    def _takes_long(self, this: Try, link: DeskLink) -> bool:
        left_s = (this.item.size - this.moved) / (link.pace or ASSUMED).bytes_s
        return left_s > self._patience.aside_s

    def _show(self, left: Sequence[Delivery]) -> None:
        """Progress in kilobytes: what arrived and moved, of that and what is left."""
        moved = {t.item.id: t.moved for t in self._shared.under_way()}
        done = self._shared.sent_bytes + sum(moved.values())
        total = self._shared.sent_bytes + sum(d.size for d in left)
        self._caller.progress(done // 1000, total // 1000, "Sending, in kB")

    def _watch_uplinks(self) -> None:
        """In a thread of its own, since asking for a host's name may block."""
        while not self._shared.ended.wait(UPLINK_EVERY_S):
            for link in list(self._links.values()):
                if link.uplink_changed():
                    hurry(self._space, self._of, link.desk.name)
                    for this in self._shared.under_way():
                        if this.item.desk == link.desk.name:
                            this.stop()
                    self._shared.wake()
