"""The debrief of a match, worked out: what its page and its PDF print."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.plan.debrief.desk_time import DeskTimes, desk_times, duration
from setpiece.plan.debrief.facts import MatchFacts
from setpiece.plan.debrief.findings import Finding, Looked, findings
from setpiece.plan.debrief.following import Followed, follow
from setpiece.plan.debrief.sharpness import (
    Settings,
    Share,
    by_distance,
    by_focal,
    by_minute,
    by_shutter,
    settings,
)
from setpiece.plan.debrief.timeline import Timeline, timeline


@dataclass(frozen=True, slots=True)
class Debrief:
    """Everything that is printed. `sharp` are the tables of sharp shares by their names."""

    facts: MatchFacts
    timeline: Timeline
    followed: tuple[Followed, ...]
    desk: DeskTimes
    sharp: tuple[tuple[str, tuple[Share, ...]], ...]
    settings: tuple[Settings, ...]
    findings: tuple[Finding, ...]

    @property
    def used(self) -> int:
        """Frames in the set."""
        return sum(f.used for f in self.facts.frames)

    @property
    def missed(self) -> tuple[Followed, ...]:
        """Entries that no frame shows."""
        return tuple(f for f in self.followed if f.missed)


def debrief(facts: MatchFacts) -> Debrief:
    """The debrief of those facts."""
    line = timeline(facts.frames, facts.lengths_s)
    followed = follow(facts.entries, facts.frames)
    desk = desk_times(facts.deliveries)
    tables = (
        ("lens as set", by_focal(facts.frames)),
        ("shutter", by_shutter(facts.frames)),
        ("distance", by_distance(facts.frames)),
        ("minute", by_minute(facts.frames)),
    )
    return Debrief(
        facts=facts,
        timeline=line,
        followed=followed,
        desk=desk,
        sharp=tuple((name, shares) for name, shares in tables if shares),
        settings=settings(facts.frames),
        findings=findings(Looked(facts, followed, desk, line)),
    )


def standfirst(of: Debrief) -> str:
    """The match in two sentences: what was shot and kept, and how soon a desk had the goals."""
    facts = of.facts
    cameras = _count(len(of.timeline.cameras), "camera")
    desks = {d.desk for d in facts.deliveries}
    said = f"{_count(len(facts.frames), 'frame')} from {cameras}, {of.used} of them in the set"
    if facts.deliveries:
        said += f"; {_count(len(facts.deliveries), 'picture')} at {_count(len(desks), 'desk')}"
    said = f"{said[0].upper()}{said[1:]}."
    goals = {e.number for e in facts.entries if e.words.startswith("Goal,")}
    ways = [w for n, w in of.desk.first.items() if n in goals]
    if ways:
        quick, slow = min(w.total_s for w in ways), max(w.total_s for w in ways)
        if len(ways) == 1:
            said += f" The goal was at {ways[0].delivery.desk} {duration(quick)} after it."
        else:
            said += (
                f" The first picture of a goal reached a desk {duration(quick)} after it, "
                f"the slowest {duration(slow)}."
            )
    return said


def _count(number: int, word: str) -> str:
    words = {1: "one", 2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}
    shown = words.get(number, str(number))
    return f"{shown} {word}" if number == 1 else f"{shown} {word}s"
