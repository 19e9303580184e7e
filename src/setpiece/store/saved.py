"""Saved searches; what is searched is a document of the jobs' room."""

from __future__ import annotations

from sqlalchemy import delete, select
from sqlalchemy.dialects.sqlite import insert as upsert

from setpiece.errors import NotFound
from setpiece.match.instants import Instant
from setpiece.store.archive_tables import saved_search as table
from setpiece.store.workspace import Workspace


def save_search(space: Workspace, name: str, text: str, at: Instant) -> None:
    """Keeps a search under a name, in place of one that had it."""
    values = {"search": text, "made": at.isoformat()}
    with space.writing() as connection:
        connection.execute(
            upsert(table)
            .values(name=name, **values)
            .on_conflict_do_update(index_elements=["name"], set_=values)
        )


def saved_searches(space: Workspace) -> dict[str, str]:
    """Every saved search by name."""
    with space.reading() as connection:
        rows = connection.execute(select(table).order_by(table.c.name)).all()
    return {r.name: r.search for r in rows}


def saved_search(space: Workspace, name: str) -> str:
    """The search of that name. Raises NotFound with the names there are."""
    known = saved_searches(space)
    if name not in known:
        names = ", ".join(known)
        raise NotFound(
            "no search was saved under that name",
            thing=name,
            next_step=f"Known: {names}." if names else "Save one with --save NAME.",
        )
    return known[name]


def delete_search(space: Workspace, name: str) -> None:
    """Forgets a saved search. Raises NotFound."""
    saved_search(space, name)
    with space.writing() as connection:
        connection.execute(delete(table).where(table.c.name == name))
