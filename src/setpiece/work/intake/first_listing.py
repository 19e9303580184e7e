"""The first listing of a card: what the beginning of every file says, before any is copied.

Camera time, body, the camera's mark and its small picture: enough to order the files by what
matters first, and to show what is coming.
"""

from __future__ import annotations

import contextlib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

import simplejpeg

from setpiece.errors import BadFile, SetpieceError, TryAgain
from setpiece.frames.identity import FileFacts, FrameKey, file_number_in, frame_id
from setpiece.match.instants import CameraTime
from setpiece.pictures.decode import thumbnail, turned
from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of
from setpiece.pictures.metadata import CameraMetadata, exif_thumbnail, read_metadata
from setpiece.pictures.segments import jpegs_inside
from setpiece.store.copying import PART, reading
from setpiece.store.files import StoredFile, WaitingFile
from setpiece.work.intake.cards import GONE_AFTER, CardFile, Cards, Trouble, device_of, went_away
from setpiece.work.job import Caller, go_on

HEAD = 128 * 1024
"""So much of a picture's beginning holds its EXIF block, which is at most 64 kB."""

SMALL_PX = 320

UNFINISHED = ".listed" + PART
"""The ending of a small picture that is being written."""

_Mark = tuple[str, str, int, float | None]
"""Folder, name, size and time of a file."""

_COMPRESSED_ENDINGS = frozenset(".jpg .jpeg .heic .heif .hif".split())
"""Files of one size by chance only; raw files and memos of a camera may all have the same."""

_PICTURE_ENDINGS = frozenset(
    ".jpg .jpeg .heic .heif .hif .cr2 .cr3 .nef .arw .raf .orf .rw2 .dng .wav .xmp".split()
)


@dataclass(frozen=True, slots=True)
class Listed:
    """A file as its beginning tells it. `facts.content` is no hash yet.

    `known` is the file taken in before that it seems to be, by folder, name, size and time. `of`
    is the picture that a memo or a sidecar lies beside: it is as urgent as that.
    """

    file: CardFile
    facts: FileFacts
    metadata: CameraMetadata
    known: StoredFile | None = None
    of: Listed | None = None

    @property
    def waiting(self) -> WaitingFile:
        """What is kept of it until it is copied."""
        return WaitingFile(
            self.file.printable, _id_to_be(self.facts), self.file.protected, self.facts
        )


@dataclass(frozen=True, slots=True)
class Listing:
    """The files to be taken in, what stays on the card because it is no picture, troubles.

    `sources` are the cards and folders on which files were found.
    """

    files: tuple[Listed, ...]
    left: tuple[CardFile, ...]
    troubles: tuple[Trouble, ...]
    sources: frozenset[Path]


def list_cards(
    cards: Cards, known: Iterable[StoredFile], small: Path, caller: Caller, *, prove: bool
) -> Listing:
    """Reads the beginning of every file, the marked and the newest first.

    Small pictures go to the folder `small`, by the id their frame will have. With `prove`
    nothing is passed over as known.
    """
    marks: dict[_Mark, list[StoredFile]] = defaultdict(list)
    for stored in () if prove else known:
        marks[_mark_of(stored.facts, stored.modified_s)].append(stored)
    listed: list[Listed] = []
    left: list[CardFile] = []
    troubles = list(cards.troubles)
    lost: dict[Path, list[Trouble]] = defaultdict(list)
    devices = {source: device_of(source) for source in {f.source for f in cards.files}}
    ordered = sorted(cards.files, key=lambda f: (not f.protected, -f.modified_s))
    for done, file in enumerate(ordered):
        if done % 64 == 0:
            go_on(caller, f"{done} files listed")
            caller.progress(done, len(ordered), "Listing the card")
        bare = _bare(file)
        alike = marks.get(_mark_of(bare, file.modified_s), [])
        if alike and file.path.suffix.lower() in _COMPRESSED_ENDINGS:
            listed.append(Listed(file, bare, CameraMetadata(), known=alike[0]))
            continue
        try:
            head = read_head(file.path)
        except TryAgain as error:
            lost[file.source].append(Trouble(file.printable, error.what))
            continue
        except SetpieceError as error:
            troubles.append(Trouble(file.printable, error.what))
            continue
        troubles += lost.pop(file.source, [])  # it is still there: those went one by one
        found = _listed(file, bare, head)
        if found is None:
            left.append(file)
        elif same := _same_exposure(found.facts, alike):
            listed.append(replace(found, known=same))
        else:
            listed.append(found)
            _keep_small(found, head, small)
    caller.progress(len(ordered), len(ordered), "Listing the card")
    for source, mine in lost.items():
        gone = len(mine) >= GONE_AFTER or device_of(source) != devices[source]
        troubles += [went_away(source, len(mine))] if gone else mine
    files = tuple(_with_attachments(listed))
    return Listing(files, tuple(left), tuple(troubles), frozenset(devices))


def read_head(path: Path) -> bytes:
    """The beginning of a file. Raises TryAgain or BadFile."""
    with reading(path), path.open("rb", buffering=0) as stream:
        return stream.read(HEAD)


