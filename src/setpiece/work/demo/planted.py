"""What was planted in the demo match: the truth that every later step is held against."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import cos, radians
from pathlib import Path, PurePosixPath

from setpiece.errors import NotFound
from setpiece.match.entries import EntryId
from setpiece.match.instants import CameraTime, Instant, MinuteLabel
from setpiece.match.people import PersonId, TeamSheet
from setpiece.match.state import Score
from setpiece.work.demo import wardrobe
from setpiece.work.demo.bodies import BODIES, Body
from setpiece.work.demo.exposures import Exposure, exposures, take_of
from setpiece.work.demo.scenario import EVENTS, sheet, true_label, true_number, true_score
from setpiece.work.demo.shots import passages
from setpiece.work.demo.staging import person_of

AIR_FOLDER = "over the air"
"""Where the small copy that a camera sent by itself arrived."""

AIR_LONG_SIDE_PX = 1080

PROTECTED = (
    "goal-17",
    "joy-17",
    "yellow-29",
    "own-goal",
    "joy-45",
    "goal-58",
    "penalty-68",
    "joy-1g",
    "free-kick",
    "joy-74",
    "three-74",
    "full-time",
    "sisters-after",
)
"""Passages whose sharpest frame the photographer protected in the camera."""

WITH_MEMO = ("goal-17", "joy-74")
SENT_OVER_THE_AIR = "goal-17"
TRUNCATED = "play-41"
"""The passage whose last frame is cut short on the card."""

PINS = {2: "goal-17", 6: "own-goal", 10: "goal-58", 18: "penalty-68", 19: "free-kick"}
"""Entries of the log that a frame pins: the first exposure made after it happened."""


@dataclass(frozen=True, slots=True)
class Seen:
    """Somebody on the sheet who is in a frame. `facing` is front, back or side.

    `number` is the one worn, None for a plain shirt or none at all; `placement` counts from the
    left among those who can be told.
    """

    person: PersonId
    number: int | None
    kit: str
    placement: str
    facing: str
    across: float


@dataclass(frozen=True, slots=True)
class PlantedFrame:
    """One exposure and what is true of it. `file` is relative to the folder of the cards.

    `soft_px` is the width over which a point of the subject is spread. `width_px`, `height_px`
    are as stored, before `orientation`. `label` is None outside the two halves.
    """

    id: str
    file: PurePosixPath
    camera: str
    true: Instant
    reading: CameraTime
    passage: str
    about: str
    people: tuple[Seen, ...]
    soft_px: float
    sharpest: bool
    width_px: int
    height_px: int
    orientation: int
    label: MinuteLabel | None
    score: Score
    protected: bool = False
    damaged: bool = False
    memo: PurePosixPath | None = None
    over_the_air: PurePosixPath | None = None
    card_newest: Instant | None = None

    @property
    def file_number(self) -> int:
        """The camera's own number, from the name."""
        return int(self.file.stem[-4:])


@dataclass(frozen=True, slots=True)
class Pin:
    """A frame that shows when an entry happened: the frame was made just after `happened`."""

    entry: EntryId
    frame: str
    happened: Instant


@dataclass(frozen=True, slots=True)
class Planted:
    """Everything planted on the cards below `root`."""

    root: Path
    frames: tuple[PlantedFrame, ...]
    bodies: tuple[Body, ...]
    pins: tuple[Pin, ...]

    @property
    def sources(self) -> tuple[Path, ...]:
        """What is taken in: the three cards, then the folder of the copy sent over the air."""
        return (*(self.root / body.letter for body in self.bodies), self.root / AIR_FOLDER)

    @property
    def damaged(self) -> tuple[PlantedFrame, ...]:
        """Frames whose file is cut short."""
        return tuple(f for f in self.frames if f.damaged)

    @property
    def protected(self) -> tuple[PlantedFrame, ...]:
        """Frames the photographer protected in the camera."""
        return tuple(f for f in self.frames if f.protected)

    @property
    def files(self) -> tuple[PurePosixPath, ...]:
        """Every file on the cards and over the air."""
        found: list[PurePosixPath] = []
        for frame in self.frames:
            found += [f for f in (frame.file, frame.memo, frame.over_the_air) if f is not None]
        return tuple(found)

    @property
    def passages(self) -> tuple[str, ...]:
        """Passages in order of their first frame."""
        return tuple(dict.fromkeys(f.passage for f in self.frames))

    def frame(self, ident: str) -> PlantedFrame:
        """The frame with that name in the plan, as `joy-74/A3`."""
        for frame in self.frames:
            if frame.id == ident:
                return frame
        raise NotFound("no such frame was planted", thing=ident)

    def best(self, passage: str, camera: str = "") -> PlantedFrame:
        """The sharpest frame of a passage, or of one camera in it."""
        of = [f for f in self.frames if f.passage == passage and camera in ("", f.camera)]
        if not of:
            raise NotFound("no such passage was planted", thing=passage)
        return min(of, key=lambda f: f.soft_px)

    def path(self, frame: PlantedFrame) -> Path:
        """Where a frame's file is."""
        return self.root.joinpath(*frame.file.parts)


