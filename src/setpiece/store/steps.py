"""When each step of a frame's way was done: taken in, chosen, captioned. For the debrief."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select

from setpiece.match.instants import Instant, instant
from setpiece.store.matches import Match
from setpiece.store.news import Topic
from setpiece.store.tables import caption, frame, news
from setpiece.store.workspace import Workspace


@dataclass(frozen=True, slots=True)
class Steps:
    """Instants by frame id; captions by frame id and version.

    `chosen` is the first decision on a frame. It is known from the news, which a rebuilt
    workspace has not: there it is empty.
    """

    taken_in: Mapping[str, Instant]
    chosen: Mapping[str, Instant]
    captioned: Mapping[tuple[str, int], Instant]


def steps_of(space: Workspace, of: Match) -> Steps:
    """The steps of every frame of a match."""
    decided = news.c.match_id == of.id, news.c.topic == Topic.DECISIONS.value
    with space.reading() as connection:
        taken = connection.execute(
            select(frame.c.id, frame.c.taken_in).where(frame.c.match_id == of.id)
        ).all()
        chosen = connection.execute(
            select(news.c.about, func.min(news.c.made)).where(*decided).group_by(news.c.about)
        ).all()
        written = connection.execute(
            select(caption.c.frame_id, caption.c.version, caption.c.made)
            .join(frame, frame.c.id == caption.c.frame_id)
            .where(frame.c.match_id == of.id)
        ).all()
    return Steps(
        {i: _instant(at) for i, at in taken},
        {i: _instant(at) for i, at in chosen},
        {(i, version): _instant(at) for i, version, at in written},
    )


def _instant(text: str) -> Instant:
    return instant(datetime.fromisoformat(text))
