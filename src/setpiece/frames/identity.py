"""One exposure is one frame, whatever files it left; a frame keeps the id it first had.

Which files are of one exposure is told by the rules of `exposures`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from setpiece.errors import WrongUse
from setpiece.frames.exposures import SMALLER_SHARE, Exposure, exposures
from setpiece.frames.file_facts import MEMO_KIND, SIDECAR_KIND, FileFacts, file_number_in

__all__ = [
    "FileFacts",
    "FileRole",
    "FrameGroup",
    "FrameKey",
    "file_number_in",
    "frame_id",
    "group",
    "handle",
    "join",
]

_KIND_ORDER = {"JPEG": 0, "HEIF": 1}


class FileRole(StrEnum):
    """What a file is to its frame. The values are printed."""

    PICTURE = "picture"
    RAW = "raw"
    COPY = "same picture again"
    SMALL = "small copy"
    CROP = "crop or copy made in the camera"
    DAMAGED = "damaged"
    MEMO = "voice memo"
    SIDECAR = "sidecar"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class FrameKey:
    """What a frame is known by: body, the camera's own time, fraction of the second, number.

    Where the camera wrote no time, `content` stands for all of it.
    """

    serial: str
    reading: datetime | None
    subsec: str = ""
    file_number: int | None = None
    content: str = ""

    def __post_init__(self) -> None:
        if self.reading is None and not self.content:
            raise WrongUse("a frame is known by a camera time or by its content", thing=self.serial)

    @classmethod
    def of(cls, file: FileFacts) -> FrameKey:
        """The key that this file alone would give its frame."""
        if file.camera_time is None or not file.is_picture:
            name = "" if file.is_picture else f" {file.folder}/{file.name}"
            return cls("", None, content=file.content + name)
        return cls(
            file.serial or file.model,
            file.camera_time.reading.replace(microsecond=0),
            file.subsec,
            file.file_number,
            "" if file.file_number is not None and (file.serial or file.model) else file.content,
        )


def frame_id(key: FrameKey) -> str:
    """`f` and 12 hexadecimal digits, the same for the same key on every machine."""
    reading = key.reading.isoformat(timespec="seconds") if key.reading else ""
    number = "" if key.file_number is None else str(key.file_number)
    text = "\x1f".join((key.serial, reading, key.subsec, number, key.content))
    return "f" + hashlib.blake2b(text.encode(), digest_size=6).hexdigest()


def handle(camera_letter: str, file_number: int | None) -> str:
    """What a photographer calls a frame: `A-0231`; `A-?` where the camera gave no number."""
    return f"{camera_letter}-{'?' if file_number is None else format(file_number, '04d')}"


@dataclass(frozen=True, slots=True)
class FrameGroup:
    """One frame: its id, what it is known by, and its files, best picture first.

    `former_ids` are ids of frames that turned out to be this one. `doubts` are in words.
    """

    id: str
    key: FrameKey
    files: tuple[FileFacts, ...]
    former_ids: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.files:
            raise WrongUse("a frame has at least one file", thing=self.id)

    @property
    def best(self) -> FileFacts:
        """The file renditions are made from: whole before damaged, then most pixels.

        Of equal ones JPEG before HEIF before raw. Without a picture, the memo or sidecar itself.
        """
        return min(self.files, key=_best_first)

    @property
    def has_picture(self) -> bool:
        """Whether any of its files is a picture."""
        return self.best.is_picture

    @property
    def memos(self) -> tuple[FileFacts, ...]:
        """Its voice memos."""
        return tuple(f for f in self.files if f.kind == MEMO_KIND)

    @property
    def sidecars(self) -> tuple[FileFacts, ...]:
        """Its XMP sidecars."""
        return tuple(f for f in self.files if f.kind == SIDECAR_KIND)

    def role_of(self, file: FileFacts) -> FileRole:
        """What this file is to the frame."""
        if not file.is_picture:
            return {MEMO_KIND: FileRole.MEMO, SIDECAR_KIND: FileRole.SIDECAR}.get(
                file.kind, FileRole.OTHER
            )
        if file.damaged:
            return FileRole.DAMAGED
        if file.is_raw:
            return FileRole.RAW
        if file == self.best:
            return FileRole.PICTURE
        if file.pixels > self.best.pixels * SMALLER_SHARE:
            return FileRole.COPY
        return FileRole.SMALL if file.file_number == self.best.file_number else FileRole.CROP


def group(files: Sequence[FileFacts]) -> tuple[FrameGroup, ...]:
    """The frames that these files are of. Every file is in exactly one."""
    return join((), files)


def join(
    existing: Sequence[FrameGroup], new: Iterable[FileFacts], elsewhere: Iterable[str] = ()
) -> tuple[FrameGroup, ...]:
    """All frames after further files came; a frame that was there keeps its id.

    Call it once for all files of a run: the whole is looked at each time. `elsewhere` are ids of
    another match's frames: an exposure that is taken into two matches is a frame of each.
    """
    found = exposures([*(f for g in existing for f in g.files), *new])
    home = {f: i for i, exposure in enumerate(found) for f in exposure.files}
    heirs: dict[int, list[FrameGroup]] = {}
    for old in existing:
        heirs.setdefault(home[old.best], []).append(old)
    taken = {*(old.id for old in existing), *elsewhere}
    frames = []
    for i, exposure in enumerate(found):
        frames.append(_frame(exposure, heirs.get(i, []), taken))
        taken.add(frames[-1].id)
    return tuple(sorted(frames, key=_frame_order))


def _frame(exposure: Exposure, heirs: Sequence[FrameGroup], taken: set[str]) -> FrameGroup:
    """The frame of one exposure, with the id of the first of the frames it continues."""
    files = tuple(sorted(exposure.files, key=_best_first))
    key = FrameKey.of(_anchor(files))
    if heirs:
        ids = dict.fromkeys(i for h in heirs for i in (h.id, *h.former_ids))
        first, *former = ids
        return FrameGroup(first, key, files, tuple(former), exposure.doubts)
    own = frame_id(key)
    anchor = _anchor(files)
    content = f"{anchor.content} {anchor.name}"
    while own in taken:  # exposures with one key: nothing the camera wrote tells them apart
        key = FrameKey(key.serial, key.reading, key.subsec, key.file_number, content)
        own = frame_id(key)
        content += " again"
    return FrameGroup(own, key, files, (), exposure.doubts)


def _anchor(files: Sequence[FileFacts]) -> FileFacts:
    """The file whose camera time and number name the frame: the original's fullest account."""
    told = [f for f in files if f.is_picture and f.camera_time]
    if not told:
        return files[0]
    most = max(f.pixels for f in told)
    originals = [f for f in told if f.pixels >= most * SMALLER_SHARE]
    return max(originals, key=lambda f: (len(f.subsec), bool(f.serial), f.file_number is not None))


def _best_first(file: FileFacts) -> tuple[object, ...]:
    return (
        not file.is_picture,
        file.damaged,
        -file.pixels,
        _KIND_ORDER.get(file.kind, 2),
        -file.size,
        file.folder,
        file.name,
        file.content,
    )


def _frame_order(frame: FrameGroup) -> tuple[object, ...]:
    reading = frame.key.reading
    return (
        frame.key.serial,
        reading.isoformat() if reading else "~",
        frame.key.subsec,
        frame.key.file_number if frame.key.file_number is not None else -1,
        frame.id,
    )
