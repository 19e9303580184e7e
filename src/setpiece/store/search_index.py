"""Bringing captions into the search index, and how far it was brought.

An FTS5 table without a copy of the text (SQLite 3.40's features only) and one row a frame with
what is filtered by. A changed caption gets a new row and the old one no longer counts, since
such a table cannot take words out again without being told them. A row's number grows with the
time of its picture, so that newest first needs no sorting.

Texts come in folded (`match.names.folded`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

import xxhash
from sqlalchemy import Connection, func, insert, select, update
from sqlalchemy.dialects.sqlite import insert as upsert

from setpiece.match.instants import Instant, instant
from setpiece.store.archive_tables import find_read, find_row, find_word
from setpiece.store.workspace import Workspace

COLUMNS = ("words", "people", "sides", "keywords", "event", "situation")
"""What is searched, in the order of the index."""

_EPOCH = instant(datetime(2000, 1, 1, tzinfo=UTC))
_SLOTS_PER_S = 16


def row_number(at: Instant) -> int:
    """The first row number of a second."""
    return int((at - _EPOCH).total_seconds()) * _SLOTS_PER_S


@dataclass(frozen=True, slots=True)
class SearchRow:
    """A captioned frame as it is searched. `texts` are folded, by column; missing ones empty."""

    frame_id: str
    version: int
    match_id: int
    taken: Instant
    texts: Mapping[str, str]
    minute: int | None = None
    camera: str = ""
    lens: str = ""
    focal_length_mm: float | None = None
    upright: bool = False


def put_rows(space: Workspace, match_id: int, rows: Sequence[SearchRow], *, whole: bool) -> int:
    """Brings rows into the index in one transaction; how many were new or had changed.

    With `whole` they are all there are of the match: what else is indexed no longer counts.
    """
    with space.writing() as connection:
        of_match = select(find_row.c.id, find_row.c.frame_id, find_row.c.digest).where(
            find_row.c.match_id == match_id, find_row.c.live.is_(True)
        )
        known = {r.frame_id: (r.id, r.digest) for r in connection.execute(of_match)}
        changed = [
            (row, digest)
            for row in rows
            if known.get(row.frame_id, (0, ""))[1] != (digest := _digest(row))
        ]
        gone = [known[row.frame_id][0] for row, _ in changed if row.frame_id in known]
        if whole:
            gone += [known[i][0] for i in known.keys() - {row.frame_id for row in rows}]
        for number in gone:
            connection.execute(update(find_row).where(find_row.c.id == number).values(live=False))
        for row, digest in changed:
            _add(connection, row, digest)
        _learn(connection, (row for row, _ in changed))
    return len(changed)


def _digest(row: SearchRow) -> str:
    facts = (row.version, row.match_id, row.minute, row.camera, row.lens, row.focal_length_mm)
    parts = [repr((*facts, row.upright)), *(row.texts.get(c, "") for c in COLUMNS)]
    return xxhash.xxh3_64_hexdigest("\0".join(parts))


def _add(connection: Connection, row: SearchRow, digest: str) -> None:
    number = row_number(row.taken)
    while connection.execute(select(find_row.c.id).where(find_row.c.id == number)).first():
        number += 1
    connection.execute(
        insert(find_row).values(
            id=number,
            frame_id=row.frame_id,
            version=row.version,
            match_id=row.match_id,
            digest=digest,
            live=True,
            taken=row.taken.isoformat(),
            minute=row.minute,
            camera=row.camera,
            lens=row.lens,
            focal_length_mm=row.focal_length_mm,
            upright=row.upright,
        )
    )
    connection.exec_driver_sql(_INSERT, (number, *(row.texts.get(c, "") for c in COLUMNS)))


_INSERT = f"INSERT INTO find_index(rowid, {', '.join(COLUMNS)}) VALUES (?{', ?' * len(COLUMNS)})"


def _learn(connection: Connection, rows: Iterable[SearchRow]) -> None:
    """Counts in how many rows each word stands."""
    found = Counter(
        word for row in rows for word in {w for text in row.texts.values() for w in text.split()}
    )
    if found:
        statement = upsert(find_word)
        added = {"rows": find_word.c.rows + statement.excluded.rows}
        connection.execute(
            statement.on_conflict_do_update(index_elements=["word"], set_=added),
            [{"word": w, "letters": len(w), "rows": n} for w, n in sorted(found.items())],
        )


def forget_all(space: Workspace) -> None:
    """Empties the index, so that it is made again."""
    with space.writing() as connection:
        connection.exec_driver_sql("INSERT INTO find_index(find_index) VALUES ('delete-all')")
        for table in (find_row, find_word, find_read):
            connection.execute(table.delete())


def tidy_index(space: Workspace) -> None:
    """Merges the index into one piece: smaller and quicker after many rows came."""
    with space.writing() as connection:
        connection.exec_driver_sql("INSERT INTO find_index(find_index) VALUES ('optimize')")


def read_up_to(space: Workspace) -> int | None:
    """The number of the news up to which the index was brought, None before the first time."""
    with space.reading() as connection:
        return connection.execute(select(find_read.c.news)).scalar()


def note_read(space: Workspace, news: int) -> None:
    """Notes the news up to which the index was brought."""
    with space.writing() as connection:
        connection.execute(
            upsert(find_read)
            .values(id=1, news=news)
            .on_conflict_do_update(index_elements=["id"], set_={"news": news})
        )


def counts(space: Workspace) -> tuple[int, int]:
    """How many frames the index holds, and how many rows no longer count."""
    wanted = select(find_row.c.live, func.count()).group_by(find_row.c.live)
    with space.reading() as connection:
        by_live = {bool(r[0]): int(r[1]) for r in connection.execute(wanted)}
    return by_live.get(True, 0), by_live.get(False, 0)
