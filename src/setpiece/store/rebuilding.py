"""A database made again from its records, whatever versions of the tables they were written under.

It is built beside its place and gets its name when it is whole.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, create_engine
from sqlalchemy.exc import DatabaseError

from setpiece.errors import BadFile, GiveUp, WrongUse
from setpiece.store.copying import sync_folder, writing
from setpiece.store.records import put_records
from setpiece.store.workspace import DATABASE, Workspace

_BESIDE = ".rebuilding"


@dataclass(frozen=True, slots=True)
class Recorded:
    """The records of one bag: the text of each table, and the version of the tables."""

    name: str
    revision: str
    records: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Built:
    """How many rows each table got, and rows that point to something no record holds."""

    rows: Mapping[str, int]
    dangling: tuple[str, ...]


def revision_of(space: Workspace) -> str:
    """The version of the workspace's tables."""
    with space.reading() as connection:
        found = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()
    return str(found)


def build_database(folder: Path, recorded: Sequence[Recorded]) -> Built:
    """Makes the database of `folder` from records. Raises WrongUse where there is one.

    Of two rows with the same key the earlier bag's stays. Records of older tables are put into
    those and brought up to date by the chain of changes, as the workspace itself would have been.
    """
    if (folder / DATABASE).exists():
        raise WrongUse(
            "there is a database here already",
            thing=str(folder),
            next_step="Rebuild into another folder, or move that database away first.",
        )
    order = _revisions()
    unknown = [r for r in recorded if r.revision not in order]
    if unknown:
        raise GiveUp(
            f"it was written by another version of Setpiece (tables {unknown[0].revision!r})",
            thing=unknown[0].name,
            next_step="Install the newest Setpiece and run it again.",
        )
    beside = folder / _BESIDE
    with writing(folder):
        shutil.rmtree(beside, ignore_errors=True)
        beside.mkdir(parents=True)
    try:
        built = _build(beside, recorded, order)
        with writing(folder):
            (beside / DATABASE).rename(folder / DATABASE)
            sync_folder(folder)
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return built


def _build(beside: Path, recorded: Sequence[Recorded], order: Sequence[str]) -> Built:
    rows: dict[str, int] = {}
    for revision in order:
        fitting = [r for r in recorded if r.revision == revision]
        if fitting:
            with _at_revision(beside / DATABASE, revision) as connection:
                for record in fitting:
                    for table, count in _put(connection, record).items():
                        rows[table] = rows.get(table, 0) + count
    space = Workspace.open(beside) if (beside / DATABASE).exists() else Workspace.create(beside)
    try:
        with space.reading() as connection:
            checked = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
            connection.rollback()
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    finally:
        space.close()
    dangling = sorted({f"{r[0]} points to a {r[2]} that no record holds" for r in checked})
    return Built(rows, tuple(dangling))


def _put(connection: Connection, record: Recorded) -> dict[str, int]:
    try:
        return put_records(connection, record.records)
    except DatabaseError as error:
        raise BadFile(
            f"a row of its record does not fit ({error.orig})",
            thing=record.name,
            next_step="Use another copy of the archive.",
        ) from error


def _revisions() -> list[str]:
    """Every version of the tables, oldest first."""
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", "setpiece.store:migrations")
    walked = ScriptDirectory.from_config(config).walk_revisions()
    return [script.revision for script in walked][::-1]


@contextmanager
def _at_revision(path: Path, revision: str) -> Iterator[Connection]:
    """A transaction on a database whose tables are of that version; keys are checked later."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", "setpiece.store:migrations")
    engine = create_engine(f"sqlite:///{path}")
    try:
        with engine.begin() as connection:
            config.attributes["connection"] = connection
            command.upgrade(config, revision)
        with engine.begin() as connection:
            yield connection
    finally:
        engine.dispose()