def facts_of(file: CardFile, content: str, data: bytes) -> tuple[FileFacts, CameraMetadata]:
    """What one file says of itself: kind by content, and what the camera wrote.

    Of a raw file the size is that of the largest picture inside: what can be shown.
    """
    kind = kind_of(data[:HEAD_BYTES])
    metadata = CameraMetadata()
    if kind.is_picture:
        with contextlib.suppress(BadFile):
            metadata = _sayable(read_metadata(data))
    width_px, height_px = metadata.width_px, metadata.height_px
    if kind.is_raw:
        frames = [j.frame for j in jpegs_inside(data)]
        sizes = [(f.width_px, f.height_px) for f in frames]
        width_px, height_px = max(sizes, key=lambda s: s[0] * s[1], default=(0, 0))
    facts = replace(
        _bare(file),
        content=content,
        kind=kind.value,
        serial=metadata.serial,
        camera_time=metadata.camera_time,
        file_number=metadata.file_number or file_number_in(file.path.name),
        width_px=width_px,
        height_px=height_px,
        model=metadata.model,
    )
    return facts, metadata


def _sayable(metadata: CameraMetadata) -> CameraMetadata:
    """The same with a mark for each byte of a broken text that is no letter: what cannot be
    encoded can be neither kept nor shown."""
    texts = {f.name: getattr(metadata, f.name) for f in fields(metadata)}
    broken = {k: v for k, v in texts.items() if isinstance(v, str) and not _is_text(v)}
    plain: dict[str, Any] = {k: v.encode("utf-8", "replace").decode() for k, v in broken.items()}
    return replace(metadata, **plain)


def _is_text(value: str) -> bool:
    """Whether it can be written down: half a surrogate pair cannot."""
    return not any("\ud800" <= sign <= "\udfff" for sign in value)


def first_camera_time(cards: Cards) -> CameraTime | None:
    """The camera time of the newest file that states one, None where none does."""
    for file in sorted(cards.files, key=lambda f: -f.modified_s):
        with contextlib.suppress(SetpieceError):
            if time := read_metadata(read_head(file.path)).camera_time:
                return time
    return None


def _bare(file: CardFile) -> FileFacts:
    """What is known of a file before it is opened."""
    path = Path(file.printable)
    return FileFacts(f"? {path}", path.name, str(path.parent), "unknown", file.size)


def _mark_of(facts: FileFacts, modified_s: float | None) -> _Mark:
    """What a file is recognised by without reading it: its folder's own name, not the path."""
    return Path(facts.folder).name, facts.name, facts.size, modified_s


def _same_exposure(facts: FileFacts, alike: Iterable[StoredFile]) -> StoredFile | None:
    """The file of the same mark whose camera wrote the same body and time, None for silent ones:
    two bodies fired together may have every outward sign in common."""
    if facts.camera_time is None:
        return None
    said = facts.serial, facts.model, facts.camera_time
    fitting = (s for s in alike if (s.facts.serial, s.facts.model, s.facts.camera_time) == said)
    return next(fitting, None)


def _listed(file: CardFile, bare: FileFacts, head: bytes) -> Listed | None:
    """None for a file that is no picture, memo or sidecar, neither inside nor by its name."""
    kind = kind_of(head[:HEAD_BYTES])
    if kind is PictureKind.UNKNOWN and file.path.suffix.lower() not in _PICTURE_ENDINGS:
        return None
    facts, metadata = facts_of(file, bare.content, head)
    return Listed(file, facts, metadata)


def _id_to_be(facts: FileFacts) -> str:
    return frame_id(FrameKey.of(facts))


def _keep_small(listed: Listed, head: bytes, small: Path) -> None:
    """Keeps the small picture the camera wrote, upright, unless a better one is there."""
    if listed.facts.camera_time is None:
        return
    path = small / f"{_id_to_be(listed.facts)}-s.jpg"
    if path.exists():
        return
    found = exif_thumbnail(head)
    if found is None:
        return
    if listed.metadata.orientation != 1:
        try:
            rgb = simplejpeg.decode_jpeg(found, "RGB")
        except ValueError:
            return
        found = thumbnail(turned(rgb, listed.metadata.orientation), SMALL_PX)
    part = path.with_name(path.name + UNFINISHED)
    try:
        part.write_bytes(found)
        part.replace(path)
    except OSError:  # it can be made again
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)


def _with_attachments(listed: Sequence[Listed]) -> Iterator[Listed]:
    """Each picture, and right behind it the memo and the sidecar that lie beside it."""
    beside: dict[tuple[str, str], list[Listed]] = {}
    for item in listed:
        if not item.facts.is_picture and item.known is None:
            beside.setdefault(item.facts.place, []).append(item)
    for item in listed:
        if item.facts.is_picture or item.known is not None:
            yield item
            for other in beside.pop(item.facts.place, ()):
                yield replace(other, of=item)
    yield from (item for rest in beside.values() for item in rest)
