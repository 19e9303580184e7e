"""What changed, for screens that show it live: a row a change, in the change's own transaction."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sqlalchemy import Connection, func, insert, select

from setpiece.store.tables import news
from setpiece.store.workspace import Workspace


class Topic(StrEnum):
    """What a change is about. The values are the event names of the page's event stream."""

    FIXTURE = "fixture"
    LOG = "log"
    FRAMES = "frames"
    CLOCKS = "clocks"
    CAPTIONS = "captions"
    DECISIONS = "decisions"
    OUTBOX = "outbox"
    DESKS = "desks"
    PLAN = "plan"


@dataclass(frozen=True, slots=True)
class News:
    """One change: its number, topic, and what it is about (a frame, an entry, a delivery)."""

    number: int
    match_id: int | None
    topic: Topic
    about: str


def tell(connection: Connection, match_id: int | None, topic: Topic, about: str) -> None:
    """Notes a change; call it inside the transaction that makes the change."""
    made = func.strftime("%Y-%m-%dT%H:%M:%fZ", "now")
    connection.execute(
        insert(news).values(match_id=match_id, topic=topic.value, about=about, made=made)
    )


def news_since(space: Workspace, number: int, *, most: int = 500) -> tuple[News, ...]:
    """The changes after that number, oldest first, at most `most`."""
    with space.reading() as connection:
        rows = connection.execute(
            select(news).where(news.c.id > number).order_by(news.c.id).limit(most)
        )
        return tuple(News(r.id, r.match_id, Topic(r.topic), r.about) for r in rows)


def newest_number(space: Workspace) -> int:
    """The number of the latest change, 0 when nothing changed yet."""
    with space.reading() as connection:
        return connection.execute(select(func.max(news.c.id))).scalar() or 0
