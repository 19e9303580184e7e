"""What only a desk knows: embargo, quota and spacing, exclusivity, kills."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from setpiece.captions.findings import Finding, error
from setpiece.captions.situation import Situation
from setpiece.captions.style import HouseStyle
from setpiece.match.instants import Instant, write_instant

EXTRA_TIME = (3, 4)


@dataclass(frozen=True, slots=True)
class Delivered:
    """What was sent of this match before, and what binds this picture.

    Counts are pictures delivered so far: of the match, of this frame's half, of extra time.
    """

    in_match: int = 0
    in_half: int = 0
    in_extra_time: int = 0
    last_at: Instant | None = None
    embargo_until: Instant | None = None
    exclusive_to: str = ""
    desk: str = ""
    killed: bool = False


def check_sending(
    situation: Situation, style: HouseStyle, now: Instant | None, delivered: Delivered | None
) -> Iterator[Finding]:
    """Kill, embargo and exclusivity, which nobody overrules; quota and spacing."""
    if delivered is None:
        return
    if delivered.killed:
        yield error("picture killed", "This picture was killed: it is not sent", can_overrule=False)
    if delivered.exclusive_to and delivered.exclusive_to != delivered.desk:
        yield error(
            "exclusive", f"This picture is for {delivered.exclusive_to} alone", can_overrule=False
        )
    until = delivered.embargo_until
    if until is not None and (now is None or now < until):
        yield error("embargo", f"Not before {write_instant(until)}", can_overrule=False)
    period = situation.state.period
    extra = period in EXTRA_TIME
    for name, count, most in (
        ("match", delivered.in_match, 0 if extra else style.quota_per_match),
        ("half", delivered.in_half, 0 if extra else style.quota_per_half),
        ("extra time", delivered.in_extra_time, style.quota_extra_time if extra else 0),
    ):
        if most and count >= most:
            yield error("quota", f"{count} of {most} pictures of this {name} are sent already")
    if now is not None and delivered.last_at is not None and style.spacing_s:
        wait = timedelta(seconds=style.spacing_s) - (now - delivered.last_at)
        if wait > timedelta(0):
            yield error("spacing", f"Wait {int(wait.total_seconds()) + 1} s since the last picture")
