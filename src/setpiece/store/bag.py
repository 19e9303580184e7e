"""Bags: folders that list every file in them with its hash (BagIt 1.0, RFC 8493, SHA-512).

A bag changes in one step. New contents and new lists are written beside the old ones first; the
new manifest is the last of them. Once it is there the change is carried through by whoever comes
next, until then it never happened. So a power cut leaves the old bag or the new one.

Paths are relative to the bag, with `/`, and begin with `data/` for what is kept.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from setpiece.errors import BadFile, SetpieceError
from setpiece.store.copying import PART, reading, sync_folder, write_proved, writing

ALGORITHM = "sha512"
DECLARATION, INFO = "bagit.txt", "bag-info.txt"
MANIFEST, TAG_MANIFEST = f"manifest-{ALGORITHM}.txt", f"tagmanifest-{ALGORITHM}.txt"
DECLARED = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
PAYLOAD = "data/"

NEXT = ".setpiece-next"
"""The ending of a file that takes its place when the change is carried through."""

_CHUNK = 1 << 20
_LINE = re.compile(r"([0-9a-f]{128})  (\S.*)")
_ENCODED = {"%": "%25", "\r": "%0D", "\n": "%0A"}


class Harm(StrEnum):
    """What is wrong with a file of a bag. The values are printed."""

    MISSING = "missing"
    DIFFERS = "differs from its hash"
    UNREADABLE = "cannot be read"
    UNLISTED = "is not in the manifest"


@dataclass(frozen=True, slots=True)
class Harmed:
    """A file of a bag that is not as listed."""

    path: str
    harm: Harm


def is_bag(folder: Path) -> bool:
    """Whether the folder is one of our bags, whole or not."""
    return any((folder / name).is_file() for name in (DECLARATION, MANIFEST, TAG_MANIFEST))


def sha512(data: bytes) -> str:
    """The SHA-512 of a text or file content, in small hex."""
    return hashlib.sha512(data).hexdigest()


def sha512_of(path: Path) -> str:
    """The SHA-512 of what the disk holds, past the system's cache where that can be told."""
    digest = hashlib.sha512()
    with reading(path), path.open("rb", buffering=0) as stream:
        if hasattr(os, "posix_fadvise"):
            os.posix_fadvise(stream.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)
        while chunk := stream.read(_CHUNK):
            digest.update(chunk)
    return digest.hexdigest()


def listed(folder: Path, manifest: str = MANIFEST) -> dict[str, str]:
    """The hashes by path that a bag's manifest states, in its order. Raises BadFile."""
    path = folder / manifest
    with reading(path):
        data = path.read_bytes()
    found: dict[str, str] = {}
    try:
        lines = data.decode("utf-8").split("\n")
    except UnicodeDecodeError as error:
        raise _bad_list(path) from error
    if lines.pop() != "":
        raise _bad_list(path)
    for line in lines:
        read = _LINE.fullmatch(line)
        name = _decoded(read[2]) if read else ""
        if not read or name in found or not safe(name):
            raise _bad_list(path)
        found[name] = read[1]
    return found


def safe(path: str) -> bool:
    """Whether a listed path stays inside the bag on every system."""
    parts = path.split("/")
    return ":" not in parts[0] and not any(
        p in ("", ".", "..") or "\\" in p or "\0" in p for p in parts
    )


def trusted(folder: Path) -> dict[str, str]:
    """The payload's hashes by path, after the tag files were held against their own list.

    Raises BadFile for a tag file that is not as listed.
    """
    harmed = harmed_tags(folder)
    if harmed:
        first = harmed[0]
        raise BadFile(
            f"{first.path} {first.harm}",
            thing=str(folder),
            next_step="Run `setpiece archive verify --repair`.",
        )
    return listed(folder)


def harmed_tags(folder: Path) -> tuple[Harmed, ...]:
    """Tag files that are not as the tag manifest says, itself included."""
    try:
        tags = listed(folder, TAG_MANIFEST)
    except BadFile:
        return (Harmed(TAG_MANIFEST, Harm.UNREADABLE),)
    except SetpieceError:
        return (Harmed(TAG_MANIFEST, Harm.MISSING),)
    found = [Harmed(t, h) for t, digest in tags.items() if (h := harm_of(folder, t, digest))]
    if not found and set(tags) != {DECLARATION, INFO, MANIFEST}:
        found = [Harmed(TAG_MANIFEST, Harm.DIFFERS)]
    return tuple(found)


def harm_of(folder: Path, path: str, digest: str) -> Harm | None:
    """What is wrong with one listed file, None when nothing is."""
    place = folder / path
    if not place.is_file():
        return Harm.MISSING
    try:
        return None if sha512_of(place) == digest else Harm.DIFFERS
    except SetpieceError:
        return Harm.UNREADABLE


