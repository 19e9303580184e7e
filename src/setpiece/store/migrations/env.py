"""Runs the chain of changes on the connection that the workspace hands over."""

from __future__ import annotations

from alembic import context

from setpiece.store.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,
    transaction_per_migration=True,
)
with context.begin_transaction():
    context.run_migrations()
