"""Times: an instant is UTC, a camera's own time is not, and the two never mix by accident."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import NewType

from setpiece.errors import WrongUse

Instant = NewType("Instant", datetime)
"""A point of true time: timezone-aware, UTC. Made with `instant`; zones live at the edges."""


def instant(value: datetime) -> Instant:
    """The same point of time in UTC. Raises WrongUse without a zone, or outside years 1 to 9999."""
    if value.tzinfo is None or value.utcoffset() is None:
        raise WrongUse(
            "a time without a zone is not an instant",
            thing=value.isoformat(),
            next_step="Give its zone, or fit the camera's clock first.",
        )
    try:
        return Instant(value.astimezone(UTC))
    except OverflowError as error:
        raise WrongUse("the calendar has no such time", thing=value.isoformat()) from error


def read_instant(text: str) -> Instant:
    """The instant an ISO 8601 text with a zone names, as `2027-03-06T15:03:12.3Z`."""
    try:
        return instant(datetime.fromisoformat(text.strip()))
    except ValueError as error:
        raise WrongUse(
            "this is not an ISO 8601 instant",
            thing=text,
            next_step="Write it as 2027-03-06T15:03:12Z.",
        ) from error


def write_instant(at: Instant) -> str:
    """ISO 8601 in UTC with tenths of a second, cut not rounded: the clock card's payload."""
    return f"{at:%Y-%m-%dT%H:%M:%S}.{at.microsecond // 100_000}Z"


@dataclass(frozen=True, slots=True)
class Interval:
    """True time known only to lie between two instants, both included."""

    start: Instant
    end: Instant

    def __post_init__(self) -> None:
        if self.end < self.start:
            raise WrongUse("an interval cannot end before it starts", thing=str(self.start))

    @classmethod
    def exactly(cls, at: Instant) -> Interval:
        """The interval of no width at `at`."""
        return cls(at, at)

    @classmethod
    def around(cls, at: Instant, uncertainty_s: float) -> Interval:
        """The interval of `uncertainty_s` either side of `at`."""
        reach = timedelta(seconds=uncertainty_s)
        return cls(instant(at - reach), instant(at + reach))

    @property
    def width_s(self) -> float:
        """Width in seconds, 0 for an exact time."""
        return (self.end - self.start).total_seconds()

    @property
    def middle(self) -> Instant:
        """The instant halfway."""
        return instant(self.start + (self.end - self.start) / 2)

    def holds(self, at: Instant) -> bool:
        """Whether `at` lies inside, ends included."""
        return self.start <= at <= self.end

    def meets(self, other: Interval) -> bool:
        """Whether the two share at least one instant."""
        return self.start <= other.end and other.start <= self.end


@dataclass(frozen=True, slots=True)
class CameraTime:
    """A camera's own reading: no zone is implied, so it is never an instant.

    `reading` is naive; the true reading lies in [reading, reading + resolution_s), because
    cameras cut, not round. `zone_offset_min` is what the camera itself claimed (EXIF
    OffsetTimeOriginal, minutes east of UTC), None when silent.
    """

    reading: datetime
    resolution_s: float = 1.0
    zone_offset_min: int | None = None

    def __post_init__(self) -> None:
        if self.reading.tzinfo is not None:
            raise WrongUse("a camera's reading has no zone", thing=self.reading.isoformat())
        if not 0 < self.resolution_s <= 2:
            raise WrongUse("a camera's clock resolves between 0 and 2 s", thing=str(self.reading))

    @property
    def middle(self) -> datetime:
        """The reading's best single value: half a resolution after what was stamped."""
        return self.reading + timedelta(seconds=self.resolution_s / 2)


_LABEL = re.compile(r"(\d{1,3})(?:\+(\d{1,2}))?'?")


@dataclass(frozen=True, slots=True, order=True)
class MinuteLabel:
    """A match minute as printed: `73` or `45+2`. Minutes count from 1; `added` 0 means none."""

    minute: int
    added: int = 0

    def __post_init__(self) -> None:
        if not 1 <= self.minute <= 240 or not 0 <= self.added <= 99:
            raise WrongUse("no such match minute", thing=str(self), next_step="Write 73 or 45+2.")

    @classmethod
    def read(cls, text: str) -> MinuteLabel:
        """The label in `73`, `73'` or `45+2'`. Raises WrongUse."""
        found = _LABEL.fullmatch(text.strip().replace("’", "'"))
        if not found:
            raise WrongUse("no match minute", thing=text, next_step="Write 73 or 45+2.")
        return cls(int(found[1]), int(found[2] or 0))

    def __str__(self) -> str:
        return f"{self.minute}+{self.added}" if self.added else str(self.minute)
