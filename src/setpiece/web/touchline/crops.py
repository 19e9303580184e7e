"""Crops of frames: as the page shows them, and as a line says them."""

from __future__ import annotations

from math import gcd

from setpiece.errors import WrongUse
from setpiece.pictures.rendition import Edit
from setpiece.web.wording import Wording
from setpiece.work.edits import Box, edits_of, ratio_box, read_box
from setpiece.work.matchday import Matchday

EDITS = "edits_kept"
"""The name under which the edits are kept with the view of a match."""

OFF = ("off", "none", "whole")
"""Words after `crop` that take it off."""

WHOLE: Box = (0.0, 0.0, 1.0, 1.0)

_KNOWN_RATIOS = ((3, 2), (2, 3), (4, 3), (3, 4), (5, 4), (4, 5), (16, 9), (9, 16), (1, 1), (2, 1))
_ALIKE = 0.004
"""Ratios nearer than this share are called by the same name."""


def edit_of(day: Matchday, frame_id: str) -> Edit:
    """The edit of a frame; none where nothing was set."""
    kept: dict[str, Edit] | None = vars(day).get(EDITS)
    if kept is None:
        kept = vars(day)[EDITS] = edits_of(day.space, day.match)
    return kept.get(frame_id, Edit())


def crop_text(box: Box | None) -> str:
    """The crop as a line writes it: `0.1000,0.2000,0.5000,0.4000`; empty for none."""
    return "" if box is None else ",".join(f"{share:.4f}" for share in box)


def read_crop(text: str, day: Matchday, frame_id: str) -> Box | None:
    """The crop that `4:5`, `0.1,0.2,0.5,0.4` or `off` means for a frame. Raises WrongUse."""
    said = text.strip().lower()
    if said in OFF:
        return None
    if ":" in said:
        look = day.looks.get(frame_id)
        if look is None:
            raise WrongUse("this frame was not looked at yet", next_step="Take it in first.")
        return ratio_box(said, look)
    return read_box(said)


def crop_words(day: Matchday, frame_id: str, words: Wording) -> str:
    """What is cropped, as part of the credit sentence; empty for a whole frame."""
    edit, look = edit_of(day, frame_id), day.looks.get(frame_id)
    if edit.crop is None or look is None or not look.width_px:
        return ""
    width, height = round(edit.crop[2] * look.width_px), round(edit.crop[3] * look.height_px)
    return words("opened.cropped", ratio=ratio_words(width, height), width=width, height=height)


def ratio_words(width: int, height: int) -> str:
    """`3:2` for what is near enough to it, else the numbers in their lowest terms."""
    for wide, high in _KNOWN_RATIOS:
        if height and abs(width / height / (wide / high) - 1) <= _ALIKE:
            return f"{wide}:{high}"
    common = gcd(width, height) or 1
    if max(width, height) // common <= 20:
        return f"{width // common}:{height // common}"
    return f"{width / height:.2f}:1" if height else f"{width}:0"
