"""The demo's match with its sheet and log, and a few small frames at known instants."""

from __future__ import annotations

import sys
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
import simplejpeg

from setpiece.frames.camera_clock import ClockFit
from setpiece.frames.identity import FileFacts, frame_id
from setpiece.frames.identity import FrameKey as Key
from setpiece.match.instants import CameraTime, Instant, instant
from setpiece.pictures.metadata import CameraMetadata
from setpiece.store.copying import content_of
from setpiece.store.files import StoredFile, add_file
from setpiece.store.forms import to_json
from setpiece.store.frames import Decision, FrameDraft, camera_for, decide, save_fit, save_frames
from setpiece.store.matches import Match, add_entries, add_fixture, add_sheet, match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.demo import scenario
from setpiece.work.settings import Settings, write_settings

sys.path.append(str(Path(__file__).parent))


@pytest.fixture
def played(space: Workspace, now: Instant) -> Match:
    """The demo's match, played and logged to the second."""
    made = add_fixture(space, scenario.fixture(), now)
    add_sheet(space, made, scenario.sheet(), now)
    add_entries(space, made, list(scenario.pinned(scenario.log_lines())))
    write_settings(space, Settings("Ida Marlow", "north"))
    return made


def add_frame(space: Workspace, of: Match, number: int, at: Instant) -> str:
    """A small frame of camera A, exact to a hundredth, in use."""
    name = f"SPA_{number:04d}.JPG"
    path = match_folder(space, of) / "frames" / "A-100SPA" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    pixels = np.random.default_rng(number).integers(0, 255, (300, 450, 3), dtype=np.uint8)
    path.write_bytes(simplejpeg.encode_jpeg(pixels, quality=85))
    local = (at + timedelta(minutes=scenario.ZONE_OFFSET_MIN)).replace(tzinfo=None)
    time = CameraTime(local, 0.01, scenario.ZONE_OFFSET_MIN)
    facts = FileFacts(
        content_of(path), name, "card", "JPEG", path.stat().st_size, "1", time, number, 450, 300
    )
    body = camera_for(space, "Alder", "One", "1")
    metadata = to_json(CameraMetadata(make="Alder", model="One", serial="1", camera_time=time))
    relative = f"frames/A-100SPA/{name}"
    add_file(
        space,
        of,
        StoredFile(facts.content, relative, name, name, "JPEG", facts.size, False, facts, metadata),
        at,
    )
    made = frame_id(Key("1", local.replace(microsecond=0), facts.subsec, number))
    save_frames(
        space,
        of,
        [
            FrameDraft(
                made,
                f"A-{number:04d}",
                body.id,
                time,
                number,
                metadata,
                relative,
                False,
                False,
                "",
                (facts.content,),
            )
        ],
        at,
    )
    save_fit(space, of, body.id, ClockFit(0.0, 0.05, 0.0, None, 3, 0, (), "intersection"), at)
    decide(space, of, made, Decision.USE)
    return made


@pytest.fixture
def celebration(space: Workspace, played: Match) -> str:
    """A frame of the celebration after the free kick at 74 minutes."""
    return add_frame(space, played, 231, instant(scenario.at(2, "28:45")))


@pytest.fixture
def desk_folder(tmp_path: Path) -> Path:
    """A folder that a desk receives in."""
    folder = tmp_path / "desk"
    folder.mkdir()
    return folder
