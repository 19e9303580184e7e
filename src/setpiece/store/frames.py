"""Frames in the workspace, their cameras, and the clocks fitted to them.

What the camera wrote (`metadata`) and what a look at the pixels found (`look`) are documents
whose kinds belong to the rooms that make them; here they are text.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from itertools import count, product
from string import ascii_uppercase

from sqlalchemy import Connection, Row, insert, select, update

from setpiece.errors import Choices, NotFound
from setpiece.frames.camera_clock import ClockFit, ReferencePair
from setpiece.match.instants import CameraTime, Instant, Interval
from setpiece.store.forms import from_json, to_json
from setpiece.store.matches import Match
from setpiece.store.merging import merge
from setpiece.store.news import Topic, tell
from setpiece.store.tables import (
    camera,
    clock_fit,
    clock_pair,
    file,
    frame,
)
from setpiece.store.workspace import Workspace


class Decision(StrEnum):
    """What the photographer decided on a frame."""

    NONE = ""
    USE = "use"
    HOLD = "hold"
    SPIKE = "spike"


@dataclass(frozen=True, slots=True)
class Camera:
    """One body, and the letter that stands for it in this workspace."""

    id: int
    make: str
    model: str
    serial: str
    letter: str


@dataclass(frozen=True, slots=True)
class StoredFrame:
    """One frame as the workspace keeps it. `best_file` is the path of its best picture.

    `typed_time` is when it was made by the photographer's word; it holds before the camera's.
    """

    id: str
    handle: str
    camera_id: int | None
    camera_time: CameraTime | None
    file_number: int | None
    metadata: str
    best_file: str
    decision: Decision
    protected: bool
    damaged: bool
    note: str
    look: str | None
    typed_time: Interval | None = None


@dataclass(frozen=True, slots=True)
class FrameDraft:
    """A frame to be written or brought up to date; its decision and look stay as they are.

    A picture is known by its content, wherever it lies: `contents`. A memo or a sidecar may be
    the same bytes as another frame's, so that its path tells it: `attachments`.
    """

    id: str
    handle: str
    camera_id: int | None
    camera_time: CameraTime | None
    file_number: int | None
    metadata: str
    best_file: str
    protected: bool
    damaged: bool
    note: str
    contents: tuple[str, ...]
    former_ids: tuple[str, ...] = ()
    attachments: tuple[str, ...] = ()


def save_frames(space: Workspace, of: Match, drafts: Iterable[FrameDraft], at: Instant) -> None:
    """Writes frames and ties their files to them, in one transaction.

    A look belongs to one best file: a better file clears it, so that it is looked at again.
    """
    with space.writing() as connection:
        rows = connection.execute(
            select(frame.c.id, frame.c.best_file).where(frame.c.match_id == of.id)
        )
        best = {r.id: r.best_file for r in rows}
        for draft in drafts:
            _save(connection, of, draft, best.get(draft.id), at)
        tell(connection, of.id, Topic.FRAMES, "")


def _save(
    connection: Connection, of: Match, draft: FrameDraft, best: str | None, at: Instant
) -> None:
    values: dict[str, object] = {
        "handle": draft.handle,
        "camera_id": draft.camera_id,
        "reading": draft.camera_time.reading.isoformat() if draft.camera_time else None,
        "resolution_s": draft.camera_time.resolution_s if draft.camera_time else None,
        "zone_offset_min": draft.camera_time.zone_offset_min if draft.camera_time else None,
        "file_number": draft.file_number,
        "metadata": draft.metadata,
        "best_file": draft.best_file,
        "protected": draft.protected,
        "damaged": draft.damaged,
        "note": draft.note,
    }
    if best is None:
        connection.execute(
            insert(frame).values(id=draft.id, match_id=of.id, taken_in=at.isoformat(), **values)
        )
    else:
        if best != draft.best_file:
            values["look"] = None
        connection.execute(update(frame).where(frame.c.id == draft.id).values(**values))
    connection.execute(
        update(file)
        .where(
            file.c.match_id == of.id,
            file.c.content.in_(draft.contents) | file.c.path.in_(draft.attachments),
        )
        .values(frame_id=draft.id)
    )
    for former in draft.former_ids:
        merge(connection, former, draft.id)


def frames_of(space: Workspace, of: Match) -> tuple[StoredFrame, ...]:
    """Every frame of a match, by camera reading."""
    with space.reading() as connection:
        rows = connection.execute(
            select(frame).where(frame.c.match_id == of.id).order_by(frame.c.reading, frame.c.handle)
        ).all()
    return tuple(_frame(r) for r in rows)


_AT_ONCE = 500


def held_elsewhere(space: Workspace, of: Match, ids: Sequence[str]) -> frozenset[str]:
    """Those of the ids that frames of other matches have."""
    found: set[str] = set()
    with space.reading() as connection:
        for start in range(0, len(ids), _AT_ONCE):
            asked = ids[start : start + _AT_ONCE]
            rows = connection.execute(
                select(frame.c.id).where(frame.c.match_id != of.id, frame.c.id.in_(asked))
            )
            found.update(r.id for r in rows)
    return frozenset(found)


def _frame(row: Row[tuple[object, ...]]) -> StoredFrame:
    r = row._mapping
    time = (
        CameraTime(datetime.fromisoformat(r["reading"]), r["resolution_s"], r["zone_offset_min"])
        if r["reading"]
        else None
    )
    return StoredFrame(
        id=r["id"],
        handle=r["handle"],
        camera_id=r["camera_id"],
        camera_time=time,
        file_number=r["file_number"],
        metadata=r["metadata"],
        best_file=r["best_file"],
        decision=Decision(r["decision"]),
        protected=r["protected"],
        damaged=r["damaged"],
        note=r["note"],
        look=r["look"],
        typed_time=from_json(Interval, r["typed_time"]) if r["typed_time"] else None,
    )


def find_frame(frames: Iterable[StoredFrame], name: str, names: Mapping[str, str]) -> StoredFrame:
    """The frame meant by an id, the start of one, a handle (`A-0231`) or a file's name.

    `names` gives the frame id of each file name in the match, lower case. Raises NotFound,
    or Choices when several fit.
    """
    wanted = name.strip().lower()
    known = {f.id: f for f in frames}
    fitting = [f for f in known.values() if wanted in (f.id, f.handle.lower())]
    if not fitting and len(wanted) >= 4:
        fitting = [f for f in known.values() if f.id.startswith(wanted)]
    if not fitting and wanted in names and names[wanted] in known:
        fitting = [known[names[wanted]]]
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        raise Choices(
            "several frames fit",
            [f"{f.handle} ({f.id})" for f in fitting],
            thing=name,
            next_step="Name one by its id.",
        )
    raise NotFound("no frame has that name", thing=name, next_step="`setpiece frames` lists them.")


def save_look(space: Workspace, of: Match, looks: Mapping[str, str]) -> None:
    """Keeps what a look at the pixels found, by frame id."""
    with space.writing() as connection:
        for frame_id, look in looks.items():
            connection.execute(update(frame).where(frame.c.id == frame_id).values(look=look))
        tell(connection, of.id, Topic.FRAMES, ",".join(looks))


def type_time(space: Workspace, of: Match, frame_id: str, at: Interval) -> None:
    """Keeps when a frame was made by the photographer's own word."""
    with space.writing() as connection:
        connection.execute(
            update(frame).where(frame.c.id == frame_id).values(typed_time=to_json(at))
        )
        tell(connection, of.id, Topic.FRAMES, frame_id)


