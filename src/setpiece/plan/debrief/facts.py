"""What the debrief is worked out from: frames, entries of the log, deliveries, kicks, corrections.

The facts come in as values; which of them a workspace knows is the caller's matter. None always
means: not known.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from setpiece.errors import WrongUse
from setpiece.match.entries import Kind
from setpiece.match.instants import Instant, Interval

SHARP_PX = 1.0
"""A frame is called sharp up to this much softer than the sharpest of its camera in its passage
(1 sd of blur at full scale; ours: about what a downscaled delivery hides)."""


@dataclass(frozen=True, slots=True)
class FrameFact:
    """One frame. `period` and `elapsed_s` are None outside play.

    `softer_px` is how much softer it is than the sharpest of its camera in its passage; None
    where it has no other to be held against.
    """

    id: str
    handle: str
    camera: str
    at: Instant
    period: int | None = None
    elapsed_s: float | None = None
    softer_px: float | None = None
    damaged: bool = False
    lens: str = ""
    focal_length_mm: float | None = None
    f_number: float | None = None
    exposure_s: float | None = None
    iso: int | None = None
    distance_m: float | None = None
    used: bool = False

    @property
    def sharp(self) -> bool | None:
        """Whether it is sharp beside its neighbours; None where that cannot be told."""
        if self.damaged or self.softer_px is None:
            return None
        return self.softer_px <= SHARP_PX


@dataclass(frozen=True, slots=True)
class EntryFact:
    """One entry of the log that stands. `minute` is as printed, empty outside play.

    `counts` is False for a goal that was disallowed.
    """

    number: int
    kind: Kind
    words: str
    at: Interval
    minute: str = ""
    period: int | None = None
    elapsed_s: float | None = None
    side: str = ""
    counts: bool = True


class Step(StrEnum):
    """The parts of the way from what happened to the desk, in order. The values are printed."""

    SHOT = "event to shot"
    CARD = "shot to card"
    CHOSEN = "card to chosen"
    CAPTIONED = "chosen to captioned"
    SENT = "captioned to sent"


@dataclass(frozen=True, slots=True)
class DeliveryFact:
    """A picture that a desk has, and when each step of its way was done.

    `event` is when what it shows happened, None for a picture of no entry; `entry` is that
    entry's number. `shot` to `sent` are when the frame was made, taken in, chosen and captioned,
    and when the desk's receipt came.
    """

    frame: str
    handle: str
    desk: str
    words: str
    minute: str
    shot: Instant
    sent: Instant
    event: Instant | None = None
    entry: int | None = None
    card: Instant | None = None
    chosen: Instant | None = None
    captioned: Instant | None = None


@dataclass(frozen=True, slots=True)
class KickFact:
    """A penalty or a free kick as it was photographed by one camera.

    `offsets_s` are the frames around the strike, in seconds after it. `marked` are the offsets
    of those marked as holding ball and kicker, None while nothing was marked. `planned` is the
    mean number of such frames by the plan, `window_s` how long both are in the frame by the
    plan; None without a ground. `better` are focal lengths that would keep more, with the number
    each keeps for certain.
    """

    entry: int
    minute: str
    words: str
    kind: str
    camera: str
    offsets_s: tuple[float, ...]
    focal_length_mm: float | None = None
    frames_per_s: float | None = None
    flight_s: float | None = None
    window_s: float | None = None
    planned: float | None = None
    marked: tuple[float, ...] | None = None
    better: tuple[tuple[int, float], ...] = ()
    goal: bool = False
    seat: str = ""

    def __post_init__(self) -> None:
        if self.marked is not None and not set(self.marked) <= set(self.offsets_s):
            raise WrongUse("a frame that was marked is not of this kick", thing=self.words)

    @property
    def got(self) -> int | None:
        """Frames that hold ball and kicker: those marked, else those made within the window."""
        if self.marked is not None:
            return len(self.marked)
        if self.window_s is None:
            return None
        return sum(0 <= s <= self.window_s for s in self.offsets_s)


@dataclass(frozen=True, slots=True)
class CorrectionFact:
    """Something that went out wrong: what, to which desks, for how long, and why."""

    handle: str
    minute: str
    was: str
    now: str
    desks: tuple[str, ...]
    kill: bool = False
    wrong_for_s: float | None = None
    cause: str = ""


@dataclass(frozen=True, slots=True)
class CoverageFact:
    """How much of the shot list the set holds, how it is balanced, who was not seen.

    `missing` are titles of shots still wanted, `wants` those that a desk asked for among them;
    `unseen` are names of those who started and are in no picture of the set.
    """

    done: int
    of: int
    missing: tuple[str, ...] = ()
    wants: tuple[str, ...] = ()
    home: int = 0
    away: int = 0
    neither: int = 0
    unseen: tuple[str, ...] = ()
    started: int = 0


@dataclass(frozen=True, slots=True)
class EarlierFact:
    """An earlier match, to hold this one against. Times are medians from shot to desk."""

    day: str
    words: str
    frames: int
    delivered: int
    median_s: float | None = None
    goal_s: float | None = None


@dataclass(frozen=True, slots=True)
class MoneyFact:
    """What was published of this match and what came of it, each currency in words."""

    uses: int
    outlets: tuple[str, ...] = ()
    due: tuple[str, ...] = ()
    paid: tuple[str, ...] = ()
    unpaid: int = 0
    spent: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MatchFacts:
    """Everything the debrief of one match is worked out from.

    `lengths_s` are the lengths of the periods as they were played, by period.
    """

    home: str
    away: str
    score: str
    folio: str
    day: str
    photographer: str
    lengths_s: dict[int, float]
    frames: tuple[FrameFact, ...]
    entries: tuple[EntryFact, ...] = ()
    deliveries: tuple[DeliveryFact, ...] = ()
    kicks: tuple[KickFact, ...] = ()
    corrections: tuple[CorrectionFact, ...] = ()
    coverage: CoverageFact | None = None
    earlier: tuple[EarlierFact, ...] = ()
    money: MoneyFact | None = None
    colours: tuple[str, str] = ("", "")
