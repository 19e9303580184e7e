"""What the photographer said of passages by hand, in the order in which it was said."""

from __future__ import annotations

from sqlalchemy import delete, func, insert, select

from setpiece.errors import NotFound
from setpiece.frames.passages import Joined, Pin, Pinned, Split
from setpiece.match.instants import Instant
from setpiece.store.forms import from_json, to_json
from setpiece.store.matches import Match
from setpiece.store.news import Topic, tell
from setpiece.store.tables import passage_pin
from setpiece.store.workspace import Workspace

_KINDS: dict[str, type[Pin]] = {"split": Split, "joined": Joined, "pinned": Pinned}


def add_pin(space: Workspace, of: Match, pin: Pin, at: Instant) -> None:
    """Keeps one thing said by hand."""
    kind = next(name for name, form in _KINDS.items() if isinstance(pin, form))
    with space.writing() as connection:
        connection.execute(
            insert(passage_pin).values(
                match_id=of.id, kind=kind, pin=to_json(pin), made=at.isoformat()
            )
        )
        tell(connection, of.id, Topic.FRAMES, "passages")


def pins_of(space: Workspace, of: Match) -> tuple[Pin, ...]:
    """Everything said by hand of a match's passages."""
    with space.reading() as connection:
        rows = connection.execute(
            select(passage_pin).where(passage_pin.c.match_id == of.id).order_by(passage_pin.c.id)
        ).all()
    return tuple(from_json(_KINDS[r.kind], r.pin) for r in rows)


def take_back_pin(space: Workspace, of: Match) -> Pin:
    """Takes back the newest thing said by hand, and gives it. Raises NotFound."""
    pins = pins_of(space, of)
    if not pins:
        raise NotFound("nothing was said of passages by hand", thing=of.folder)
    newest = select(func.max(passage_pin.c.id)).where(passage_pin.c.match_id == of.id)
    with space.writing() as connection:
        connection.execute(delete(passage_pin).where(passage_pin.c.id == newest.scalar_subquery()))
        tell(connection, of.id, Topic.FRAMES, "passages")
    return pins[-1]
