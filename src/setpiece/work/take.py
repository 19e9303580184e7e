"""Take in: files from cards and folders to the match's folder, each copy proved.

Every file is durable in the workspace before the next begins, so a run may die at any moment:
the next one sweeps what was half written and goes on. Originals are never changed, nothing is
overwritten, and a file that was taken in before is not copied again.
"""

from __future__ import annotations

import stat
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from setpiece.errors import BadFile, NotFound, SetpieceError, TryAgain
from setpiece.frames.identity import FileFacts, file_number_in
from setpiece.match.instants import Instant
from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of
from setpiece.pictures.metadata import CameraMetadata, read_metadata
from setpiece.store.copying import content_of, copy_proved, sweep, write_proved
from setpiece.store.files import StoredFile, add_file, files_of
from setpiece.store.forms import to_json
from setpiece.store.frames import camera_for
from setpiece.store.matches import Match, match_folder, match_without_fixture, matches
from setpiece.store.workspace import Workspace
from setpiece.work.grouping import group_frames
from setpiece.work.job import Caller, go_on

_PICTURE_ENDINGS = frozenset(
    ".jpg .jpeg .heic .heif .hif .cr2 .cr3 .nef .arw .raf .orf .rw2 .dng .wav .xmp".split()
)


@dataclass(frozen=True, slots=True)
class Trouble:
    """A file that could not be taken in or is not whole: which, and what is wrong."""

    path: str
    what: str


@dataclass(frozen=True, slots=True)
class TakeReport:
    """What a run of taking in did. `left` are files that are no pictures and stay on the card."""

    match: str
    copied: int = 0
    known: int = 0
    size: int = 0
    frames: int = 0
    damaged: tuple[Trouble, ...] = ()
    troubles: tuple[Trouble, ...] = ()
    left: tuple[str, ...] = ()
    seconds: float = 0.0


@dataclass(slots=True)
class _Run:
    """What a run has done so far."""

    copied: int = 0
    known: int = 0
    size: int = 0
    damaged: list[Trouble] = field(default_factory=list)
    troubles: list[Trouble] = field(default_factory=list)
    left: list[str] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    letters: dict[str, str] = field(default_factory=dict)


def take_in(
    space: Workspace, of: Match | None, sources: Sequence[Path], caller: Caller
) -> TakeReport:
    """Copies what `sources` hold into the match and makes frames of it.

    Without a match the frames wait in a folder of their day until its fixture is made. Raises
    NotFound for a source that is not there, NoSpace, ReadOnly, TryAgain or Stopped; whatever
    was copied until then is kept and grouped.
    """
    began = caller.now()
    for source in sources:
        if not source.exists():
            raise NotFound(
                "there is no such card or folder", thing=str(source), next_step="Check the path."
            )
    run = _Run()
    files = in_order(_found(sources, run))
    if not files and not run.left:
        raise NotFound(
            "there is nothing to take in here",
            thing=", ".join(map(str, sources)),
            next_step="Is it the right card?",
        )
    target = of or _match_of_day(space, files, caller.now())
    folder = match_folder(space, target)
    sweep(folder / "frames")
    try:
        _copy_all(space, target, folder, files, run, caller)
    finally:
        frames = group_frames(space, target, caller.now())
        _write_manifest(folder, run, began)
    return TakeReport(
        match=target.folder,
        copied=run.copied,
        known=run.known,
        size=run.size,
        frames=frames,
        damaged=tuple(run.damaged),
        troubles=tuple(run.troubles),
        left=tuple(run.left),
        seconds=(caller.now() - began).total_seconds(),
    )


def is_protected(path: Path) -> bool:
    """Whether the camera marked this file as protected (DCF: the read-only attribute)."""
    facts = path.stat()
    if sys.platform == "win32":
        return bool(facts.st_file_attributes & stat.FILE_ATTRIBUTE_READONLY)
    return not facts.st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH)


def in_order(files: Iterable[Path]) -> list[Path]:
    """Protected frames first, then the newest: what the photographer marked is wanted first."""

    def key(path: Path) -> tuple[bool, float, str]:
        try:
            return not is_protected(path), -path.stat().st_mtime, str(path)
        except OSError:
            return True, 0.0, str(path)

    return sorted(files, key=key)


def _found(sources: Sequence[Path], run: _Run) -> Iterator[Path]:
    for source in sources:
        for path in [source] if source.is_file() else sorted(source.rglob("*")):
            if path.is_symlink():
                run.troubles.append(Trouble(str(path), "a symbolic link, not followed"))
            elif path.is_file() and not path.name.startswith(".") and not path.stat().st_size:
                run.troubles.append(Trouble(str(path), "an empty file"))
            elif path.is_file() and not path.name.startswith("."):
                if path.suffix.lower() in _PICTURE_ENDINGS or _looks_like_picture(path):
                    yield path
                else:
                    run.left.append(str(path))


