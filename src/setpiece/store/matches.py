"""Matches in the workspace: fixture, team sheets, the log."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace
from pathlib import Path

from sqlalchemy import Connection, func, insert, select, update

from setpiece.errors import Choices, NotFound, WrongUse
from setpiece.match.entries import Entry, EntryId
from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant
from setpiece.match.people import TeamSheet
from setpiece.store.forms import from_json, to_json
from setpiece.store.news import Topic, tell
from setpiece.store.tables import entry, match, sheet
from setpiece.store.workspace import Workspace

PLACES = ("frames", "set", "sent", "plan", "debrief")
"""The folders a person finds in a match's folder."""


@dataclass(frozen=True, slots=True)
class Match:
    """One match of the workspace. `fixture` is None for frames taken in before it was made."""

    id: int
    folder: str
    fixture: Fixture | None


def folder_name(date: str, *names: str) -> str:
    """`<date>-<home>-<away>` in letters that every file system takes."""
    plain = (unicodedata.normalize("NFKD", n).encode("ascii", "ignore").decode() for n in names)
    slugs = (re.sub(r"[^a-z0-9]+", "-", p.lower()).strip("-") for p in plain)
    return "-".join([date, *(s[:24].strip("-") or "side" for s in slugs)])


def matches(space: Workspace) -> tuple[Match, ...]:
    """All matches, newest folder first."""
    with space.reading() as connection:
        rows = connection.execute(select(match).order_by(match.c.folder.desc()))
        return tuple(
            Match(r.id, r.folder, from_json(Fixture, r.fixture) if r.fixture else None)
            for r in rows
        )


def find_match(space: Workspace, name: str | None) -> Match:
    """The match whose folder is or holds `name`; without a name the only one there is."""
    known = matches(space)
    if not known:
        raise NotFound(
            "this workspace has no match yet",
            thing=str(space.folder.resolve()),
            next_step="Make one with `setpiece fixture new`.",
        )
    fitting = [m for m in known if name is None or m.folder == name] or [
        m for m in known if name and name.lower() in m.folder
    ]
    if len(fitting) == 1:
        return fitting[0]
    if not fitting:
        raise NotFound(
            "no match has that name",
            thing=str(name),
            next_step="Choose one of: " + ", ".join(m.folder for m in known),
        )
    raise Choices(
        "more than one match fits",
        [m.folder for m in fitting],
        thing=name or str(space.folder.resolve()),
        next_step="Name one with --match.",
    )


def match_folder(space: Workspace, of: Match) -> Path:
    """The match's folder on disk, with its places, made when missing."""
    folder = space.folder / of.folder
    if not folder.exists():
        with space.reading() as connection:
            was = connection.execute(
                select(match.c.folder_was).where(match.c.id == of.id)
            ).scalar_one()
        if was and (space.folder / was).is_dir():
            (space.folder / was).rename(folder)
    for place in PLACES:
        (folder / place).mkdir(parents=True, exist_ok=True)
    return folder


def add_fixture(space: Workspace, fixture: Fixture, at: Instant) -> Match:
    """A new match with that fixture.

    Frames taken in before on the same day (a match without a fixture) become its frames.
    """
    day = fixture.local_date(fixture.kick_off).isoformat()
    folder = folder_name(day, fixture.home, fixture.away)
    with space.writing() as connection:
        if connection.execute(select(match.c.id).where(match.c.folder == folder)).first():
            raise WrongUse(
                "there is a fixture of these sides on that day already",
                thing=folder,
                next_step="Show it with `setpiece fixture show`.",
            )
        waiting = connection.execute(
            select(match).where(match.c.fixture.is_(None), match.c.folder.startswith(day))
        ).first()
        values = {"folder": folder, "fixture": to_json(replace(fixture, id=folder))}
        if waiting:
            connection.execute(
                update(match)
                .where(match.c.id == waiting.id)
                .values(**values, folder_was=waiting.folder)
            )
            number = int(waiting.id)
        else:
            number = connection.execute(
                insert(match).values(**values, made=at.isoformat(), folder_was="")
            ).inserted_primary_key[0]  # type: ignore[index]
    made = Match(number, folder, replace(fixture, id=folder))
    match_folder(space, made)
    return made


def match_without_fixture(space: Workspace, day: str, at: Instant) -> Match:
    """The match that collects frames of a day for which no fixture was made yet."""
    folder = f"{day}-no-fixture-yet"
    with space.writing() as connection:
        row = connection.execute(select(match).where(match.c.folder == folder)).first()
        number = (
            row.id
            if row
            else connection.execute(
                insert(match).values(folder=folder, folder_was="", made=at.isoformat())
            ).inserted_primary_key[0]  # type: ignore[index]
        )
    return Match(number, folder, None)


def save_fixture(space: Workspace, of: Match, fixture: Fixture) -> None:
    """Replaces the facts of the fixture; the folder keeps its name."""
    with space.writing() as connection:
        connection.execute(
            update(match).where(match.c.id == of.id).values(fixture=to_json(fixture))
        )
        tell(connection, of.id, Topic.FIXTURE, "")


def add_sheet(space: Workspace, of: Match, value: TeamSheet, at: Instant) -> None:
    """A new version of the team sheet; earlier ones are kept."""
    with space.writing() as connection:
        connection.execute(
            insert(sheet).values(match_id=of.id, sheet=to_json(value), made=at.isoformat())
        )
        tell(connection, of.id, Topic.FIXTURE, "sheet")


def newest_sheet(space: Workspace, of: Match) -> TeamSheet | None:
    """The team sheet that holds now, None before the first."""
    with space.reading() as connection:
        text = connection.execute(
            select(sheet.c.sheet).where(sheet.c.match_id == of.id).order_by(sheet.c.id.desc())
        ).scalar()
    return from_json(TeamSheet, text) if text else None


def add_entries(space: Workspace, of: Match, entries: list[Entry]) -> tuple[Entry, ...]:
    """Appends to the log in one transaction; each gets the next number, which is its id.

    An entry's `supersedes` must name an entry that is in the log already.
    """
    with space.writing() as connection:
        return tuple(_append(connection, of.id, e) for e in entries)


def _append(connection: Connection, match_id: int, value: Entry) -> Entry:
    last: int = (
        connection.execute(
            select(func.max(entry.c.number)).where(entry.c.match_id == match_id)
        ).scalar()
        or 0
    )
    if value.supersedes is not None and not 1 <= value.supersedes <= last:
        raise NotFound(
            "the log has no such entry",
            thing=f"e{value.supersedes}",
            next_step="Look at `setpiece log list`.",
        )
    kept = replace(value, id=EntryId(last + 1))
    connection.execute(
        insert(entry).values(
            match_id=match_id, number=kept.id, typed=kept.typed.isoformat(), entry=to_json(kept)
        )
    )
    tell(connection, match_id, Topic.LOG, f"e{kept.id}")
    return kept


def log_of(space: Workspace, of: Match) -> tuple[Entry, ...]:
    """The whole log, superseded entries included, in the order it was typed."""
    with space.reading() as connection:
        rows = connection.execute(
            select(entry.c.entry).where(entry.c.match_id == of.id).order_by(entry.c.number)
        ).scalars()
        return tuple(from_json(Entry, text) for text in rows)
