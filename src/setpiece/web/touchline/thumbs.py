"""Frames as small pictures in a row: which of a passage to show, and what each one says."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from setpiece.store.frames import Decision
from setpiece.web.mast import phase_words
from setpiece.web.wording import Wording
from setpiece.work.matchday import Matchday

MOST = 8
"""A closed passage shows at most so many frames."""

HEIGHT_PX = 60
"""The height of a small picture on the page; its width follows the frame's own shape."""

_SHAPE = (3, 2)


@dataclass(frozen=True, slots=True)
class Thumb:
    """One frame as a small picture. `picture` is its address, empty where there is none; `fine`
    that of the one for a screen with twice the pixels.

    `mark` is the decision as a word on the picture; `label` is what a screen reader says.
    """

    frame_id: str
    handle: str
    picture: str
    fine: str
    width_px: int
    height_px: int
    decision: str
    mark: str
    best: bool
    captioned: bool
    wrong: int
    label: str


def shown(frame_ids: Sequence[str], used: set[str], sharpest: str | None) -> tuple[str, ...]:
    """At most `MOST` frames of a passage: the used, the sharpest, the rest evenly spaced."""
    if len(frame_ids) <= MOST:
        return tuple(frame_ids)
    chosen = set(_spaced([i for i in frame_ids if i in used], MOST))
    if sharpest is not None and len(chosen) < MOST:
        chosen.add(sharpest)
    chosen |= set(_spaced([i for i in frame_ids if i not in chosen], MOST - len(chosen)))
    return tuple(i for i in frame_ids if i in chosen)


def _spaced(frame_ids: Sequence[str], most: int) -> Sequence[str]:
    """At most `most` of them, evenly spaced, the first and the last among them."""
    if len(frame_ids) <= most:
        return frame_ids
    if most < 2:
        return frame_ids[:most]
    step = (len(frame_ids) - 1) / (most - 1)
    return [frame_ids[round(i * step)] for i in range(most)]


def sharpest_of(day: Matchday, frame_ids: Sequence[str]) -> str | None:
    """The frame that ranks first in its passage; None where nothing could be compared."""
    if len(frame_ids) < 2:
        return None
    ranked = [(day.ranks[i].rank, n, i) for n, i in enumerate(frame_ids) if i in day.ranks]
    return min(ranked)[2] if ranked else None


def used_in(day: Matchday, frame_ids: Sequence[str]) -> set[str]:
    """The frames in use among these."""
    return {i for i in frame_ids if day.frames[i].decision is Decision.USE}


def thumb(day: Matchday, frame_id: str, best: str | None, wrong: int, words: Wording) -> Thumb:
    """The small picture of one frame."""
    frame = day.frames[frame_id]
    look = day.looks.get(frame_id)
    width, height = (look.width_px, look.height_px) if look and look.width_px else _SHAPE
    decision = frame.decision.value
    captioned = frame_id in day.captions
    said = [words("thumb.label", handle=frame.handle, place=place_words(day, frame_id, words))]
    if decision:
        said.append(words(f"thumb.said-{decision}"))
    if frame_id == best:
        said.append(words("thumb.best"))
    if captioned:
        said.append(words("thumb.captioned"))
    if wrong:
        said.append(words.count("thumb.wrong", wrong))
    if frame.damaged:
        said.append(words("thumb.damaged"))
    return Thumb(
        frame_id=frame_id,
        handle=frame.handle,
        picture=picture_of(day, frame_id, "t"),
        fine=picture_of(day, frame_id, "s"),
        width_px=max(20, min(150, round(HEIGHT_PX * width / height))),
        height_px=HEIGHT_PX,
        decision=decision,
        mark=words(f"thumb.{decision}") if decision else "",
        best=frame_id == best,
        captioned=captioned,
        wrong=wrong,
        label=", ".join(said),
    )


def picture_of(day: Matchday, frame_id: str, size: str) -> str:
    """The address of a frame's tiny (`t`), small (`s`) or middle (`m`) picture, empty for none.

    It changes with the look at the frame, so that it may be kept for ever.
    """
    look = day.looks.get(frame_id)
    if look is None or not look.picture:
        return ""
    return f"/picture/{frame_id}-{size}.jpg?look={look_mark(day.frames[frame_id].look or '')}"


def look_mark(look: str) -> str:
    """Eight digits that change when a frame is looked at again and something else is found."""
    return hashlib.blake2b(look.encode(), digest_size=4).hexdigest()


def place_words(day: Matchday, frame_id: str, words: Wording) -> str:
    """`74' 2–1`, the phase where no minute runs, or that there is no time."""
    place = day.places.get(frame_id)
    if place is None:
        return words("thumb.no-time")
    state = place.state
    if state.label is not None:
        return words("opened.score-then", minute=f"{state.label}'", score=state.score)
    return phase_words(state.phase, words)
