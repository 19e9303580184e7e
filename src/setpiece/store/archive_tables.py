"""The tables of what comes after the match: archive, search, books.

They have a list of their own; `migrations/versions` makes them after the first tables. Frames
and matches are named by their identifiers without foreign keys: what was published and paid
outlives a frame that was taken in anew. What belongs together is a JSON document, as in
`tables.py`.
"""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    Column,
    Float,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

from setpiece.store.tables import METADATA as FIRST

AFTER = MetaData(naming_convention=FIRST.naming_convention)

# ----- archive -----

archive_root = Table(
    "archive_root",
    AFTER,
    Column("id", Integer, primary_key=True),
    Column("folder", Text, nullable=False, unique=True),
    Column("elsewhere", Boolean, nullable=False, default=False),
    Column("made", Text, nullable=False),
)

archive_copy = Table(
    "archive_copy",
    AFTER,
    Column("root_id", Integer, nullable=False),
    Column("match_id", Integer, nullable=False),  # 0: what belongs to no match
    Column("made", Text, nullable=False),
    Column("device", Text, nullable=False),
    Column("files", Integer, nullable=False),
    Column("size", Integer, nullable=False),
    Column("news", Integer, nullable=False),
    Column("checked", Text, nullable=False, default=""),
    Column("wrong", Integer, nullable=False, default=0),
    Column("scrub_began", Text, nullable=False, default=""),
    Column("scrub_at", Text, nullable=False, default=""),
    Column("scrub_found", Text, nullable=False, default="[]"),
    UniqueConstraint("root_id", "match_id"),
)

# ----- search: the index itself, `find_index`, is a virtual table made by the chain -----

find_row = Table(
    "find_row",
    AFTER,
    Column("id", Integer, primary_key=True),  # grows with the time of the picture
    Column("frame_id", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("match_id", Integer, nullable=False),
    Column("digest", Text, nullable=False),
    Column("live", Boolean, nullable=False),
    Column("taken", Text, nullable=False),
    Column("minute", Integer),
    Column("camera", Text, nullable=False),
    Column("lens", Text, nullable=False),
    Column("focal_length_mm", Float),
    Column("upright", Boolean, nullable=False),
    Index(None, "frame_id"),
    Index(None, "match_id"),
)
Index("ix_find_row_dead", find_row.c.id, sqlite_where=find_row.c.live.is_(False))

find_word = Table(
    "find_word",
    AFTER,
    Column("word", Text, primary_key=True),
    Column("letters", Integer, nullable=False),
    Column("rows", Integer, nullable=False),
    Index(None, "letters"),
)

find_read = Table(
    "find_read",
    AFTER,
    Column("id", Integer, primary_key=True),
    Column("news", Integer, nullable=False),
)

saved_search = Table(
    "saved_search",
    AFTER,
    Column("name", Text, primary_key=True),
    Column("search", Text, nullable=False),
    Column("made", Text, nullable=False),
)

# ----- books -----

book_entry = Table(
    "book_entry",
    AFTER,
    Column("number", Integer, primary_key=True),
    Column("kind", Text, nullable=False),
    Column("day", Text, nullable=False),
    Column("desk", Text, nullable=False, default=""),
    Column("frame_id", Text, nullable=False, default=""),
    Column("reverses", Integer, unique=True),
    Column("entry", Text, nullable=False),
    Column("made", Text, nullable=False),
    Index(None, "day"),
    Index(None, "frame_id"),
)

book_party = Table(
    "book_party",
    AFTER,
    Column("name", Text, primary_key=True),  # "" is the photographer
    Column("party", Text, nullable=False),
    Column("made", Text, nullable=False),
)

book_rate = Table(
    "book_rate",
    AFTER,
    Column("id", Integer, primary_key=True),
    Column("kind", Text, nullable=False),  # card, mileage
    Column("rate", Text, nullable=False),
    Column("made", Text, nullable=False),
)

statement = Table(
    "statement",
    AFTER,
    Column("id", Integer, primary_key=True),
    Column("desk", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("content", Text, nullable=False, unique=True),
    Column("mapping", Text, nullable=False),
    Column("path", Text, nullable=False),
    Column("made", Text, nullable=False),
    Column("booked", Text, nullable=False, default=""),
)

statement_mapping = Table(
    "statement_mapping",
    AFTER,
    Column("desk", Text, primary_key=True),
    Column("mapping", Text, nullable=False),
    Column("made", Text, nullable=False),
)

invoice = Table(
    "invoice",
    AFTER,
    Column("number", Text, primary_key=True),
    Column("series", Text, nullable=False),
    Column("place", Integer, nullable=False),
    Column("invoice", Text, nullable=False),
    Column("made", Text, nullable=False),
    UniqueConstraint("series", "place"),
)
