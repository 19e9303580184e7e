"""A camera's clock fitted to true time from reference pairs, with its uncertainty.

How pairs are weighed against each other is in `clock_bounds`; faults are named in `clock_faults`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from setpiece.errors import WrongUse
from setpiece.frames.clock_bounds import Bound, estimate
from setpiece.frames.clock_faults import faults
from setpiece.frames.stamps import real_resolution_s
from setpiece.match.instants import CameraTime, Instant, Interval, instant

CARD_HOLD_S = 0.2
"""The newest code that reads on a live clock card appeared at most so long before: a code stands
for 0.2 s, and a tenth of a second after it the other one changes."""

DISPLAY_LATENCY_S = 0.05
"""A screen may show the card's code so much later than it was drawn (common practice, no source;
three refreshes at 60 Hz)."""

UNFITTED_S = 300.0
"""A clock that nobody compared is usually within five minutes (common practice, no source)."""

UNFITTED_SILENT_S = 3900.0
"""Without a stated zone it may be an hour off besides."""


@dataclass(frozen=True, slots=True)
class ReferencePair:
    """A camera's reading and the true time at which the frame was made.

    `source` says where the true time comes from, in words, for remarks.
    """

    camera_time: CameraTime
    true: Interval
    source: str


@dataclass(frozen=True, slots=True)
class ClockFit:
    """How a camera's clock stands to true time.

    `offset_s` is the camera's reading, in its stated zone or else in `assumed_zone_min`
    (minutes east of UTC), minus true time at `epoch`: positive when the clock is fast.
    `assumed_zone_min` is None for a camera that states its zone in every pair. The true offset
    lies within `uncertainty_s` of `offset_s`. `method` is `intersection`, `median`, `line`
    (with drift) or `guess`. `drift_uncertainty_ppm` widens the uncertainty away from `epoch`.
    `resolution_s` is the clock's real step where that is coarser than what it writes, else 0.
    """

    offset_s: float
    uncertainty_s: float
    drift_ppm: float
    assumed_zone_min: int | None
    pairs_used: int
    pairs_dropped: int
    remarks: tuple[str, ...]
    method: str
    epoch: Instant | None = None
    drift_uncertainty_ppm: float = 0.0
    resolution_s: float = 0.0

    def __post_init__(self) -> None:
        if self.uncertainty_s < 0 or self.drift_uncertainty_ppm < 0:
            raise WrongUse("an uncertainty is not negative", thing=f"{self.uncertainty_s} s")

    @property
    def fitted(self) -> bool:
        """Whether any pair stands behind it."""
        return self.pairs_used > 0


def card_pair(
    camera_time: CameraTime,
    shown: Instant,
    source: str,
    *,
    live: bool = True,
    display_latency_s: float = DISPLAY_LATENCY_S,
    card_offset_uncertainty_s: float = 0.0,
) -> ReferencePair:
    """The pair a clock card gives: the frame was made after `shown` appeared, and soon.

    `live` is False for a card whose code stood still for an unknown time up to a second (large
    figures read by eye). `card_offset_uncertainty_s` is how far the card's own clock may be
    from the match's reference.
    """
    held_s = CARD_HOLD_S if live else 1.0
    doubt = timedelta(seconds=card_offset_uncertainty_s)
    return ReferencePair(
        camera_time,
        Interval(
            instant(shown - doubt),
            instant(shown + timedelta(seconds=held_s + display_latency_s) + doubt),
        ),
        source,
    )


def fit(
    pairs: Sequence[ReferencePair],
    *,
    venue_offset_min: int,
    readings: Sequence[CameraTime] = (),
) -> ClockFit:
    """The clock's offset, and its drift where pairs are days apart.

    `venue_offset_min` is the venue's offset from UTC on that day, for readings whose zone is
    silent. `readings` of the camera's other frames help to tell how finely its clock counts.
    Without pairs the same as `unfitted`.
    """
    if not pairs:
        return unfitted(venue_offset_min=venue_offset_min)
    zones = [p.camera_time.zone_offset_min for p in pairs]
    step_s = real_resolution_s([*readings, *(p.camera_time for p in pairs)])
    found = estimate([_bound(pair, venue_offset_min, step_s) for pair in pairs])
    coarse = [f"the camera writes finer than it counts: its clock steps by {step_s:g} s"]
    assumed = venue_offset_min if None in zones else None
    return ClockFit(
        offset_s=found.offset_s,
        uncertainty_s=found.uncertainty_s,
        drift_ppm=found.drift_ppm,
        assumed_zone_min=assumed,
        pairs_used=found.used,
        pairs_dropped=len(pairs) - found.used,
        remarks=(
            *faults(found.offset_s, zones, venue_offset_min),
            *(coarse if step_s else ()),
            *found.remarks,
        ),
        method=found.method,
        epoch=instant(datetime.fromtimestamp(found.epoch_s, UTC)),
        drift_uncertainty_ppm=found.drift_uncertainty_ppm,
        resolution_s=step_s,
    )


def unfitted(*, venue_offset_min: int, zone_offset_min: int | None = None) -> ClockFit:
    """The fit of a camera that nothing was compared with: its own time, and a wide doubt.

    `zone_offset_min` is the zone the camera states, None when silent.
    """
    silent = zone_offset_min is None
    remarks = ["nothing was compared with this clock: its own time is taken, which is a guess"]
    remarks += faults(0.0, [zone_offset_min], venue_offset_min)
    return ClockFit(
        offset_s=0.0,
        uncertainty_s=UNFITTED_SILENT_S if silent else UNFITTED_S,
        drift_ppm=0.0,
        assumed_zone_min=venue_offset_min if silent else None,
        pairs_used=0,
        pairs_dropped=0,
        remarks=tuple(remarks),
        method="guess",
    )


def true_time(camera_time: CameraTime, clock: ClockFit, venue_offset_min: int) -> Interval:
    """When a frame was made: as sharp as its stamp, and as sure as the clock's fit.

    A silent reading is in the zone the fit assumed, else in the venue's.
    """
    assumed = venue_offset_min if clock.assumed_zone_min is None else clock.assumed_zone_min
    shown = _shown_utc(camera_time, assumed)
    offset_s, uncertainty_s = clock.offset_s, clock.uncertainty_s
    if clock.epoch is not None:
        away_s = (shown - clock.epoch).total_seconds() - clock.offset_s
        offset_s += clock.drift_ppm * 1e-6 * away_s
        uncertainty_s += clock.drift_uncertainty_ppm * 1e-6 * abs(away_s)
    start = shown - timedelta(seconds=offset_s + uncertainty_s)
    width_s = max(camera_time.resolution_s, clock.resolution_s) + 2 * uncertainty_s
    return Interval(instant(start), instant(start + timedelta(seconds=width_s)))


def _shown_utc(camera_time: CameraTime, assumed_zone_min: int) -> datetime:
    """The reading as UTC, as if the clock were right."""
    zone = camera_time.zone_offset_min
    minutes = assumed_zone_min if zone is None else zone
    return camera_time.reading.replace(tzinfo=UTC) - timedelta(minutes=minutes)


def _bound(pair: ReferencePair, venue_offset_min: int, step_s: float) -> Bound:
    shown = _shown_utc(pair.camera_time, venue_offset_min)
    return Bound(
        (shown - pair.true.end).total_seconds(),
        (shown - pair.true.start).total_seconds() + max(pair.camera_time.resolution_s, step_s),
        pair.true.middle.timestamp(),
        pair.true.width_s / 2,
    )
