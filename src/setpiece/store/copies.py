"""Places where a further copy of every file is kept, and which files are there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import delete, select
from sqlalchemy.dialects.sqlite import insert as upsert

from setpiece.errors import NotFound
from setpiece.match.instants import Instant
from setpiece.store.matches import Match
from setpiece.store.tables import copy_place, file, file_copy
from setpiece.store.workspace import Workspace


@dataclass(frozen=True, slots=True)
class CopyPlace:
    """A folder on another drive that holds a further copy of every file taken in."""

    id: int
    folder: Path


@dataclass(frozen=True, slots=True)
class ToCopy:
    """A file of the workspace that a place does not hold yet. `path` is as in `StoredFile`."""

    file_id: int
    path: str
    content: str


def add_place(space: Workspace, folder: Path, at: Instant) -> CopyPlace:
    """Sets a place for further copies; one that is set already is left as it is."""
    with space.writing() as connection:
        connection.execute(
            upsert(copy_place)
            .values(folder=str(folder), made=at.isoformat())
            .on_conflict_do_nothing()
        )
        number: int = connection.execute(
            select(copy_place.c.id).where(copy_place.c.folder == str(folder))
        ).scalar_one()
    return CopyPlace(number, folder)


def places(space: Workspace) -> tuple[CopyPlace, ...]:
    """Every place that is set, in the order they were set."""
    with space.reading() as connection:
        rows = connection.execute(select(copy_place).order_by(copy_place.c.id)).all()
    return tuple(CopyPlace(r.id, Path(r.folder)) for r in rows)


def forget_place(space: Workspace, folder: Path) -> None:
    """A place is no longer one; the files there stay. Raises NotFound."""
    with space.writing() as connection:
        number = connection.execute(
            select(copy_place.c.id).where(copy_place.c.folder == str(folder))
        ).scalar()
        if number is None:
            raise NotFound(
                "no further copy is kept there",
                thing=str(folder),
                next_step="`setpiece copies list` shows where.",
            )
        connection.execute(delete(file_copy).where(file_copy.c.place_id == number))
        connection.execute(delete(copy_place).where(copy_place.c.id == number))


def not_there_yet(space: Workspace, of: Match, place: CopyPlace) -> tuple[ToCopy, ...]:
    """The files of a match that a place does not hold yet, in the order they were taken in."""
    there = select(file_copy.c.file_id).where(file_copy.c.place_id == place.id)
    with space.reading() as connection:
        rows = connection.execute(
            select(file.c.id, file.c.path, file.c.content)
            .where(file.c.match_id == of.id, file.c.id.not_in(there))
            .order_by(file.c.id)
        ).all()
    return tuple(ToCopy(r.id, r.path, r.content) for r in rows)


def add_copies(
    space: Workspace, place: CopyPlace, copied: Sequence[tuple[int, str]], at: Instant
) -> None:
    """Notes copies that were proved: each as the file's number and its path at the place."""
    rows = [
        {"file_id": number, "place_id": place.id, "path": path, "made": at.isoformat()}
        for number, path in copied
    ]
    if rows:
        with space.writing() as connection:
            connection.execute(upsert(file_copy).on_conflict_do_nothing(), rows)


def drop_copies(space: Workspace, place: CopyPlace, of: Match, paths: Sequence[str]) -> None:
    """Forgets copies that turned out not to be there, so that they are made again."""
    numbers = select(file.c.id).where(file.c.match_id == of.id, file.c.path.in_(paths))
    with space.writing() as connection:
        connection.execute(
            delete(file_copy).where(
                file_copy.c.place_id == place.id, file_copy.c.file_id.in_(numbers)
            )
        )


def copies_at(space: Workspace, of: Match, place: CopyPlace) -> dict[str, str]:
    """Where a place holds the files of a match: path there by path in the match's folder."""
    with space.reading() as connection:
        rows = connection.execute(
            select(file.c.path, file_copy.c.path.label("there"))
            .join(file_copy, file_copy.c.file_id == file.c.id)
            .where(file.c.match_id == of.id, file_copy.c.place_id == place.id)
        ).all()
    return {r.path: r.there for r in rows}
