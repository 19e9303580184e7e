"""Looking cuttings up: among all frames of the workspace, or in a folder of pictures."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import xxhash

from setpiece.books.cuttings import STANDARD, Publication, State, Thresholds
from setpiece.errors import NotFound, SetpieceError
from setpiece.pictures.features import Pixels
from setpiece.pictures.opening import opened_picture
from setpiece.store.copying import write_proved
from setpiece.store.cuttings import StoredCutting, put_cutting
from setpiece.store.forms import to_json
from setpiece.store.frames import frames_of
from setpiece.store.matches import matches
from setpiece.store.picture_index import open_index
from setpiece.store.picture_points import KeptPoints, PointStore
from setpiece.store.workspace import Workspace
from setpiece.work.cuttings.files import files_meant, parts_of, read_bytes
from setpiece.work.cuttings.index import (
    FOLDER,
    FOLDER_OF_PICTURES,
    INDEX,
    index_folder,
    index_matches,
)
from setpiece.work.cuttings.kept import Cutting, Found, Placed, cutting_of, frame_pixels
from setpiece.work.cuttings.recognising import PixelsOf, Recogniser, Sighting
from setpiece.work.intake.cards import Trouble
from setpiece.work.job import Caller, go_on

SEEN = "cuttings"
"""Where the workspace keeps the cuttings themselves; it is archived."""

UNKNOWN = Publication()

_Keep = Callable[[str, bytes, Cutting], Cutting]


@dataclass(frozen=True, slots=True)
class CuttingsFound:
    """What a run found in each cutting, the files that could not be looked at, the limits."""

    cuttings: tuple[Cutting, ...]
    troubles: tuple[Trouble, ...] = ()
    limits: Thresholds = STANDARD


def find_cuttings(
    space: Workspace, paths: Iterable[Path], caller: Caller, *, typed: Publication = UNKNOWN
) -> CuttingsFound:
    """Looks files, and what lies in folders, up among all frames; every cutting is kept.

    `typed` says who published them, where and when, for all of them.
    """
    files = [(p.name, p) for p in files_meant(paths)]
    return _found_in_space(space, files, caller, typed)


def find_pasted(
    space: Workspace, data: bytes, name: str, caller: Caller, *, typed: Publication = UNKNOWN
) -> CuttingsFound:
    """Looks a pasted picture up among all frames, and keeps it."""
    return _found_in_space(space, [(name, data)], caller, typed)


def find_in_folder(
    folder: Path, paths: Iterable[Path], caller: Caller, *, typed: Publication = UNKNOWN
) -> CuttingsFound:
    """Looks files up among the pictures of a folder, such as an archive's; nothing is kept."""
    files = [(p.name, p) for p in files_meant(paths)]
    index_folder(folder, caller)

    def pixels(kept: KeptPoints) -> Pixels | None:
        try:
            return opened_picture(read_bytes(folder / kept.place))
        except SetpieceError:
            return None

    with _recogniser(folder / FOLDER_OF_PICTURES, pixels) as recogniser:
        look = _Lookup(recogniser, caller, typed, lambda s: Placed("", "", s), _not_kept)
        return look.up(files)


def _found_in_space(
    space: Workspace,
    files: Sequence[tuple[str, Path | bytes]],
    caller: Caller,
    typed: Publication,
) -> CuttingsFound:
    index_matches(space, caller)
    handles = {f.id: (m.folder, f.handle) for m in matches(space) for f in frames_of(space, m)}

    def placed(sighting: Sighting) -> Placed:
        return Placed(*handles.get(sighting.name, ("", "")), sighting)

    def keep(name: str, data: bytes, one: Cutting) -> Cutting:
        content = xxhash.xxh3_128_hexdigest(data)
        path = space.folder / SEEN / f"{content[:16]}{Path(name).suffix.lower()}"
        if not path.exists():
            write_proved(data, path)
        stored = StoredCutting(
            0, content, one.part, name, path.relative_to(space.folder).as_posix(), one.state,
            one.publication, to_json(Found(one.found)),
        )  # fmt: skip
        return cutting_of(put_cutting(space, stored, caller.now()))

    def pixels(kept: KeptPoints) -> Pixels | None:
        return frame_pixels(space, kept.name, kept.place)

    with _recogniser(space.folder / FOLDER, pixels) as recogniser:
        return _Lookup(recogniser, caller, typed, placed, keep).up(files)


@contextmanager
def _recogniser(folder: Path, pixels: PixelsOf) -> Iterator[Recogniser]:
    index, points = open_index(folder / INDEX), PointStore(folder)
    try:
        yield Recogniser(index, points, pixels)
    finally:
        points.close()


def _not_kept(_name: str, _data: bytes, one: Cutting) -> Cutting:
    return one


@dataclass(frozen=True, slots=True)
class _Lookup:
    """One run over files: each is looked at part by part, and kept before the next is opened."""

    recogniser: Recogniser
    caller: Caller
    typed: Publication
    placed: Callable[[Sighting], Placed]
    keep: _Keep

    def up(self, files: Sequence[tuple[str, Path | bytes]]) -> CuttingsFound:
        """Looks all of them up. Raises NotFound where there are none, Stopped."""
        if not files:
            raise NotFound("no picture or PDF is there", next_step="Name files, or a folder.")
        found: list[Cutting] = []
        troubles: list[Trouble] = []
        for at, (name, file) in enumerate(files):
            go_on(self.caller, f"{at} cuttings were looked up")
            self.caller.progress(at, len(files), "Looking cuttings up")
            try:
                data = file if isinstance(file, bytes) else read_bytes(file)
                found += self._parts(name, data)
            except SetpieceError as error:
                troubles.append(Trouble(name, error.what))
        self.caller.progress(len(files), len(files), "Looking cuttings up")
        return CuttingsFound(tuple(found), tuple(troubles))

    def _parts(self, name: str, data: bytes) -> Iterator[Cutting]:
        for part in parts_of(data):
            found = Found(tuple(self.placed(s) for s in self.recogniser.look(part.rgb)))
            told = part.publication.typed_over(
                outlet=self.typed.outlet,
                day=self.typed.day,
                title=self.typed.title,
                placement=self.typed.placement,
            )
            one = Cutting(0, name, part.part, "", State.OPEN, found.verdict, told, found.found)
            empty_page = part.part and not found.found
            yield one if empty_page else self.keep(name, data, one)
