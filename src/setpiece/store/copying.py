"""Copies that are proved: what was read is what was written, and what reads back.

A copy is written under a temporary name, flushed to the disk, read back, and only then gets
its own name. Nothing that exists is ever overwritten.
"""

from __future__ import annotations

import contextlib
import errno
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import xxhash

from setpiece.errors import BadFile, GiveUp, NoSpace, ReadOnly, TryAgain

PART = ".setpiece-part"
"""The ending of a copy that is not finished."""

_CHUNK = 1 << 20


@dataclass(frozen=True, slots=True)
class Proof:
    """A finished copy: the xxh3-128 of its content in hex, its size in bytes, where it is."""

    content: str
    size: int
    path: Path


def content_of(path: Path) -> str:
    """The xxh3-128 of a file in hex. Raises BadFile or TryAgain when it cannot be read."""
    digest = xxhash.xxh3_128()
    with _reading(path), path.open("rb") as stream:
        while chunk := stream.read(_CHUNK):
            digest.update(chunk)
    return digest.hexdigest()


def copy_proved(source: Path, target: Path) -> Proof:
    """Copies `source` to `target`, or to a free name beside it, and proves it.

    A file of the same content already there is taken as the copy. Raises NoSpace, ReadOnly,
    BadFile, or TryAgain when the card went away; then nothing is left behind.
    """
    with _writing(target):
        target.parent.mkdir(parents=True, exist_ok=True)
    part = target.with_name(target.name + PART)
    try:
        content, size = _copy(source, part)
        with _reading(part):
            if content_of(part) != content:
                raise BadFile(
                    "what was written does not read back the same",
                    thing=str(target),
                    next_step="The disk may be failing: use another, the card still holds it.",
                )
        path = _named(part, target, content)
    except BaseException:
        with contextlib.suppress(OSError):
            part.unlink()
        raise
    return Proof(content, size, path)


def write_proved(data: bytes, target: Path) -> Path:
    """Writes `data` under `target`'s name in one step: the old file or the new, never half."""
    part = target.with_name(target.name + PART)
    with _writing(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        with part.open("wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        part.replace(target)
        sync_folder(target.parent)
    return target


def sweep(folder: Path) -> int:
    """Removes unfinished copies that a stopped run left below `folder`; how many there were."""
    left = list(folder.rglob("*" + PART))
    for part in left:
        with contextlib.suppress(OSError):
            part.unlink()
    return len(left)


def sync_folder(folder: Path) -> None:
    """Makes new names in a folder durable, where the system has a way to (Windows has none)."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _copy(source: Path, part: Path) -> tuple[str, int]:
    digest, size = xxhash.xxh3_128(), 0
    with _writing(part), part.open("wb") as written:
        with _reading(source), source.open("rb") as read:
            while chunk := read.read(_CHUNK):
                digest.update(chunk)
                size += len(chunk)
                with _writing(part):
                    written.write(chunk)
        written.flush()
        os.fsync(written.fileno())
    return digest.hexdigest(), size


def _named(part: Path, target: Path, content: str) -> Path:
    for path in _names(target):
        if path.exists():
            if content_of(path) == content:
                part.unlink()
                return path
            continue
        with _writing(path):
            _rename_new(part, path)
            sync_folder(path.parent)
        return path
    raise AssertionError("names never run out")


def _names(target: Path) -> Iterator[Path]:
    yield target
    number = 2
    while True:
        yield target.with_name(f"{target.stem}-{number}{target.suffix}")
        number += 1


def _rename_new(part: Path, path: Path) -> None:
    """Gives `part` its name without ever replacing a file, also where links are not known."""
    try:
        path.hardlink_to(part)
    except FileExistsError:
        raise
    except OSError:
        if path.exists():
            raise
        part.rename(path)
    else:
        part.unlink()


@contextlib.contextmanager
def _reading(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        if error.errno in (errno.EIO, errno.ENODEV, errno.ENXIO, errno.ENOENT, errno.ESTALE):
            raise TryAgain(
                f"it went away while it was read ({error.strerror})",
                thing=str(path),
                next_step="Put the card back and take in again: what was copied is kept.",
            ) from error
        raise BadFile(
            f"it cannot be read ({error.strerror})",
            thing=str(path),
            next_step="It is still on the card.",
        ) from error


@contextlib.contextmanager
def _writing(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            raise NoSpace(
                "the disk is full",
                thing=str(path.parent),
                next_step="Free some space and take in again: what was copied is kept.",
            ) from error
        if error.errno in (errno.EROFS, errno.EACCES, errno.EPERM):
            raise ReadOnly(
                f"the place cannot be written ({error.strerror})",
                thing=str(path.parent),
                next_step="Check its permissions, or use another workspace.",
            ) from error
        raise GiveUp(
            f"it cannot be written ({error.strerror})", thing=str(path), next_step="Check the disk."
        ) from error
