"""The tables of what comes after the match, and what is recorded of them."""

from __future__ import annotations

import sqlite3

from setpiece.store.archive_tables import AFTER
from setpiece.store.records import LEANED_ON, LEFT_OUT, tables
from setpiece.store.tables import METADATA
from setpiece.store.workspace import DATABASE, Workspace


def test_every_table_after_the_match_is_made_by_the_chain(space: Workspace) -> None:
    """The tables in the database are those of the list, column by column, and no others."""
    with sqlite3.connect(space.folder / DATABASE) as raw:
        for table in AFTER.sorted_tables:
            columns = {row[1] for row in raw.execute(f"PRAGMA table_info({table.name})")}
            assert columns == {c.name for c in table.columns}, table.name
    raw.close()


def test_every_table_is_recorded_or_left_out_for_a_reason(space: Workspace) -> None:
    """No table of the database, whoever made it, is lost in the archive without a word."""
    with space.reading() as connection:
        recorded = set(tables(connection))
    every = {t.name for m in (METADATA, AFTER) for t in m.sorted_tables}
    assert every <= recorded | LEFT_OUT.keys()
    assert not recorded & LEFT_OUT.keys()
    assert not [name for name in recorded if name.startswith("find_index")]
    assert recorded >= set(LEANED_ON)
    assert all(LEFT_OUT.values())
