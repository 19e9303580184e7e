"""Bringing archive pictures into the index of cuttings: every match, or a folder of pictures.

A picture is looked at once; its points are kept, so that the index can be made again without the
drive it lies on. Only what is new or changed is looked at. A stopped run goes on with the rest.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from setpiece.errors import NotFound, SetpieceError
from setpiece.pictures.features import features_of
from setpiece.pictures.opening import opened_picture
from setpiece.store.bag import PAYLOAD, is_bag
from setpiece.store.copying import reading
from setpiece.store.frames import StoredFrame, frames_of
from setpiece.store.matches import Match, match_folder, matches
from setpiece.store.picture_points import KeptPoints, PointStore
from setpiece.store.workspace import Workspace
from setpiece.work.cuttings.words import bring_up_to_date
from setpiece.work.intake.cards import Trouble
from setpiece.work.intake.look import previews, workers
from setpiece.work.job import Caller, go_on

FOLDER = ".cuttings"
"""Where a workspace keeps points and index: not archived, since they can be made again."""

FOLDER_OF_PICTURES = "setpiece-cuttings"
"""Where a folder of pictures keeps points and index."""

INDEX = "pictures.index"

_KEPT_TOGETHER = 32
_CAMERA_FIRST = frozenset((".jpg", ".jpeg", ".jpe", ".heic", ".heif", ".hif"))
_OTHERS = frozenset((".png", ".webp", ".tif", ".tiff", ".bmp"))
_RAW = frozenset((".cr2", ".cr3", ".nef", ".arw", ".raf", ".orf", ".rw2", ".dng"))
PICTURES = _CAMERA_FIRST | _OTHERS | _RAW
"""Endings of files that a picture may be in."""


@dataclass(frozen=True, slots=True)
class Indexed:
    """What a run of indexing did. `size` is the index's in bytes, without the kept points."""

    folder: str
    pictures: int
    looked_at: int
    gone: int
    size: int
    troubles: tuple[Trouble, ...] = ()


@dataclass(frozen=True, slots=True)
class _Source:
    """A picture to be in the index; `stamp` changes when its file does."""

    name: str
    stamp: str
    place: str
    path: Path


def index_matches(space: Workspace, caller: Caller, *, anew: bool = False) -> Indexed:
    """Brings every frame of every match into the workspace's index."""
    sources = [s for of in matches(space) for s in _frames(space, of)]
    return _indexed(space.folder / FOLDER, sources, caller, anew=anew)


def index_folder(folder: Path, caller: Caller, *, anew: bool = False) -> Indexed:
    """Brings every picture below a folder into an index of its own, kept in that folder."""
    if not folder.is_dir():
        raise NotFound("there is no such folder", thing=str(folder), next_step="Check the path.")
    sources = [_source(folder, path) for path in pictures_below(folder)]
    return _indexed(folder / FOLDER_OF_PICTURES, sources, caller, anew=anew)


def pictures_below(folder: Path) -> list[Path]:
    """Every picture below a folder: not hidden ones, nor a raw file beside its own JPEG.

    In a match's archive only what the cameras wrote counts, not what was made for desks.
    """
    found = sorted(_walk(folder))
    shown = {p.with_suffix("").as_posix().lower() for p in found if p.suffix.lower() not in _RAW}
    return [
        p
        for p in found
        if p.suffix.lower() not in _RAW or p.with_suffix("").as_posix().lower() not in shown
    ]


def _walk(folder: Path) -> Iterator[Path]:
    with reading(folder):
        entries = sorted(folder.iterdir())
    for entry in entries:
        if entry.name.startswith(".") or entry.name == FOLDER_OF_PICTURES:
            continue
        if entry.is_dir():
            yield from _walk(entry / PAYLOAD / "frames" if is_bag(entry) else entry)
        elif entry.suffix.lower() in PICTURES:
            yield entry


def _source(folder: Path, path: Path) -> _Source:
    with reading(path):
        told = path.stat()
    name = path.relative_to(folder).as_posix()
    return _Source(name, f"{told.st_size}-{told.st_mtime_ns}", name, path)


def _frames(space: Workspace, of: Match) -> Iterator[_Source]:
    for frame in frames_of(space, of):
        yield _Source(
            frame.id, frame.best_file, f"{of.folder}/{frame.best_file}", shown_by(space, of, frame)
        )


def shown_by(space: Workspace, of: Match, frame: StoredFrame) -> Path:
    """The file to see a frame by: its preview where there is one, which is quick to read."""
    preview = previews(space) / f"{frame.id}-m.jpg"
    return preview if preview.is_file() else match_folder(space, of) / frame.best_file


def _indexed(folder: Path, sources: Sequence[_Source], caller: Caller, *, anew: bool) -> Indexed:
    store = PointStore(folder)
    try:
        known = {} if anew else store.stamps()
        if anew:
            store.drop(store.stamps())
        gone = known.keys() - {s.name for s in sources}
        store.drop(gone)
        new = [s for s in sources if known.get(s.name) != s.stamp]
        troubles = _look_at(new, store, caller)
        index = bring_up_to_date(store, folder / INDEX, caller, anew=anew)
    finally:
        store.close()
    looked_at = len(new) - len(troubles)
    size = (folder / INDEX).stat().st_size
    return Indexed(str(folder), len(index.names), looked_at, len(gone), size, tuple(troubles))


def _look_at(new: Sequence[_Source], store: PointStore, caller: Caller) -> list[Trouble]:
    """Looks at pictures side by side and keeps their points; those that cannot be looked at."""
    troubles: list[Trouble] = []
    with ThreadPoolExecutor(workers()) as pool:
        for at in range(0, len(new), _KEPT_TOGETHER):
            go_on(caller, f"{at} pictures are in")
            caller.progress(at, len(new), "Looking at pictures")
            looked = list(pool.map(_points_of, new[at : at + _KEPT_TOGETHER]))
            troubles += [one for one in looked if isinstance(one, Trouble)]
            store.put(one for one in looked if isinstance(one, KeptPoints))
    caller.progress(len(new), len(new), "Looking at pictures")
    return troubles


def _points_of(source: _Source) -> KeptPoints | Trouble:
    try:
        with reading(source.path):
            data = source.path.read_bytes()
        found = features_of(opened_picture(data))
    except SetpieceError as error:
        return Trouble(source.place, error.what)
    return KeptPoints(
        source.name,
        source.stamp,
        source.place,
        found.width_px,
        found.height_px,
        found.points.tobytes(),
        found.descriptors.tobytes(),
        found.looks,
    )
