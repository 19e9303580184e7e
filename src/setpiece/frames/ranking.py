"""Ranking within a passage: the sharp one first, and why, in words.

A focus figure is the energy of a picture's second derivative; for an edge of blur radius s it
falls as s to the power -3, so that the cube root of two figures' ratio is the ratio of their
blurs. Only frames of one scene can be compared so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cbrt

from setpiece.errors import WrongUse

BASE_BLUR_PX = 1.0
"""Blur radius (1 sd) of a frame in perfect focus at full scale: lens, filter and demosaicing
(common practice, no source)."""

EQUAL_PX = 0.5
"""Differences of blur below half a pixel are shown as equal."""

BLOWN_SHARE = 0.05
DARK_SHARE = 0.35
"""Shares of the subject's area, burnt out or without detail, from which it is said."""

ALIKE_BITS = 6
"""Two 64-bit picture hashes that differ in no more bits are near-identical (common practice)."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What a look at a frame's pixels found.

    `focus` is positive, larger is sharper. `motion_px` is the length of motion blur, 0 for none
    or not known. `blown_share` and `dark_share` are shares of the subject's area. `picture_hash`
    is 64 bits, None when not made.
    """

    frame_id: str
    focus: float
    motion_px: float = 0.0
    blown_share: float = 0.0
    dark_share: float = 0.0
    damaged: bool = False
    picture_hash: int | None = None

    def __post_init__(self) -> None:
        if not self.focus >= 0:
            raise WrongUse("a focus figure is not negative", thing=self.frame_id)


@dataclass(frozen=True, slots=True)
class Ranked:
    """A frame's rank: 1 is best, equals share a rank. `softer_px` counts from the sharpest.

    `alike` is the id of the best frame it is near-identical to, its own when to none.
    """

    frame_id: str
    rank: int
    softer_px: float
    reason: str
    alike: str


def softer_by_px(focus: float, sharpest: float) -> float:
    """How many pixels more blur a frame has than the sharpest of its scene (1 sd, full scale)."""
    if sharpest <= 0 or focus >= sharpest:
        return 0.0
    if focus <= 0:
        return float("inf")
    return BASE_BLUR_PX * (cbrt(sharpest / focus) - 1)


def rank(frames: Sequence[Seen]) -> tuple[Ranked, ...]:
    """The frames of a passage, best first. Equally sharp ones go by exposure, then as given."""
    whole = [f for f in frames if not f.damaged] or list(frames)
    if not whole:
        return ()
    sharpest = max(f.focus for f in whole)
    place_in = {f.frame_id: i for i, f in enumerate(frames)}

    def order(frame: Seen) -> tuple[object, ...]:
        return (
            frame.damaged,
            _step(frame, sharpest),
            bool(_exposure(frame)),
            place_in[frame.frame_id],
        )

    ordered = sorted(frames, key=order)
    ranked: list[Ranked] = []
    for i, frame in enumerate(ordered):
        same = i > 0 and order(frame)[:3] == order(ordered[i - 1])[:3]
        ranked.append(
            Ranked(
                frame.frame_id,
                ranked[-1].rank if same else i + 1,
                softer_by_px(frame.focus, sharpest),
                _reason(frame, sharpest, len(frames)),
                _alike(frame, ordered[:i]),
            )
        )
    return tuple(ranked)


def _step(frame: Seen, sharpest: float) -> int:
    """How many whole half-pixels softer than the sharpest: 0 is as sharp as can be told."""
    return int(min(softer_by_px(frame.focus, sharpest), 1e6) / EQUAL_PX)


def _exposure(frame: Seen) -> list[str]:
    said = []
    if frame.blown_share >= BLOWN_SHARE:
        said.append(f"blown out on {frame.blown_share:.0%} of the subject")
    if frame.dark_share >= DARK_SHARE:
        said.append(f"dark on {frame.dark_share:.0%} of the subject")
    return said


def _reason(frame: Seen, sharpest: float, count: int) -> str:
    softer_px = softer_by_px(frame.focus, sharpest)
    if frame.damaged:
        said = ["damaged"]
    elif count == 1:
        said = ["the only frame"]
    elif softer_px == 0:
        said = [f"the sharpest of {count}"]
    elif softer_px < EQUAL_PX:
        said = ["as sharp as the sharpest, as far as can be told"]
    elif softer_px == float("inf"):
        said = ["nothing in it is sharp"]
    else:
        said = [f"softer by about {softer_px:.1f} px"]
    if frame.motion_px >= EQUAL_PX and softer_px >= EQUAL_PX:
        said.append(f"moved by about {frame.motion_px:.1f} px")
    return ", ".join(said + _exposure(frame))


def _alike(frame: Seen, better: Sequence[Seen]) -> str:
    if frame.picture_hash is None:
        return frame.frame_id
    for other in better:
        if other.picture_hash is not None:
            if (frame.picture_hash ^ other.picture_hash).bit_count() <= ALIKE_BITS:
                return other.frame_id
    return frame.frame_id
