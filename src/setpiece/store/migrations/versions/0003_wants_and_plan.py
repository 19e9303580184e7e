"""Wants and the plan's choices: what was decided before the match."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make the two tables."""
    op.create_table(
        "want",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("want", sa.Text(), nullable=False),
        sa.Column("struck", sa.Boolean(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["match_id"], ["match.id"], name="fk_want_match_id"),
        sa.PrimaryKeyConstraint("id", name="pk_want"),
    )
    op.create_table(
        "match_plan",
        sa.Column("match_id", sa.Integer(), nullable=False),
        sa.Column("plan", sa.Text(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["match_id"], ["match.id"], name="fk_match_plan_match_id"),
        sa.PrimaryKeyConstraint("match_id", name="pk_match_plan"),
    )
