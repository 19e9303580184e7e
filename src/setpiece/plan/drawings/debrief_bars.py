"""The debrief's smaller drawings: sharp shares, ways to the desk, earlier matches, a kick."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from setpiece.plan.debrief.debrief import Debrief
from setpiece.plan.debrief.desk_time import Way, duration
from setpiece.plan.debrief.facts import EarlierFact, KickFact, Step
from setpiece.plan.debrief.kicks import AFTER_S, BEFORE_S
from setpiece.plan.debrief.sharpness import Share
from setpiece.plan.drawings import canvas
from setpiece.plan.drawings.canvas import Drawing

SMALL, HALF = 228.0, 400.0
ROW = 17.0
WORDS = 78.0
"""Room beside the longest bar for the longest words, as `59 min 59 s`."""
STEP_TONES = {
    Step.SHOT: "way-1", Step.CARD: "way-2", Step.CHOSEN: "way-3", Step.CAPTIONED: "way-4",
    Step.SENT: "way-5",
}  # fmt: skip
"""From light to dark as the picture comes nearer to the desk."""

MOST_WAYS = 9


def draw_shares(name: str, shares: Sequence[Share]) -> Drawing:
    """The share of sharp frames, one bar a kind, with the numbers behind it."""
    shown = _most(shares)
    left, right = 82.0, SMALL - 66
    parts = [canvas.text(0, 12, f"by {name}", "caps")]
    y = 24.0
    for one in shown:
        parts += [
            canvas.text(left - 7, y + 9.5, one.name, "", anchor="end"),
            canvas.rect(left, y, right - left, 11, "bar-rest"),
            canvas.rect(left, y, (right - left) * one.share, 11, "bar"),
            canvas.text(right + 7, y + 9.5, f"{one.share:.0%}", "strong"),
            canvas.text(SMALL, y + 9.5, f"of {one.of}", "note", anchor="end"),
        ]
        y += ROW
    words = "; ".join(f"{s.name} {s.sharp} of {s.of}" for s in shown)
    return Drawing(SMALL, y + 2, f"Sharp frames by {name}", words, "".join(parts))


def _most(shares: Sequence[Share], most: int = 8) -> list[Share]:
    """The kinds with the most frames, still in their order."""
    kept = sorted(shares, key=lambda s: -s.of)[:most]
    return [s for s in shares if s in kept]


def draw_ways(of: Debrief) -> Drawing:
    """From what happened to the first desk: each part of the way, to one scale."""
    ways = sorted(of.desk.first.values(), key=lambda w: w.delivery.shot)[:MOST_WAYS]
    longest = max((w.total_s for w in ways), default=1.0)
    names: dict[int | None, str] = {e.number: e.words for e in of.facts.entries}
    right = HALF - WORDS
    parts, y = [_steps_legend(ways)], 30.0
    for one in ways:
        delivery = one.delivery
        head = f"{delivery.minute}' " if delivery.minute else ""
        words = names.get(delivery.entry, delivery.words)
        parts.append(canvas.text(0, y + 10, f"{head}{words}"[:48], "name"))
        parts.append(canvas.text(HALF, y + 10, delivery.desk, "note", anchor="end"))
        x = 0.0
        for part in one.parts:
            wide = right * part.seconds / longest
            parts.append(canvas.rect(x, y + 15, wide, 10, STEP_TONES[part.steps[-1]]))
            x += wide
        parts.append(canvas.text(x + 7, y + 24, duration(one.total_s), "strong"))
        y += 34
    return Drawing(
        HALF, y + 2, "From what happened to the desk",
        "; ".join(f"{w.delivery.words} {duration(w.total_s)}" for w in ways), "".join(parts),
    )  # fmt: skip


def _steps_legend(ways: Sequence[Way]) -> str:
    """The parts that stand in the drawing, in order, each with its tone."""
    shown: dict[Step, str] = {}
    for step in Step:
        for one in ways:
            for part in one.parts:
                if part.steps[-1] is step and part.seconds > 0:
                    shown.setdefault(step, part.words)
    parts, x = [], 0.0
    for step, words in shown.items():
        label = words.split(" to ")[-1]
        parts += [
            canvas.rect(x, 4, 9, 9, STEP_TONES[step]),
            canvas.text(x + 13, 12.5, label, "note"),
        ]
        x += 13 + 5.6 * len(label) + 16
    return "".join(parts)


def draw_earlier(of: Debrief) -> Drawing:
    """Middle time from shot to desk: this match below those before it."""
    this = EarlierFact("", f"{of.facts.home} v {of.facts.away}", len(of.facts.frames),
                       len(of.facts.deliveries), of.desk.median_s)  # fmt: skip
    rows = [e for e in (*of.facts.earlier, this) if e.median_s is not None]
    longest = max((e.median_s or 0.0 for e in rows), default=1.0)
    left, right = 172.0, HALF - WORDS
    parts, y = [canvas.text(0, 12, "middle time from shot to desk", "caps")], 24.0
    for one in rows:
        wide = (right - left) * (one.median_s or 0.0) / longest
        now = one is this
        parts += [
            canvas.text(0, y + 10, one.words[:28], "name" if now else ""),
            canvas.rect(left, y + 1, wide, 10, "bar-best" if now else "bar-other"),
            canvas.text(left + wide + 7, y + 10, duration(one.median_s or 0.0), "strong"),
        ]
        y += ROW + 1
    return Drawing(
        HALF, y + 2, "Middle time from shot to desk, against earlier matches",
        "; ".join(f"{e.words} {duration(e.median_s or 0)}" for e in rows), "".join(parts),
    )  # fmt: skip


def draw_kick(kick: KickFact) -> Drawing:
    """The frames around a kick along the seconds; full where ball and kicker are in the frame."""
    left, right, top, foot = 4.0, HALF - 12, 34.0, 66.0
    shown = [s for s in kick.offsets_s if 0.1 - BEFORE_S <= s <= AFTER_S]

    def x(seconds: float) -> float:
        return left + (right - left) * (seconds + BEFORE_S) / (AFTER_S + BEFORE_S)

    parts = []
    if kick.window_s is not None:
        end = min(kick.window_s, AFTER_S)
        parts.append(canvas.rect(x(0), top - 10, x(end) - x(0), foot - top + 20, "window"))
        parts.append(canvas.text(x(0) + 4, top - 15, "both in the frame, by the plan", "note"))
    if kick.flight_s is not None and kick.flight_s <= AFTER_S:
        parts.append(
            canvas.line(x(kick.flight_s), top - 10, x(kick.flight_s), foot + 10, "tick-line")
        )
        parts.append(
            canvas.text(x(kick.flight_s), foot + 24, "ball there", "note", anchor="middle")
        )
    wide = 28.0
    gaps = [x(b) - x(a) for a, b in pairwise(shown)]
    wide = max(8.0, min([wide, *(g - 4 for g in gaps)]))
    for seconds in shown:
        held = seconds in kick.marked if kick.marked is not None else (
            kick.window_s is not None and 0 <= seconds <= kick.window_s
        )  # fmt: skip
        parts.append(canvas.rect(x(seconds) - wide / 2, top, wide, foot - top,
                                 "shot-held" if held else "shot-lost"))  # fmt: skip
    parts.append(canvas.line(left, foot + 10, right, foot + 10, "rule"))
    for mark in (-0.5, 0.0, 0.5, 1.0):
        parts.append(canvas.line(x(mark), foot + 10, x(mark), foot + 14, "tick"))
        words = "struck" if mark == 0 else f"{mark:+.1f} s"
        if kick.flight_s is None or abs(x(mark) - x(kick.flight_s)) > 34:
            parts.append(canvas.text(x(mark), foot + 24, words, "note", anchor="middle"))
    return Drawing(
        HALF, foot + 30, f"Frames around the {kick.kind} at {kick.minute}'",
        f"{len(shown)} frames shown, {kick.got if kick.got is not None else 'none marked'} hold "
        "ball and kicker.", "".join(parts),
    )  # fmt: skip
