"""Fit every camera's clock: from clock-card codes in its frames, else from typed pairs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from setpiece.errors import NotFound, WrongUse
from setpiece.frames.camera_clock import ClockFit, ReferencePair, card_pair, fit
from setpiece.match.fixture import Fixture
from setpiece.match.instants import CameraTime, Instant, Interval
from setpiece.store.forms import from_json
from setpiece.store.frames import (
    Camera,
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
from setpiece.work.job import Caller
from setpiece.work.look import Look

CARD = "clock card"


@dataclass(frozen=True, slots=True)
class CameraClock:
    """One camera's clock in a match, and how many frames it made there."""

    camera: str
    model: str
    serial: str
    frames: int
    card_frames: int
    fit: ClockFit | None


def fit_clocks(space: Workspace, of: Match, caller: Caller) -> tuple[CameraClock, ...]:
    """Reads the codes found in frames, fits each camera that has any pair, and keeps the fits.

    A camera without a pair is in the answer with `fit` None: photograph the card, or type one.
    """
    fixture = _fixture(of)
    frames = frames_of(space, of)
    for done, frame in enumerate(frames):
        caller.progress(done, len(frames), "Reading clock cards")
        _keep_card_pair(space, of, frame, caller.now())
    bodies = cameras(space)
    for camera_id, pairs in pairs_of(space, of).items():
        at = pairs[0].true.middle
        own = [f.camera_time for f in frames if f.camera_id == camera_id and f.camera_time]
        offset_min = venue_offset_min(fixture, at)
        value = fit(preferred(pairs), venue_offset_min=offset_min, readings=own)
        save_fit(space, of, camera_id, value, caller.now())
    return clocks_of(space, of, frames, bodies)


def preferred(pairs: tuple[ReferencePair, ...]) -> tuple[ReferencePair, ...]:
    """Pairs of the clock card where there are any; typed ones are a fallback."""
    return tuple(p for p in pairs if p.source == CARD) or pairs


def clocks_of(
    space: Workspace,
    of: Match,
    frames: tuple[StoredFrame, ...] | None = None,
    bodies: dict[int, Camera] | None = None,
) -> tuple[CameraClock, ...]:
    """Each camera of the match with its newest fit."""
    fits = fits_of(space, of)
    shown = frames if frames is not None else frames_of(space, of)
    answer = []
    for camera_id, body in (bodies or cameras(space)).items():
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
    """Keeps a pair that the photographer read: the camera's display beside a true clock.

    Read by eye, the true time is good to half a second either way (common practice, no source).
    """
    body = next((c for c in cameras(space).values() if c.letter == letter.upper()), None)
    if body is None:
        known = ", ".join(c.letter for c in cameras(space).values())
        raise NotFound("no camera has that letter", thing=letter, next_step=f"Known: {known}.")
    pair = ReferencePair(CameraTime(reading), Interval.around(true, 0.5), "typed")
    add_pair(space, of, body.id, pair, caller.now(), frame_id="")


def venue_offset_min(fixture: Fixture, at: Instant) -> int:
    """The venue's offset from UTC at that instant, in minutes east."""
    offset = at.astimezone(ZoneInfo(fixture.time_zone)).utcoffset() or timedelta()
    return round(offset.total_seconds() / 60)


def codes_in(frame: StoredFrame) -> tuple[Instant, ...]:
    """The clock-card codes a look found in a frame."""
    return from_json(Look, frame.look).codes if frame.look else ()


def _keep_card_pair(space: Workspace, of: Match, frame: StoredFrame, at: Instant) -> None:
    codes = codes_in(frame)
    if codes and frame.camera_time and frame.camera_id is not None:
        pair = card_pair(frame.camera_time, max(codes), CARD)
        add_pair(space, of, frame.camera_id, pair, at, frame_id=frame.id)


def _fixture(of: Match) -> Fixture:
    if of.fixture is None:
        raise WrongUse(
            "these frames have no fixture yet",
            thing=of.folder,
            next_step="Make it with `setpiece fixture new`, then fit the clocks.",
        )
    return of.fixture
