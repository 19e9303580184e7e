"""Frames per minute by camera, with the log, and what left for the desks.

Cameras are told apart by tone, hollow and full, so that it prints in black as well.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise

from setpiece.match.entries import Kind
from setpiece.match.instants import Instant
from setpiece.plan.debrief.debrief import Debrief
from setpiece.plan.debrief.following import Followed
from setpiece.plan.debrief.timeline import Stretch
from setpiece.plan.drawings import canvas
from setpiece.plan.drawings.canvas import Drawing

WIDE, NARROW = 880.0, 350.0
BARS = 112.0
GAP = 40.0
LEFT, RIGHT = 34.0, 30.0
TONES = ("cam-1", "cam-2", "cam-3", "cam-4")
"""One a camera, by its letter's order."""

SIGNS = {
    Kind.GOAL: "goal", Kind.YELLOW: "card", Kind.SECOND_YELLOW: "card", Kind.RED: "card",
    Kind.SUBSTITUTION: "change", Kind.PENALTY_SAVED: "kick", Kind.PENALTY_MISSED: "kick",
    Kind.PENALTY_TAKEN: "kick",
}  # fmt: skip
"""The sign that stands for an entry in the lane of the log."""

STARTS = {1: 0, 2: 45, 3: 90, 4: 105}
PAUSES = {1: "half-time", 2: "full time", 3: "half-time"}
"""What the gap after a period is called."""


@dataclass(frozen=True, slots=True)
class _Axis:
    """Where a minute of a period, or an instant, lies from left to right."""

    starts: dict[int, float]
    minute: float
    knots: tuple[tuple[Instant, float], ...]

    def x(self, period: int, elapsed_s: float) -> float:
        return self.starts[period] + elapsed_s / 60 * self.minute

    def at(self, when: Instant) -> float | None:
        """None outside what is drawn."""
        if not self.knots or not self.knots[0][0] <= when <= self.knots[-1][0]:
            return None
        index = min(bisect_right(self.knots, when, key=lambda k: k[0]), len(self.knots) - 1)
        (t0, x0), (t1, x1) = self.knots[index - 1], self.knots[index]
        return x0 + (x1 - x0) * ((when - t0) / (t1 - t0) if t1 > t0 else 0.0)


def draw_timeline(of: Debrief, periods: Sequence[int] | None = None) -> Drawing:
    """The whole match in one wide drawing, or some of its periods in a narrow one."""
    stretches = [s for s in of.timeline.stretches if periods is None or s.period in periods]
    width = WIDE if periods is None else NARROW
    axis = _axis(of, stretches, width)
    labels = _labels(of, axis, width)
    top = 26.0 + 17 * (1 + max((row for *_, row in labels), default=0))
    foot = top + BARS
    parts = [
        _grid(of, stretches, axis, top, foot),
        _bars(of, stretches, axis, foot),
        *(canvas.line(x, _label_y(row, top) - 9, x, foot, "stem") for x, _, _, row in labels),
        *(_label(x, words, row, top, anchor) for x, words, anchor, row in labels),
        _minutes(stretches, axis, foot),
        _lane(of, axis, foot + 36),
    ]
    height = foot + 58
    sent = _sent(of, axis, foot + 60)
    if sent:
        parts.append(sent)
        height = foot + 92
    parts.append(_legend(of, width))
    return Drawing(
        width, height, "Frames a minute by camera, with the log",
        f"{len(of.facts.frames)} frames, at most {of.timeline.most} in a minute.", "".join(parts),
    )  # fmt: skip


def _axis(of: Debrief, stretches: Sequence[Stretch], width: float) -> _Axis:
    minutes = sum(len(s.minutes) for s in stretches)
    minute = (width - LEFT - RIGHT - GAP * (len(stretches) - 1)) / max(1, minutes)
    starts, x = {}, LEFT
    for stretch in stretches:
        starts[stretch.period] = x
        x += len(stretch.minutes) * minute + GAP
    kick_offs = {e.period: e.at.middle for e in of.facts.entries if e.kind is Kind.KICK_OFF}
    knots: list[tuple[Instant, float]] = []
    for stretch in stretches:
        begin = kick_offs.get(stretch.period)
        if begin is not None:
            end = Instant(begin + timedelta(seconds=stretch.length_s))
            x0 = starts[stretch.period]
            knots += [(begin, x0), (end, x0 + stretch.length_s / 60 * minute)]
    if knots:
        beyond = Instant(knots[-1][0] + timedelta(minutes=25))
        knots.append((beyond, knots[-1][1] + RIGHT - 6))
    return _Axis(starts, minute, tuple(knots))


def _scale(of: Debrief) -> float:
    """Height of one frame."""
    return BARS / max(8, of.timeline.most)


def _grid(of: Debrief, stretches: Sequence[Stretch], axis: _Axis, top: float, foot: float) -> str:
    step = 5 if of.timeline.most <= 20 else 10 if of.timeline.most <= 50 else 25
    parts = []
    for value in range(step, max(8, of.timeline.most) + 1, step):
        y = foot - value * _scale(of)
        if y < top - 2:
            continue
        parts.append(canvas.text(LEFT - 6, y + 3.5, str(value), "note", anchor="end"))
        for stretch in stretches:
            x = axis.starts[stretch.period]
            parts.append(canvas.line(x, y, x + len(stretch.minutes) * axis.minute, y, "grid"))
    for stretch in stretches:
        x = axis.starts[stretch.period]
        parts.append(canvas.line(x, foot, x + len(stretch.minutes) * axis.minute, foot, "heavy"))
    return "".join(parts)


