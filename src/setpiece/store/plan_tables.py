"""The tables of what was planned for a match: single wants, and the plan's choices."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, ForeignKey, Integer, Table, Text

from setpiece.store.tables import METADATA

want = Table(
    "want",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("match_id", Integer, ForeignKey("match.id"), nullable=False),
    Column("want", Text, nullable=False),
    Column("struck", Boolean, nullable=False, default=False),
    Column("made", Text, nullable=False),
)

match_plan = Table(
    "match_plan",
    METADATA,
    Column("match_id", Integer, ForeignKey("match.id"), primary_key=True),
    Column("plan", Text, nullable=False),
    Column("made", Text, nullable=False),
)
