"""What lies on a card: its files, their marks, and what about it is odd.

Nothing is opened here. Links are not followed, so a card cannot lead anywhere else.
"""

from __future__ import annotations

import os
import re
import stat
import sys
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from setpiece.errors import NotFound

_SYSTEMS_OWN = frozenset(("System Volume Information", "$RECYCLE.BIN"))
_ODD = re.compile(r'[<>:"/\\|?*\x00-\x1f\x7f]')
_LONGEST_NAME_BYTES = 180  # file systems take 255; room for a number and an ending

GONE_AFTER = 3
"""So many files at the end of a card, all of them lost, mean that the card went away."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """A file that could not be taken in or is not whole: which, and what is wrong."""

    path: str
    what: str


@dataclass(frozen=True, slots=True)
class CardFile:
    """A file on a card. `modified_s` counts from 1970, as the system tells it: FAT keeps two
    seconds and no zone. `protected` is the camera's own mark. `source` is the card or folder, of
    a file named by itself the folder it lies in."""

    path: Path
    source: Path
    size: int
    modified_s: float
    protected: bool

    @property
    def printable(self) -> str:
        """The path as text that can be kept and shown, whatever its encoding."""
        return printable(self.path)


@dataclass(frozen=True, slots=True)
class Cards:
    """Everything found on the sources of one run."""

    files: tuple[CardFile, ...]
    troubles: tuple[Trouble, ...]


def read_cards(sources: Sequence[Path]) -> Cards:
    """The files below the sources. Raises NotFound for a source that is not there, or when
    there is no file at all."""
    troubles: list[Trouble] = []
    files: dict[Path, CardFile] = {}
    for source in sources:
        if device_of(source) is None:
            raise NotFound(
                "there is no such card or folder",
                thing=printable(source),
                next_step="Check the path.",
            )
        for file in _below(source, troubles):
            files.setdefault(file.path, file)
    if not files and not troubles:
        raise NotFound(
            "there is nothing to take in here",
            thing=", ".join(map(printable, sources)),
            next_step="Is it the right card?",
        )
    return Cards(tuple(files.values()), tuple(troubles))


def device_of(source: Path) -> int | None:
    """The disk that a card or folder is on now, None when it is not there."""
    try:
        return source.stat().st_dev
    except OSError:
        return None


def is_folder(path: Path) -> bool:
    """Whether there is a folder; where the system does not say, there is none."""
    try:
        return stat.S_ISDIR(path.stat().st_mode)
    except OSError:
        return False


def went_away(source: Path, left: int) -> Trouble:
    """What is said of a card that went away with so many files not taken in."""
    files = "1 file" if left == 1 else f"{left} files"
    return Trouble(
        printable(source),
        f"the card went away with {files} still on it: put it back and take in again, what was "
        "copied is kept",
    )


def is_protected(facts: os.stat_result) -> bool:
    """Whether the camera marked this file as protected (DCF: the read-only attribute)."""
    if sys.platform == "win32":
        return bool(facts.st_file_attributes & stat.FILE_ATTRIBUTE_READONLY)
    return not facts.st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH)


def printable(path: Path) -> str:
    """A path as text that can be kept and shown; bytes that are no text become a mark."""
    return os.fsencode(path).decode("utf-8", "replace")


def safe_name(name: str) -> str:
    """A name that every file system takes, as near to the given one as can be."""
    text = os.fsencode(name).decode("utf-8", "replace").replace("\ufffd", "_")
    text = _ODD.sub("_", unicodedata.normalize("NFC", text)).strip(". ") or "unnamed"
    stem, dot, ending = text.rpartition(".")
    if not dot or len(ending) > 16:
        stem, dot, ending = text, "", ""
    room = _LONGEST_NAME_BYTES - len((dot + ending).encode())
    return stem.encode()[:room].decode("utf-8", "ignore") + dot + ending


def _below(source: Path, troubles: list[Trouble]) -> Iterator[CardFile]:
    if not is_folder(source):
        yield from _file(source, source.parent, troubles)
        return
    folders = [source]
    while folders:
        folder = folders.pop()
        try:
            entries = sorted(os.scandir(folder), key=lambda e: e.name)
        except OSError as error:
            troubles.append(Trouble(printable(folder), f"it cannot be opened ({error.strerror})"))
            continue
        inside = []
        for entry in entries:
            if entry.name.startswith(".") or entry.name in _SYSTEMS_OWN:
                continue
            path = folder / entry.name
            if entry.is_symlink():
                troubles.append(Trouble(printable(path), "a symbolic link, not followed"))
            elif entry.is_dir(follow_symlinks=False):
                inside.append(path)
            else:
                yield from _file(path, source, troubles)
        folders += reversed(inside)


def _file(path: Path, source: Path, troubles: list[Trouble]) -> Iterator[CardFile]:
    try:
        facts = path.stat()
    except OSError as error:
        troubles.append(Trouble(printable(path), f"it cannot be read ({error.strerror})"))
        return
    if not stat.S_ISREG(facts.st_mode):
        troubles.append(Trouble(printable(path), "not a plain file"))
    elif not facts.st_size:
        troubles.append(Trouble(printable(path), "an empty file"))
    else:
        yield CardFile(path, source, facts.st_size, facts.st_mtime, is_protected(facts))