def unlisted(folder: Path, payload: Iterable[str]) -> tuple[Harmed, ...]:
    """Files below `data/` that the manifest does not name; unfinished ones of ours are none."""
    known = set(payload)
    there = sorted(p.relative_to(folder).as_posix() for p in files_below(folder / PAYLOAD))
    return tuple(Harmed(p, Harm.UNLISTED) for p in there if p not in known)


def files_below(folder: Path) -> Iterator[Path]:
    """Every finished file below a folder."""
    for path in folder.rglob("*") if folder.is_dir() else ():
        if path.is_file() and not path.name.endswith((PART, NEXT)):
            yield path


def change(
    folder: Path,
    payload: Mapping[str, str],
    contents: Mapping[str, bytes],
    info: Iterable[tuple[str, str]],
) -> None:
    """Makes `payload` what the bag holds, in one step.

    `contents` are those files that get new content; every other file of `payload` is in its
    place already. Files that are no longer listed are removed. `info` are the lines of
    bag-info.txt; the count of bytes and files is added.
    """
    finish(folder)
    _write_beside(folder, contents)
    size = size_of(folder, payload.keys() - contents.keys()) + sum(map(len, contents.values()))
    oxum = ("Payload-Oxum", f"{size}.{len(payload)}")
    tags = {
        DECLARATION: DECLARED,
        INFO: "".join(f"{k}: {_one_line(v)}\n" for k, v in (*info, oxum)).encode(),
        MANIFEST: _list({p: payload[p] for p in sorted(payload)}),
    }
    tags[TAG_MANIFEST] = _list({name: sha512(data) for name, data in sorted(tags.items())})
    for name in (DECLARATION, INFO, TAG_MANIFEST, MANIFEST):  # the manifest last: it decides
        write_proved(tags[name], folder / (name + NEXT))
    finish(folder)


def _write_beside(folder: Path, contents: Mapping[str, bytes]) -> None:
    """Writes new contents beside the old; on the disk when the lists after them are."""
    for path, data in contents.items():
        place = folder / (path + NEXT)
        with writing(place):
            place.parent.mkdir(parents=True, exist_ok=True)
            with place.open("wb") as stream:
                stream.write(data)
                stream.flush()
                os.fsync(stream.fileno())
    for parent in {(folder / path).parent for path in contents}:
        with writing(parent):
            sync_folder(parent)


def size_of(folder: Path, paths: Iterable[str]) -> int:
    """Bytes of the files that are there."""
    size = 0
    for path in paths:
        with suppress(OSError):
            size += (folder / path).stat().st_size
    return size


def finish(folder: Path) -> None:
    """Carries a decided change through, or clears away one that was not decided."""
    decided = (folder / (MANIFEST + NEXT)).is_file()
    waiting = sorted(folder.rglob("*" + NEXT)) if folder.is_dir() else []
    with writing(folder):
        if not decided:
            for path in waiting:
                path.unlink()
            return
        payload = listed(folder, MANIFEST + NEXT)
        for path in waiting:
            if path.name != MANIFEST + NEXT:
                path.replace(path.with_name(path.name.removesuffix(NEXT)))
        for path in _gone(folder, payload):
            path.unlink(missing_ok=True)
        (folder / (MANIFEST + NEXT)).replace(folder / MANIFEST)
        sync_folder(folder)
    clear_empty(folder / PAYLOAD)


def _gone(folder: Path, payload: Mapping[str, str]) -> list[Path]:
    """What the manifest before named and the new one does not; nothing when it was unreadable."""
    with suppress(SetpieceError):
        return [folder / path for path in listed(folder) if path not in payload]
    return []


def clear_empty(folder: Path) -> None:
    """Removes folders that hold nothing any more."""
    below = (p for p in folder.rglob("*") if p.is_dir()) if folder.is_dir() else ()
    for path in sorted(below, reverse=True):
        with suppress(OSError):  # it holds something
            path.rmdir()


def info_of(folder: Path) -> dict[str, str]:
    """The lines of bag-info.txt by label; of a label that stands twice the last."""
    path = folder / INFO
    with reading(path):
        text = path.read_bytes().decode("utf-8", errors="replace")
    pairs = (line.split(": ", 1) for line in text.split("\n") if ": " in line)
    return {label: value for label, value in pairs}


def _list(hashes: Mapping[str, str]) -> bytes:
    return "".join(f"{digest}  {_encoded(path)}\n" for path, digest in hashes.items()).encode()


def _encoded(path: str) -> str:
    """RFC 8493, 2.1.3: line ends and the percent sign are written as percent and two digits."""
    return "".join(_ENCODED.get(sign, sign) for sign in path)


def _decoded(path: str) -> str:
    for sign, code in (("\r", "%0D"), ("\n", "%0A"), ("%", "%25")):
        path = path.replace(code, sign)
    return path


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _bad_list(path: Path) -> BadFile:
    return BadFile(
        "this list of hashes cannot be read",
        thing=str(path),
        next_step="Run `setpiece archive verify --repair`.",
    )