def _bars(of: Debrief, stretches: Sequence[Stretch], axis: _Axis, foot: float) -> str:
    parts, unit = [], _scale(of)
    gap = min(1.6, axis.minute * 0.18)
    for stretch in stretches:
        for minute in stretch.minutes:
            x, y = axis.x(stretch.period, minute.number * 60.0), foot
            for tone, camera in zip(TONES, of.timeline.cameras, strict=False):
                count = minute.frames.get(camera, 0)
                if count:
                    y -= count * unit
                    parts.append(canvas.rect(x + gap / 2, y, axis.minute - gap, count * unit, tone))
    return "".join(parts)


def _label(x: float, words: str, row: int, top: float, anchor: str) -> str:
    side: canvas.Anchor = "end" if anchor == "end" else "start"
    shift = -5 if anchor == "end" else 5
    return canvas.text(x + shift, _label_y(row, top), words, "name halo", anchor=side)


def _label_y(row: int, top: float) -> float:
    return top - 14 - 17 * row


def _labels(of: Debrief, axis: _Axis, width: float) -> list[tuple[float, str, str, int]]:
    """The goals' words over the bars, each in the lowest row where it is free."""
    taken: list[tuple[int, float, float]] = []
    found = []
    for one in of.followed:
        entry = one.entry
        if entry.kind is not Kind.GOAL or entry.period not in axis.starts:
            continue
        x = axis.x(entry.period, entry.elapsed_s or 0.0)
        words = f"{entry.minute}' {_short(entry.words)}"
        wide = 6.4 * len(words) + 12
        anchor = "end" if x + wide > width - 4 else "start"
        low, high = (x - wide, x) if anchor == "end" else (x, x + wide)
        row = next(
            r for r in range(12)
            if all(t != r or high < a or b < low for t, a, b in taken)
        )  # fmt: skip
        taken.append((row, low, high))
        found.append((x, words, anchor, row))
    return found


def _short(words: str) -> str:
    """`Ørbeck 2–1` of `Goal, Ørbeck from a free kick, 2–1`."""
    parts = words.split(", ")
    if parts[0] != "Goal":
        return words.replace("Goal disallowed, ", "no goal, ")
    name = parts[1].split(" from ")[0].split(" with ")[0] if len(parts) > 1 else ""
    own = " (own goal)" if "own goal" in parts else ""
    return f"{name}{own} {parts[-1]}"


def _minutes(stretches: Sequence[Stretch], axis: _Axis, foot: float) -> str:
    parts = []
    for stretch in stretches:
        before = STARTS.get(stretch.period, 0)
        for minute in range(0, len(stretch.minutes), 15):
            x = axis.x(stretch.period, minute * 60.0)
            parts.append(canvas.line(x, foot, x, foot + 4, "tick"))
            parts.append(canvas.text(x, foot + 15, f"{before + minute}'", "note", anchor="middle"))
    for one, other in pairwise(stretches):
        x = (axis.x(one.period, one.length_s) + axis.starts[other.period]) / 2
        pause = PAUSES.get(one.period, "")
        parts.append(canvas.text(x, foot - 4, pause, "note", anchor="middle", turn_deg=-90))
    return "".join(parts)


def _lane(of: Debrief, axis: _Axis, y: float) -> str:
    """The log: a sign for each entry, crossed in brick where no frame shows it."""
    parts = []
    for one in of.followed:
        entry = one.entry
        sign = SIGNS.get(entry.kind)
        if sign is None or entry.period not in axis.starts or entry.elapsed_s is None:
            continue
        parts.append(sign_of(sign, axis.x(entry.period, entry.elapsed_s), y, one))
    return "".join(parts)


def sign_of(sign: str, x: float, y: float, one: Followed) -> str:
    """The sign of an entry: a ball, a card, a change, a mark; with a cross where it was missed."""
    missed = one.missed
    tone = "sign-missed" if missed else "sign"
    match sign:
        case "goal":
            drawn = canvas.circle(x, y, 4.2, tone if one.entry.counts else f"{tone} hollow")
        case "card":
            drawn = canvas.rect(x - 2.6, y - 4.2, 5.2, 8.4, f"{tone} hollow")
        case "kick":
            drawn = canvas.circle(x, y, 4.2, f"{tone} hollow") + canvas.circle(x, y, 1.4, tone)
        case _:
            drawn = canvas.path([(x - 4, y + 3.4), (x, y - 3.6), (x + 4, y + 3.4)], tone,
                                closed=True)  # fmt: skip
    if missed:
        drawn += canvas.text(x, y + 17, "missed", "note brick", anchor="middle")
    return drawn


def _sent(of: Debrief, axis: _Axis, y: float) -> str:
    """A line from each frame to when the first desk had it."""
    first: dict[str, tuple[Instant, Instant]] = {}
    for delivery in sorted(of.facts.deliveries, key=lambda d: d.sent):
        first.setdefault(delivery.frame, (delivery.shot, delivery.sent))
    parts = []
    for shot, sent in first.values():
        x0, x1 = axis.at(shot), axis.at(sent)
        if x0 is not None and x1 is not None:
            parts.append(canvas.line(x0, y, x1, y + 18, "away"))
            parts.append(canvas.circle(x1, y + 20, 2.3, "sign"))
    if not parts:
        return ""
    return canvas.group(*parts)


def _legend(of: Debrief, width: float) -> str:
    x, parts = LEFT, [canvas.text(LEFT, 12, "frames a minute", "caps")]
    x += 118
    for tone, camera in zip(TONES, of.timeline.cameras, strict=False):
        parts += [
            canvas.rect(x, 3, 9, 9, tone),
            canvas.text(x + 13, 12, f"camera {camera}", "note"),
        ]
        x += 72
    return "".join(parts)
