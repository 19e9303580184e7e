"""Has what waits in the outboxes go by itself while the page is served.

After a start it goes on with what an earlier run left; later, whenever a fact, a decision or a
desk has changed, or an embargo is over, it is looked at again. What comes of it is told only
where something arrived or was refused. With a low battery only what cannot wait goes so.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime, timedelta

from setpiece.errors import SetpieceError
from setpiece.match.instants import Instant
from setpiece.store.delivery import TO_GO, Delivery, State
from setpiece.store.matches import Match, matches
from setpiece.store.news import Topic, newest_number, news_since
from setpiece.store.outbox import deliveries
from setpiece.web.backstage import Backstage, Ended

LOOK_EVERY_S = 20.0
"""So often it is seen whether an embargo is over; news is looked at as it comes."""

TRY_AGAIN = timedelta(minutes=1)
"""What no news will move, as a desk without a password, is tried again after this long."""

OF_SENDING = frozenset({Topic.OUTBOX, Topic.DESKS})
"""News after which what is queued may go."""

OF_FACTS = OF_SENDING | {Topic.FIXTURE, Topic.LOG, Topic.CLOCKS, Topic.CAPTIONS, Topic.DECISIONS}
"""News after which what is held back may go."""


class Steward:
    """Looks after the outboxes of a workspace in a thread of its own."""

    def __init__(self, backstage: Backstage) -> None:
        self.backstage = backstage
        self.space = backstage.space
        self._wake = threading.Event()
        self._over = False
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Begins, with whatever an earlier run left."""
        self._over = False
        self._thread = threading.Thread(target=self._watch, name="setpiece steward", daemon=True)
        self._thread.start()

    def look_soon(self) -> None:
        """Something changed."""
        self._wake.set()

    def stop(self) -> None:
        """Ends; what is queued stays queued."""
        self._over = True
        self._wake.set()
        if self._thread is not None:
            self._thread.join()

    def _watch(self) -> None:
        while not self._over:
            self._wake.clear()
            with suppress(SetpieceError):
                for match in matches(self.space):
                    self._tend(match)
            self._wake.wait(LOOK_EVERY_S)

    def _tend(self, match: Match) -> None:
        if self._over or self.backstage.is_sending(match):
            return
        ended, least = self.backstage.ended(match), self.backstage.least(match)
        outbox = tuple(d for d in deliveries(self.space, match) if d.urgency <= least)
        if is_due(match, outbox, ended, self.backstage.now(), self._news):
            self.backstage.go_on(match, quietly=True)

    def _news(self, match: Match, since: int) -> frozenset[Topic]:
        if newest_number(self.space) == since:
            return frozenset()
        fresh = news_since(self.space, since, most=2000)
        return frozenset(n.topic for n in fresh if n.match_id in (match.id, None))


def is_due(
    match: Match,
    outbox: tuple[Delivery, ...],
    ended: Ended | None,
    now: Instant,
    news: Callable[[Match, int], frozenset[Topic]],
) -> bool:
    """Whether a run of sending may do something that the one before could not."""
    waits = [d for d in outbox if d.state is State.WAITING]
    goes = any(d.state in TO_GO or d.leftover for d in outbox)
    if not goes and not waits:
        return False
    if ended is None or (goes and now - ended.at >= TRY_AGAIN):
        return True
    if any(d.not_before and ended.at < datetime.fromisoformat(d.not_before) <= now for d in waits):
        return True
    return bool(news(match, ended.news) & (OF_FACTS if waits else OF_SENDING))
