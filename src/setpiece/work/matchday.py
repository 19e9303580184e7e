"""A match as it stands: the one view that screens, captions, checks and the outbox share.

Everything is read once and worked out when first asked for; make a new one to see changes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, time
from functools import cached_property
from zoneinfo import ZoneInfo

from setpiece.captions.caption import Caption
from setpiece.captions.situation import Situation, situation_for
from setpiece.errors import NotFound, WrongUse
from setpiece.frames.camera_clock import ClockFit, true_time, unfitted
from setpiece.frames.passages import Passage, Timed, passages
from setpiece.frames.place import Place, place
from setpiece.frames.ranking import Ranked, Seen, rank
from setpiece.match.entries import Entry
from setpiece.match.fixture import Fixture
from setpiece.match.fold import Fold
from setpiece.match.instants import Instant, Interval, instant, read_instant
from setpiece.match.people import TeamSheet
from setpiece.pictures.look import Look
from setpiece.pictures.metadata import CameraMetadata
from setpiece.store.captions import StoredCaption, captions_of
from setpiece.store.files import StoredFile, files_of
from setpiece.store.forms import from_json
from setpiece.store.frames import Camera, StoredFrame, cameras, find_frame, fits_of, frames_of
from setpiece.store.matches import Match, log_of, newest_sheet
from setpiece.store.outbox import Delivery, deliveries
from setpiece.store.passages import pins_of
from setpiece.store.workspace import Workspace


@dataclass(frozen=True, slots=True)
class CaptionOf:
    """The newest caption of a frame, and its version."""

    version: int
    caption: Caption


class Matchday:
    """One match of the workspace, read at one moment."""

    def __init__(self, space: Workspace, of: Match) -> None:
        self.space = space
        self.match = of

    @cached_property
    def fixture(self) -> Fixture:
        """The fixture. Raises WrongUse while there is none."""
        if self.match.fixture is None:
            raise WrongUse(
                "these frames have no fixture yet",
                thing=self.match.folder,
                next_step="Make it with `setpiece fixture new`.",
            )
        return self.match.fixture

    @cached_property
    def sheet(self) -> TeamSheet:
        """The team sheet. Raises NotFound before the first was imported."""
        found = newest_sheet(self.space, self.match)
        if found is None:
            raise NotFound(
                "there is no team sheet yet",
                thing=self.match.folder,
                next_step="Import it with `setpiece sheet import`.",
            )
        return found

    @cached_property
    def log(self) -> tuple[Entry, ...]:
        """The whole match log."""
        return log_of(self.space, self.match)

    @cached_property
    def fold(self) -> Fold:
        """The fold of the log, which answers for any instant."""
        return Fold(self.fixture, self.sheet, self.log)

    @cached_property
    def cameras(self) -> dict[int, Camera]:
        """Cameras by id."""
        return cameras(self.space)

    @cached_property
    def frames(self) -> dict[str, StoredFrame]:
        """Frames by id, in the order of their cameras' readings."""
        return {f.id: f for f in frames_of(self.space, self.match)}

    @cached_property
    def files(self) -> tuple[StoredFile, ...]:
        """Every file taken in."""
        return files_of(self.space, self.match)

    @cached_property
    def metadata(self) -> Mapping[str, CameraMetadata]:
        """What the camera wrote, by frame id."""
        return {f.id: from_json(CameraMetadata, f.metadata) for f in self.frames.values()}

    @cached_property
    def looks(self) -> Mapping[str, Look]:
        """What a look at the pixels found, by frame id; frames not looked at yet are missing."""
        return {f.id: from_json(Look, f.look) for f in self.frames.values() if f.look}

    @cached_property
    def fits(self) -> dict[int, ClockFit]:
        """The clock fit of each camera, a stated guess where nothing was compared."""
        known = fits_of(self.space, self.match)
        offset = self.fixture.offset_min(self.fixture.kick_off)
        for f in self.frames.values():
            if f.camera_id is not None and f.camera_id not in known and f.camera_time:
                known[f.camera_id] = unfitted(
                    venue_offset_min=offset, zone_offset_min=f.camera_time.zone_offset_min
                )
        return known

    @cached_property
    def times(self) -> dict[str, Interval]:
        """True time of every frame, by its camera or as typed, by frame id; some have none."""
        offset = self.fixture.offset_min(self.fixture.kick_off)
        guess = unfitted(venue_offset_min=offset)
        known = {
            f.id: true_time(f.camera_time, self.fits.get(f.camera_id or -1, guess), offset)
            for f in self.frames.values()
            if f.camera_time
        }
        return known | {f.id: f.typed_time for f in self.frames.values() if f.typed_time}

    @cached_property
    def places(self) -> dict[str, Place]:
        """Where every timed frame stands in the match, by frame id."""
        return {i: place(i, at, self.fold) for i, at in self.times.items()}

    @cached_property
    def passages(self) -> tuple[Passage, ...]:
        """The frames of the match by passage of play, across cameras."""
        frames = [Timed(i, self.letter_of(i), at) for i, at in self.times.items()]
        return passages(frames, pins=pins_of(self.space, self.match))

    @cached_property
    def ranks(self) -> dict[str, Ranked]:
        """How sharp each frame is among those of its camera in its passage, by frame id.

        Two cameras show two scenes, and focus figures of different scenes do not compare.
        """
        ranked: dict[str, Ranked] = {}
        for passage in self.passages:
            seen: dict[int | None, list[Seen]] = {}
            for i in passage.frame_ids:
                look, frame = self.looks.get(i), self.frames[i]
                if look and look.focus:
                    told = seen_in(look, frame)
                    seen.setdefault(frame.camera_id, []).append(told)
            for of_camera in seen.values():
                ranked |= {r.frame_id: r for r in rank(of_camera)}
        return ranked

    @cached_property
    def captions(self) -> dict[str, CaptionOf]:
        """The newest caption of each frame that has one, by frame id."""
        return {
            i: CaptionOf(stored.version, read_caption(stored))
            for i, stored in captions_of(self.space, self.match).items()
        }

    @cached_property
    def outbox(self) -> tuple[Delivery, ...]:
        """Every delivery of the match."""
        return deliveries(self.space, self.match)

    def letter_of(self, frame_id: str) -> str:
        """The letter of the frame's camera, empty where the file names none."""
        camera = self.cameras.get(self.frames[frame_id].camera_id or -1)
        return camera.letter if camera else ""

    def frame(self, name: str) -> StoredFrame:
        """The frame meant by an id, a handle or a file's name."""
        names = {f.name.lower(): f.frame_id for f in self.files if f.frame_id}
        return find_frame(self.frames.values(), name, names)

    def situation(self, frame_id: str) -> Situation:
        """What a caption of this frame may rest on. Raises WrongUse for a frame without time."""
        at = self.times.get(frame_id)
        if at is None:
            raise WrongUse(
                "the camera wrote no time into this frame",
                thing=self.frames[frame_id].handle,
                next_step="Type it: setpiece time FRAME 15:47:31.",
            )
        return situation_for(self.fixture, self.sheet, self.fold, frame_id, at)

    def read_time(self, text: str) -> Instant:
        """The instant a typed time means: `15:47:31` at the ground on match day, or ISO 8601."""
        if "T" in text:
            return read_instant(text)
        zone = ZoneInfo(self.fixture.time_zone)
        day = self.fixture.local_date(self.fixture.kick_off)
        try:
            return instant(datetime.combine(day, time.fromisoformat(text), zone))
        except ValueError as error:
            raise WrongUse(
                "this is no time of day", thing=text, next_step="Write 15:47:31."
            ) from error


def seen_in(look: Look, frame: StoredFrame) -> Seen:
    """What ranking asks of a look that found a picture."""
    focus = look.focus
    if focus is None:
        return Seen(frame.id, 0.0, damaged=True, name=frame.handle)
    return Seen(
        frame.id,
        focus.value,
        blown_share=focus.blown_share,
        dark_share=focus.dark_share,
        damaged=frame.damaged,
        picture_hash=int(look.alike, 16) if look.alike else None,
        name=frame.handle,
        along=focus.along,
    )


def read_caption(stored: StoredCaption) -> Caption:
    """The caption in a stored document."""
    return from_json(Caption, stored.caption)
