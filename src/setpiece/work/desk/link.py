"""The links to one desk during one run of sending: a connection a worker, pauses, the pace."""

from __future__ import annotations

import random
from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import timedelta

from setpiece.match.instants import Instant, instant, read_instant
from setpiece.send.desk import DeskAddress, Secret
from setpiece.send.sender import Receipt, Sender, open_sender
from setpiece.store.delivery import Delivery, Kind
from setpiece.work.desk.arrivals import last_picture, sent_to
from setpiece.work.desk.desks import Desk
from setpiece.work.desk.pace import (
    FIRST_PAUSE_S,
    KEPT,
    LONGEST_PAUSE_S,
    Pace,
    Sent,
    measured,
    pause_s,
)
from setpiece.work.desk.uplink import way_out

Open = Callable[[DeskAddress, Secret], Sender]


@dataclass(frozen=True, slots=True)
class Patience:
    """How long a run of sending waits, in seconds.

    Pauses after a lost link grow from `first_pause_s` to `longest_pause_s`. A picture under way
    is set aside for a more urgent one when it would take longer than `aside_s` yet.
    """

    first_pause_s: float = FIRST_PAUSE_S
    longest_pause_s: float = LONGEST_PAUSE_S
    aside_s: float = 5.0


class DeskLink:
    """What a run knows of one desk; its workers share it.

    `blocked` says why nothing goes there until a person has helped; `last_picture` is when one
    arrived last.
    """

    def __init__(
        self,
        desk: Desk,
        secret: Secret,
        patience: Patience,
        outbox: Iterable[Delivery] = (),
        opener: Open | None = None,
    ) -> None:
        before = list(outbox)
        self.desk = desk
        self.secret = secret
        self.patience = patience
        self.sent: deque[Sent] = deque(sent_to(before, desk.name), maxlen=KEPT)
        self.last_picture = last_picture(before, desk.name)
        self.not_before: Instant | None = None
        self.blocked = ""
        self.way: str | None = None  # asked when watched: a name may take long to be found
        self._failures = 0
        self._opener = opener or open_sender

    def open(self) -> Sender:
        """A new connection, logged in. Raises what the sender raises."""
        sender = self._opener(self.desk.address, self.secret)
        return sender.__enter__()

    @property
    def pace(self) -> Pace | None:
        """How the link carries, None before anything arrived."""
        return measured(list(self.sent))

    def arrived(self, item: Delivery, receipt: Receipt) -> None:
        """A delivery arrived: the link is good, and this is how it carried."""
        if item.kind is not Kind.KILL:
            self.last_picture = read_instant(item.ended)
        self._failures = 0
        self.not_before = None
        if receipt.seconds > 0:
            self.sent.append(Sent(receipt.size - receipt.resumed_from, receipt.seconds))

    def lost(self, now: Instant) -> None:
        """The link failed: nothing goes to this desk for a while."""
        self._failures += 1
        self.not_before = self._after(now, self._failures)

    def next_try(self, now: Instant, tries: int) -> Instant:
        """When a delivery that failed so often is tried again."""
        return self._after(now, tries)

    def _after(self, now: Instant, tries: int) -> Instant:
        pause = pause_s(
            tries,
            random.random(),
            first_s=self.patience.first_pause_s,
            longest_s=self.patience.longest_pause_s,
        )
        return instant(now + timedelta(seconds=pause))

    def uplink_changed(self) -> bool:
        """Whether another way out has appeared since the last look; ends the pause if so."""
        before, way = self.way, way_out(self.desk.address)
        if before is None:
            self.way = way
        if before is None or not way or way == before:
            return False
        self.way = way
        self._failures = 0
        self.not_before = None
        return True
