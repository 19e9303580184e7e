"""A look at the pixels of new frames: is it whole, how sharp, small pictures, a clock card.

Decoding is what costs, so each frame is decoded once, at half scale, and everything is taken
from that. Small pictures are kept in the workspace's `previews` folder; it can be deleted and
made again.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor, wait
from itertools import islice
from pathlib import Path

from setpiece.errors import BadFile, SetpieceError
from setpiece.pictures.clock_card import read_codes
from setpiece.pictures.decode import Pixels, decode_half
from setpiece.pictures.focus import FocusFigure, focus_figure
from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of
from setpiece.pictures.likeness import picture_hash
from setpiece.pictures.look import Look
from setpiece.pictures.small import small_pictures
from setpiece.store.copying import PART, reading, writing
from setpiece.store.files import mark_damaged
from setpiece.store.forms import to_json
from setpiece.store.frames import frames_of, save_look
from setpiece.store.matches import Match, match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.intake.grouping import group_frames
from setpiece.work.job import Caller, go_on

MOST_AT_ONCE = 4
"""Frames decoded side by side at most: each takes up to 100 MB while it is looked at."""

_SAVED_TOGETHER = 16


def look_at_new(space: Workspace, of: Match, caller: Caller) -> int:
    """Looks at every frame of the match that was not looked at yet; how many are damaged.

    A frame whose best file turns out damaged is shown by its next best, and looked at again.
    """
    with Looking(space, of) as looking:
        looking.finish(caller)
    return sum(1 for f in frames_of(space, of) if f.damaged)


def previews(space: Workspace) -> Path:
    """The folder of small pictures; it can be deleted and made again."""
    return space.folder / "previews"


def workers() -> int:
    """How many frames are looked at side by side on this machine."""
    if hasattr(os, "sched_getaffinity"):
        return min(MOST_AT_ONCE, len(os.sched_getaffinity(0)))
    return min(MOST_AT_ONCE, os.cpu_count() or 1)


class Looking:
    """Looks at frames side by side, in the background of whoever adds them.

    Only `keep` writes to the workspace, in the caller's own thread.
    """

    def __init__(self, space: Workspace, of: Match) -> None:
        self._space = space
        self._of = of
        self._folder = match_folder(space, of)
        self._small = previews(space)
        self._pool = ThreadPoolExecutor(workers(), thread_name_prefix="look")
        self._running: dict[Future[Look], tuple[str, str]] = {}
        self._asked: set[tuple[str, str]] = set()
        self._done = 0

    def __enter__(self) -> Looking:
        with writing(self._small):
            self._small.mkdir(exist_ok=True)
        return self

    def __exit__(self, *_: object) -> None:
        self._pool.shutdown(cancel_futures=True)

    def add(self, frames: Iterable[tuple[str, str]]) -> None:
        """Looks at these frames too: each as its id and the path of its best file."""
        for frame_id, best_file in frames:
            if (frame_id, best_file) in self._asked:
                continue
            self._asked.add((frame_id, best_file))
            path = self._folder / best_file
            look = self._pool.submit(look_at, path, self._small, frame_id)
            self._running[look] = frame_id, best_file

    def finish(self, caller: Caller) -> int:
        """Looks at every frame that was not looked at, also where damage made another file best.

        Gives how many frames of the match hold a picture.
        """
        while True:
            frames = frames_of(self._space, self._of)
            asked = len(self._asked)
            self.add((f.id, f.best_file) for f in frames if f.look is None)
            while self._running:
                go_on(caller, f"{self._done} frames looked at")
                self.keep(wait_for_some=True)
                caller.progress(self._done, len(self._asked), "Looking at frames")
            grouped = group_frames(self._space, self._of, caller.now())
            if not grouped.changed and len(self._asked) == asked:
                return grouped.frames

    def keep(self, *, wait_for_some: bool = False) -> None:
        """Keeps looks that are ready, some at a time; waits for the next ones where asked to.

        Raises NoSpace or ReadOnly where the small pictures cannot be written.
        """
        while batch := list(islice(self._running, _SAVED_TOGETHER)):
            if wait_for_some:
                wait(batch)
                wait_for_some = False
            elif len(batch) < _SAVED_TOGETHER or not all(f.done() for f in batch):
                return
            self._save(batch)

    def _save(self, batch: Sequence[Future[Look]]) -> None:
        looks = {}
        for future in batch:
            frame_id, best_file = self._running.pop(future)
            look = future.result()
            looks[frame_id] = to_json(look)
            if look.damaged:
                mark_damaged(self._space, self._of, best_file)
        save_look(self._space, self._of, looks)
        self._done += len(looks)


def look_at(path: Path, small: Path, frame_id: str) -> Look:
    """Decodes one picture, writes its small pictures, and says what was found.

    Raises NoSpace or ReadOnly where they cannot be written. What a library trips over is a
    damaged frame, and the others are looked at all the same.
    """
    try:
        return _looked_at(path, small, frame_id)
    except SetpieceError:
        raise
    except Exception as error:  # whatever a hostile file makes a decoder do
        return Look(
            picture=False, damaged=True, why=f"the look at it failed ({type(error).__name__})"
        )


def _looked_at(path: Path, small: Path, frame_id: str) -> Look:
    try:
        with reading(path):
            data = path.read_bytes()
    except SetpieceError as error:
        return Look(picture=False, damaged=True, why=error.what)
    kind = kind_of(data[:HEAD_BYTES])
    if kind in (PictureKind.WAV, PictureKind.XMP):
        return Look(picture=False, why="a memo or a sidecar without its picture")
    if not kind.is_picture:
        return Look(picture=False, damaged=True, why="not a picture that can be read")
    try:
        decoded = decode_half(data, kind)
    except BadFile as error:
        return Look(picture=False, damaged=not kind.is_raw, why=error.what)
    del data
    made = small_pictures(decoded.rgb)
    codes = read_codes(made.rgb, thorough=False)
    _keep(made.thumbnail, small / f"{frame_id}-s.jpg")
    _keep(made.preview, small / f"{frame_id}-m.jpg")
    return Look(
        picture=True,
        damaged=decoded.damaged,
        width_px=decoded.full_width_px,
        height_px=decoded.full_height_px,
        focus=focus_of(decoded.rgb, made.halved),
        codes=tuple(code.at for code in codes),
        own_clock=any(code.own_clock for code in codes),
        alike=f"{picture_hash(made.rgb):016x}",
        why="cut short or damaged; shown as far as it decodes" if decoded.damaged else "",
    )


def focus_of(rgb_half: Pixels, once_halved: Pixels) -> FocusFigure | None:
    """The focus figure, None for a picture too small to have one."""
    try:
        return focus_figure(rgb_half, once_halved)
    except BadFile:
        return None


def _keep(picture: bytes, path: Path) -> None:
    """In one step, but not flushed to the disk: it can be made again."""
    part = path.with_name(path.name + PART)
    with writing(path):
        part.write_bytes(picture)
        part.replace(path)
