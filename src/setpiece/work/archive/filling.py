"""Filling a bag: what is not in it is copied in, what is known is left, what changed is noted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from setpiece.errors import BadFile
from setpiece.store.bag import PAYLOAD, sha512, sha512_of, unlisted
from setpiece.store.copying import reads_back, settle, sync_folder, write_part, writing
from setpiece.store.matches import PLACES
from setpiece.work.archive.contents import RECORD, Kept
from setpiece.work.intake.cards import Trouble
from setpiece.work.job import Caller, go_on

SET_ASIDE = "set-aside"
"""Where a root keeps files that stood in the way or went bad: nothing is deleted."""


@dataclass(slots=True)
class Filling:
    """A bag as a run fills it: hashes by path, and new content for files that change.

    `known` is what it listed before; `afresh` says that its lists were not to be trusted.
    """

    known: Mapping[str, str]
    payload: dict[str, str] = field(default_factory=dict)
    contents: dict[str, bytes] = field(default_factory=dict)
    copied: int = 0
    troubles: list[Trouble] = field(default_factory=list)
    afresh: bool = False

    @property
    def in_place(self) -> dict[str, str]:
        """What the bag holds already, without the new content: for a run that was stopped."""
        done = {p: h for p, h in self.payload.items() if p not in self.contents}
        return {**self.known, **done}

    def keep_others(self, bag: Path) -> None:
        """What was archived once stays, whether the workspace still has it or not."""
        others = dict(self.known)
        if self.afresh:
            others = {h.path: sha512_of(bag / h.path) for h in unlisted(bag, self.payload)}
        for path, digest in others.items():
            if path not in self.payload and _is_a_file(path):
                self.payload[path] = digest


def _is_a_file(path: str) -> bool:
    """Whether a path is no record and no sidecar, which are written anew each time."""
    if path.startswith(RECORD):
        return False
    place = path.removeprefix(PAYLOAD).split("/")[0]
    return "/" in path.removeprefix(PAYLOAD) if place not in PLACES else not path.endswith(".xmp")


def copy_in(files: Sequence[Kept], bag: Path, filling: Filling, caller: Caller) -> None:
    """Copies what the bag does not hold; folders are made durable at the end."""
    changed: set[Path] = set()
    for number, item in enumerate(files):
        go_on(caller, f"{filling.copied} files archived")
        caller.progress(number, len(files), f"Archiving to {bag.parent}")
        try:
            if item.content:
                _copy_original(item, bag, filling, changed)
            else:
                say(item.path, _made(item), filling)
        except BadFile as error:
            filling.troubles.append(Trouble(item.path, error.what))
            if item.path in filling.known:  # what was archived once stays
                filling.payload[item.path] = filling.known[item.path]
    caller.progress(len(files), len(files), f"Archiving to {bag.parent}")
    for folder in changed:
        with writing(folder):
            sync_folder(folder)


def _copy_original(item: Kept, bag: Path, filling: Filling, changed: set[Path]) -> None:
    target = bag / item.path
    there = _size(target)
    if item.path in filling.known and there == item.size:
        filling.payload[item.path] = filling.known[item.path]
        return
    if there is not None and reads_back(target, item.content):
        filling.payload[item.path] = sha512_of(target)
        return
    if not item.source.is_file():
        raise BadFile("the workspace has it no more, and the archive has no whole copy")
    part = write_part(item.source, target.parent)
    if part.content != item.content:
        part.path.unlink()
        raise BadFile("the workspace's copy is not what was taken in: it is not archived")
    if there is not None:
        set_aside(bag, item.path)
    settle(part, target)
    filling.payload[item.path] = sha512(part.data) if part.data is not None else sha512_of(target)
    filling.copied += 1
    changed.add(target.parent)


def _made(item: Kept) -> bytes:
    try:
        return item.source.read_bytes()
    except OSError as error:
        raise BadFile(f"it cannot be read ({error.strerror})", thing=str(item.source)) from error


def say(path: str, data: bytes, filling: Filling) -> None:
    """Lists a file that Setpiece made; its content goes in where it is new."""
    digest = sha512(data)
    filling.payload[path] = digest
    if filling.known.get(path) != digest:
        filling.contents[path] = data


def _size(path: Path) -> int | None:
    try:
        return path.stat().st_size
    except OSError:
        return None


def set_aside(bag: Path, path: str) -> Path:
    """Moves a file of a bag out of it, to a free name in the root's `set-aside`."""
    target = bag.parent / SET_ASIDE / bag.name / path
    with writing(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        free, number = target, 2
        while free.exists():
            free = target.with_name(f"{target.name}.{number}")
            number += 1
        return (bag / path).rename(free)
