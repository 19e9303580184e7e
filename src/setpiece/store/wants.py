"""Wants of a match, and the choices of its plan; both are documents of the room of plans."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import insert, select, update
from sqlalchemy.dialects.sqlite import insert as upsert

from setpiece.errors import NotFound
from setpiece.match.instants import Instant
from setpiece.store.matches import Match
from setpiece.store.news import Topic, tell
from setpiece.store.plan_tables import match_plan, want
from setpiece.store.workspace import Workspace


@dataclass(frozen=True, slots=True)
class StoredWant:
    """One want, as JSON of the plan's own kind."""

    number: int
    text: str


def add_want(space: Workspace, of: Match, text: str, at: Instant) -> StoredWant:
    """A new want."""
    with space.writing() as connection:
        made = connection.execute(
            insert(want).values(match_id=of.id, want=text, made=at.isoformat())
        )
        number = int(made.inserted_primary_key[0])  # type: ignore[index]
        tell(connection, of.id, Topic.PLAN, f"w{number}")
    return StoredWant(number, text)


def wants_of(space: Workspace, of: Match) -> tuple[StoredWant, ...]:
    """The wants that stand, in the order they came."""
    with space.reading() as connection:
        rows = connection.execute(
            select(want)
            .where(want.c.match_id == of.id, want.c.struck.is_(False))
            .order_by(want.c.id)
        ).all()
    return tuple(StoredWant(r.id, r.want) for r in rows)


def change_want(space: Workspace, of: Match, number: int, text: str) -> None:
    """Replaces what a want says. Raises NotFound."""
    _change(space, of, number, want=text)


def strike_want(space: Workspace, of: Match, number: int, *, struck: bool = True) -> None:
    """Strikes a want, or takes that back. Raises NotFound."""
    _change(space, of, number, struck=struck)


def _change(space: Workspace, of: Match, number: int, **values: object) -> None:
    with space.writing() as connection:
        done = connection.execute(
            update(want).where(want.c.id == number, want.c.match_id == of.id).values(**values)
        )
        if not done.rowcount:
            raise NotFound("this match has no such want", thing=str(number))
        tell(connection, of.id, Topic.PLAN, f"w{number}")


def plan_text(space: Workspace, of: Match) -> str:
    """The plan's choices as they were kept last, empty before."""
    with space.reading() as connection:
        found = connection.execute(
            select(match_plan.c.plan).where(match_plan.c.match_id == of.id)
        ).scalar()
    return found or ""


def change_plan_text(
    space: Workspace, of: Match, change: Callable[[str], str], at: Instant
) -> None:
    """Changes the plan's choices in one transaction: `change` gets what is kept, gives the new."""
    with space.writing() as connection:
        kept = connection.execute(
            select(match_plan.c.plan).where(match_plan.c.match_id == of.id)
        ).scalar()
        values = {"plan": change(kept or ""), "made": at.isoformat()}
        connection.execute(
            upsert(match_plan)
            .values(match_id=of.id, **values)
            .on_conflict_do_update(index_elements=["match_id"], set_=values)
        )
        tell(connection, of.id, Topic.PLAN, "")
