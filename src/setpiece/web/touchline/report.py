"""The match as a report: rows of minutes, entries as sentences, passages under their minute.

Rows run from the newest to the oldest, as a live report is read; within a row the entries stand
first, then the passages in the order in which they were shot.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from itertools import chain

from setpiece.frames.passages import Passage
from setpiece.frames.place import Place
from setpiece.match.entries import Entry, Kind
from setpiece.match.instants import Instant, MinuteLabel, instant
from setpiece.match.state import Phase, State
from setpiece.match.whistles import seconds
from setpiece.store.frames import Decision
from setpiece.web.mast import phase_words
from setpiece.web.sentences import Sentence, sentence
from setpiece.web.touchline.checked import errors_of
from setpiece.web.touchline.thumbs import MOST, Thumb, sharpest_of, shown, thumb, used_in
from setpiece.web.wording import Wording
from setpiece.work.matchday import Matchday

SLOT_S = 600
"""Where no minute runs, passages are put together by ten minutes of the venue's time."""


@dataclass(frozen=True, slots=True)
class Run:
    """A passage, closed. `rest` counts the frames not shown; `first` is the one to open."""

    passage_id: str
    label: str
    thumbs: tuple[Thumb, ...]
    total: int
    rest: int
    first: str
    facts: tuple[str, ...]
    doubts: str


@dataclass(frozen=True, slots=True)
class Row:
    """One row: a minute, or ten minutes where none runs. `under` stands below the figure."""

    key: str
    figure: str
    under: str
    sentences: tuple[Sentence, ...]
    passages: tuple[str, ...]
    say: str = ""


@dataclass(slots=True)
class _Draft:
    """A row while it is put together; `at` is where it stands on the match clock's line."""

    key: str
    at: float
    label: MinuteLabel | None
    phase: Phase
    time: Instant
    entries: list[Entry] = field(default_factory=list)
    passages: list[Passage] = field(default_factory=list)


def rows(day: Matchday, words: Wording) -> tuple[Row, ...]:
    """The rows of a match, newest first; frames without a time stand last."""
    drafts: dict[str, _Draft] = {}
    for entry in day.fold.entries:
        _row_of_entry(day, entry, drafts).entries.append(entry)
    for passage in day.passages:
        state = day.places[passage.frame_ids[0]].state
        at = day.times[passage.frame_ids[0]].middle
        _row_at(day, state, at, drafts).passages.append(passage)
    made = [
        _row(day, draft, words)
        for draft in sorted(drafts.values(), key=lambda d: d.at, reverse=True)
    ]
    if any(i not in day.times for i in day.frames):
        made.append(_timeless(words))
    return tuple(made)


TIMELESS = "no-time"
"""The key of the row, and of the passage, that holds frames without a time."""


def passage_frames(day: Matchday) -> dict[str, tuple[str, ...]]:
    """Frame ids by passage, in the order of the report; frames without time are one passage."""
    found = {p.id: p.frame_ids for p in day.passages}
    if timeless := tuple(i for i in day.frames if i not in day.times):
        found[TIMELESS] = timeless
    return found


def passage_of(day: Matchday, frame_id: str) -> str:
    """The passage that holds a frame."""
    return next(p for p, frames in passage_frames(day).items() if frame_id in frames)


def run_of(
    day: Matchday, passage_id: str, words: Wording, frame_ids: Sequence[str] | None = None
) -> Run:
    """A closed passage, of these frames where they are known already."""
    if frame_ids is None:
        frame_ids = passage_frames(day)[passage_id]
    best = sharpest_of(day, frame_ids)
    visible = shown(frame_ids, used_in(day, frame_ids), best)
    place = day.places.get(frame_ids[0])
    minute = _figure(day, place, words) if place else words("report.no-time")
    count = words.count("report.frames", len(frame_ids))
    facts = [count] if len(frame_ids) > MOST else []
    bodies = {day.frames[i].camera_id for i in frame_ids}
    if len(bodies) > 1:
        facts.append(words.count("report.cameras", len(bodies)))
    return Run(
        passage_id=passage_id,
        label=words("report.run-label", minute=minute, count=count),
        thumbs=tuple(thumb(day, i, best, errors_of(day, i, words), words) for i in visible),
        total=len(frame_ids),
        rest=len(frame_ids) - len(visible),
        first=first_to_open(day, frame_ids),
        facts=tuple(facts),
        doubts=_doubts(day, frame_ids, words),
    )


