"""A look at the pixels of new frames: is it whole, how sharp, a small picture, a clock card.

Decoding is what costs, so each frame is decoded once, at half scale, and everything is taken
from that. Small pictures are kept in the workspace's `previews` folder; it can be deleted and
made again.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

from setpiece.errors import BadFile
from setpiece.match.instants import Instant
from setpiece.pictures.clock_card import read_code
from setpiece.pictures.decode import decode_half, thumbnail
from setpiece.pictures.focus import FocusFigure, focus_figure
from setpiece.pictures.kind import HEAD_BYTES, kind_of
from setpiece.store.files import files_of, save_facts
from setpiece.store.forms import to_json
from setpiece.store.frames import StoredFrame, frames_of, save_look
from setpiece.store.matches import Match, match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.grouping import group_frames
from setpiece.work.job import Caller, go_on

THUMBNAIL_PX, PREVIEW_PX = 320, 1600
_BATCH = 16


@dataclass(frozen=True, slots=True)
class Look:
    """What a look at a frame's pixels found. `picture` is False where none is inside.

    `codes` are instants that clock-card codes in the picture state; sizes are of the upright
    picture in full pixels; `why` says in words what is wrong.
    """

    picture: bool
    damaged: bool = False
    width_px: int = 0
    height_px: int = 0
    focus: FocusFigure | None = None
    codes: tuple[Instant, ...] = ()
    why: str = ""


def look_at_new(space: Workspace, of: Match, caller: Caller) -> int:
    """Looks at every frame of the match that was not looked at yet; how many are damaged."""
    folder = match_folder(space, of)
    waiting = [f for f in frames_of(space, of) if f.look is None]
    facts = {f.path: f.facts for f in files_of(space, of)}
    small = previews(space)
    small.mkdir(exist_ok=True)
    found_damage = False
    done = 0
    with ThreadPoolExecutor(max_workers=min(4, os.cpu_count() or 1)) as pool:
        for batch in _batches(waiting):
            go_on(caller, f"{done} frames looked at")
            looks = list(
                pool.map(lambda f: look_at(folder / f.best_file, previews(space), f.id), batch)
            )
            for frame, look in zip(batch, looks, strict=True):
                known = facts[frame.best_file]
                if look.damaged and not known.damaged:
                    save_facts(space, of, replace(known, damaged=True))
                    found_damage = True
            save_look(space, of, {f.id: to_json(k) for f, k in zip(batch, looks, strict=True)})
            done += len(batch)
            caller.progress(done, len(waiting), "Looking at frames")
    if found_damage:
        group_frames(space, of, caller.now())
    return sum(1 for f in frames_of(space, of) if f.damaged)


def previews(space: Workspace) -> Path:
    """The folder of small pictures; it can be deleted and made again."""
    return space.folder / "previews"


def look_at(path: Path, small: Path, frame_id: str) -> Look:
    """Decodes one picture, writes its small pictures, and says what was found."""
    data = path.read_bytes()
    kind = kind_of(data[:HEAD_BYTES])
    if not kind.is_picture:
        return Look(picture=False, damaged=True, why="not a picture that can be read")
    try:
        decoded = decode_half(data, kind)
    except BadFile as error:
        return Look(picture=False, damaged=not kind.is_raw, why=error.what)
    _keep(thumbnail(decoded.rgb, THUMBNAIL_PX), small / f"{frame_id}-s.jpg")
    _keep(thumbnail(decoded.rgb, PREVIEW_PX), small / f"{frame_id}-m.jpg")
    return Look(
        picture=True,
        damaged=decoded.damaged,
        width_px=decoded.full_width_px,
        height_px=decoded.full_height_px,
        focus=focus_figure(decoded.rgb),
        codes=read_code(decoded.rgb),
        why="cut short or damaged; shown as far as it decodes" if decoded.damaged else "",
    )


def _keep(picture: bytes, path: Path) -> None:
    """In one step, but not flushed to the disk: it can be made again."""
    part = path.with_suffix(".part")
    part.write_bytes(picture)
    part.replace(path)


def _batches(frames: Sequence[StoredFrame]) -> Iterator[Sequence[StoredFrame]]:
    for start in range(0, len(frames), _BATCH):
        yield frames[start : start + _BATCH]
