"""What a changed fact has made wrong, worked out behind the page and kept for it.

Holding every caption and every picture at a desk against the facts takes some hundredths of a
second each, too long for a page that waits. So it is done in a thread after news that may matter,
and the page hears of it when it is done.
"""

from __future__ import annotations

import threading
from dataclasses import dataclass

from setpiece.errors import SetpieceError
from setpiece.store.matches import Match
from setpiece.store.news import News, Topic, newest_number, news_since
from setpiece.store.workspace import Workspace
from setpiece.web.wire import Wire
from setpiece.work.desk.correct import Wrong, WrongNow, wrong_now
from setpiece.work.matchday import Matchday

ALWAYS = frozenset({Topic.FIXTURE, Topic.LOG, Topic.CLOCKS})
"""News of facts: everything is held against them again."""


@dataclass(frozen=True, slots=True)
class _Known:
    number: int
    found: WrongNow


NOTHING = WrongNow((), ())


class Wrongs:
    """Keeps what is wrong, match by match."""

    def __init__(self, space: Workspace, wire: Wire) -> None:
        self.space = space
        self.wire = wire
        self._known: dict[int, _Known] = {}
        self._busy: set[int] = set()
        self._lock = threading.Lock()

    def of(self, match: Match) -> WrongNow:
        """What is known to be wrong; looks again behind the page where news may matter."""
        with self._lock:
            known = self._known.get(match.id)
            if match.id not in self._busy and self._may_matter(match, known):
                self._busy.add(match.id)
                threading.Thread(target=self._look, args=(match,), daemon=True).start()
            return known.found if known else NOTHING

    def at_desks(self, match: Match) -> tuple[Wrong, ...]:
        """The pictures at desks that are wrong and have no correction on the way yet."""
        return tuple(w for w in self.of(match).at_desks if not w.on_the_way)

    def _may_matter(self, match: Match, known: _Known | None) -> bool:
        if known is None:
            return True
        news = [n for n in news_since(self.space, known.number) if n.match_id in (match.id, None)]
        return any(_matters(n, known.found) for n in news)

    def _look(self, match: Match) -> None:
        number = newest_number(self.space)
        try:
            found = wrong_now(Matchday(self.space, match))
        except SetpieceError:
            found = NOTHING
        with self._lock:
            before = self._known.get(match.id)
            self._known[match.id] = _Known(number, found)
            self._busy.discard(match.id)
        if found != (before.found if before else NOTHING):
            self.wire.changed(match.id)


def _matters(news: News, found: WrongNow) -> bool:
    if news.topic in ALWAYS:
        return True
    return news.topic is Topic.CAPTIONS or (
        news.topic is Topic.OUTBOX and bool(found.captions or found.at_desks)
    )
