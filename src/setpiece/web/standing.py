"""The match as it stands, kept between requests and renewed only where something changed.

Reading a whole match for every request would be too slow with 3,000 frames. What each kind of
news makes stale is one table; everything else is carried over into the next view.
"""

from __future__ import annotations

import threading
from types import MappingProxyType

from setpiece.errors import NotFound
from setpiece.frames.place import place
from setpiece.match.people import SidePeople, TeamSheet
from setpiece.store.matches import Match, matches, newest_sheet
from setpiece.store.news import Topic, newest_number, news_since
from setpiece.store.workspace import Workspace
from setpiece.web.touchline.checked import KEPT
from setpiece.web.touchline.crops import EDITS
from setpiece.web.touchline.margin import DOUBTS
from setpiece.work.matchday import Matchday

_PLACED = frozenset({"times", "places", "passages", "ranks", DOUBTS})
_TAKEN = frozenset({"frames", "files", "metadata", "looks", "cameras", "fits"})

STALE: MappingProxyType[Topic, frozenset[str]] = MappingProxyType(
    {
        Topic.FIXTURE: frozenset({"fixture", "sheet", "fold", "fits", KEPT, *_PLACED}),
        Topic.LOG: frozenset({"log", "fold", "places", KEPT}),
        Topic.FRAMES: _TAKEN | _PLACED | {KEPT},
        Topic.CLOCKS: frozenset({"fits", KEPT, *_PLACED}),
        Topic.CAPTIONS: frozenset({"captions"}),
        Topic.DECISIONS: frozenset({"frames", EDITS}),
        Topic.OUTBOX: frozenset({"outbox"}),
        Topic.DESKS: frozenset(),
        Topic.PLAN: frozenset(),
    }
)
"""The views of a Matchday that each kind of news makes stale."""

REPORT = "report_made"
"""The name under which the rows of the report are kept with a view of a match."""

PASSING = frozenset({Topic.FRAMES, Topic.OUTBOX})
"""News that an opened frame and a line that is typed may be a moment behind."""

NOT_IN_ROWS = frozenset({Topic.OUTBOX, Topic.DESKS, Topic.PLAN})
"""News that changes the margin, and no row."""

_MOST_NEWS = 500


class Standing:
    """Gives the newest view of a match; safe to ask from several threads."""

    def __init__(self, space: Workspace) -> None:
        self.space = space
        self._kept: dict[int, tuple[int, Matchday]] = {}
        self._lock = threading.Lock()

    def of(self, folder: str) -> Matchday:
        """The match in that folder as it stands now. Raises NotFound."""
        with self._lock:
            newest = newest_number(self.space)
            match = self._match(folder)
            known = self._kept.get(match.id)
            if known is None or known[1].match != match:
                day = Matchday(self.space, match)
            elif known[0] == newest:
                return known[1]
            else:
                day = self._renewed(known[1], match, known[0])
            _stand_in(day)
            self._kept[match.id] = (newest, day)
            return day

    def lately(self, folder: str, frame_id: str = "") -> Matchday:
        """The same, but a moment old where since then only frames came or pictures went: what is
        looked at and typed never waits for a card. A frame that is not in it is looked for anew."""
        match = self._match(folder)
        number, day = self._kept.get(match.id, (0, None))
        if day is None or day.match != match or (frame_id and frame_id not in day.frames):
            return self.of(folder)
        fresh = news_since(self.space, number, most=_MOST_NEWS)
        mine = {n.topic for n in fresh if n.match_id in (match.id, None)}
        return day if len(fresh) < _MOST_NEWS and mine <= PASSING else self.of(folder)

    def id_of(self, folder: str) -> int:
        """The number of the match in that folder. Raises NotFound."""
        return self._match(folder).id

    def _match(self, folder: str) -> Match:
        for match in matches(self.space):
            if match.folder == folder:
                return match
        raise NotFound(
            "this workspace has no such match", thing=folder, next_step="Go back to the matches."
        )

    def _renewed(self, old: Matchday, match: Match, since: int) -> Matchday:
        changes = news_since(self.space, since, most=_MOST_NEWS)
        day = Matchday(self.space, match)
        if len(changes) == _MOST_NEWS:
            return day
        stale = {
            name
            for change in changes
            if change.match_id in (match.id, None)
            for name in STALE[change.topic]
        }
        if any(c.topic not in NOT_IN_ROWS for c in changes if c.match_id in (match.id, None)):
            stale.add(REPORT)
        for change in changes:
            if change.topic is Topic.CAPTIONS:
                vars(old).get(KEPT, {}).pop(change.about.partition(".v")[0], None)
        for name, value in vars(old).items():
            if name not in stale and name not in vars(day):
                vars(day)[name] = value
        if "places" in stale and "fold" not in stale:
            _keep_places(old, day)
        return day


def _keep_places(old: Matchday, day: Matchday) -> None:
    """Frames whose time is the same stand where they stood, and what the check found in their
    captions holds: while a card comes in only its own frames are placed."""
    before = vars(old)
    if not {"times", "places"} <= before.keys():
        return
    times, places = before["times"], before["places"]
    same = {i for i, at in day.times.items() if times.get(i) == at}
    vars(day)["places"] = {
        i: places[i] if i in same else place(i, at, day.fold) for i, at in day.times.items()
    }
    vars(day)[KEPT] = {i: found for i, found in dict(before.get(KEPT, {})).items() if i in same}


def _stand_in(day: Matchday) -> None:
    """A match without a sheet is shown with its clubs' names and nobody in them."""
    fixture = day.match.fixture
    if fixture is None or "sheet" in vars(day) or newest_sheet(day.space, day.match) is not None:
        return
    home, away = (SidePeople(name, name) for name in (fixture.home, fixture.away))
    vars(day)["sheet"] = TeamSheet(home, away)
