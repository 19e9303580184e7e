"""Captions in the workspace: every version is kept, and every error overruled with its reason."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import func, insert, select

from setpiece.match.instants import Instant
from setpiece.store.matches import Match
from setpiece.store.news import Topic, tell
from setpiece.store.tables import caption, frame, overrule
from setpiece.store.workspace import Workspace

TAKEN_BACK = ""
"""The document of a version by which a frame has no caption any more."""


@dataclass(frozen=True, slots=True)
class StoredCaption:
    """One version of a frame's caption; `caption` is the document of the captions room."""

    frame_id: str
    version: int
    caption: str
    made: str


def add_caption(space: Workspace, of: Match, frame_id: str, text: str, at: Instant) -> int:
    """A new version of a frame's caption; the same document again gives the same version."""
    with space.writing() as connection:
        newest = connection.execute(
            select(caption).where(caption.c.frame_id == frame_id).order_by(caption.c.version.desc())
        ).first()
        if newest and newest.caption == text:
            return int(newest.version)
        version = (newest.version if newest else 0) + 1
        connection.execute(
            insert(caption).values(
                frame_id=frame_id, version=version, caption=text, made=at.isoformat()
            )
        )
        tell(connection, of.id, Topic.CAPTIONS, f"{frame_id}.v{version}")
    return version


def captions_of(space: Workspace, of: Match) -> dict[str, StoredCaption]:
    """The newest caption of each frame that has one; none where it was taken back."""
    newest = (
        select(caption.c.frame_id, func.max(caption.c.version).label("version"))
        .group_by(caption.c.frame_id)
        .subquery()
    )
    with space.reading() as connection:
        rows = connection.execute(
            select(caption)
            .join(
                newest,
                (caption.c.frame_id == newest.c.frame_id) & (caption.c.version == newest.c.version),
            )
            .join(frame, frame.c.id == caption.c.frame_id)
            .where(frame.c.match_id == of.id, caption.c.caption != TAKEN_BACK)
        ).all()
    return {r.frame_id: StoredCaption(r.frame_id, r.version, r.caption, r.made) for r in rows}


def caption_version(space: Workspace, frame_id: str, version: int) -> StoredCaption | None:
    """One version of a frame's caption."""
    with space.reading() as connection:
        r = connection.execute(
            select(caption).where(caption.c.frame_id == frame_id, caption.c.version == version)
        ).first()
    return StoredCaption(r.frame_id, r.version, r.caption, r.made) if r else None


def add_overrule(
    space: Workspace, of: Match, frame_id: str, version: int, code: str, reason: str, at: Instant
) -> None:
    """Keeps the photographer's reason for sending although the check found an error."""
    with space.writing() as connection:
        connection.execute(
            insert(overrule).values(
                frame_id=frame_id, version=version, code=code, reason=reason, made=at.isoformat()
            )
        )
        tell(connection, of.id, Topic.CAPTIONS, f"{frame_id}.v{version}")


def overruled(space: Workspace, of: Match) -> dict[tuple[str, int], dict[str, str]]:
    """Reasons by frame and caption version, then by the finding's code."""
    with space.reading() as connection:
        rows = connection.execute(
            select(overrule)
            .join(frame, frame.c.id == overrule.c.frame_id)
            .where(frame.c.match_id == of.id)
        ).all()
    found: dict[tuple[str, int], dict[str, str]] = {}
    for r in rows:
        found.setdefault((r.frame_id, r.version), {})[r.code] = r.reason
    return found
