"""The table of cuttings: published uses that were found, and what a person said of them.

What was found is a JSON document, as in `tables.py`; frames are named in it without foreign keys.
Points, hashes and the search index are no tables: they can be made again (`picture_points.py`).
"""

from __future__ import annotations

from sqlalchemy import Column, Integer, Table, Text, UniqueConstraint

from setpiece.store.archive_tables import AFTER

cutting = Table(
    "cutting",
    AFTER,
    Column("number", Integer, primary_key=True),
    Column("content", Text, nullable=False),
    Column("part", Integer, nullable=False),  # page of a PDF, 0 otherwise
    Column("name", Text, nullable=False),
    Column("path", Text, nullable=False),
    Column("state", Text, nullable=False),
    Column("publication", Text, nullable=False),
    Column("found", Text, nullable=False),
    Column("entry", Integer),
    Column("reason", Text, nullable=False, default=""),
    Column("made", Text, nullable=False),
    Column("decided", Text, nullable=False, default=""),
    UniqueConstraint("content", "part"),
)
