"""Copies that are proved: what was read is what was written, and what reads back.

A copy is written under a temporary name, flushed to the disk, read back, and only then gets
its own name. Nothing that exists is ever overwritten.
"""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import xxhash

from setpiece.errors import BadFile, GiveUp, NoSpace, ReadOnly, SetpieceError, TryAgain

PART = ".setpiece-part"
"""The ending of a copy that is not finished."""

KEPT_BYTES = 128_000_000
"""A copy up to this size is handed over as it was read back; larger ones only as their hash."""

_CHUNK = 1 << 20
_GONE = frozenset(
    (errno.EIO, errno.ENODEV, errno.ENXIO, errno.ENOENT, errno.ESTALE, errno.ENOTCONN)
    + ((errno.ENOMEDIUM,) if hasattr(errno, "ENOMEDIUM") else ())
)


@dataclass(frozen=True, slots=True)
class Proof:
    """A finished copy: the xxh3-128 of its content in hex, its size in bytes, where it is."""

    content: str
    size: int
    path: Path


@dataclass(frozen=True, slots=True)
class Part:
    """A proved copy that has no name of its own yet.

    `data` is what was read back, None for more than `KEPT_BYTES`.
    """

    path: Path
    content: str
    size: int
    data: bytes | None


def content_of(path: Path) -> str:
    """The xxh3-128 of a file in hex. Raises BadFile or TryAgain when it cannot be read."""
    digest = xxhash.xxh3_128()
    with reading(path), path.open("rb", buffering=0) as stream:
        while chunk := stream.read(_CHUNK):
            digest.update(chunk)
    return digest.hexdigest()


def reads_back(path: Path, content: str) -> bool:
    """Whether the file is there and its content has that hash."""
    try:
        return content_of(path) == content
    except SetpieceError:
        return False


def copy_proved(source: Path, target: Path) -> Proof:
    """Copies `source` to `target`, or to a free name beside it, and proves it.

    A file of the same content already there is taken as the copy. Raises NoSpace, ReadOnly,
    BadFile, or TryAgain when the card went away; then nothing is left behind.
    """
    part = write_part(source, target.parent)
    path = settle(part, target)
    sync_folder(path.parent)
    return Proof(part.content, part.size, path)


def write_part(source: Path, folder: Path) -> Part:
    """Copies `source` into `folder` under a temporary name, flushed and read back.

    Raises as `copy_proved` does; then nothing is left behind.
    """
    path = folder / (secrets.token_hex(8) + PART)
    with writing(path):
        folder.mkdir(parents=True, exist_ok=True)
    try:
        content, size = _copy(source, path)
        with reading(path):
            read_back, data = _read_back(path, size)
        if read_back != content:
            raise BadFile(
                "what was written does not read back the same",
                thing=str(source),
                next_step="The disk may be failing: use another, the card still holds it.",
            )
    except BaseException:
        _remove(path)
        raise
    return Part(path, content, size, data)


def settle(part: Part, target: Path) -> Path:
    """Gives a part its name, `target` or a free one beside it; a file of that content is kept.

    The name is durable after `sync_folder`. The part is gone afterwards, also on an error.
    """
    try:
        with writing(target):
            target.parent.mkdir(parents=True, exist_ok=True)
        for path in _names(target):
            if path.exists():
                if content_of(path) == part.content:
                    part.path.unlink()
                    return path
                continue
            with writing(path):
                _rename_new(part.path, path)
            return path
        raise AssertionError("names never run out")
    except BaseException:
        drop(part)
        raise


def drop(part: Part) -> None:
    """Removes a part that is not wanted."""
    _remove(part.path)


def write_proved(data: bytes, target: Path) -> Path:
    """Writes `data` under `target`'s name in one step: the old file or the new, never half."""
    part = target.with_name(target.name + PART)
    with writing(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        with part.open("wb") as stream:
            stream.write(data)
            stream.flush()
            _flush(stream.fileno())
        part.replace(target)
        sync_folder(target.parent)
    return target


def sweep(folder: Path) -> int:
    """Removes unfinished copies that a stopped run left below `folder`; how many there were."""
    left = list(folder.rglob("*" + PART))
    for part in left:
        _remove(part)
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


def _flush(handle: int) -> None:
    """What was written is on the disk. On macOS fsync alone leaves it in the drive's memory."""
    if sys.platform == "darwin":
        import fcntl

        with contextlib.suppress(OSError):  # a network disk may not know the stronger call
            fcntl.fcntl(handle, fcntl.F_FULLFSYNC)
            return
    os.fsync(handle)


def _copy(source: Path, part: Path) -> tuple[str, int]:
    digest, size = xxhash.xxh3_128(), 0
    with writing(part), part.open("xb", buffering=0) as written:
        with reading(source), source.open("rb", buffering=0) as read:
            while chunk := read.read(_CHUNK):
                digest.update(chunk)
                size += len(chunk)
                with writing(part):
                    _write_all(written.fileno(), chunk)
        _flush(written.fileno())
    return digest.hexdigest(), size


def _write_all(handle: int, chunk: bytes) -> None:
    """An unbuffered write may take a part only."""
    done = os.write(handle, chunk)
    while done < len(chunk):
        done += os.write(handle, chunk[done:])


def _read_back(path: Path, size: int) -> tuple[str, bytes | None]:
    """Hash and content of what the disk holds, past the system's cache where that can be told."""
    with path.open("rb", buffering=0) as stream:
        if hasattr(os, "posix_fadvise"):
            os.posix_fadvise(stream.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)
        if size <= KEPT_BYTES:
            data = stream.read()
            return xxhash.xxh3_128_hexdigest(data), data
    return content_of(path), None


def _remove(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink()


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
def reading(path: Path) -> Iterator[None]:
    """Translates the system's errors of reading `path`: TryAgain when it is gone, or BadFile."""
    try:
        yield
    except OSError as error:
        if error.errno in _GONE:
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
def writing(path: Path) -> Iterator[None]:
    """Translates the system's errors of writing `path`: NoSpace, ReadOnly or GiveUp."""
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
