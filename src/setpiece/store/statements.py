"""Payment statements in the workspace: how each desk's are read, and which were booked."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import insert, select, update
from sqlalchemy.dialects.sqlite import insert as upsert

from setpiece.books.entries import Content
from setpiece.books.statements import StatementForm
from setpiece.errors import NotFound, WrongUse
from setpiece.match.instants import Instant
from setpiece.store.archive_tables import statement, statement_mapping
from setpiece.store.books import put_entry
from setpiece.store.forms import from_json, to_json
from setpiece.store.workspace import Workspace

AddEntry = Callable[[Content, datetime.date], int]
"""Adds an entry of the statement's desk and gives its number."""


@dataclass(frozen=True, slots=True)
class StoredStatement:
    """A statement that was read. `path` is its file in the workspace, `booked` when it counted."""

    id: int
    desk: str
    name: str
    content: str
    form: StatementForm
    path: str
    booked: str


def save_form(space: Workspace, desk: str, form: StatementForm, at: Instant) -> None:
    """Remembers how a desk's statements are read."""
    values = {"mapping": to_json(form), "made": at.isoformat()}
    with space.writing() as connection:
        connection.execute(
            upsert(statement_mapping)
            .values(desk=desk, **values)
            .on_conflict_do_update(index_elements=["desk"], set_=values)
        )


def form_of(space: Workspace, desk: str) -> StatementForm | None:
    """How a desk's statements are read, None before the first."""
    wanted = select(statement_mapping.c.mapping).where(statement_mapping.c.desk == desk)
    with space.reading() as connection:
        text = connection.execute(wanted).scalar()
    return from_json(StatementForm, text) if text else None


def add_statement(
    space: Workspace,
    desk: str,
    name: str,
    content: str,
    form: StatementForm,
    path: str,
    at: Instant,
) -> StoredStatement:
    """Keeps a statement; the same file again is the same one, read by the newer form.

    Raises WrongUse when it was booked.
    """
    values = {"mapping": to_json(form), "made": at.isoformat()}
    with space.writing() as connection:
        known = connection.execute(select(statement).where(statement.c.content == content)).first()
        if known is not None and known.booked:
            raise WrongUse(
                f"this statement was booked on {known.booked[:10]}",
                thing=f"{name} (statement {known.id})",
                next_step="Reverse its payments first if that was wrong.",
            )
        if known is not None:
            connection.execute(
                update(statement).where(statement.c.id == known.id).values(desk=desk, **values)
            )
            number = int(known.id)
        else:
            made = connection.execute(
                insert(statement).values(
                    desk=desk, name=name, content=content, path=path, booked="", **values
                )
            )
            number = int(made.inserted_primary_key[0])  # type: ignore[index]
    return StoredStatement(number, desk, name, content, form, path, "")


def statements_of(space: Workspace) -> tuple[StoredStatement, ...]:
    """Every statement in the order it came."""
    with space.reading() as connection:
        rows = connection.execute(select(statement).order_by(statement.c.id)).all()
    return tuple(
        StoredStatement(
            r.id, r.desk, r.name, r.content, from_json(StatementForm, r.mapping), r.path, r.booked
        )
        for r in rows
    )


def find_statement(space: Workspace, number: int) -> StoredStatement:
    """The statement of that number. Raises NotFound."""
    for found in statements_of(space):
        if found.id == number:
            return found
    raise NotFound(
        "there is no such statement",
        thing=str(number),
        next_step="`setpiece ledger statement list` shows them.",
    )


def book(
    space: Workspace,
    of: StoredStatement,
    entries: Callable[[AddEntry], None],
    at: Instant,
) -> None:
    """Books a statement in one transaction: all of its entries, and that it was booked.

    `entries` is handed a way to add an entry that gives its number. Raises WrongUse
    when it was booked before.
    """
    with space.writing() as connection:
        booked = connection.execute(
            select(statement.c.booked).where(statement.c.id == of.id)
        ).scalar_one()
        if booked:
            raise WrongUse(f"this statement was booked on {booked[:10]}", thing=of.name)
        entries(lambda content, day: put_entry(connection, day, of.desk, content, at).number)
        connection.execute(
            update(statement).where(statement.c.id == of.id).values(booked=at.isoformat())
        )
