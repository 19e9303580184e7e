"""Frames of the clock card: found at a glance when a frame is looked at, thoroughly here.

A glance reads most cards. Where one was found, the frames around it are searched at half scale
and sharpened; a camera without any is searched around the time at which the others saw the card.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from setpiece.errors import NotFound, SetpieceError
from setpiece.frames.camera_clock import true_time, unfitted
from setpiece.match.instants import CameraTime, Instant, Interval, instant
from setpiece.pictures.clock_card import CardCode, read_codes
from setpiece.pictures.decode import decode_half
from setpiece.pictures.kind import HEAD_BYTES, kind_of
from setpiece.pictures.look import Look
from setpiece.store.copying import reading
from setpiece.store.forms import from_json, to_json
from setpiece.store.frames import StoredFrame, frames_of, save_look
from setpiece.store.matches import Match, match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.intake.look import workers
from setpiece.work.job import Caller, go_on

AROUND_S = 60.0
"""Frames so near to one of the card may show it too (common practice, no source)."""

MOST_SEARCHED = 60
"""Of a camera that shows no card at a glance, so many frames are searched at most."""

_BOTH_CODES = 2


def codes_in(frame: StoredFrame) -> tuple[Instant, ...]:
    """The clock-card codes found in a frame so far."""
    return from_json(Look, frame.look).codes if frame.look else ()


def by_own_clock(frame: StoredFrame) -> bool:
    """Whether the card in a frame went by a clock that nobody compared with the match's."""
    return bool(frame.look) and from_json(Look, frame.look or "").own_clock


def search_around(space: Workspace, of: Match, caller: Caller, venue_offset_min: int) -> int:
    """Searches the frames where the card is likely; how many frames show it now."""
    frames = frames_of(space, of)
    by_camera: dict[int, list[StoredFrame]] = {}
    for frame in frames:
        if frame.camera_id is not None and frame.camera_time:
            by_camera.setdefault(frame.camera_id, []).append(frame)
    shown = [code for frame in frames for code in codes_in(frame)]
    wanted: list[StoredFrame] = []
    for own in by_camera.values():
        cards = [f.camera_time for f in own if f.camera_time and codes_in(f)]
        if cards:
            wanted += [f for f in own if _near(f.camera_time, cards)]
        elif shown:
            wanted += _when_shown(own, shown, venue_offset_min)
    search(space, of, wanted, caller)
    return sum(1 for f in frames_of(space, of) if codes_in(f))


def search(space: Workspace, of: Match, frames: Iterable[StoredFrame], caller: Caller) -> None:
    """Searches these frames thoroughly, once each, and keeps the codes found."""
    folder = match_folder(space, of)
    waiting = [f for f in frames if _unsearched(f)]
    with ThreadPoolExecutor(workers(), thread_name_prefix="card") as pool:
        found = pool.map(lambda f: _codes(folder / f.best_file), waiting)
        for done, (frame, codes) in enumerate(zip(waiting, found, strict=True)):
            go_on(caller, f"{done} frames searched for the clock card")
            caller.progress(done, len(waiting), "Searching for the clock card")
            look = from_json(Look, frame.look or "{}")
            own_clock = look.own_clock or any(code.own_clock for code in codes)
            both = tuple(sorted({*look.codes, *(code.at for code in codes)}, reverse=True))
            found_now = replace(look, codes=both, searched=True, own_clock=own_clock)
            save_look(space, of, {frame.id: to_json(found_now)})


def between(
    frames: Sequence[StoredFrame], first: StoredFrame, last: StoredFrame
) -> tuple[StoredFrame, ...]:
    """The frames of one camera from `first` to `last`. Raises NotFound for two cameras."""
    if first.camera_id != last.camera_id or not (first.camera_time and last.camera_time):
        raise NotFound(
            "these frames are not of one camera with a time",
            thing=f"{first.handle}, {last.handle}",
            next_step="Name the first and the last frame of one camera.",
        )
    start, end = sorted((first.camera_time.reading, last.camera_time.reading))
    return tuple(
        f
        for f in frames
        if f.camera_id == first.camera_id
        and f.camera_time
        and start <= f.camera_time.reading <= end
    )


def _unsearched(frame: StoredFrame) -> bool:
    if frame.look is None:
        return False
    look = from_json(Look, frame.look)
    return look.picture and not look.searched and len(look.codes) < _BOTH_CODES


def _near(time: CameraTime | None, cards: Sequence[CameraTime]) -> bool:
    return time is not None and any(
        abs((time.reading - card.reading).total_seconds()) <= AROUND_S for card in cards
    )


def _when_shown(
    own: Sequence[StoredFrame], shown: Sequence[Instant], venue_offset_min: int
) -> list[StoredFrame]:
    """The frames of a camera that may have been made while others saw the card, nearest first."""
    reach = timedelta(seconds=AROUND_S)
    while_shown = Interval(instant(min(shown) - reach), instant(max(shown) + reach))
    near = []
    for frame in own:
        if frame.camera_time is None:
            continue
        guess = unfitted(
            venue_offset_min=venue_offset_min,
            zone_offset_min=frame.camera_time.zone_offset_min,
        )
        at = true_time(frame.camera_time, guess, venue_offset_min)
        if at.meets(while_shown):
            away_s = abs((at.middle - while_shown.middle).total_seconds())
            near.append((away_s, frame))
    near.sort(key=lambda n: n[0])
    return [frame for _, frame in near[:MOST_SEARCHED]]


def _codes(path: Path) -> tuple[CardCode, ...]:
    try:
        with reading(path):
            data = path.read_bytes()
        return read_codes(decode_half(data, kind_of(data[:HEAD_BYTES])).rgb)
    except SetpieceError:
        return ()
