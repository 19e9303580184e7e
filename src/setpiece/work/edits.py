"""Edits: crop and straightening of a frame, kept beside it; the original is never touched."""

from __future__ import annotations

from setpiece.errors import WrongUse
from setpiece.pictures.look import Look
from setpiece.pictures.rendition import Edit
from setpiece.store.forms import from_json, to_json
from setpiece.store.handling import handlings, save_handling
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.job import Caller
from setpiece.work.matchday import Matchday

Box = tuple[float, float, float, float]


def edits_of(space: Workspace, of: Match) -> dict[str, Edit]:
    """The edits of the frames of a match, by frame id; a missing one is none."""
    found = {i: from_json(Edit, h.edit) for i, h in handlings(space, of).items()}
    return {i: edit for i, edit in found.items() if edit != Edit()}


def set_edit(space: Workspace, of: Match, frame_name: str, edit: Edit, caller: Caller) -> Edit:
    """Keeps a frame's edit in place of an earlier one."""
    frame = Matchday(space, of).frame(frame_name)
    save_handling(space, of, frame.id, caller.now(), edit=to_json(edit))
    return edit


def read_box(text: str) -> Box:
    """The crop that `0.1,0.2,0.5,0.4` means: left, top, width, height in shares."""
    try:
        x, y, width, height = (float(part) for part in text.split(","))
    except ValueError as error:
        raise WrongUse(
            "this is no crop",
            thing=text,
            next_step="Write left,top,width,height in shares of the picture: 0.1,0.2,0.5,0.4.",
        ) from error
    return x, y, width, height


def ratio_box(text: str, look: Look, across: float = 0.5, down: float = 0.5) -> Box:
    """The largest crop of a ratio such as `3:2` or `4:5`, as near that middle as it fits.

    `across` and `down` are where its middle should be, in shares from the left and the top.
    """
    wide, colon, high = text.partition(":")
    try:
        ratio = float(wide) / float(high)
    except (ValueError, ZeroDivisionError) as error:
        raise WrongUse("this is no ratio", thing=text, next_step="Write 3:2 or 4:5.") from error
    if not colon or not 0.1 <= ratio <= 10:
        raise WrongUse("a ratio is 1:10 to 10:1", thing=text)
    if not (look.width_px and look.height_px):
        raise WrongUse("this frame's size is not known yet", next_step="Take it in first.")
    shape = look.width_px / look.height_px
    width, height = min(1.0, ratio / shape), min(1.0, shape / ratio)
    left = min(max(across - width / 2, 0.0), 1.0 - width)
    top = min(max(down - height / 2, 0.0), 1.0 - height)
    return left, top, width, height
