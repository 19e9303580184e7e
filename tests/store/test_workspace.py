"""The workspace's folder, its transactions and its troubles."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from sqlalchemy import insert, select

from setpiece.errors import BadFile, Busy, NotFound, WrongUse
from setpiece.store import workspace as module
from setpiece.store.tables import METADATA, desk
from setpiece.store.workspace import DATABASE, Workspace

ROW = {"name": "City", "address": "{}", "style": "x", "made": "2027"}


def test_every_table_is_made_by_the_chain_of_changes(space: Workspace) -> None:
    """The tables in the database are those of the table list, column by column."""
    with sqlite3.connect(space.folder / DATABASE) as raw:
        for table in METADATA.sorted_tables:
            columns = {row[1] for row in raw.execute(f"PRAGMA table_info({table.name})")}
            assert columns == {c.name for c in table.columns}, table.name
    raw.close()


def test_a_write_is_durable_and_foreign_keys_hold(space: Workspace) -> None:
    """The database runs in WAL with full synchronisation and checks foreign keys."""
    with space.reading() as connection:
        for pragma, value in (("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1)):
            assert connection.exec_driver_sql(f"PRAGMA {pragma}").scalar() == value


def test_a_failed_transaction_changes_nothing(space: Workspace) -> None:
    """An error inside a writing block takes back all that the block did."""

    def fail() -> None:
        with space.writing() as connection:
            connection.execute(insert(desk).values(ROW))
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fail()
    with space.reading() as connection:
        assert connection.execute(select(desk)).first() is None


def test_a_second_writer_is_told_when_the_first_stays_too_long(
    space: Workspace, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While one writer holds the place another gets Busy after the busy timeout."""
    monkeypatch.setattr(module, "BUSY_S", 0.2)
    other = Workspace.open(space.folder)
    with space.writing(), pytest.raises(Busy), other.writing():
        pass
    other.close()


def test_two_writers_take_turns(space: Workspace) -> None:
    """Writers in two threads both finish, one after the other."""

    def write(name: str) -> None:
        for i in range(10):
            with space.writing() as connection:
                connection.execute(insert(desk).values({**ROW, "name": f"{name}{i}"}))

    threads = [threading.Thread(target=write, args=(n,)) for n in "ab"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with space.reading() as connection:
        assert len(connection.execute(select(desk)).all()) == 20


def test_a_killed_writer_leaves_what_was_answered_and_nothing_else(space: Workspace) -> None:
    """After SIGKILL in the middle of a transaction the committed row is there, the other not."""
    program = f"""
import os, signal
from pathlib import Path
from sqlalchemy import insert
from setpiece.store.tables import desk
from setpiece.store.workspace import Workspace
space = Workspace.open(Path({str(space.folder)!r}))
row = {ROW!r}
with space.writing() as c:
    c.execute(insert(desk).values({{**row, "name": "kept"}}))
with space.writing() as c:
    c.execute(insert(desk).values({{**row, "name": "lost"}}))
    os.kill(os.getpid(), getattr(signal, "SIGKILL", signal.SIGTERM))
"""
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode != 0
    with space.reading() as connection:
        assert connection.execute(select(desk.c.name)).scalars().all() == ["kept"]


def test_a_workspace_is_made_once_and_must_be_there_to_be_opened(tmp_path: Path) -> None:
    """Making it twice is wrong use, opening none says how to make one."""
    Workspace.create(tmp_path).close()
    with pytest.raises(WrongUse):
        Workspace.create(tmp_path)
    with pytest.raises(NotFound, match="setpiece init"):
        Workspace.open(tmp_path / "elsewhere")


def test_a_database_that_is_none_is_said_to_be(tmp_path: Path) -> None:
    """Random bytes under the database's name end in a sentence that keeps the file."""
    (tmp_path / DATABASE).write_bytes(b"no database, just words" * 100)
    with pytest.raises(BadFile, match="cannot be read"):
        Workspace.open(tmp_path)
