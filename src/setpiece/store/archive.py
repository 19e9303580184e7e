"""The archive in the workspace: its roots, what each holds of each match, and how it was found.

How far a scrub came is kept, so that one that was stopped goes on.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import ColumnElement, Row, and_, delete, func, select, update
from sqlalchemy.dialects.sqlite import insert as upsert

from setpiece.errors import NotFound
from setpiece.match.instants import Instant
from setpiece.store.archive_tables import archive_copy, archive_root
from setpiece.store.bag import Harm, Harmed
from setpiece.store.tables import news
from setpiece.store.workspace import Workspace

NO_MATCH = 0
"""Stands in place of a match for what belongs to none: settings, desks, the ledger."""


@dataclass(frozen=True, slots=True)
class Root:
    """A folder that holds the archive. `elsewhere`: it is kept at another place."""

    id: int
    folder: Path
    elsewhere: bool


@dataclass(frozen=True, slots=True)
class ArchiveCopy:
    """What a root holds of a match.

    `made` is when it was last brought up to date, `checked` when every file was last read and
    held against its hash ("" never), `wrong` how many were not as listed then and still are.
    `device` tells drives apart, as the system named them then; `news` is the newest piece of news
    that was known, so that what changed since is seen.
    """

    root_id: int
    match_id: int
    made: str
    device: str
    files: int
    size: int
    news: int
    checked: str
    wrong: int


@dataclass(frozen=True, slots=True)
class Scrub:
    """A scrub on its way: begun when, every path up to `at` was read, what was found so far."""

    began: str
    at: str = ""
    found: tuple[Harmed, ...] = ()


def add_root(space: Workspace, folder: Path, at: Instant, *, elsewhere: bool) -> Root:
    """Sets a folder as a root of the archive; a known one may change where it is kept."""
    values = {"folder": str(folder), "elsewhere": elsewhere, "made": at.isoformat()}
    with space.writing() as connection:
        connection.execute(
            upsert(archive_root)
            .values(values)
            .on_conflict_do_update(index_elements=["folder"], set_={"elsewhere": elsewhere})
        )
        number: int = connection.execute(
            select(archive_root.c.id).where(archive_root.c.folder == str(folder))
        ).scalar_one()
    return Root(number, folder, elsewhere)


def roots(space: Workspace) -> tuple[Root, ...]:
    """Every root in the order they were set."""
    with space.reading() as connection:
        rows = connection.execute(select(archive_root).order_by(archive_root.c.id)).all()
    return tuple(Root(r.id, Path(r.folder), r.elsewhere) for r in rows)


def forget_root(space: Workspace, folder: Path) -> None:
    """A folder is no longer a root; what is in it stays. Raises NotFound."""
    with space.writing() as connection:
        number = connection.execute(
            select(archive_root.c.id).where(archive_root.c.folder == str(folder))
        ).scalar()
        if number is None:
            raise NotFound(
                "the archive has no such root",
                thing=str(folder),
                next_step="`setpiece archive state` shows them.",
            )
        connection.execute(delete(archive_copy).where(archive_copy.c.root_id == number))
        connection.execute(delete(archive_root).where(archive_root.c.id == number))


def note_copy(
    space: Workspace,
    root: Root,
    match_id: int,
    at: Instant,
    *,
    device: str,
    files: int,
    size: int,
    news: int,
) -> None:
    """Notes what a root holds of a match; every file was read back as it was written."""
    values = {
        "made": at.isoformat(),
        "device": device,
        "files": files,
        "size": size,
        "news": news,
    }
    with space.writing() as connection:
        connection.execute(
            upsert(archive_copy)
            .values(
                root_id=root.id,
                match_id=match_id,
                checked="",
                wrong=0,
                scrub_began="",
                scrub_at="",
                scrub_found="[]",
                **values,
            )
            .on_conflict_do_update(index_elements=["root_id", "match_id"], set_=values)
        )


def copies_of(space: Workspace, match_id: int | None = None) -> tuple[ArchiveCopy, ...]:
    """What every root holds, of one match or of all."""
    wanted = select(archive_copy).order_by(archive_copy.c.match_id, archive_copy.c.root_id)
    if match_id is not None:
        wanted = wanted.where(archive_copy.c.match_id == match_id)
    with space.reading() as connection:
        return tuple(_copy(r) for r in connection.execute(wanted).all())


def _copy(row: Row[tuple[object, ...]]) -> ArchiveCopy:
    r = row._mapping
    return ArchiveCopy(
        r["root_id"],
        r["match_id"],
        r["made"],
        r["device"],
        r["files"],
        r["size"],
        r["news"],
        r["checked"],
        r["wrong"],
    )


def newest_news(space: Workspace) -> dict[int, int]:
    """The number of the latest change of each match, and of what belongs to none."""
    number = func.coalesce(news.c.match_id, NO_MATCH)
    with space.reading() as connection:
        rows = connection.execute(select(number, func.max(news.c.id)).group_by(number)).all()
    return {int(r[0]): int(r[1]) for r in rows}


def scrub_of(space: Workspace, root: Root, match_id: int) -> Scrub | None:
    """The scrub of a root's copy that was not finished, None when there is none."""
    with space.reading() as connection:
        row = connection.execute(select(archive_copy).where(_which(root, match_id))).first()
    if row is None or not row.scrub_began:
        return None
    found = tuple(Harmed(path, Harm(harm)) for path, harm in json.loads(row.scrub_found))
    return Scrub(row.scrub_began, row.scrub_at, found)


def keep_scrub(space: Workspace, root: Root, match_id: int, scrub: Scrub) -> None:
    """Keeps how far a scrub came."""
    found = json.dumps([(h.path, h.harm.value) for h in scrub.found])
    _set(
        space,
        root,
        match_id,
        {"scrub_began": scrub.began, "scrub_at": scrub.at, "scrub_found": found},
    )


def end_scrub(space: Workspace, root: Root, match_id: int, at: Instant, wrong: int) -> None:
    """Notes that every file was read, and how many were not as listed."""
    _set(
        space,
        root,
        match_id,
        {
            "checked": at.isoformat(),
            "wrong": wrong,
            "scrub_began": "",
            "scrub_at": "",
            "scrub_found": "[]",
        },
    )


def _set(space: Workspace, root: Root, match_id: int, values: dict[str, object]) -> None:
    with space.writing() as connection:
        connection.execute(update(archive_copy).where(_which(root, match_id)).values(values))


def _which(root: Root, match_id: int) -> ColumnElement[bool]:
    return and_(archive_copy.c.root_id == root.id, archive_copy.c.match_id == match_id)
