"""Archive, search and books: the tables of what comes after the match."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the tables and the search index."""
    op.create_table(
        "archive_copy",
        sa.Column("root_id", sa.Integer(), nullable=False),
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.Column("device", sa.Text(), nullable=False),
        sa.Column("files", sa.Integer(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("news", sa.Integer(), nullable=False),
        sa.Column("checked", sa.Text(), nullable=False),
        sa.Column("wrong", sa.Integer(), nullable=False),
        sa.Column("scrub_began", sa.Text(), nullable=False),
        sa.Column("scrub_at", sa.Text(), nullable=False),
        sa.Column("scrub_found", sa.Text(), nullable=False),
        sa.UniqueConstraint("root_id", "match_id", name="uq_archive_copy_root_id_match_id"),
    )
    op.create_table(
        "archive_root",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("folder", sa.Text(), nullable=False),
        sa.Column("elsewhere", sa.Boolean(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_archive_root"),
        sa.UniqueConstraint("folder", name="uq_archive_root_folder"),
    )
    op.create_table(
        "book_entry",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("day", sa.Text(), nullable=False),
        sa.Column("desk", sa.Text(), nullable=False),
        sa.Column("frame_id", sa.Text(), nullable=False),
        sa.Column("reverses", sa.Integer(), nullable=True),
        sa.Column("entry", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_book_entry"),
        sa.UniqueConstraint("reverses", name="uq_book_entry_reverses"),
    )
    op.create_index("ix_book_entry_day", "book_entry", ["day"])
    op.create_index("ix_book_entry_frame_id", "book_entry", ["frame_id"])
    op.create_table(
        "book_party",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("party", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_book_party"),
    )
    op.create_table(
        "book_rate",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("rate", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_book_rate"),
    )
    op.create_table(
        "find_read",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("news", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_find_read"),
    )
    op.create_table(
        "find_row",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("frame_id", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("live", sa.Boolean(), nullable=False),
        sa.Column("taken", sa.Text(), nullable=False),
        sa.Column("minute", sa.Integer(), nullable=True),
        sa.Column("camera", sa.Text(), nullable=False),
        sa.Column("lens", sa.Text(), nullable=False),
        sa.Column("focal_length_mm", sa.Float(), nullable=True),
        sa.Column("upright", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_find_row"),
    )
    op.create_index("ix_find_row_dead", "find_row", ["id"], sqlite_where=sa.text("live IS 0"))
    op.create_index("ix_find_row_frame_id", "find_row", ["frame_id"])
    op.create_index("ix_find_row_match_id", "find_row", ["match_id"])
    op.create_table(
        "find_word",
        sa.Column("word", sa.Text(), nullable=False),
        sa.Column("letters", sa.Integer(), nullable=False),
        sa.Column("rows", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("word", name="pk_find_word"),
    )
    op.create_index("ix_find_word_letters", "find_word", ["letters"])
    op.create_table(
        "invoice",
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("series", sa.Text(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("invoice", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_invoice"),
        sa.UniqueConstraint("series", "place", name="uq_invoice_series_place"),
    )
    op.create_table(
        "saved_search",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("search", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_saved_search"),
    )
    op.create_table(
        "statement",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("desk", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("mapping", sa.Text(), nullable=False),
        sa.Column("path", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.Column("booked", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_statement"),
        sa.UniqueConstraint("content", name="uq_statement_content"),
    )
    op.create_table(
        "statement_mapping",
        sa.Column("desk", sa.Text(), nullable=False),
        sa.Column("mapping", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("desk", name="pk_statement_mapping"),
    )
    op.execute(
        "CREATE VIRTUAL TABLE find_index USING fts5("
        "words, people, sides, keywords, event, situation, content='', "
        "tokenize='unicode61 remove_diacritics 0')"
    )
