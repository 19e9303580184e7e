"""The drawings are those that somebody has looked at: they lie in `seen`, one shape a line.

After a change that is meant, `python tests/plan/drawings/test_seen_drawings.py` draws them anew;
look at every one that git shows as changed before it is committed.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))
sys.path.append(str(Path(__file__).parent.parent / "debrief"))
from drawn import DRAWINGS
from made_up import SECOND, at, delivery, entry, facts, frame

from setpiece.match.entries import Kind
from setpiece.plan.debrief.debrief import Debrief, debrief
from setpiece.plan.debrief.facts import EarlierFact, KickFact
from setpiece.plan.debrief.sharpness import Share
from setpiece.plan.drawings.canvas import Drawing
from setpiece.plan.drawings.debrief_bars import draw_earlier, draw_kick, draw_shares, draw_ways
from setpiece.plan.drawings.debrief_timeline import draw_timeline

SEEN = Path(__file__).parent / "seen"
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
HUNDREDTH = 0.011
"""Coordinates have two decimals: another machine's arithmetic may round the last one apart."""

KICK = KickFact(2, "31", "Goal, Nine", "free kick", "A", (-0.9, -0.1, 0.0, 0.1, 0.2, 1.25), 300.0,
                10.0, 0.9, 0.15, 1.5, (0.0, 0.1))  # fmt: skip
EXTRA = SECOND + 60 * 60.0


def long_match() -> Debrief:
    """A match of two cameras that went on, with most that a log can hold and a busy minute."""
    frames = tuple(frame(n, 30.0 * n, camera="AB"[n % 2]) for n in range(70)) + tuple(
        frame(100 + n, SECOND + 600.0 + n) for n in range(25)
    )
    late = tuple(
        replace(frame(200 + n, EXTRA + 20.0 * n), period=3, elapsed_s=20.0 * n) for n in range(40)
    )
    entries = (
        entry(1, Kind.KICK_OFF, 0.0, minute=""),
        entry(2, Kind.GOAL, 600.0, words="Goal, Nine from a free kick, 1–0"),
        entry(3, Kind.GOAL, 640.0, words="Goal disallowed, Eleven", counts=False),
        entry(4, Kind.GOAL, 660.0, words="Goal, Four, own goal, 1–1"),
        entry(5, Kind.YELLOW, 1210.0),
        entry(6, Kind.SUBSTITUTION, 1500.0),
        entry(7, Kind.KICK_OFF, SECOND, minute=""),
        entry(8, Kind.PENALTY_SAVED, SECOND + 605.0),
        entry(9, Kind.GOAL, SECOND + 44 * 60.0, words="Goal, Seven with a header, 2–1"),
        replace(entry(10, Kind.RED, EXTRA + 100.0), period=3, elapsed_s=100.0, minute="92"),
    )
    sent = (
        delivery(1, 601.0, 700.0, event=at(600.0), entry=2, card=at(650.0), minute="11"),
        delivery(2, SECOND + 605.0, SECOND + 1400.0, event=at(SECOND + 604.0), entry=8,
                 card=at(SECOND + 700.0), chosen=at(SECOND + 800.0),
                 captioned=at(SECOND + 1200.0), desk="City"),
        delivery(3, 1500.0, 9000.0),
    )  # fmt: skip
    earlier = (EarlierFact("2027-01-01", "Home v Other", 10, 2, 300.0),
               EarlierFact("2027-01-08", "Home v Nobody", 10, 0, None))  # fmt: skip
    return debrief(facts(frames=frames + late, entries=entries, deliveries=sent, earlier=earlier,
                         lengths_s={1: 46 * 60.0, 2: 48 * 60.0, 3: 15 * 60.0}))  # fmt: skip


MANY = tuple(Share(f"1/{100 * n} s", n, 11 + n % 4) for n in range(1, 11))
DEBRIEFS: dict[str, Callable[[], Drawing]] = {
    "timeline": lambda: draw_timeline(long_match()),
    "timeline-first": lambda: draw_timeline(long_match(), [1]),
    "timeline-extra": lambda: draw_timeline(long_match(), [3]),
    "ways": lambda: draw_ways(long_match()),
    "earlier": lambda: draw_earlier(long_match()),
    "kick-marked": lambda: draw_kick(KICK),
    "kick-by-plan": lambda: draw_kick(replace(KICK, marked=None)),
    "kick-unplanned": lambda: draw_kick(replace(KICK, marked=None, window_s=None, flight_s=None)),
    "shares": lambda: draw_shares("shutter", MANY),
}
ALL = {name.replace(" ", "-"): make for name, make in DRAWINGS.items()} | DEBRIEFS


def by_shape(drawing: Drawing) -> str:
    """A drawing with each shape on a line of its own."""
    return drawing.svg(alone=False).replace("><", ">\n<")


NAMES = sorted(path.stem for path in SEEN.glob("*.svg"))


@pytest.mark.parametrize("name", NAMES)
def test_a_drawing_is_the_one_that_was_looked_at(name: str) -> None:
    """Same shapes, same words, every coordinate within a hundredth."""
    seen = (SEEN / f"{name}.svg").read_text("utf-8")
    now = by_shape(ALL[name]())
    assert NUMBER.sub("#", now) == NUMBER.sub("#", seen)
    figures = [float(f) for f in NUMBER.findall(now)]
    assert figures == pytest.approx([float(f) for f in NUMBER.findall(seen)], abs=HUNDREDTH)


def test_every_drawing_was_looked_at() -> None:
    """None is drawn that does not lie in `seen`, and none lies there that is not drawn."""
    assert sorted(ALL) == NAMES


if __name__ == "__main__":
    SEEN.mkdir(exist_ok=True)
    for name, make in ALL.items():
        (SEEN / f"{name}.svg").write_text(by_shape(make()), "utf-8", newline="\n")
