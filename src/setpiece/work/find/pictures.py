"""Find: pictures of every match by words, people, situation and what became of them.

The index is brought up to date before each search from the news since the last time: a new
caption costs its own row, a changed log the captioned frames of its match.
"""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.captions.caption import Caption
from setpiece.match.forms import write_rows
from setpiece.store.forms import from_json
from setpiece.store.matches import Match, matches
from setpiece.store.news import Topic, newest_number, news_since
from setpiece.store.search import FoundRow, Shown, search, shown
from setpiece.store.search_index import forget_all, note_read, put_rows, read_up_to, tidy_index
from setpiece.store.workspace import Workspace
from setpiece.work.find.rows import rows_of
from setpiece.work.find.search import Search, condition_of, expression
from setpiece.work.job import Caller, go_on
from setpiece.work.matchday import Matchday

_AT_ONCE = 500
_WHOLE = (Topic.FIXTURE, Topic.LOG, Topic.CLOCKS)
CSV_COLUMNS = (
    "match", "frame", "file", "taken", "minute", "headline", "description", "people", "keywords",
    "credit", "decision",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Hit:
    """A picture that was found. `path` is its best file, relative to the workspace."""

    match: str
    frame_id: str
    frame: str
    path: str
    taken: str
    minute: int | None
    headline: str
    description: str
    people: tuple[str, ...]
    keywords: tuple[str, ...]
    credit: str
    decision: str


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found: the first hits, and how many there are (None: more than 20,000).

    `notes` say in words what was taken for what, and in which order the hits stand.
    """

    hits: tuple[Hit, ...]
    total: int | None
    notes: tuple[str, ...] = ()


def catch_up(space: Workspace, caller: Caller) -> int:
    """Brings the index up to the newest news; how many rows were new or changed.

    Each match is one transaction; a stopped run goes on with the next.
    """
    newest, last = newest_number(space), read_up_to(space)
    if last == newest:
        return 0
    stale = _stale(space, last)
    known = {m.id: m for m in matches(space)}
    changed = 0
    for number, (match_id, frames) in enumerate(sorted(stale.items())):
        go_on(caller, f"{number} matches are in the index")
        caller.progress(number, len(stale), "Indexing")
        if match_id in known:
            changed += _index(space, known[match_id], frames)
    note_read(space, newest)
    return changed


def _stale(space: Workspace, last: int | None) -> dict[int, set[str]]:
    """Which matches changed, and which of their frames; no frames stands for all."""
    if last is None:
        return {m.id: set() for m in matches(space)}
    stale: dict[int, set[str]] = {}
    whole: set[int] = set()
    while piece := news_since(space, last, most=_AT_ONCE):
        for item in piece:
            if item.match_id is None:
                continue
            if item.topic in _WHOLE or (item.topic is Topic.FRAMES and not item.about):
                whole.add(item.match_id)
            elif item.topic is Topic.CAPTIONS:
                stale.setdefault(item.match_id, set()).add(item.about.split(".")[0])
        last = piece[-1].number
    return stale | {match_id: set() for match_id in whole}


def _index(space: Workspace, of: Match, frames: set[str]) -> int:
    rows = list(rows_of(Matchday(space, of), frames))
    return put_rows(space, of.id, rows, whole=not frames)


def index_anew(space: Workspace, caller: Caller) -> int:
    """Makes the whole index again; how many frames it holds."""
    forget_all(space)
    count = catch_up(space, caller)
    tidy_index(space)
    return count


def find(space: Workspace, wanted: Search, caller: Caller, *, most: int = 50) -> Found:
    """The pictures that a search means, best first, or newest first and said so."""
    catch_up(space, caller)
    asked = expression(space, wanted)
    if not asked.possible:
        return Found((), 0, asked.notes)
    condition = condition_of(space, wanted)
    if condition is None:
        return Found((), 0, (*asked.notes, "no match fits"))
    rows = search(space, asked.match, condition, most=most, ranked=asked.ranked)
    notes = asked.notes
    if asked.match and not asked.ranked:
        why = "more than 20,000 pictures" if rows.total is None else "these words are common"
        notes = (*notes, f"{why}: newest first")
    hits = map(_hit, rows.rows, shown(space, rows.rows))
    return Found(tuple(hits), rows.total, notes)


def _hit(row: FoundRow, seen: Shown) -> Hit:
    fields = from_json(Caption, seen.caption).fields
    return Hit(
        match=seen.folder,
        frame_id=row.frame_id,
        frame=seen.handle,
        path=f"{seen.folder}/{seen.best_file}",
        taken=row.taken,
        minute=row.minute,
        headline=fields.headline,
        description=fields.description,
        people=tuple(p.name for p in fields.persons),
        keywords=fields.keywords,
        credit=fields.credit,
        decision=seen.decision,
    )


def as_csv(found: Found) -> str:
    """The hits with their captions as CSV."""
    return write_rows(
        CSV_COLUMNS,
        (
            (
                h.match, h.frame, h.path, h.taken, "" if h.minute is None else str(h.minute),
                h.headline, h.description, "; ".join(h.people), "; ".join(h.keywords), h.credit,
                h.decision,
            )
            for h in found.hits
        ),
    )  # fmt: skip
