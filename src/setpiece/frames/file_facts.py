"""What is known of one file off a card: enough to tell which exposure it belongs to."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import ceil, log10

from setpiece.errors import WrongUse
from setpiece.match.instants import CameraTime

MEMO_KIND = "WAV"
SIDECAR_KIND = "XMP"
UNKNOWN_KIND = "unknown"
_NO_PICTURE_INSIDE = frozenset((MEMO_KIND, SIDECAR_KIND, UNKNOWN_KIND))
_RENDERED_KINDS = ("JPEG", "HEIF")

_DCF_NAME = re.compile(r"\w{4}(\d{4})(?:[ _-]?\(?\d{1,2}\)?)?", re.ASCII)
_FOUR_DIGITS = re.compile(r"(?<!\d)(\d{4})(?!\d)")


@dataclass(frozen=True, slots=True)
class FileFacts:
    """One file: its content, its place and what the camera wrote into it.

    `content` is the hash of all its bytes; `kind` as recognised by content (`JPEG`, `HEIF`,
    `NEF`, ..., `WAV`, `XMP`, `unknown`). `folder` should name the card or source too, so that
    two cards with a folder of the same name stay apart. `serial` and `model` are empty and
    `file_number` None where the camera was silent. `width_px` and `height_px` are those of the
    picture that can be shown (of a raw file its preview), 0 when not known.
    """

    content: str
    name: str
    folder: str
    kind: str
    size: int
    serial: str = ""
    camera_time: CameraTime | None = None
    file_number: int | None = None
    width_px: int = 0
    height_px: int = 0
    damaged: bool = False
    model: str = ""

    def __post_init__(self) -> None:
        if not self.content or not self.name:
            raise WrongUse("a file is known by its content and has a name", thing=self.name)
        if self.size < 0 or self.width_px < 0 or self.height_px < 0:
            raise WrongUse("a file's sizes are not negative", thing=self.name)
        if self.file_number is not None and self.file_number < 0:
            raise WrongUse("a file number is not negative", thing=self.name)

    @property
    def is_picture(self) -> bool:
        """Whether a picture can be inside: no voice memo, no sidecar, not empty or unknown."""
        return self.kind not in _NO_PICTURE_INSIDE and self.size > 0

    @property
    def is_raw(self) -> bool:
        """Whether it is a raw file, shown by its embedded preview."""
        return self.is_picture and self.kind not in _RENDERED_KINDS

    @property
    def pixels(self) -> int:
        """How many pixels can be shown, 0 when not known."""
        return self.width_px * self.height_px

    @property
    def subsec(self) -> str:
        """The decimal digits of the second that the camera wrote, empty when it wrote none."""
        if self.camera_time is None or self.camera_time.resolution_s >= 1:
            return ""
        digits = f"{self.camera_time.reading.microsecond:06d}"
        return digits[: ceil(-log10(self.camera_time.resolution_s) - 1e-9)]

    @property
    def place(self) -> tuple[str, str]:
        """Folder and base name, by which the files of one exposure lie together on a card."""
        return self.folder, base_name(self.name, self.kind)


def base_name(name: str, kind: str = "") -> str:
    """The name without its ending, letter case ignored.

    Of a sidecar called `ABCD0231.JPG.xmp` both endings go.
    """
    return name.removesuffix(ending_of(name, kind)).casefold()


def ending_of(name: str, kind: str = "") -> str:
    """What `base_name` leaves out, with its dot; empty where a name has no ending."""
    stem = name.rpartition(".")[0] or name
    if kind == SIDECAR_KIND and re.fullmatch(r".+\.\w{2,4}", stem):
        stem = stem.rpartition(".")[0]
    return name[len(stem) :]


def file_number_in(name: str) -> int | None:
    """The number a camera counted into a file's name, None where there is none to be told.

    DCF names have four signs, then 0001 to 9999 (CIPA DC-009, DCF object names; from memory);
    a computer may have added ` (1)` or `-2`. Of other names the last run of exactly four digits.
    """
    stem = base_name(name)
    if found := _DCF_NAME.fullmatch(stem):
        return int(found[1])
    runs = _FOUR_DIGITS.findall(stem)
    return int(runs[-1]) if runs else None
