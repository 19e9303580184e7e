"""Which captioned frames a search means, best first or newest first.

What it asks is the index of `search_index.py`. An engine shared by several photographers would
answer the same questions in its place.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import Connection, Row, func, select

from setpiece.match.instants import Instant, instant
from setpiece.store.archive_tables import find_word
from setpiece.store.search_index import row_number
from setpiece.store.tables import caption, frame, match
from setpiece.store.workspace import Workspace

COUNTED_AT_MOST = 20_000
"""More hits than this are not counted."""

_WEIGHTS = (1.0, 4.0, 2.0, 2.0, 1.0, 3.0)


@dataclass(frozen=True, slots=True)
class Condition:
    """What a frame must be beside its words; None and empty ask for nothing.

    `since` and `until` are included; `cameras` are letters; `lens` a part of its name, folded.
    """

    since: Instant | None = None
    until: Instant | None = None
    minutes: tuple[int, int] | None = None
    cameras: tuple[str, ...] = ()
    lens: str = ""
    focal_length_mm: tuple[float, float] | None = None
    upright: bool | None = None
    match_ids: tuple[int, ...] = ()
    in_set: bool = False
    delivered_to: tuple[str, ...] = ()
    published: bool | None = None
    delivered: bool | None = None


@dataclass(frozen=True, slots=True)
class FoundRow:
    """A frame that was found."""

    frame_id: str
    version: int
    match_id: int
    taken: str
    minute: int | None


@dataclass(frozen=True, slots=True)
class FoundRows:
    """The first of what was found. `total` is None for more than `COUNTED_AT_MOST`."""

    rows: tuple[FoundRow, ...] = ()
    total: int | None = 0
    newest_first: bool = False


@dataclass(frozen=True, slots=True)
class Shown:
    """What is shown of a found frame; `caption` is the document of the version it was found by."""

    folder: str
    handle: str
    best_file: str
    decision: str
    caption: str


def shown(space: Workspace, rows: Sequence[FoundRow]) -> tuple[Shown, ...]:
    """What is shown of found frames, in their order."""
    wanted = (
        select(
            match.c.folder, frame.c.handle, frame.c.best_file, frame.c.decision, caption.c.caption
        )
        .join(frame, frame.c.match_id == match.c.id)
        .join(caption, caption.c.frame_id == frame.c.id)
    )
    with space.reading() as connection:
        read = [
            connection.execute(
                wanted.where(frame.c.id == row.frame_id, caption.c.version == row.version)
            ).one()
            for row in rows
        ]
    return tuple(Shown(*r) for r in read)


def rows_with(space: Workspace, word: str) -> int:
    """In how many rows a word stands; rows that no longer count are included."""
    wanted = select(find_word.c.rows).where(find_word.c.word == word)
    with space.reading() as connection:
        return connection.execute(wanted).scalar() or 0


def beginning_with(space: Workspace, word: str, most: int) -> tuple[dict[str, int], int]:
    """Indexed words that begin so, at most so many, and the rows of all of them together."""
    so = (find_word.c.word >= word) & (find_word.c.word < word + "\U0010ffff")
    with space.reading() as connection:
        rows = connection.execute(
            select(find_word.c.word, find_word.c.rows).where(so).limit(most)
        ).all()
        every: int = connection.execute(
            select(func.coalesce(func.sum(find_word.c.rows), 0)).where(so)
        ).scalar_one()
    return {r.word: r.rows for r in rows}, every


def words_of_length(space: Workspace, shortest: int, longest: int) -> list[str]:
    """Every indexed word of such a length."""
    wanted = select(find_word.c.word).where(find_word.c.letters.between(shortest, longest))
    with space.reading() as connection:
        return list(connection.execute(wanted).scalars())


def search(
    space: Workspace, expression: str, condition: Condition, *, most: int, ranked: bool = False
) -> FoundRows:
    """The first `most` frames that meet an FTS5 expression ("" asks for no words) and condition.

    They come newest first, or best first where `ranked`: that weighs a word by how rare it is,
    for which the index reads every row that has it.
    """
    where, values = _where(condition)
    with space.reading() as connection:
        if not expression:
            hits = f"SELECT r.id AS id FROM find_row r WHERE r.live {where} ORDER BY r.id DESC"
            return _newest(connection, hits, values, most)
        values["match"] = expression
        reach = _reach(condition, values, "find_index.rowid")
        if not ranked:
            joined = "JOIN find_row r ON r.id = find_index.rowid " if where else ""
            hits = (
                f"SELECT find_index.rowid AS id FROM find_index {joined}"
                f"WHERE find_index MATCH :match {reach} {where} ORDER BY find_index.rowid DESC"
            )
            return _newest(connection, hits, values, most)
        weights = ", ".join(map(str, _WEIGHTS))
        rows = connection.exec_driver_sql(
            f"WITH hit AS MATERIALIZED (SELECT rowid AS id, bm25(find_index, {weights}) AS score "
            f"FROM find_index WHERE find_index MATCH :match {reach}) "
            f"SELECT {_FOUND}, count(*) OVER () AS total "
            f"FROM hit JOIN find_row r ON r.id = hit.id WHERE r.live {where} "
            f"ORDER BY hit.score, r.id DESC LIMIT {int(most)}",
            values,
        ).all()
    return FoundRows(tuple(map(_found, rows)), rows[0].total if rows else 0)


_FOUND = "r.frame_id, r.version, r.match_id, r.taken, r.minute"


def _newest(
    connection: Connection, hits: str, values: Mapping[str, object], most: int
) -> FoundRows:
    """The newest of the row numbers that `hits` selects, newest first, and how many there are.

    Rows that no longer count are few and told by an index of their own.
    """
    rows = connection.exec_driver_sql(
        f"WITH hit AS MATERIALIZED ({hits} LIMIT {max(COUNTED_AT_MOST, most) + 1} "
        "+ (SELECT count(*) FROM find_row WHERE live IS 0)), "
        "dead AS MATERIALIZED (SELECT id FROM find_row WHERE live IS 0), "
        "live AS MATERIALIZED (SELECT id FROM hit WHERE id NOT IN (SELECT id FROM dead)) "
        f"SELECT {_FOUND}, (SELECT count(*) FROM live) AS total FROM "
        f"(SELECT id FROM live ORDER BY id DESC LIMIT {int(most)}) JOIN find_row r USING (id) "
        "ORDER BY id DESC",
        dict(values),
    ).all()
    total = rows[0].total if rows else 0
    return FoundRows(
        tuple(map(_found, rows)), total if total <= COUNTED_AT_MOST else None, newest_first=True
    )


def _found(row: Row[tuple[object, ...]]) -> FoundRow:
    r = row._mapping
    return FoundRow(r["frame_id"], r["version"], r["match_id"], r["taken"], r["minute"])


def _reach(condition: Condition, values: dict[str, object], column: str) -> str:
    """The stretch of row numbers that a stretch of time is."""
    parts = []
    for name, at, sign in (("since", condition.since, ">="), ("until", condition.until, "<=")):
        if at is not None:
            later = timedelta(seconds=1 if name == "until" else 0)
            values[f"row_{name}"] = row_number(instant(at + later))
            parts.append(f"AND {column} {sign} :row_{name}")
    return " ".join(parts)


def _where(condition: Condition) -> tuple[str, dict[str, object]]:
    """The SQL of a condition on `r`, and its values."""
    c, values = condition, dict[str, object]()
    parts = [_reach(c, values, "r.id")]
    for name, sql in (("since", "r.taken >= :since"), ("until", "r.taken <= :until")):
        if (at := getattr(c, name)) is not None:
            values[name] = at.isoformat()
            parts.append(f"AND {sql}")
    if c.minutes:
        values["first_minute"], values["last_minute"] = c.minutes
        parts.append("AND r.minute BETWEEN :first_minute AND :last_minute")
    if c.focal_length_mm:
        values["shortest_mm"], values["longest_mm"] = c.focal_length_mm
        parts.append("AND r.focal_length_mm BETWEEN :shortest_mm AND :longest_mm")
    if c.lens:
        values["lens"] = c.lens
        parts.append("AND instr(r.lens, :lens)")
    if c.upright is not None:
        parts.append("AND r.upright" if c.upright else "AND NOT r.upright")
    for column, wanted in (("camera", c.cameras), ("match_id", c.match_ids)):
        if wanted:
            parts.append(f"AND r.{column} IN ({_named(column, wanted, values)})")
    if c.in_set:
        parts.append("AND (SELECT decision FROM frame WHERE id = r.frame_id) = 'use'")
    if c.delivered_to:
        parts.append(_DELIVERED.format("", _named("desk", c.delivered_to, values)))
    if c.delivered is not None:
        negated = "" if c.delivered else "NOT "
        parts.append(_DELIVERED.format(negated, "SELECT name FROM desk"))
    if c.published is not None:
        parts.append(_PUBLISHED.format("" if c.published else "NOT "))
    return " ".join(filter(None, parts)), values


_DELIVERED = (
    "AND {}EXISTS (SELECT 1 FROM delivery d WHERE d.desk IN ({}) "
    "AND d.frame_id = r.frame_id AND d.state = 'delivered')"
)
_PUBLISHED = (
    "AND {}EXISTS (SELECT 1 FROM book_entry b WHERE b.frame_id = r.frame_id AND b.kind = 'use' "
    "AND NOT EXISTS (SELECT 1 FROM book_entry x WHERE x.reverses = b.number))"
)


def _named(name: str, wanted: Sequence[object], values: dict[str, object]) -> str:
    keys = [f"{name}_{i}" for i in range(len(wanted))]
    values.update(zip(keys, wanted, strict=True))
    return ", ".join(f":{k}" for k in keys)