def _looks_like_picture(path: Path) -> bool:
    try:
        with path.open("rb") as stream:
            return kind_of(stream.read(HEAD_BYTES)) is not PictureKind.UNKNOWN
    except OSError:
        return False


def _match_of_day(space: Workspace, files: Sequence[Path], now: Instant) -> Match:
    """The only fixture whose day the frames are of, else the folder of frames of that day."""
    day = now.date()
    for path in files:
        try:
            time = read_metadata(path.read_bytes()).camera_time
        except (SetpieceError, OSError):
            continue
        if time:
            day = time.reading.date()
            break
    near = [
        m
        for m in matches(space)
        if m.fixture
        and abs(m.fixture.kick_off.astimezone(ZoneInfo(m.fixture.time_zone)).date() - day)
        <= timedelta(days=1)
    ]
    return near[0] if len(near) == 1 else match_without_fixture(space, day.isoformat(), now)


def _copy_all(
    space: Workspace, of: Match, folder: Path, files: list[Path], run: _Run, caller: Caller
) -> None:
    known = {f.content for f in files_of(space, of)}
    for done, path in enumerate(files):
        go_on(caller, f"{run.copied} files taken in")
        caller.progress(done, len(files), "Taking in")
        try:
            _take_one(space, of, folder, path, known, run, caller)
        except BadFile as error:
            run.troubles.append(Trouble(str(path), error.what))
        except TryAgain:
            if not any(p.exists() for p in (path.parent, *path.parent.parents[:2])):
                raise
            run.troubles.append(Trouble(str(path), "it went away while it was read"))
    caller.progress(len(files), len(files), "Taking in")


def _take_one(
    space: Workspace,
    of: Match,
    folder: Path,
    path: Path,
    known: set[str],
    run: _Run,
    caller: Caller,
) -> None:
    content = content_of(path)
    if content in known:
        run.known += 1
        return
    facts, metadata = facts_of(path, content)
    letter = _letter(space, metadata) or run.letters.get(str(path.with_suffix("")), "")
    run.letters[str(path.with_suffix(""))] = letter
    proof = copy_proved(path, folder / "frames" / _place(path, letter) / path.name)
    if proof.content != content:
        raise BadFile("it changed while it was read", thing=str(path))
    stored = StoredFile(
        content=content,
        path=proof.path.relative_to(folder).as_posix(),
        name=path.name,
        source=str(path),
        kind=facts.kind,
        size=proof.size,
        protected=is_protected(path),
        facts=facts,
        metadata=to_json(metadata),
    )
    add_file(space, of, stored, caller.now())
    known.add(content)
    run.copied += 1
    run.size += proof.size
    run.lines.append(f"{content}  {proof.size}  {stored.path}  {path}")


def facts_of(path: Path, content: str) -> tuple[FileFacts, CameraMetadata]:
    """What one file says of itself: kind by content, and what the camera wrote."""
    data = path.read_bytes()
    kind = kind_of(data[:HEAD_BYTES])
    try:
        metadata = read_metadata(data)
    except BadFile:
        metadata = CameraMetadata()
    return (
        FileFacts(
            content=content,
            name=path.name,
            folder=str(path.parent),
            kind=kind.value,
            size=len(data),
            serial=metadata.serial,
            camera_time=metadata.camera_time,
            file_number=metadata.file_number or file_number_in(path.name),
            width_px=metadata.width_px,
            height_px=metadata.height_px,
            model=metadata.model,
        ),
        metadata,
    )


def _letter(space: Workspace, metadata: CameraMetadata) -> str:
    if not (metadata.model or metadata.serial):
        return ""
    return camera_for(space, metadata.make, metadata.model, metadata.serial).letter


def _place(path: Path, letter: str) -> str:
    """The folder under `frames` for a file: the camera's letter and its folder on the card."""
    return f"{letter}-{path.parent.name}" if letter else path.parent.name or "loose"


def _write_manifest(folder: Path, run: _Run, began: Instant) -> None:
    """A text file that says what this run brought: hash, size, path here, path on the card."""
    if run.lines:
        name = f"taken-in-{began:%Y%m%dT%H%M%SZ}.txt"
        head = "# xxh3-128  bytes  here  there"
        text = "\n".join([head, *run.lines]) + "\n"
        write_proved(text.encode(), folder / "frames" / "manifests" / name)
