"""Passages: the frames of one passage of play, across cameras.

First each camera's frames are cut where it paused; then the pieces of all cameras that lie
together in true time are joined; then what the photographer split, joined or pinned by hand is
done, in the order in which it was said.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import erfc

from setpiece.errors import WrongUse
from setpiece.match.instants import Instant, Interval

GAP_S = 8.0
"""A pause longer than this ends a passage (common practice, no source)."""

LONGEST_S = 120.0
"""A passage longer than this is cut at its widest pause: play never pauses for a camera that
shoots on (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Timed:
    """A frame with its camera and true time."""

    frame_id: str
    camera: str
    at: Interval


@dataclass(frozen=True, slots=True)
class Split:
    """By hand: `before` and what follows it in its passage are a passage of their own."""

    before: str


@dataclass(frozen=True, slots=True)
class Joined:
    """By hand: the passages that hold these frames are one."""

    frame_ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Pinned:
    """By hand: exactly these frames are that passage, whatever comes later."""

    passage_id: str
    frame_ids: tuple[str, ...]


Pin = Split | Joined | Pinned


@dataclass(frozen=True, slots=True)
class Passage:
    """Frames of one passage of play in order of true time. `doubts` are in words."""

    id: str
    frame_ids: tuple[str, ...]
    span: Interval
    cameras: tuple[str, ...]
    pinned: bool = False
    doubts: tuple[str, ...] = ()


def passage_id(first_frame_id: str) -> str:
    """The passage's id, from its first frame's."""
    return "p" + first_frame_id.removeprefix("f")


def passages(
    frames: Sequence[Timed],
    *,
    gap_s: float = GAP_S,
    longest_s: float = LONGEST_S,
    pins: Sequence[Pin] = (),
) -> tuple[Passage, ...]:
    """The passages of a match in order of true time; every frame is in exactly one.

    A camera whose time is less sure than half a gap joins no other camera's passages.
    """
    if gap_s <= 0 or longest_s <= 0:
        raise WrongUse("a gap is longer than nothing", thing=f"{gap_s} s, {longest_s} s")
    ordered = sorted(frames, key=_order)
    if len({f.frame_id for f in ordered}) < len(ordered):
        raise WrongUse("a frame is given twice to passages")
    sure = [f for f in ordered if f.at.width_s <= gap_s]
    runs = _cut(_join_across(_runs(sure, gap_s), gap_s), longest_s)
    runs += _cut(_runs([f for f in ordered if f.at.width_s > gap_s], gap_s), longest_s)
    known = {f.frame_id: f for f in ordered}
    grouped: list[_Group] = [_Group([f.frame_id for f in run]) for run in runs]
    for pin in pins:
        grouped = _by_hand(grouped, pin, known)
    pinned = {g.pinned_id for g in grouped if g.frame_ids}
    made = [_passage(g, known, gap_s, pinned) for g in grouped if g.frame_ids]
    return tuple(sorted(made, key=lambda p: (p.span.start, p.id)))


def chance_of_wrong_order(gap_s: float, sigma_s: float) -> float:
    """The chance that two frames of different bodies, `gap_s` apart, come out in wrong order.

    Each body's time is off by a normal error of `sigma_s` (1 sd): Phi(-gap / (sigma sqrt 2)).
    """
    if sigma_s <= 0:
        return 0.0 if gap_s > 0 else 0.5
    return 0.5 * erfc(gap_s / (2 * sigma_s))


def _order(frame: Timed) -> tuple[Instant, str, str]:
    return frame.at.middle, frame.camera, frame.frame_id


def _runs(frames: Iterable[Timed], gap_s: float) -> list[list[Timed]]:
    """Each camera's frames, cut where it paused longer than the gap."""
    latest: dict[str, list[Timed]] = {}
    runs: list[list[Timed]] = []
    for frame in frames:
        run = latest.get(frame.camera)
        if run and (frame.at.middle - run[-1].at.middle).total_seconds() <= gap_s:
            run.append(frame)
        else:
            latest[frame.camera] = [frame]
            runs.append(latest[frame.camera])
    return runs


def _join_across(runs: Sequence[list[Timed]], gap_s: float) -> list[list[Timed]]:
    """Runs of all cameras that lie within a gap of each other, as far as times are sure."""
    joined: list[list[Timed]] = []
    end: Instant | None = None
    for run in sorted(runs, key=lambda r: min(f.at.start for f in r)):
        start = min(f.at.start for f in run)
        if end is not None and (start - end).total_seconds() <= gap_s:
            joined[-1] += run
        else:
            joined.append(list(run))
            end = None
        last = max(f.at.end for f in run)
        end = last if end is None else max(end, last)
    return [sorted(run, key=_order) for run in joined]


def _cut(runs: Iterable[list[Timed]], longest_s: float) -> list[list[Timed]]:
    """Runs no longer than the longest, cut at their widest pauses."""
    done: list[list[Timed]] = []
    waiting = list(runs)
    while waiting:
        run = waiting.pop()
        if (run[-1].at.middle - run[0].at.middle).total_seconds() <= longest_s:
            done.append(run)
            continue
        pauses = [(b.at.middle - a.at.middle).total_seconds() for a, b in pairwise(run)]
        at = pauses.index(max(pauses)) + 1
        waiting += [run[:at], run[at:]]
    return done


@dataclass(frozen=True, slots=True)
class _Group:
    frame_ids: list[str]
    pinned_id: str = ""


def _by_hand(groups: Sequence[_Group], pin: Pin, known: dict[str, Timed]) -> list[_Group]:
    """The groups after one thing said by hand; frames no longer there are passed over."""
    if isinstance(pin, Split):
        return [part for g in groups for part in _split(g, pin.before, known)]
    named = [i for i in dict.fromkeys(pin.frame_ids) if i in known]
    if isinstance(pin, Pinned):
        rest = [_Group([i for i in g.frame_ids if i not in named], g.pinned_id) for g in groups]
        return [*rest, _Group(named, pin.passage_id)]
    held = [g for g in groups if any(i in g.frame_ids for i in named)]
    if len(held) < 2:
        return list(groups)
    pinned_id = next((g.pinned_id for g in held if g.pinned_id), "")
    return [
        *(g for g in groups if g not in held),
        _Group([i for g in held for i in g.frame_ids], pinned_id),
    ]


def _split(group: _Group, before: str, known: dict[str, Timed]) -> list[_Group]:
    if before not in group.frame_ids:
        return [group]
    ids = sorted(group.frame_ids, key=lambda i: _order(known[i]))
    at = ids.index(before)
    return [_Group(ids[:at], group.pinned_id), _Group(ids[at:])]


def _passage(
    group: _Group, known: dict[str, Timed], gap_s: float, pinned: Collection[str]
) -> Passage:
    frames = sorted((known[i] for i in group.frame_ids), key=_order)
    span = Interval(min(f.at.start for f in frames), max(f.at.end for f in frames))
    doubts = []
    unsure = sorted({f.camera for f in frames if f.at.width_s > gap_s})
    if unsure:
        doubts.append(f"the time of {', '.join(unsure)} is a guess: fit its clock")
    if _order_unsure(frames):
        doubts.append("frames of different cameras may be in the wrong order")
    own = passage_id(frames[0].frame_id)
    return Passage(
        group.pinned_id or (f"{own}-2" if own in pinned else own),
        tuple(f.frame_id for f in frames),
        span,
        tuple(sorted({f.camera for f in frames})),
        bool(group.pinned_id),
        tuple(doubts),
    )


def _order_unsure(frames: Sequence[Timed]) -> bool:
    """Whether neighbours of different cameras overlap in what their times leave open."""
    return any(a.camera != b.camera and a.at.meets(b.at) for a, b in pairwise(frames))