def decide(space: Workspace, of: Match, frame_id: str, decision: Decision) -> None:
    """Sets the decision on a frame."""
    with space.writing() as connection:
        connection.execute(
            update(frame).where(frame.c.id == frame_id).values(decision=decision.value)
        )
        tell(connection, of.id, Topic.DECISIONS, frame_id)


def _letters() -> Iterable[str]:
    for length in count(1):
        yield from ("".join(p) for p in product(ascii_uppercase, repeat=length))


def camera_for(space: Workspace, make: str, model: str, serial: str) -> Camera:
    """The camera with that make, model and serial number; a new one gets the next letter."""
    with space.writing() as connection:
        rows = connection.execute(select(camera)).all()
        for r in rows:
            if (r.make, r.model, r.serial) == (make, model, serial):
                return Camera(r.id, make, model, serial, r.letter)
        taken = {r.letter for r in rows}
        letter = next(x for x in _letters() if x not in taken)
        made = connection.execute(
            insert(camera).values(make=make, model=model, serial=serial, letter=letter)
        )
        return Camera(made.inserted_primary_key[0], make, model, serial, letter)  # type: ignore[index]


def cameras(space: Workspace) -> dict[int, Camera]:
    """Every camera by its id."""
    with space.reading() as connection:
        rows = connection.execute(select(camera).order_by(camera.c.letter)).all()
    return {r.id: Camera(r.id, r.make, r.model, r.serial, r.letter) for r in rows}


def add_pair(
    space: Workspace, of: Match, camera_id: int, pair: ReferencePair, at: Instant, *, frame_id: str
) -> None:
    """Keeps a reference pair of a camera's clock. A frame gives one pair: the newest holds."""
    with space.writing() as connection:
        if frame_id:
            connection.execute(
                clock_pair.delete().where(
                    clock_pair.c.match_id == of.id, clock_pair.c.frame_id == frame_id
                )
            )
        connection.execute(
            insert(clock_pair).values(
                match_id=of.id,
                camera_id=camera_id,
                frame_id=frame_id,
                pair=to_json(pair),
                made=at.isoformat(),
            )
        )


def pairs_of(space: Workspace, of: Match) -> dict[int, tuple[ReferencePair, ...]]:
    """The reference pairs of a match by camera id."""
    with space.reading() as connection:
        rows = connection.execute(
            select(clock_pair).where(clock_pair.c.match_id == of.id).order_by(clock_pair.c.id)
        ).all()
    found: dict[int, list[ReferencePair]] = {}
    for r in rows:
        found.setdefault(r.camera_id, []).append(from_json(ReferencePair, r.pair))
    return {k: tuple(v) for k, v in found.items()}


def save_fit(space: Workspace, of: Match, camera_id: int, fit: ClockFit, at: Instant) -> None:
    """Keeps a clock fit; the newest of a camera holds, earlier ones stay."""
    with space.writing() as connection:
        connection.execute(
            insert(clock_fit).values(
                match_id=of.id, camera_id=camera_id, fit=to_json(fit), made=at.isoformat()
            )
        )
        tell(connection, of.id, Topic.CLOCKS, str(camera_id))


def fits_of(space: Workspace, of: Match) -> dict[int, ClockFit]:
    """The newest clock fit of each camera in a match."""
    with space.reading() as connection:
        rows = connection.execute(
            select(clock_fit).where(clock_fit.c.match_id == of.id).order_by(clock_fit.c.id)
        ).all()
    return {r.camera_id: from_json(ClockFit, r.fit) for r in rows}