def first_to_open(day: Matchday, frame_ids: Sequence[str]) -> str:
    """The frame that opens first: the first in use, else the sharpest, else the first."""
    used = next((i for i in frame_ids if day.frames[i].decision is Decision.USE), None)
    return used or sharpest_of(day, frame_ids) or frame_ids[0]


def _doubts(day: Matchday, frame_ids: Sequence[str], words: Wording) -> str:
    said = dict.fromkeys(
        chain.from_iterable(day.places[i].doubts for i in frame_ids if i in day.places)
    )
    return words("report.not-sure", doubts="; ".join(map(words.told, said))) if said else ""


def _row_of_entry(day: Matchday, entry: Entry, drafts: dict[str, _Draft]) -> _Draft:
    happened = day.fold.when(entry).middle
    label = day.fold.minute_of(entry)
    if entry.kind is Kind.PERIOD_END:
        label = day.fold.label_at(instant(happened - timedelta(milliseconds=1)))
    elif entry.kind is Kind.KICK_OFF:
        label = day.fold.label_at(happened)
    state = day.fold.state_at(happened)
    if label is None:
        return _row_at(day, state, happened, drafts)
    return _labelled(day, label, entry.period, state.phase, happened, drafts)


def _row_at(day: Matchday, state: State, at: Instant, drafts: dict[str, _Draft]) -> _Draft:
    if state.label is not None:
        return _labelled(day, state.label, state.period, state.phase, at, drafts)
    local_s = seconds(at)
    slot = instant(at - timedelta(seconds=local_s % SLOT_S))
    key = f"{state.phase.name.lower()}-{slot:%Y%m%d%H%M}".replace("_", "-")
    draft = drafts.setdefault(
        key, _Draft(key, day.fold.clock.place_at(seconds(slot)), None, state.phase, slot)
    )
    draft.at = max(draft.at, day.fold.clock.place_at(local_s))
    return draft


def _labelled(
    day: Matchday,
    label: MinuteLabel,
    period: int | None,
    phase: Phase,
    at: Instant,
    drafts: dict[str, _Draft],
) -> _Draft:
    of_period, first, _ = day.fold.clock.label_places(label, period)
    key = f"p{of_period}-{label.minute}-{label.added}"
    return drafts.setdefault(key, _Draft(key, first, label, phase, at))


def _row(day: Matchday, draft: _Draft, words: Wording) -> Row:
    if draft.label is not None:
        figure = f"{draft.label}'"
        under = str(day.fold.state_at(draft.label).score)
    else:
        figure, zone = words.clock(draft.time, day.fixture.time_zone, seconds=False).split(" ", 1)
        under = words("report.zone-phase", zone=zone, phase=phase_words(draft.phase, words))
    return Row(
        key=draft.key,
        figure=figure,
        under=under,
        sentences=tuple(sentence(e, day, words) for e in _in_order(day, draft.entries)),
        passages=tuple(p.id for p in draft.passages),
    )


def _in_order(day: Matchday, entries: Iterable[Entry]) -> list[Entry]:
    when: Callable[[Entry], Instant] = lambda e: day.fold.when(e).middle  # noqa: E731
    return sorted(entries, key=when)


def _timeless(words: Wording) -> Row:
    return Row(
        key=TIMELESS,
        figure=words("report.no-time"),
        under=words("report.no-time-under"),
        sentences=(),
        passages=(TIMELESS,),
        say=words("report.no-time-say"),
    )


def _figure(day: Matchday, place: Place, words: Wording) -> str:
    if place.state.label is not None:
        return f"{place.state.label}'"
    return words.clock(place.at.middle, day.fixture.time_zone, seconds=False)
