"""Which frame pins an entry: proposals for a person to accept, never taken by themselves.

A photographer logs a goal some half a minute after it. Between lie the burst of the strike, the
bursts of the celebration, and often nothing of the minutes before. So of the frames made in the
entry's interval the last scene counts, its first burst is taken for the strike, and the last
frame of that burst, or the first of the next, is the moment.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from setpiece.match.entries import Entry
from setpiece.match.instants import Interval

BURST_GAP_S = 1.5
"""Frames nearer than this are of one burst. Common practice, no source."""

SCENE_GAP_S = 20.0
"""Bursts nearer than this are of one scene: strike, then celebration. Our choice."""


@dataclass(frozen=True, slots=True)
class Taken:
    """A frame and its true time."""

    frame_id: str
    at: Interval


def proposed_pins(when: Interval, frames: Sequence[Taken]) -> tuple[str, ...]:
    """Frame ids that may pin an entry that happened in that interval, the likeliest first.

    First the last frame of the scene's first burst (the strike), then the first frame of each
    later burst (celebrations). Empty when no frame was made in the interval.
    """
    inside = sorted((f for f in frames if when.holds(f.at.middle)), key=lambda f: f.at.middle)
    scenes = parted(inside, SCENE_GAP_S)
    if not scenes:
        return ()
    first, *later = parted(scenes[-1], BURST_GAP_S)
    return (first[-1].frame_id, *(burst[0].frame_id for burst in later))


def pinned(entry: Entry, frame: Taken) -> Entry:
    """The same entry, happened when that frame was made."""
    return replace(entry, happened=frame.at, frame=frame.frame_id)


def parted(frames: Sequence[Taken], gap_s: float) -> list[list[Taken]]:
    """Frames in order of time, parted where nothing was made for so long."""
    parts = [[f] for f in frames[:1]]
    for before, frame in pairwise(frames):
        if (frame.at.middle - before.at.middle).total_seconds() > gap_s:
            parts.append([])
        parts[-1].append(frame)
    return parts
