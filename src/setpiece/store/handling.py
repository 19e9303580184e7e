"""What the photographer said of a frame beside its caption: its edit, and who may have it.

Both are documents whose kinds belong to the rooms that use them; here they are text.
"""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.dialects.sqlite import insert as upsert

from setpiece.match.instants import Instant
from setpiece.store.matches import Match
from setpiece.store.news import Topic, tell
from setpiece.store.tables import frame, handling
from setpiece.store.workspace import Workspace


@dataclass(frozen=True, slots=True)
class Handling:
    """A frame's edit and terms; `{}` where nothing was said."""

    edit: str = "{}"
    terms: str = "{}"


def save_handling(
    space: Workspace, of: Match, frame_id: str, at: Instant, **documents: str
) -> None:
    """Keeps the edit or the terms of a frame; what is not given stays as it was."""
    values = {"frame_id": frame_id, "edit": "{}", "terms": "{}", "made": at.isoformat()}
    with space.writing() as connection:
        connection.execute(
            upsert(handling)
            .values(values | documents)
            .on_conflict_do_update(
                index_elements=["frame_id"], set_={**documents, "made": values["made"]}
            )
        )
        tell(connection, of.id, Topic.DECISIONS, frame_id)


def handlings(space: Workspace, of: Match) -> dict[str, Handling]:
    """What was said of the frames of a match, by frame id; the others are missing."""
    with space.reading() as connection:
        rows = connection.execute(
            select(handling)
            .join(frame, frame.c.id == handling.c.frame_id)
            .where(frame.c.match_id == of.id)
        ).all()
    return {r.frame_id: Handling(r.edit, r.terms) for r in rows}
