"""The workspace: one folder with the database and one folder per match.

Every write is one short transaction, durable before it is answered (WAL, synchronous=FULL).
The server, the commands and the outbox may use it at once: a writer waits for another at most
`BUSY_S`, then Busy is raised and nothing was changed.
"""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DatabaseError, IntegrityError, OperationalError

from setpiece.errors import BadFile, Busy, GiveUp, NoSpace, NotFound, ReadOnly, WrongUse

DATABASE = "setpiece.db"
BUSY_S = 10.0
_NO_ROOM_BYTES = 64 * 1024  # less than the database needs beside it to be opened


class Workspace:
    """An open workspace. `create` makes one, `open` opens one; `close` when done."""

    def __init__(self, folder: Path, engine: Engine) -> None:
        self.folder = folder
        self._engine = engine

    @classmethod
    def create(cls, folder: Path) -> Workspace:
        """A new workspace in `folder`, which may exist but holds no workspace yet."""
        if (folder / DATABASE).exists():
            raise WrongUse(
                "this is a workspace already", thing=str(folder.resolve()), next_step="Use it."
            )
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise _no_place(folder, error) from error
        return cls._opened(folder)

    @classmethod
    def open(cls, folder: Path) -> Workspace:
        """The workspace in `folder`, brought up to this version's tables."""
        if not (folder / DATABASE).is_file():
            raise NotFound(
                "there is no workspace here",
                thing=str(folder.resolve()),
                next_step="Make one with `setpiece init`, or name it with --workspace.",
            )
        return cls._opened(folder)

    @classmethod
    def _opened(cls, folder: Path) -> Workspace:
        engine = create_engine(
            f"sqlite:///{folder / DATABASE}",
            connect_args={"timeout": BUSY_S, "isolation_level": None},
        )
        event.listen(engine, "connect", _prepare)
        event.listen(engine, "begin", _begin)
        space = cls(folder, engine)
        space._upgrade()
        return space

    def _upgrade(self) -> None:
        from alembic import command
        from alembic.config import Config
        from alembic.migration import MigrationContext
        from alembic.script import ScriptDirectory

        config = Config()
        config.set_main_option("script_location", "setpiece.store:migrations")
        with self.reading() as connection:
            at = MigrationContext.configure(connection).get_current_revision()
        newest = ScriptDirectory.from_config(config).get_current_head()
        if at == newest:
            return
        with self.writing() as connection:
            config.attributes["connection"] = connection
            command.upgrade(config, "head")

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one state of the workspace and changes nothing."""
        with self._translated(), self._engine.connect() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction that holds the writer's place; durable when the block ends."""
        with self._translated(), self._engine.connect() as connection:
            with connection.execution_options(setpiece_write=True).begin():
                yield connection

    @contextmanager
    def _translated(self) -> Iterator[None]:
        try:
            yield
        except (OperationalError, IntegrityError) as error:
            raise _trouble(self.folder, error) from error
        except DatabaseError as error:
            raise BadFile(
                f"the database cannot be read ({error.orig})",
                thing=str(self.folder / DATABASE),
                next_step="Keep the file; open a copy from the archive.",
            ) from error

    def close(self) -> None:
        """Lets go of the database."""
        self._engine.dispose()


def _prepare(connection: sqlite3.Connection, _record: Any) -> None:
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
        connection.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    write = connection.get_execution_options().get("setpiece_write", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")


def _no_place(folder: Path, error: OSError) -> GiveUp:
    return ReadOnly(
        f"the folder cannot be made ({error.strerror})",
        thing=str(folder),
        next_step="Choose a place you can write to.",
    )


def _trouble(folder: Path, error: DatabaseError) -> Exception:
    words, thing = str(error.orig), str(folder.resolve())
    if "locked" in words or "busy" in words:
        return Busy("another Setpiece is writing", thing=thing, next_step="Try again.")
    if "full" in words or _is_full(folder):
        return NoSpace(
            "the disk is full", thing=thing, next_step="Free some space and run it again."
        )
    if "readonly" in words or "unable to open" in words or "read-only" in words:
        return ReadOnly(
            "the workspace cannot be written",
            thing=thing,
            next_step="Check the folder's permissions, or use another place.",
        )
    return GiveUp(f"the database said: {words}", thing=thing, next_step="Run `setpiece doctor`.")


def _is_full(folder: Path) -> bool:
    """Whether the disk has no room left: the database calls that an I/O error at times."""
    try:
        return shutil.disk_usage(folder).free < _NO_ROOM_BYTES
    except OSError:
        return False
