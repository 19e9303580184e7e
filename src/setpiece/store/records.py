"""The workspace's tables as text: one JSON object a row, one file a table (JSON Lines).

What a match's archive needs to give the database back: its own rows, and every row of the tables
that they lean on. Rows that belong to no match are a record of their own.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from sqlalchemy import Connection

from setpiece.errors import BadFile
from setpiece.store.archive_tables import AFTER
from setpiece.store.bag import safe
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace

LEFT_OUT: Mapping[str, str] = MappingProxyType(
    {
        "news": "what changed, for open screens; nothing is open in a rebuilt workspace",
        "waiting": "what was seen on cards and not taken in; the next run of taking in sees it",
        "archive_copy": "written after each archive; asked of the roots again",
        "find_row": "the search index; made again from captions",
        "find_word": "the search index; made again from captions",
        "find_read": "how far the search index has read; made again",
    }
)
"""Tables that no record holds, and why."""

LEANED_ON = ("camera", "desk", "copy_place")
"""Tables of the whole workspace that a match's rows point to."""

PLACES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "match": ("folder", "folder_was"),
        "frame": ("best_file",),
        "file": ("path",),
        "delivery": ("path",),
        "statement": ("path",),
        "cutting": ("path",),
    }
)
"""Columns that name a place in the workspace: what is read and sent lies inside it."""

_WIDE = frozenset(t.name for t in AFTER.sorted_tables)
"""Tables that belong to no match although they may name a frame: the ledger's."""


def tables(connection: Connection) -> dict[str, frozenset[str]]:
    """Every table that is recorded, whoever made it, with its columns.

    Virtual tables and what they keep beside them are indexes, made again from the others.
    """
    rows = connection.exec_driver_sql(
        "SELECT name, sql FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
    ).all()
    virtual = tuple(str(r.name) for r in rows if str(r.sql).startswith("CREATE VIRTUAL"))
    shadows = tuple(f"{name}_" for name in virtual)
    return {
        name: _columns(connection, name)
        for name in sorted(str(r.name) for r in rows)
        if name not in (*virtual, *LEFT_OUT, "alembic_version") and not name.startswith(shadows)
    }


def _columns(connection: Connection, name: str) -> frozenset[str]:
    info = connection.exec_driver_sql(f'PRAGMA table_info("{name}")')
    return frozenset(str(r[1]) for r in info)


def match_records(space: Workspace, of: Match) -> dict[str, str]:
    """The text of each table's rows that belong to a match, or that it leans on."""
    with space.reading() as connection:
        return {
            name: _text(connection, name, where, {"match": of.id} if where else {})
            for name, columns in tables(connection).items()
            if (where := _of_match(name, columns)) or name in LEANED_ON
        }


def workspace_records(space: Workspace) -> dict[str, str]:
    """The text of each table's rows that belong to no match."""
    with space.reading() as connection:
        return {
            name: _text(connection, name, "", {})
            for name, columns in tables(connection).items()
            if not _of_match(name, columns)
        }


def _of_match(name: str, columns: frozenset[str]) -> str:
    """The condition for a match's rows; empty for a table of the whole workspace."""
    if name in _WIDE:
        return ""
    if name == "match":
        return "id = :match"
    if "match_id" in columns:
        return "match_id = :match"
    if "frame_id" in columns:
        return "frame_id IN (SELECT id FROM frame WHERE match_id = :match)"
    if "file_id" in columns:
        return "file_id IN (SELECT id FROM file WHERE match_id = :match)"
    return ""


def _text(connection: Connection, name: str, where: str, values: Mapping[str, int]) -> str:
    condition = f" WHERE {where}" if where else ""
    sql = f'SELECT * FROM "{name}"{condition} ORDER BY rowid'
    rows = connection.exec_driver_sql(sql, dict(values)).mappings()
    return "".join(json.dumps(dict(r), ensure_ascii=False) + "\n" for r in rows)


def put_records(connection: Connection, records: Mapping[str, str]) -> dict[str, int]:
    """Puts recorded rows into a database; a row that is there already stays. Counts new rows.

    Keys must not be checked row by row. Raises BadFile for a record that does not fit the tables.
    """
    known = tables(connection)
    added = {}
    for name in records:
        if name not in known:
            raise _unfit(name, "there is no such table")
        added[name] = sum(_put(connection, name, known[name], row) for row in _rows(name, records))
    return added


def _rows(name: str, records: Mapping[str, str]) -> Iterable[dict[str, object]]:
    for line in records[name].split("\n"):
        if not line:
            continue
        try:
            row = json.loads(line)
        except json.JSONDecodeError as error:
            raise _unfit(name, f"a row cannot be read ({error})") from error
        if not isinstance(row, dict):
            raise _unfit(name, "a row is no JSON object")
        yield row


def _put(
    connection: Connection, name: str, columns: frozenset[str], row: Mapping[str, object]
) -> int:
    if strange := set(row) - columns:
        raise _unfit(name, f"there is no column {sorted(strange)[0]!r}")
    for column in PLACES.get(name, ()):
        place = row.get(column)
        if place and not (isinstance(place, str) and safe(place)):
            raise _unfit(name, f"{place!r} is no place inside a workspace")
    names = ", ".join(f'"{c}"' for c in row)
    marks = ", ".join("?" for _ in row)
    sql = f'INSERT INTO "{name}" ({names}) VALUES ({marks}) ON CONFLICT DO NOTHING'
    return connection.exec_driver_sql(sql, tuple(row.values())).rowcount


def _unfit(name: str, why: str) -> BadFile:
    return BadFile(
        f"this record does not fit: {why}",
        thing=f"{name}.jsonl",
        next_step="It may come from a newer Setpiece: install that, or use another copy.",
    )
