"""Frames, desks and a running clock for the tests of what goes to desks."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from time import monotonic

import numpy as np
import simplejpeg

from setpiece.errors import AskPhotographer
from setpiece.frames.camera_clock import ClockFit
from setpiece.frames.identity import FileFacts, FrameKey, frame_id
from setpiece.match.instants import CameraTime, Instant, instant
from setpiece.pictures.focus import FocusFigure
from setpiece.pictures.look import Look
from setpiece.pictures.metadata import CameraMetadata
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.store.copying import content_of
from setpiece.store.files import StoredFile, add_file
from setpiece.store.forms import to_json
from setpiece.store.frames import (
    Decision,
    FrameDraft,
    camera_for,
    decide,
    save_fit,
    save_frames,
    save_look,
)
from setpiece.store.matches import Match, match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.demo import scenario
from setpiece.work.desk.desks import Desk, DeskSettings, add_desk
from setpiece.work.job import Question, Unattended


class Laptop:
    """A caller whose clock runs from a given instant, `speed` times as fast as ours."""

    def __init__(self, at: Instant, speed: float = 1.0) -> None:
        self._at = at
        self._speed = speed
        self._began = monotonic()
        self.stop = False
        self.shown: list[tuple[int, int, str]] = []

    def now(self) -> Instant:
        passed = (monotonic() - self._began) * self._speed
        return instant(self._at + timedelta(seconds=passed))

    def ask(self, question: Question) -> str:
        raise AskPhotographer(question.text)

    def progress(self, done: int, total: int, what: str) -> None:
        self.shown.append((done, total, what))

    def stopped(self) -> bool:
        return self.stop


def at(period: int, clock: str) -> Instant:
    """The instant when that much of a period of the demo's match was played."""
    return instant(scenario.at(period, clock))


def shoot(
    space: Workspace,
    of: Match,
    number: int,
    when: Instant,
    *,
    serial: str = "1",
    size: tuple[int, int] = (450, 300),
    focus: float = 100.0,
    decision: Decision = Decision.USE,
    data: bytes | None = None,
) -> str:
    """A frame of noise, or of `data`, by the camera of that serial; its id."""
    name = f"SP{serial}_{number:04d}.JPG"
    relative = f"frames/{serial}-100SPA/{name}"
    path = match_folder(space, of) / relative
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data or noise(number, size))
    local = (when + timedelta(minutes=scenario.ZONE_OFFSET_MIN)).replace(tzinfo=None)
    local = local.replace(microsecond=local.microsecond // 10_000 * 10_000)
    time = CameraTime(local, 0.01, scenario.ZONE_OFFSET_MIN)
    facts = FileFacts(
        content_of(path), name, "card", "JPEG", path.stat().st_size, serial, time, number, *size
    )
    body = camera_for(space, "Alder", "One", serial)
    metadata = to_json(CameraMetadata(make="Alder", model="One", serial=serial, camera_time=time))
    stored = StoredFile(
        facts.content, relative, name, name, "JPEG", facts.size, False, facts, metadata
    )
    add_file(space, of, stored, when)
    made = frame_id(FrameKey(serial, _whole(local), facts.subsec, number))
    draft = FrameDraft(
        id=made,
        handle=f"{body.letter}-{number:04d}",
        camera_id=body.id,
        camera_time=time,
        file_number=number,
        metadata=metadata,
        best_file=relative,
        protected=False,
        damaged=False,
        note="",
        contents=(facts.content,),
    )
    save_frames(space, of, [draft], when)
    save_fit(space, of, body.id, ClockFit(0.0, 0.05, 0.0, None, 3, 0, (), "intersection"), when)
    sharp = FocusFigure(focus, (0.4, 0.4, 0.1, 0.1), "in the middle")
    look = Look(picture=True, width_px=size[0], height_px=size[1], focus=sharp)
    save_look(space, of, {made: to_json(look)})
    if decision is not Decision.NONE:
        decide(space, of, made, decision)
    return made


def noise(seed: int, size: tuple[int, int] = (450, 300)) -> bytes:
    """A JPEG of noise, different for each seed."""
    pixels = np.random.default_rng(seed).integers(0, 255, (size[1], size[0], 3), dtype=np.uint8)
    return bytes(simplejpeg.encode_jpeg(pixels, quality=85))


def _whole(local: datetime) -> datetime:
    return local.replace(microsecond=0)


def folder_desk(
    space: Workspace,
    folder: Path,
    name: str,
    now: Instant,
    *,
    style: str = "north",
    settings: DeskSettings | None = None,
) -> Path:
    """A desk that is a folder of this computer; the folder."""
    place = folder / name
    place.mkdir(parents=True, exist_ok=True)
    address = DeskAddress(Protocol.FOLDER, path=place)
    add_desk(space, Desk(name, address, style, settings or DeskSettings()), Unattended(now))
    return place


def own_style(space: Workspace, name: str, **quota: int) -> str:
    """A house style of the workspace's own: the first one shipped, with a quota."""
    from importlib.resources import files

    text = files("setpiece.captions").joinpath("data", "north.toml").read_text("utf-8")
    text = text.replace('name = "North Wire"', f'name = "{name}"')
    lines = "\n".join(f"{key} = {value}" for key, value in quota.items())
    folder = space.folder / "styles"
    folder.mkdir(exist_ok=True)
    (folder / f"{name}.toml").write_text(f"{text}\n[quota]\n{lines}\n", "utf-8")
    return name
