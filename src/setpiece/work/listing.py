"""The frames of a match as rows: passage, place in the match, sharpness, decision."""

from __future__ import annotations

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from setpiece.store.frames import Decision
from setpiece.work.intake.doubts import date_doubt, setting_doubts
from setpiece.work.matchday import Matchday


@dataclass(frozen=True, slots=True)
class FrameRow:
    """One frame in a list. `minute` is empty outside play; `words` says what is to be known."""

    id: str
    handle: str
    passage: str
    local_time: str
    phase: str
    minute: str
    score: str
    decision: str
    sharpest: bool
    damaged: bool
    protected: bool
    captioned: bool
    words: str


def listed(
    day: Matchday, *, around: str | None = None, only_set: bool = False
) -> tuple[FrameRow, ...]:
    """Rows by passage in order of true time; frames without a time stand last."""
    rows = []
    seen: set[str] = set()
    for passage in day.passages:
        seen.update(passage.frame_ids)
        if around is None or around in passage.frame_ids:
            rows += [_row(day, i, passage.id) for i in passage.frame_ids]
    if around is None:
        rows += [_row(day, i, "") for i in day.frames if i not in seen]
    return tuple(r for r in rows if not only_set or r.decision == Decision.USE)


def _row(day: Matchday, frame_id: str, passage: str) -> FrameRow:
    frame = day.frames[frame_id]
    place = day.places.get(frame_id)
    rank = day.ranks.get(frame_id)
    look = day.looks.get(frame_id)
    words = [look.why if look else "not looked at yet", rank.reason if rank else ""]
    words += list(place.doubts) if place else ["no camera time"]
    words += [frame.note, *setting_doubts(day.metadata[frame_id])]
    words += [date_doubt(place.at, day.fixture)] if place else []
    zone = ZoneInfo(day.fixture.time_zone)
    label = place.state.label if place else None
    return FrameRow(
        id=frame_id,
        handle=frame.handle,
        passage=passage,
        local_time=f"{place.at.middle.astimezone(zone):%H:%M:%S.%f}"[:-4] if place else "",
        phase=place.state.phase.value if place else "",
        minute=str(label) if label else "",
        score=str(place.state.score) if place else "",
        decision=frame.decision.value,
        sharpest=bool(rank and rank.rank == 1),
        damaged=frame.damaged,
        protected=frame.protected,
        captioned=frame_id in day.captions,
        words="; ".join(w for w in words if w),
    )
