"""Ranking within a passage: the sharp one first, and why, in words.

A focus figure is the energy of a picture's second derivative. Blur adds in quadrature, and the
figure was found to fall as the fourth power of the whole blur: figure ~ (b^2 + s^2)^-2, b the
blur of a frame in perfect focus, s the blur added. Measured on eleven photographs from cameras,
blurred by 0.5 to 2.4 px at full scale and reduced to half (Laplacian over the sharpest tenth of
tiles): s comes out right within 10 % in the median, within 35 % for a single picture; with gain
and grain of each frame's own within a factor of two. Only frames of one scene can be compared so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, sqrt

from setpiece.errors import WrongUse

BASE_BLUR_PX = 1.33
"""Blur radius (1 sd, at full scale) of a frame in perfect focus, as the half-scale figure sees
it; fitted to the photographs named above."""

EQUAL_PX = 0.5
"""Differences of blur below half a pixel are shown as equal: the figure cannot tell them."""

BLOWN_SHARE = 0.05
DARK_SHARE = 0.35
"""Shares of the subject's area, burnt out or without detail, from which it is said (common
practice, no source)."""

MOVED_TIMES = 3.5
"""Motion takes so many times more of the energy along it than across it; defocus, on photographs
from cameras, at most 3.2 times; 14 px of motion mostly above (own measure, no source)."""

_DIRECTIONS = 4

ALIKE_BITS = 6
"""Two 64-bit picture hashes that differ in no more bits are near-identical (common practice)."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What a look at a frame's pixels found.

    `focus` is not negative, larger is sharper; `along` is the same by four directions, each 45
    degrees from the one before, empty where not known. `blown_share` and `dark_share` are shares
    of the subject's area. `picture_hash` is 64 bits, None when not made. `name` is what the frame
    is called in words.
    """

    frame_id: str
    focus: float
    blown_share: float = 0.0
    dark_share: float = 0.0
    damaged: bool = False
    picture_hash: int | None = None
    name: str = ""
    along: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.focus < inf:
            raise WrongUse("a focus figure is a number, not negative", thing=self.frame_id)


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
    """How much blur a frame has on top of the sharpest of its scene (1 sd, full scale)."""
    if focus >= sharpest:
        return 0.0
    if focus <= 0:
        return inf
    return BASE_BLUR_PX * sqrt(sqrt(sharpest / focus) - 1)


def rank(frames: Sequence[Seen]) -> tuple[Ranked, ...]:
    """The frames of a passage, best first; damaged ones last.

    Frames that are equally sharp as far as can be told share a rank, those with a fault of
    exposure after those without.
    """
    whole = [f for f in frames if not f.damaged]
    sharpest = max(whole, key=lambda f: f.focus, default=Seen("", 0.0))
    ranked: list[Ranked] = []
    better: list[Seen] = []
    for classmates in _classes(frames):
        place = len(ranked) + 1
        for frame in classmates:
            reason = _reason(frame, sharpest, len(frames), len(ranked) == 0)
            like = _alike(frame, better)
            if like is not frame:
                reason += f", nearly the same as {like.name or like.frame_id}"
            softer_px = softer_by_px(frame.focus, sharpest.focus)
            ranked.append(Ranked(frame.frame_id, place, softer_px, reason, like.frame_id))
            better.append(frame)
    return tuple(ranked)


def _classes(frames: Sequence[Seen]) -> list[list[Seen]]:
    """Frames that rank the same, best first: each within half a pixel of its class's sharpest."""
    classes: list[list[Seen]] = []
    for damaged in (False, True):
        left = sorted((f for f in frames if f.damaged is damaged), key=lambda f: -f.focus)
        while left:
            equal = [f for f in left if softer_by_px(f.focus, left[0].focus) < EQUAL_PX]
            left = left[len(equal) :]
            classes.append([f for f in equal if not _exposure(f)])
            classes.append([f for f in equal if _exposure(f)])
    return [c for c in classes if c]


def _exposure(frame: Seen) -> list[str]:
    """Faults of exposure, in words."""
    said = []
    if frame.blown_share >= BLOWN_SHARE:
        said.append(f"blown out on {frame.blown_share:.0%} of the subject")
    if frame.dark_share >= DARK_SHARE:
        said.append(f"dark on {frame.dark_share:.0%} of the subject")
    return said


def moved(frame: Seen, sharpest: Seen) -> bool:
    """Whether a frame is soft by motion: it lost along one direction far more than across it."""
    if len(frame.along) != _DIRECTIONS or len(sharpest.along) != _DIRECTIONS:
        return False
    if min(sharpest.along) <= 0:
        return False
    left = [a / b for a, b in zip(frame.along, sharpest.along, strict=True)]
    least = left.index(min(left))
    return left[(least + _DIRECTIONS // 2) % _DIRECTIONS] >= MOVED_TIMES * left[least]


def _reason(frame: Seen, sharpest: Seen, count: int, first: bool) -> str:
    softer_px = softer_by_px(frame.focus, sharpest.focus)
    if frame.damaged:
        said = ["damaged"]
    elif count == 1:
        said = ["the only frame"]
    elif softer_px == 0 and first:
        said = [f"the sharpest of {count}"]
    elif softer_px < EQUAL_PX:
        said = ["as sharp as any, as far as can be told"]
    elif softer_px == inf:
        said = ["nothing in it is sharp"]
    else:
        said = [f"softer by about {softer_px:.1f} px"]
    if not frame.damaged and softer_px >= EQUAL_PX and moved(frame, sharpest):
        said.append("by motion more than by focus")
    return ", ".join(said + _exposure(frame))


def _alike(frame: Seen, better: Sequence[Seen]) -> Seen:
    """The best frame that differs from this one in a few bits of the hash only, else itself."""
    for other in better:
        if frame.picture_hash is None or other.picture_hash is None:
            continue
        if (frame.picture_hash ^ other.picture_hash).bit_count() <= ALIKE_BITS:
            return other
    return frame
