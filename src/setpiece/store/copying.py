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
from io import FileIO
from pathlib import Path

import xxhash

from setpiece.errors import BadFile, GiveUp, NoSpace, ReadOnly, SetpieceError, TryAgain

PART = ".setpiece-part"
"""The ending of a copy that is not finished."""

KEPT_BYTES = 128_000_000
"""A copy up to this size is handed over whole where nobody asks for less; larger ones only as
their hash."""

_CHUNK = 1 << 20
_GONE = frozenset(
    (errno.ENODEV, errno.ENXIO, errno.ENOENT, errno.ESTALE, errno.ENOTCONN)
    + ((errno.ENOMEDIUM,) if hasattr(errno, "ENOMEDIUM") else ())
)

_NO_SUCH_CALL = frozenset((errno.EINVAL, errno.ENOTSUP, errno.ENOSYS))
"""What some network disks say to flushing a folder."""


@dataclass(frozen=True, slots=True)
class Proof:
    """A finished copy: the xxh3-128 of its content in hex, its size in bytes, where it is."""

    content: str
    size: int
    path: Path


@dataclass(frozen=True, slots=True)
class Part:
    """A proved copy that has no name of its own yet.

    `data` is what was read back, as much as was asked for; None for more than `KEPT_BYTES`.
    """

    path: Path
    content: str
    size: int
    data: bytes | None


@dataclass(frozen=True, slots=True)
class Unproved:
    """A copy of `source` under its temporary name, still open: not flushed, not read back."""

    source: Path
    path: Path
    content: str
    size: int
    stream: FileIO


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
    with writing(path):
        sync_folder(path.parent)
    return Proof(part.content, part.size, path)


def write_part(source: Path, folder: Path) -> Part:
    """Copies `source` into `folder` under a temporary name, flushed and read back.

    Raises as `copy_proved` does; then nothing is left behind.
    """
    return prove_part(copy_part(source, folder))


def copy_part(source: Path, folder: Path) -> Unproved:
    """Reads `source` and writes it into `folder` under a temporary name, no more.

    What comes of it goes to `prove_part`, which may be in another thread. Raises as `copy_proved`
    does; then nothing is left behind.
    """
    path = folder / (secrets.token_hex(8) + PART)
    with writing(path):
        folder.mkdir(parents=True, exist_ok=True)
        stream = path.open("xb", buffering=0)
    try:
        return Unproved(source, path, *_copy(source, path, stream), stream)
    except BaseException:
        stream.close()
        _remove(path)
        raise


def prove_part(unproved: Unproved, *, kept_bytes: int | None = None) -> Part:
    """Flushes a copy to the disk and reads it back from there.

    The part's `data` is its beginning of `kept_bytes`, or the whole of up to `KEPT_BYTES`. Raises
    NoSpace, or BadFile when it does not read back the same; then nothing is left behind.
    """
    path = unproved.path
    if kept_bytes is None and unproved.size <= KEPT_BYTES:
        kept_bytes = unproved.size
    try:
        with writing(path), unproved.stream as stream:
            _flush(stream.fileno())
        with reading(path):
            read_back, data = _read_back(path, kept_bytes or 0)
        if read_back != unproved.content:
            raise BadFile(
                "what was written does not read back the same",
                thing=str(unproved.source),
                next_step="The disk may be failing: use another, the card still holds it.",
            )
    except BaseException:
        _remove(path)
        raise
    return Part(path, unproved.content, unproved.size, None if kept_bytes is None else data)


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


def sweep(folder: Path, ending: str = PART) -> int:
    """Removes unfinished copies that a stopped run left below `folder`; how many there were.

    `ending` tells those of one kind of work from others that may be under way.

    Raises GiveUp where the folder cannot be looked through.
    """
    with writing(folder):
        left = list(folder.rglob("*" + ending))
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
    except OSError as error:
        if error.errno not in _NO_SUCH_CALL:
            raise
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


def _copy(source: Path, part: Path, written: FileIO) -> tuple[str, int]:
    digest, size = xxhash.xxh3_128(), 0
    room = memoryview(bytearray(_CHUNK))
    with reading(source), source.open("rb", buffering=0) as read:
        while count := read.readinto(room):
            digest.update(room[:count])
            size += count
            with writing(part):
                _write_all(written.fileno(), room[:count])
    return digest.hexdigest(), size


def _write_all(handle: int, chunk: memoryview) -> None:
    """An unbuffered write may take a part only."""
    done = os.write(handle, chunk)
    while done < len(chunk):
        done += os.write(handle, chunk[done:])


def _read_back(path: Path, kept_bytes: int) -> tuple[str, bytes]:
    """Hash and beginning of what the disk holds, past the system's cache where it can be told."""
    digest, kept = xxhash.xxh3_128(), bytearray()
    room = memoryview(bytearray(_CHUNK))
    with path.open("rb", buffering=0) as stream:
        if hasattr(os, "posix_fadvise"):
            os.posix_fadvise(stream.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)
        while count := stream.readinto(room):
            digest.update(room[:count])
            kept += room[: min(count, kept_bytes - len(kept))]
    return digest.hexdigest(), bytes(kept)


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
        if error.errno == errno.EIO:
            raise TryAgain(
                f"it could not be read to its end ({error.strerror})",
                thing=str(path),
                next_step="Was the card pulled? Else it may be failing: take in what it gives.",
            ) from error
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
