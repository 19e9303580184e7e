"""What a look at the pixels of one frame found: the form in which it is kept with the frame."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.match.instants import Instant
from setpiece.pictures.focus import FocusFigure


@dataclass(frozen=True, slots=True)
class Look:
    """What a look at a frame's pixels found. `picture` is False where none is inside.

    `codes` are instants that clock-card codes in the picture state; `searched` tells whether
    they were looked for thoroughly, not only at a glance; `own_clock` that the card's clock was
    not compared with the match's. Sizes are of the upright picture in
    full pixels; `why` says in words what is wrong. `alike` is the hash of the picture's look, in
    hexadecimal digits.
    """

    picture: bool
    damaged: bool = False
    width_px: int = 0
    height_px: int = 0
    focus: FocusFigure | None = None
    codes: tuple[Instant, ...] = ()
    why: str = ""
    searched: bool = False
    own_clock: bool = False
    alike: str = ""
