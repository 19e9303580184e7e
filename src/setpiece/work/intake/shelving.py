"""Where proved copies go: a name and a place in the match's folder, noted, nothing twice.

A copy is noted only after its name is durable. A run that was killed in between leaves a file
on disk that is not noted: the next run that brings the same content takes it over.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from setpiece.errors import SetpieceError
from setpiece.frames.file_facts import FileFacts, ending_of
from setpiece.match.instants import Instant
from setpiece.pictures.metadata import CameraMetadata
from setpiece.store.copying import (
    PART,
    Part,
    content_of,
    drop,
    reads_back,
    settle,
    sync_folder,
    writing,
)
from setpiece.store.files import StoredFile, add_files, no_longer_waiting
from setpiece.store.forms import to_json
from setpiece.store.frames import camera_for
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.intake.cards import Trouble, safe_name
from setpiece.work.intake.carrying import Carried
from setpiece.work.intake.first_listing import Listed

MANIFESTS = "manifests"

BAD = ".did-not-read-back"
"""The ending of a copy that went bad and was replaced."""

_NOTED_TOGETHER = 32


@dataclass(frozen=True, slots=True)
class Held:
    """A file of a card that is in the workspace. `read_now` when this run read it on the card."""

    listed: Listed
    path: str
    content: str
    read_now: bool


@dataclass(frozen=True, slots=True)
class _Picture:
    """A picture of the workspace: its path there and what is noted of it."""

    path: str
    facts: FileFacts

    def owning(self, attached: FileFacts) -> FileFacts:
        """A memo or sidecar as if it lay beside this picture: of a picture in two slots only the
        one that came first is noted, and what lies beside the other belongs to it as well."""
        name = self.facts.name.removesuffix(ending_of(self.facts.name, self.facts.kind))
        ending = ending_of(attached.name, attached.kind)
        return replace(attached, folder=self.facts.folder, name=name + ending)


class Shelving:
    """The match's shelf as one run fills it."""

    def __init__(
        self,
        space: Workspace,
        of: Match,
        folder: Path,
        began: Instant,
        known: Sequence[StoredFile],
        *,
        prove: bool,
    ) -> None:
        self.copied = 0
        self.noted = 0
        self.size = 0
        self.held: list[Held] = []
        self.troubles: list[Trouble] = []
        self._space = space
        self._of = of
        self._folder = folder
        self._began = began
        self._prove = prove
        self._pictures: dict[str, _Picture] = {}
        self._noted: set[tuple[str, str]] = set()
        self._beside: dict[tuple[str, str], _Picture] = {}
        self._bodies: dict[tuple[str, str, str], str] = {}
        self._orphans: dict[str, Path] = {}
        self._missed: dict[str, str] = {}
        self._pending: list[StoredFile] = []
        self._no_longer_waiting: list[str] = []
        self._learn(known)

    def _learn(self, known: Sequence[StoredFile]) -> None:
        for stored in known:
            facts = stored.facts
            self._noted.add((stored.content, stored.path))
            if facts.is_picture:
                picture = _Picture(stored.path, facts)
                self._pictures.setdefault(stored.content, picture)
                self._beside[facts.place] = picture

    def miss(self, lost: Iterable[StoredFile]) -> None:
        """Files that are noted and not there whole: when their content comes, it takes their
        place."""
        self._missed = {f.content: f.path for f in lost if f.facts.is_picture}

    def adopt(self, coming: Sequence[Listed]) -> None:
        """Looks for copies that a killed run left without noting them."""
        paths = {path for _, path in self._noted}
        sizes = {item.file.size for item in coming}
        for path in (self._folder / "frames").rglob("*"):
            if not path.is_file() or path.parent.name == MANIFESTS or path.name.endswith(PART):
                continue
            if self._relative(path) not in paths and path.stat().st_size in sizes:
                with contextlib.suppress(SetpieceError):  # one that cannot be read is no copy
                    self._orphans.setdefault(content_of(path), path)

    def recognise(self, listed: Listed, stored: StoredFile) -> None:
        """A file that seems known is held as what it seems to be; it was not read."""
        if stored.facts.is_picture:
            self._beside[listed.facts.place] = _Picture(stored.path, stored.facts)
        self.held.append(Held(listed, stored.path, stored.content, read_now=False))

    def put(self, carried: Carried) -> bool:
        """Gives a copy its place; False when the workspace holds that file already."""
        part, facts = carried.part, carried.facts
        known = self._pictures.get(part.content) if facts.is_picture else None
        if known is not None:
            if self._prove and not reads_back(self._folder / known.path, part.content):
                self._replace(part, known.path)
            drop(part)
            self._beside[facts.place] = known
            return self._known(carried, known.path)
        orphan = self._orphans.get(part.content) if facts.is_picture else None
        if orphan is not None:
            drop(part)
            path = orphan
        elif part.content in self._missed:
            path = self._replace(part, self._missed[part.content])
        else:
            path = settle(part, self._folder / self._place(carried))
        relative = self._relative(path)
        if (part.content, relative) in self._noted:
            return self._known(carried, relative)
        self._note(carried, relative)
        return True

    def flush(self, at: Instant, *, all_of_it: bool = True) -> None:
        """Makes names durable and notes them; without `all_of_it` when enough wait."""
        if not all_of_it and len(self._pending) < _NOTED_TOGETHER:
            return
        pending, known = self._pending, self._no_longer_waiting
        self._pending, self._no_longer_waiting = [], []
        if pending:
            for folder in {(self._folder / f.path).parent for f in pending}:
                with writing(folder):
                    sync_folder(folder)
            self._write_manifest(pending)
            add_files(self._space, self._of, pending, at)
        if known:
            no_longer_waiting(self._space, self._of, known)
        self.noted += len(pending)

    def _replace(self, part: Part, known: str) -> Path:
        """Puts a copy in the place of one that went bad or away; a bad one is kept beside it."""
        path = self._folder / known
        if path.exists():
            with writing(path):
                path.rename(path.with_name(path.name + BAD))
            words = "it did not read back: taken from the card again"
            self.troubles.append(Trouble(known, words))
        return settle(part, path)

    def _known(self, carried: Carried, path: str) -> bool:
        self.held.append(Held(carried.listed, path, carried.part.content, read_now=True))
        self._no_longer_waiting.append(carried.listed.file.printable)
        return False

    def _note(self, carried: Carried, path: str) -> None:
        part, facts, file = carried.part, carried.facts, carried.listed.file
        if facts.is_picture:
            self._pictures[part.content] = self._beside[facts.place] = _Picture(path, facts)
        elif facts.place in self._beside:
            facts = self._beside[facts.place].owning(facts)
        self._noted.add((part.content, path))
        self.copied += 1
        self.size += part.size
        self.held.append(Held(carried.listed, path, part.content, read_now=True))
        self._pending.append(
            StoredFile(
                content=part.content,
                path=path,
                name=facts.name,
                source=file.printable,
                kind=facts.kind,
                size=part.size,
                protected=file.protected,
                facts=facts,
                metadata=to_json(carried.metadata),
                modified_s=file.modified_s,
            )
        )

    def _place(self, carried: Carried) -> Path:
        """In the match's folder: the camera's letter and its folder on the card, then the name.

        What names no camera goes beside the picture of the same base name, and is called as
        that is called here.
        """
        facts, path = carried.facts, carried.listed.file.path
        letter = self._letter(carried.metadata)
        if not letter and facts.place in self._beside:
            picture = Path(self._beside[facts.place].path)
            return picture.with_name(safe_name(picture.stem + ending_of(path.name, facts.kind)))
        folder = safe_name(path.parent.name) if path.parent.name else "loose"
        return Path("frames", f"{letter}-{folder}" if letter else folder, safe_name(path.name))

    def _letter(self, metadata: CameraMetadata) -> str:
        body = (metadata.make, metadata.model, metadata.serial)
        if not any(body[1:]):
            return ""
        if body not in self._bodies:
            self._bodies[body] = camera_for(self._space, *body).letter
        return self._bodies[body]

    def _relative(self, path: Path) -> str:
        return path.relative_to(self._folder).as_posix()

    def _write_manifest(self, files: Sequence[StoredFile]) -> None:
        """A text file says what each run brought: hash, size, path here, path on the card."""
        folder = self._folder / "frames" / MANIFESTS
        path = folder / f"taken-in-{self._began:%Y%m%dT%H%M%SZ}.txt"
        with writing(path):
            folder.mkdir(parents=True, exist_ok=True)
            new = not path.exists()
            with path.open("a", encoding="utf-8") as stream:
                if new:
                    stream.write("# xxh3-128  bytes  here  there\n")
                stream.writelines(f"{f.content}  {f.size}  {f.path}  {f.source}\n" for f in files)
                stream.flush()
                os.fsync(stream.fileno())
