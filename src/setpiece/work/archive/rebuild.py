"""Rebuild: the workspace made again from the archive alone, its database first.

Of every bag the newest whole copy is taken; each record is held against its hash before a row of
it is believed. Nothing that is in the folder is overwritten.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from setpiece.errors import BadFile, NotFound, SetpieceError
from setpiece.match.instants import Instant, read_instant
from setpiece.store.archive import NO_MATCH, note_copy, roots
from setpiece.store.bag import PAYLOAD, info_of, is_bag, sha512, sha512_of, size_of, trusted
from setpiece.store.copying import copy_proved
from setpiece.store.files import files_of
from setpiece.store.matches import matches
from setpiece.store.rebuilding import Recorded, build_database
from setpiece.store.workspace import Workspace
from setpiece.work.archive.contents import RECORD
from setpiece.work.archive.filling import SET_ASIDE
from setpiece.work.archive.keep import ARCHIVED, SCHEMA, WORKSPACE_BAG
from setpiece.work.intake.cards import Trouble
from setpiece.work.job import Caller, go_on

_ENDING = ".jsonl"


@dataclass(frozen=True, slots=True)
class Rebuilt:
    """What a rebuild made: matches, rows of each table, files brought back, what is wrong."""

    matches: tuple[str, ...]
    rows: Mapping[str, int]
    files: int
    not_here: int
    troubles: tuple[Trouble, ...]


@dataclass(frozen=True, slots=True)
class _Copy:
    """A bag as a root holds it."""

    folder: Path
    archived: Instant
    revision: str


@dataclass(slots=True)
class _Found:
    """The copies of each bag, newest first, and the payload of the one that was taken."""

    copies: dict[str, list[_Copy]] = field(default_factory=dict)
    taken: dict[str, tuple[_Copy, dict[str, str]]] = field(default_factory=dict)
    troubles: list[Trouble] = field(default_factory=list)


def rebuild(
    folder: Path, archive: Sequence[Path], caller: Caller, *, files: bool = False
) -> Rebuilt:
    """Makes the workspace of `folder` again from the roots of an archive.

    With `files` the pictures come back as well; else they stay in the archive. Raises WrongUse
    where `folder` has a database, NotFound when the roots hold no bag.
    """
    found = _bags(archive)
    if not found.copies:
        raise NotFound(
            "no archived match was found there",
            thing=", ".join(str(a) for a in archive),
            next_step="Name the folder that holds `setpiece-archive.txt`.",
        )
    recorded = []
    order = sorted(found.copies, key=lambda name: (name != WORKSPACE_BAG, name))
    for number, name in enumerate(order):
        go_on(caller, "nothing was made yet")
        caller.progress(number, len(order), "Reading records")
        if record := _record(name, found):
            recorded.append(record)
    built = build_database(folder, recorded)
    found.troubles += [Trouble("database", words) for words in built.dangling]
    space = Workspace.open(folder)
    try:
        _note_roots(space, found)
        brought, absent = _bring_back(space, found, caller, files=files)
    finally:
        space.close()
    names = tuple(n for n in found.taken if n != WORKSPACE_BAG)
    return Rebuilt(names, built.rows, brought, absent, tuple(found.troubles))


def _bags(archive: Iterable[Path]) -> _Found:
    """Every bag of the roots, the newest copy of each first."""
    found = _Found()
    for root in archive:
        if not root.is_dir():
            raise NotFound(
                "there is no such folder", thing=str(root), next_step="Is the drive there?"
            )
        for folder in sorted(p for p in root.iterdir() if p.is_dir() and p.name != SET_ASIDE):
            if is_bag(folder):
                _look(folder, found)
    for copies in found.copies.values():
        copies.sort(key=lambda c: c.archived, reverse=True)
    return found


def _look(folder: Path, found: _Found) -> None:
    try:
        info = info_of(folder)
        copy = _Copy(folder, read_instant(info[ARCHIVED]), info[SCHEMA])
    except (SetpieceError, KeyError):
        found.troubles.append(Trouble(str(folder), "its bag-info.txt cannot be read: left out"))
        return
    found.copies.setdefault(folder.name, []).append(copy)


def _record(name: str, found: _Found) -> Recorded | None:
    """The records of the newest copy that is whole; None when there is none."""
    for copy in found.copies[name]:
        try:
            payload = trusted(copy.folder)
            records = {
                path.removeprefix(RECORD).removesuffix(_ENDING): _read(copy.folder, path, digest)
                for path, digest in payload.items()
                if path.startswith(RECORD) and path.endswith(_ENDING)
            }
        except SetpieceError as error:
            found.troubles.append(Trouble(str(copy.folder), f"{error.what}: another copy is taken"))
            continue
        found.taken[name] = (copy, payload)
        return Recorded(name, copy.revision, records)
    found.troubles.append(Trouble(name, "no copy of its records is whole: run archive verify"))
    return None


def _read(folder: Path, path: str, digest: str) -> str:
    try:
        data = (folder / path).read_bytes()
    except OSError as error:
        raise BadFile(f"{path} cannot be read ({error.strerror})") from error
    if sha512(data) != digest:
        raise BadFile(f"{path} differs from its hash")
    return data.decode("utf-8")


def _note_roots(space: Workspace, found: _Found) -> None:
    """What each root holds is known again, where the root is at its old place."""
    ids = {m.folder: m.id for m in matches(space)} | {WORKSPACE_BAG: NO_MATCH}
    known = {r.folder: r for r in roots(space)}
    for name, copies in found.copies.items():
        for copy in copies:
            root = known.get(copy.folder.parent.resolve())
            if root is None or name not in ids:
                continue
            try:
                payload = trusted(copy.folder)
            except SetpieceError:
                continue
            note_copy(
                space,
                root,
                ids[name],
                copy.archived,
                device=str(root.folder.stat().st_dev),
                files=len(payload),
                size=size_of(copy.folder, payload),
                news=0,
            )


def _bring_back(space: Workspace, found: _Found, caller: Caller, *, files: bool) -> tuple[int, int]:
    """Copies files that are not in the workspace; how many came, and how many are not here."""
    brought = absent = 0
    of_cameras = {(m.folder, PAYLOAD + f.path) for m in matches(space) for f in files_of(space, m)}
    for name, (copy, payload) in found.taken.items():
        home = space.folder if name == WORKSPACE_BAG else space.folder / name
        missing = [
            (path, digest)
            for path, digest in payload.items()
            if ((name, path) in of_cameras or _comes_back(path))
            and not (home / path.removeprefix(PAYLOAD)).exists()
        ]
        if name != WORKSPACE_BAG and not files:
            absent += len(missing)
            continue
        sources = [copy, *(c for c in found.copies[name] if c is not copy)]
        for number, (path, digest) in enumerate(missing):
            go_on(caller, f"the database is made, {brought} files brought back")
            caller.progress(number, len(missing), f"Bringing back {name}")
            if _copied(sources, path, digest, home / path.removeprefix(PAYLOAD)):
                brought += 1
            else:
                absent += 1
                found.troubles.append(Trouble(f"{name}/{path}", "no copy has its hash"))
    return brought, absent


def _comes_back(path: str) -> bool:
    """Records and what is written anew at each archive stay in the archive."""
    if path.startswith(RECORD):
        return False
    inside = path.removeprefix(PAYLOAD)
    if inside in ("about.txt", "frames.json", "fixture.json", "log.json", "sheet.json"):
        return False
    return not (inside.startswith("frames/") and inside.endswith(".xmp"))


def _copied(sources: Sequence[_Copy], path: str, digest: str, target: Path) -> bool:
    for source in sources:
        try:
            if sha512_of(source.folder / path) == digest:
                copy_proved(source.folder / path, target)
                return True
        except SetpieceError:
            continue
    return False
