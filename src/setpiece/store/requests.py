"""What desks rang for. What exactly was wanted is a document of the jobs' room."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sqlalchemy import insert, select, update

from setpiece.errors import NotFound
from setpiece.match.instants import Instant
from setpiece.store.matches import Match
from setpiece.store.news import Topic, tell
from setpiece.store.tables import request
from setpiece.store.workspace import Workspace


class Stage(StrEnum):
    """Where a request stands: answered means queued, closed means that the desk has it."""

    OPEN = "open"
    ANSWERED = "answered"
    CLOSED = "closed"
    DECLINED = "declined"


@dataclass(frozen=True, slots=True)
class StoredRequest:
    """One request; `words` say how it ended."""

    id: int
    desk: str
    wanted: str
    stage: Stage
    made: str
    words: str = ""


def add_request(space: Workspace, of: Match, desk: str, wanted: str, at: Instant) -> StoredRequest:
    """A new request, open."""
    with space.writing() as connection:
        made = connection.execute(
            insert(request).values(
                match_id=of.id,
                desk=desk,
                wanted=wanted,
                state=Stage.OPEN.value,
                made=at.isoformat(),
            )
        )
        number = int(made.inserted_primary_key[0])  # type: ignore[index]
        tell(connection, of.id, Topic.OUTBOX, f"r{number}")
    return StoredRequest(number, desk, wanted, Stage.OPEN, at.isoformat())


def requests_of(space: Workspace, of: Match) -> tuple[StoredRequest, ...]:
    """Every request of the match in the order they came."""
    with space.reading() as connection:
        rows = connection.execute(
            select(request).where(request.c.match_id == of.id).order_by(request.c.id)
        ).all()
    return tuple(
        StoredRequest(r.id, r.desk, r.wanted, Stage(r.state), r.made, r.words) for r in rows
    )


def find_request(space: Workspace, of: Match, number: int) -> StoredRequest:
    """The request with that number. Raises NotFound."""
    for found in requests_of(space, of):
        if found.id == number:
            return found
    raise NotFound(
        "there is no such request", thing=f"r{number}", next_step="See `setpiece request list`."
    )


def move_request(space: Workspace, of: Match, number: int, stage: Stage, words: str = "") -> None:
    """Notes how far a request is."""
    with space.writing() as connection:
        connection.execute(
            update(request).where(request.c.id == number).values(state=stage.value, words=words)
        )
        tell(connection, of.id, Topic.OUTBOX, f"r{number}")