def planted(root: Path) -> Planted:
    """The truth about cards below `root`; nothing is drawn or looked for."""
    frames, pins = _truth()
    return Planted(root, frames, tuple(BODIES.values()), pins)


@lru_cache(maxsize=1)
def _truth() -> tuple[tuple[PlantedFrame, ...], tuple[Pin, ...]]:
    about = {p.id: p.about for p in passages()}
    known = sheet()
    last = [e for e in exposures() if e.passage == TRUNCATED][-1].id
    frames = tuple(_frame(e, about[e.passage], known, truncated=e.id == last) for e in exposures())
    return frames, tuple(_pin(entry, name, frames) for entry, name in PINS.items())


def _pin(entry: int, name: str, frames: tuple[PlantedFrame, ...]) -> Pin:
    happened = EVENTS[entry - 1].true
    first = next(f for f in frames if f.passage == name and f.true >= happened)
    return Pin(EntryId(entry), first.id, happened)


def _frame(exposure: Exposure, about: str, known: TeamSheet, *, truncated: bool) -> PlantedFrame:
    body, take = exposure.body, take_of(exposure)
    file = PurePosixPath(body.letter, "DCIM", exposure.folder, exposure.name)
    chosen = exposure.sharpest
    return PlantedFrame(
        id=exposure.id,
        file=file,
        camera=body.letter,
        true=exposure.true,
        reading=body.reading(exposure.true),
        passage=exposure.passage,
        about=about,
        people=people_in(exposure, known),
        soft_px=exposure.moment.soft_px,
        sharpest=exposure.sharpest,
        width_px=body.width_px,
        height_px=body.height_px,
        orientation=body.upright_orientation if take.upright else 1,
        label=true_label(exposure.true),
        score=true_score(exposure.true),
        protected=chosen and exposure.passage in PROTECTED,
        damaged=truncated,
        memo=file.with_suffix(".WAV") if chosen and exposure.passage in WITH_MEMO else None,
        over_the_air=PurePosixPath(AIR_FOLDER, exposure.name)
        if chosen and exposure.passage == SENT_OVER_THE_AIR
        else None,
        card_newest=exposure.card_newest,
    )


def people_in(exposure: Exposure, known: TeamSheet) -> tuple[Seen, ...]:
    """Who on the sheet is in the frame, from left to right."""
    placed = []
    for part in take_of(exposure).parts:
        ident = person_of(part)
        across = part.across + part.drift * exposure.moment.after_s
        if ident is not None and abs(across) < 0.5:
            placed.append((across, ident, part.yaw_deg))
    placed.sort()
    words = _places(len(placed))
    seen = []
    for word, (across, ident, yaw_deg) in zip(words, placed, strict=True):
        person = known.person(ident)
        if person is None:
            raise NotFound("the shot plan names somebody who is not on the sheet", thing=ident)
        number = true_number(ident, exposure.true) if person.role.plays else None
        seen.append(
            Seen(ident, number, wardrobe.kit_letter(person), word, _facing(yaw_deg), across)
        )
    return tuple(seen)


_NUMBERS = ("", "second ", "third ", "fourth ", "fifth ")


def _places(count: int) -> list[str]:
    """Words for so many people from left to right: nothing for one, then as a caption says it."""
    if count < 2:
        return [""] * count
    if count == 2:
        return ["left", "right"]
    if count == 3:
        return ["left", "centre", "right"]
    half = count // 2
    left = [f"{_NUMBERS[i]}left" if i < len(_NUMBERS) else f"{i + 1}th left" for i in range(half)]
    right = [
        f"{_NUMBERS[i]}right" if i < len(_NUMBERS) else f"{i + 1}th right" for i in range(half)
    ]
    return [*left, *(["centre"] if count % 2 else []), *reversed(right)]


def _facing(yaw_deg: float) -> str:
    towards = cos(radians(yaw_deg))
    return "front" if towards > 0.35 else "back" if towards < -0.35 else "side"
