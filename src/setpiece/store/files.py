"""Files in the workspace: every copy that was proved, and what is still waiting on a card.

What the camera wrote (`metadata`) is a document whose kind belongs to the room that makes it;
here it is text.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import PurePath

from sqlalchemy import delete, select, update
from sqlalchemy.dialects.sqlite import insert as upsert

from setpiece.frames.identity import FileFacts
from setpiece.match.instants import Instant
from setpiece.store.forms import from_json, to_json
from setpiece.store.matches import Match
from setpiece.store.news import Topic, tell
from setpiece.store.tables import file, waiting
from setpiece.store.workspace import Workspace


@dataclass(frozen=True, slots=True)
class StoredFile:
    """One file in the workspace. `path` is relative to the match's folder, with `/`.

    `protected` tells whether the camera had marked it; `metadata` is what the camera wrote.
    `modified_s` is the file's time on the card, in seconds since 1970 as the system told it.
    """

    content: str
    path: str
    name: str
    source: str
    kind: str
    size: int
    protected: bool
    facts: FileFacts
    metadata: str
    frame_id: str | None = None
    modified_s: float | None = None


@dataclass(frozen=True, slots=True)
class WaitingFile:
    """A file that was seen on a card and is not in the workspace yet.

    `facts` are those of its beginning: `content` there is no hash. `frame_id` is the id that
    its frame will have as far as can be told, and names its small picture.
    """

    source: str
    frame_id: str
    protected: bool
    facts: FileFacts


def add_file(space: Workspace, of: Match, value: StoredFile, at: Instant) -> None:
    """Notes a file that is verified on disk. The same content at the same place is one file."""
    add_files(space, of, [value], at)


def add_files(space: Workspace, of: Match, values: Sequence[StoredFile], at: Instant) -> None:
    """Notes files that are verified on disk, in one transaction; they wait no longer."""
    with space.writing() as connection:
        for value in values:
            connection.execute(
                upsert(file)
                .values(
                    match_id=of.id,
                    content=value.content,
                    path=value.path,
                    name=value.name,
                    source=value.source,
                    kind=value.kind,
                    size=value.size,
                    facts=to_json(value.facts),
                    metadata=value.metadata,
                    modified_s=value.modified_s,
                    protected=value.protected,
                    taken_in=at.isoformat(),
                )
                .on_conflict_do_nothing()
            )
        sources = [v.source for v in values]
        connection.execute(
            delete(waiting).where(waiting.c.match_id == of.id, waiting.c.source.in_(sources))
        )


def files_of(space: Workspace, of: Match) -> tuple[StoredFile, ...]:
    """Every file of a match in the order they were taken in."""
    with space.reading() as connection:
        rows = connection.execute(
            select(file).where(file.c.match_id == of.id).order_by(file.c.id)
        ).all()
    return tuple(
        StoredFile(
            r.content,
            r.path,
            r.name,
            r.source,
            r.kind,
            r.size,
            r.protected,
            from_json(FileFacts, r.facts),
            r.metadata,
            r.frame_id,
            r.modified_s,
        )
        for r in rows
    )


def mark_damaged(space: Workspace, of: Match, path: str) -> None:
    """Notes that the picture in a file of the workspace is not whole."""
    with space.writing() as connection:
        where = (file.c.match_id == of.id, file.c.path == path)
        for row in connection.execute(select(file.c.id, file.c.facts).where(*where)).all():
            facts = replace(from_json(FileFacts, row.facts), damaged=True)
            connection.execute(update(file).where(file.c.id == row.id).values(facts=to_json(facts)))


def save_waiting(
    space: Workspace, of: Match, values: Sequence[WaitingFile], *, instead_of: Iterable[str]
) -> None:
    """Keeps the first listing of a card, in place of what was seen under those sources before."""
    rows = [
        {
            "match_id": of.id,
            "source": v.source,
            "frame_id": v.frame_id,
            "protected": v.protected,
            "facts": to_json(v.facts),
        }
        for v in values
    ]
    with space.writing() as connection:
        seen = select(waiting.c.id, waiting.c.source).where(waiting.c.match_id == of.id)
        cards = [PurePath(source) for source in instead_of]
        for row in connection.execute(seen).all():
            if any(PurePath(row.source).is_relative_to(card) for card in cards):
                connection.execute(delete(waiting).where(waiting.c.id == row.id))
        if rows:
            connection.execute(upsert(waiting).on_conflict_do_nothing(), rows)
        tell(connection, of.id, Topic.FRAMES, "")


def no_longer_waiting(space: Workspace, of: Match, sources: Sequence[str]) -> None:
    """Forgets files that turned out to be known."""
    with space.writing() as connection:
        connection.execute(
            delete(waiting).where(waiting.c.match_id == of.id, waiting.c.source.in_(sources))
        )


def waiting_files(space: Workspace, of: Match) -> tuple[WaitingFile, ...]:
    """What was seen on cards and is not in the workspace yet, in the order it will be taken."""
    with space.reading() as connection:
        rows = connection.execute(
            select(waiting).where(waiting.c.match_id == of.id).order_by(waiting.c.id)
        ).all()
    return tuple(
        WaitingFile(r.source, r.frame_id, r.protected, from_json(FileFacts, r.facts)) for r in rows
    )
