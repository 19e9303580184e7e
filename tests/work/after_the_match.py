"""A played match with something in every table, for the tests of what comes after it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path

import numpy as np
import simplejpeg
import xxhash
from sqlalchemy import Connection, insert

from setpiece.captions.caption import Caption, Facts
from setpiece.captions.fields import PersonShown, PictureFields
from setpiece.frames.camera_clock import ClockFit
from setpiece.frames.identity import FileFacts
from setpiece.match.instants import CameraTime, Instant, instant
from setpiece.pictures.metadata import CameraMetadata
from setpiece.store import tables
from setpiece.store.captions import add_caption, add_overrule
from setpiece.store.copies import CopyPlace, add_copies, add_place
from setpiece.store.files import StoredFile, add_file
from setpiece.store.forms import to_json
from setpiece.store.frames import Decision, FrameDraft, camera_for, decide, save_fit, save_frames
from setpiece.store.matches import Match, add_entries, add_fixture, add_sheet, match_folder
from setpiece.store.outbox import StoredDesk, save_desk
from setpiece.store.records import tables as recorded
from setpiece.store.workspace import Workspace
from setpiece.work.demo import scenario
from setpiece.work.settings import Settings, write_settings


def play(space: Workspace, now: Instant) -> Match:
    """The demo's match, played and logged."""
    made = add_fixture(space, scenario.fixture(), now)
    add_sheet(space, made, scenario.sheet(), now)
    add_entries(space, made, list(scenario.log_lines()))
    write_settings(space, Settings("Ida Marlow", "north"))
    return made


def shoot(
    space: Workspace,
    of: Match,
    number: int,
    clock: str,
    *,
    period: int = 2,
    upright: bool = False,
    lens: str = "400mm f/2.8",
    focal_length_mm: float = 400.0,
) -> str:
    """A small frame of camera A at that reading of the match clock, in use; its id."""
    at = instant(scenario.at(period, clock))
    name = f"SPA_{number:04d}.JPG"
    path = match_folder(space, of) / "frames" / "A-100SPA" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    shape = (48, 32, 3) if upright else (32, 48, 3)
    pixels = np.random.default_rng(number).integers(0, 255, shape, dtype=np.uint8)
    path.write_bytes(simplejpeg.encode_jpeg(pixels, quality=85))
    local = (at + timedelta(minutes=scenario.ZONE_OFFSET_MIN)).replace(tzinfo=None)
    time = CameraTime(local, 0.01, scenario.ZONE_OFFSET_MIN)
    content = xxhash.xxh3_128_hexdigest(path.read_bytes())
    size = path.stat().st_size
    facts = FileFacts(content, name, "card", "JPEG", size, "1", time, number, *shape[1::-1])
    metadata = to_json(
        CameraMetadata(
            make="Alder",
            model="One",
            serial="1",
            lens=lens,
            focal_length_mm=focal_length_mm,
            camera_time=time,
            width_px=shape[1],
            height_px=shape[0],
        )
    )
    relative = f"frames/A-100SPA/{name}"
    stored = StoredFile(content, relative, name, name, "JPEG", size, False, facts, metadata)
    add_file(space, of, stored, at)
    body = camera_for(space, "Alder", "One", "1")
    made = f"f{number:012x}"
    draft = FrameDraft(
        made, f"A-{number:04d}", body.id, time, number, metadata, relative, False, False, "",
        (content,),
    )  # fmt: skip
    save_frames(space, of, [draft], at)
    decide(space, of, made, Decision.USE)
    return made


def fit_clock(space: Workspace, of: Match, now: Instant) -> None:
    """Camera A's clock is right."""
    body = camera_for(space, "Alder", "One", "1")
    save_fit(space, of, body.id, ClockFit(0.0, 0.05, 0.0, None, 3, 0, (), "intersection"), now)


def say(
    space: Workspace,
    of: Match,
    frame_id: str,
    now: Instant,
    *,
    headline: str,
    description: str,
    people: Sequence[str] = (),
    keywords: Sequence[str] = (),
    clubs: Sequence[str] = (),
) -> None:
    """Keeps a caption that was typed in full."""
    fields = PictureFields(
        headline=headline,
        description=description,
        keywords=tuple(keywords),
        persons=tuple(PersonShown(p) for p in people),
        organisations=tuple(clubs),
    )
    typed = Caption("", fields, Facts(), None, "north", "en", held_for_care=False)
    add_caption(space, of, frame_id, to_json(typed), now)


def fill(space: Workspace, of: Match, frame_id: str, now: Instant, drive: Path) -> None:
    """A row in every table that has none yet, and files for a desk."""
    add_overrule(space, of, frame_id, 1, "score", "as printed", now)
    save_desk(space, StoredDesk("City", '{"protocol": "folder"}', "north"), now)
    drive.mkdir()
    place: CopyPlace = add_place(space, drive, now)
    add_copies(space, place, [(1, "there/SPA_0001.JPG")], now)
    rendition = match_folder(space, of) / "set" / "City" / "marnstein-1.jpg"
    rendition.parent.mkdir(parents=True)
    rendition.write_bytes(b"a rendition")
    delivered = {
        "match_id": of.id, "frame_id": frame_id, "caption_version": 1, "desk": "City",
        "made_from": "x", "content": "c", "path": "set/City/marnstein-1.jpg",
        "remote_folder": "", "remote_name": "marnstein-1.jpg", "size": 11,
        "state": "delivered", "queued": now.isoformat(), "receipt": "{}", "ended": now.isoformat(),
    }  # fmt: skip
    with space.writing() as connection:
        connection.execute(insert(tables.delivery).values(delivered))
        names = [t.name for t in tables.METADATA.sorted_tables]
        _fill_empty(connection, names, of, frame_id)


def fill_rest(space: Workspace, of: Match, frame_id: str) -> None:
    """A row in every recorded table that is empty, whoever made it: for what only counts rows."""
    with space.writing() as connection:
        _fill_empty(connection, list(recorded(connection)), of, frame_id)


def _fill_empty(connection: Connection, names: Sequence[str], of: Match, frame_id: str) -> None:
    """A row in each empty table: keys that lead somewhere, and odd values in the rest."""
    keys: dict[str, object] = {
        "match_id": of.id, "frame_id": frame_id, "camera_id": 1, "file_id": 1, "place_id": 1,
        "desk": "City", "request_id": 1,
    }  # fmt: skip
    odd: dict[str, object] = {"TEXT": "Žofie\u2028", "INTEGER": 7, "FLOAT": 0.1 + 0.2, "BOOLEAN": 1}
    for name in names:
        if connection.exec_driver_sql(f'SELECT 1 FROM "{name}"').first() is None:
            info = connection.exec_driver_sql(f'PRAGMA table_info("{name}")').all()
            row = {str(c[1]): keys.get(str(c[1]), odd[str(c[2])]) for c in info}
            marks = ", ".join("?" for _ in row)
            sql = f'INSERT INTO "{name}" ({", ".join(row)}) VALUES ({marks})'
            connection.exec_driver_sql(sql, tuple(row.values()))
