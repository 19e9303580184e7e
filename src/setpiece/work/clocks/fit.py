"""Fit every camera's clock: from clock-card codes, known instants, other cameras, typed pairs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from setpiece.errors import NotFound, WrongUse
from setpiece.frames.camera_clock import ClockFit, ReferencePair, card_pair, fit, true_time
from setpiece.match.fixture import Fixture
from setpiece.match.instants import CameraTime, Instant, Interval, instant
from setpiece.store.frames import (
    StoredFrame,
    add_pair,
    cameras,
    fits_of,
    frames_of,
    pairs_of,
    save_fit,
)
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.clocks.card_frames import between, by_own_clock, codes_in, search, search_around
from setpiece.work.job import Caller

CARD = "clock card"
TYPED = "typed"

BY_EYE_S = 0.5
"""A display read beside a true clock is good to so much either way (common practice, no source)."""

OWN_CLOCK_S = 2.0
"""A phone's own clock is this near to true time (common practice, no source: network time)."""

SAME_MOMENT_S = 0.2
"""Two frames said to show one moment lie so near (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class CameraClock:
    """One camera's clock in a match, and how many frames it made there."""

    camera: str
    model: str
    serial: str
    frames: int
    card_frames: int
    fit: ClockFit | None


def fit_clocks(
    space: Workspace, of: Match, caller: Caller, *, card_within_s: float | None = None
) -> tuple[CameraClock, ...]:
    """Reads the codes found in frames, fits each camera that has any pair, and keeps the fits.

    `card_within_s` is how far the card's own clock may be off; None: 0 on the laptop's screen
    and on the page it serves, `OWN_CLOCK_S` where the codes say that nobody compared it. A camera
    without a pair is in the answer with `fit` None: photograph the card, or type one.
    """
    fixture = _fixture(of)
    offset_min = fixture.offset_min(fixture.kick_off)
    search_around(space, of, caller, offset_min)
    frames = frames_of(space, of)
    for frame in frames:
        _keep_card_pair(space, of, frame, card_within_s, caller.now())
    for camera_id, pairs in pairs_of(space, of).items():
        own = [f.camera_time for f in frames if f.camera_id == camera_id and f.camera_time]
        day_min = fixture.offset_min(pairs[0].true.middle)
        value = fit(preferred(pairs), venue_offset_min=day_min, readings=own)
        save_fit(space, of, camera_id, value, caller.now())
    return clocks_of(space, of, frames)


def search_range(
    space: Workspace, of: Match, first: StoredFrame, last: StoredFrame, caller: Caller
) -> int:
    """Searches a camera's frames from `first` to `last` for the card; how many show it."""
    chosen = between(frames_of(space, of), first, last)
    search(space, of, chosen, caller)
    wanted = {f.id for f in chosen}
    return sum(1 for f in frames_of(space, of) if f.id in wanted and codes_in(f))


def preferred(pairs: tuple[ReferencePair, ...]) -> tuple[ReferencePair, ...]:
    """All pairs but those read by eye off a display, which are a fallback."""
    return tuple(p for p in pairs if p.source != TYPED) or pairs


def clocks_of(
    space: Workspace, of: Match, frames: tuple[StoredFrame, ...] | None = None
) -> tuple[CameraClock, ...]:
    """Each camera of the match with its newest fit."""
    fits = fits_of(space, of)
    shown = frames if frames is not None else frames_of(space, of)
    answer = []
    for camera_id, body in cameras(space).items():
        own = [f for f in shown if f.camera_id == camera_id]
        if own:
            cards = sum(1 for f in own if codes_in(f))
            answer.append(
                CameraClock(
                    body.letter, body.model, body.serial, len(own), cards, fits.get(camera_id)
                )
            )
    return tuple(answer)


def add_typed_pair(
    space: Workspace, of: Match, letter: str, reading: datetime, true: Instant, caller: Caller
) -> None:
    """Keeps a pair that the photographer read: the camera's display beside a true clock."""
    body = next((c for c in cameras(space).values() if c.letter == letter.upper()), None)
    if body is None:
        known = ", ".join(c.letter for c in cameras(space).values())
        raise NotFound("no camera has that letter", thing=letter, next_step=f"Known: {known}.")
    pair = ReferencePair(CameraTime(reading), Interval.around(true, BY_EYE_S), TYPED)
    add_pair(space, of, body.id, pair, caller.now(), frame_id="")


def add_known_instant(
    space: Workspace, of: Match, frame: StoredFrame, true: Interval, source: str, caller: Caller
) -> None:
    """Keeps a pair of a frame whose true time is known: a whistle, a scoreboard.

    `source` says in words how it is known. Raises WrongUse for a frame without a camera time.
    """
    if frame.camera_time is None or frame.camera_id is None:
        raise WrongUse(
            "this frame has no camera time to compare",
            thing=frame.handle,
            next_step="Choose another frame of that camera.",
        )
    pair = ReferencePair(frame.camera_time, true, source)
    add_pair(space, of, frame.camera_id, pair, caller.now(), frame_id=frame.id)


def add_same_moment(
    space: Workspace, of: Match, fitted: StoredFrame, other: StoredFrame, caller: Caller
) -> None:
    """Keeps a pair of `other`: it shows the same moment as a frame of a camera that is fitted.

    Two frames of one moment lie within `SAME_MOMENT_S` of each other. Raises WrongUse when the
    first frame's own camera is not fitted.
    """
    fixture = _fixture(of)
    fits = fits_of(space, of)
    clock = fits.get(fitted.camera_id or -1)
    if clock is None or fitted.camera_time is None or not clock.fitted:
        raise WrongUse(
            "this frame's own camera is not fitted",
            thing=fitted.handle,
            next_step="Name a frame of a camera that `setpiece clock show` gives an offset for.",
        )
    if fitted.camera_id == other.camera_id:
        raise WrongUse(
            "these are frames of one camera",
            thing=f"{fitted.handle}, {other.handle}",
            next_step="Name a frame of another camera.",
        )
    at = true_time(fitted.camera_time, clock, fixture.offset_min(fixture.kick_off))
    reach = timedelta(seconds=SAME_MOMENT_S)
    true = Interval(instant(at.start - reach), instant(at.end + reach))
    add_known_instant(space, of, other, true, f"same moment as {fitted.handle}", caller)


def _keep_card_pair(
    space: Workspace, of: Match, frame: StoredFrame, card_within_s: float | None, at: Instant
) -> None:
    codes = codes_in(frame)
    if card_within_s is None:
        card_within_s = OWN_CLOCK_S if by_own_clock(frame) else 0.0
    if codes and frame.camera_time and frame.camera_id is not None:
        pair = card_pair(
            frame.camera_time, max(codes), CARD, card_offset_uncertainty_s=card_within_s
        )
        add_pair(space, of, frame.camera_id, pair, at, frame_id=frame.id)


def _fixture(of: Match) -> Fixture:
    if of.fixture is None:
        raise WrongUse(
            "these frames have no fixture yet",
            thing=of.folder,
            next_step="Make it with `setpiece fixture new`, then fit the clocks.",
        )
    return of.fixture
