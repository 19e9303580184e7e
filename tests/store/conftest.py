"""A frame of one file in the invented match."""

from __future__ import annotations

from datetime import datetime

import pytest

from setpiece.frames.identity import FileFacts
from setpiece.match.instants import CameraTime, Instant
from setpiece.store.files import StoredFile, add_file
from setpiece.store.frames import FrameDraft, camera_for, save_frames
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace


@pytest.fixture
def frame_id(space: Workspace, match: Match, now: Instant) -> str:
    """One frame of one file."""
    facts = FileFacts("c" * 32, "SPA_0001.JPG", "card/100SPA", "JPEG", 10, serial="1")
    add_file(
        space,
        match,
        StoredFile(
            content=facts.content,
            path="frames/A-100SPA/SPA_0001.JPG",
            name=facts.name,
            source="card/100SPA/SPA_0001.JPG",
            kind="JPEG",
            size=10,
            protected=False,
            facts=facts,
            metadata="{}",
        ),
        now,
    )
    camera = camera_for(space, "Alder", "One", "1")
    draft = FrameDraft(
        id="f000000000001",
        handle="A-0001",
        camera_id=camera.id,
        camera_time=CameraTime(datetime(2027, 3, 6, 15, 31)),
        file_number=1,
        metadata="{}",
        best_file="frames/A-100SPA/SPA_0001.JPG",
        protected=False,
        damaged=False,
        note="",
        contents=(facts.content,),
    )
    save_frames(space, match, [draft], now)
    return draft.id
