"""A workspace with one match and one frame in it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from setpiece.frames.identity import FileFacts
from setpiece.match.fixture import Fixture
from setpiece.match.instants import CameraTime, Instant, instant
from setpiece.store.frames import FrameDraft, StoredFile, add_file, camera_for, save_frames
from setpiece.store.matches import Match, add_fixture
from setpiece.store.workspace import Workspace

NOW = instant(datetime(2027, 3, 6, 14, 0, tzinfo=UTC))


@pytest.fixture
def now() -> Instant:
    """An instant before the match."""
    return NOW


@pytest.fixture
def space(tmp_path: Path) -> Iterator[Workspace]:
    """An empty workspace."""
    made = Workspace.create(tmp_path / "space")
    yield made
    made.close()


@pytest.fixture
def fixture() -> Fixture:
    """An invented fixture."""
    return Fixture(
        id="",
        home="Hollerau",
        away="Sankt Vend",
        competition="Alpine Women's Cup",
        kick_off=instant(datetime(2027, 3, 6, 14, 30, tzinfo=UTC)),
        time_zone="Europe/Vienna",
    )


@pytest.fixture
def match(space: Workspace, fixture: Fixture) -> Match:
    """The fixture's match."""
    return add_fixture(space, fixture, NOW)


@pytest.fixture
def frame_id(space: Workspace, match: Match) -> str:
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
        NOW,
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
    save_frames(space, match, [draft], NOW)
    return draft.id
