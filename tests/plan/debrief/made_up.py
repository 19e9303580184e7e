"""Facts of an invented match for the tests of the debrief: Home 1-0 Away, two halves of 46 min."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from setpiece.match.entries import Kind
from setpiece.match.instants import Instant, Interval, instant
from setpiece.plan.debrief.facts import DeliveryFact, EntryFact, FrameFact, MatchFacts

START = instant(datetime(2027, 3, 6, 14, 30, tzinfo=UTC))
SECOND = 62 * 60.0
"""Seconds from the kick-off to the second half."""


def at(seconds: float) -> Instant:
    """So long after the kick-off."""
    return instant(START + timedelta(seconds=seconds))


def frame(number: int, seconds: float, **more: object) -> FrameFact:
    """A frame of camera A in play, sharp by 0.2 px, unless told otherwise."""
    period = 1 if seconds < SECOND else 2
    made = FrameFact(
        f"f{number}", f"A-{number:04d}", "A", at(seconds), period,
        seconds - (SECOND if period == 2 else 0), 0.2, focal_length_mm=400.0, exposure_s=1 / 1600,
        f_number=2.8, iso=800, lens="400mm f/2.8",
    )  # fmt: skip
    return replace(made, **more)  # type: ignore[arg-type]


def entry(
    number: int, kind: Kind, seconds: float, *, width_s: float = 0.0, **more: object
) -> EntryFact:
    """An entry known to lie within so many seconds before that instant."""
    period = 1 if seconds < SECOND else 2
    elapsed_s = seconds - (SECOND if period == 2 else 0)
    minute = f"{int(elapsed_s // 60) + 1 + 45 * (period - 1)}"
    interval = Interval(at(seconds - width_s), at(seconds))
    made = EntryFact(number, kind, f"{kind.value} {number}", interval, minute, period, elapsed_s)
    return replace(made, **more)  # type: ignore[arg-type]


def delivery(number: int, shot_s: float, sent_s: float, **more: object) -> DeliveryFact:
    """A picture at the desk North."""
    made = DeliveryFact(f"f{number}", f"A-{number:04d}", "North", f"picture {number}", "30",
                        at(shot_s), at(sent_s))  # fmt: skip
    return replace(made, **more)  # type: ignore[arg-type]


def facts(**more: object) -> MatchFacts:
    """The whole match; what is given stands in place of what is made up."""
    frames = tuple(frame(n, 60.0 * n) for n in range(40)) + tuple(
        frame(40 + n, SECOND + 60.0 * n) for n in range(40)
    )
    made = MatchFacts(
        "Home", "Away", "1–0", "Cup – Ground", "Saturday, 6 March 2027", "Ida Marlow",
        {1: 46 * 60.0, 2: 46 * 60.0}, frames,
        (entry(1, Kind.KICK_OFF, 0.0, minute=""),
         entry(2, Kind.GOAL, 1800.0, words="Goal, Nine, 1–0")),
    )  # fmt: skip
    return replace(made, **more)  # type: ignore[arg-type]
