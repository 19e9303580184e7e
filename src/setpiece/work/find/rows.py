"""The captioned frames of a match as the search index has them."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import UTC, datetime

from setpiece.captions.caption import Caption
from setpiece.errors import NotFound
from setpiece.match.instants import Instant, instant
from setpiece.match.names import folded, spellings
from setpiece.match.people import Side
from setpiece.match.state import State
from setpiece.pictures.metadata import CameraMetadata
from setpiece.store.frames import StoredFrame
from setpiece.store.search_index import SearchRow
from setpiece.work.find.situation_words import words_of_entries, words_of_state
from setpiece.work.find.words import as_score
from setpiece.work.matchday import CaptionOf, Matchday

_TURNED = range(5, 9)
"""EXIF orientations that lay a picture on its side."""


def rows_of(day: Matchday, only: Collection[str] = ()) -> Iterator[SearchRow]:
    """The rows of a match; of the frames `only` where it names any."""
    placed = day.match.fixture is not None and _has_sheet(day)
    for frame_id, known in day.captions.items():
        frame = day.frames.get(frame_id)
        if frame is not None and (not only or frame_id in only):
            yield _row(day, frame, known, placed)


def _has_sheet(day: Matchday) -> bool:
    try:
        return bool(day.sheet)
    except NotFound:
        return False


def _row(day: Matchday, frame: StoredFrame, known: CaptionOf, placed: bool) -> SearchRow:
    at = day.times.get(frame.id) if placed else None
    state = day.fold.state_at(at.middle) if at else None
    metadata = day.metadata[frame.id]
    return SearchRow(
        frame_id=frame.id,
        version=known.version,
        match_id=day.match.id,
        taken=at.middle if at else _about(day, frame),
        texts=_texts(day, known.caption, state),
        minute=state.label.minute if state and state.label else None,
        camera=day.letter_of(frame.id),
        lens=folded(metadata.lens),
        focal_length_mm=metadata.focal_length_mm,
        upright=is_upright(metadata),
    )


def is_upright(metadata: CameraMetadata) -> bool:
    """Whether a picture stands upright as it is looked at."""
    wide, high = metadata.width_px, metadata.height_px
    return wide > high if metadata.orientation in _TURNED else high > wide


def _about(day: Matchday, frame: StoredFrame) -> Instant:
    """A time for a frame whose true time is not known: the camera's, or the match's."""
    if day.match.fixture is not None:
        return day.match.fixture.kick_off
    if frame.camera_time is not None:
        return instant(frame.camera_time.reading.replace(tzinfo=UTC))
    return instant(datetime.fromisoformat(day.match.folder[:10]).replace(tzinfo=UTC))


def _texts(day: Matchday, caption: Caption, state: State | None) -> dict[str, str]:
    fields, fixture = caption.fields, day.match.fixture
    people = [p.name for p in fields.persons] + [p.name for p in caption.facts.people]
    sides = _sides(day, caption, people) if state else ()
    event = [fields.event_name, fields.city, fields.sublocation, fields.country]
    situation = ""
    if fixture is not None:
        event += [fixture.competition, fixture.stage, fixture.venue, fixture.home, fixture.away]
    if state is not None:
        entries = words_of_entries(caption.facts.entries, day.fold)
        situation = f"{words_of_state(state, sides)} {entries}"
    act = caption.reading.act if caption.reading else ""
    return {
        "words": _folded(fields.headline, fields.description, fields.alt_text),
        "people": _both(people),
        "sides": _both([day.sheet.side(s).name for s in sides]),
        "keywords": _folded(*fields.keywords, act),
        "event": _both(event),
        "situation": folded(situation),
    }


def _sides(day: Matchday, caption: Caption, people: Collection[str]) -> tuple[Side, ...]:
    """The sides whose people the picture shows; home first."""
    found = {p.side for p in caption.reading.people} if caption.reading else set()
    if caption.reading is None:
        found = {p.side for p in day.sheet.people if p.name in people}
    return tuple(side for side in Side if side in found)


def _folded(*texts: str) -> str:
    """Each word once: what counts is that it is there, and the order for phrases."""
    return " ".join(t for t in (folded(as_score(text)) for text in texts) if t)


def _both(names: Collection[str]) -> str:
    """Names without accents, and as two letters replace them, where that differs."""
    forms = dict.fromkeys(form for name in names if name for form in spellings(name))
    return " ".join(forms)
