"""Three findings with their numbers, by rules that docs/debrief.md states one by one.

Every rule looks at one thing, says nothing below its limit, and weighs what was lost from 0 to 1.
The three that weigh most are printed, each rule at most once; equal weights stand in the order of
`RULES`. The limits are ours.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from statistics import median

from setpiece.match.entries import Kind
from setpiece.plan.debrief.desk_time import DeskTimes, Way, duration
from setpiece.plan.debrief.facts import (
    CoverageFact,
    EntryFact,
    FrameFact,
    KickFact,
    MatchFacts,
    Step,
)
from setpiece.plan.debrief.following import Followed
from setpiece.plan.debrief.sharpness import Share, by_distance, by_focal, by_shutter
from setpiece.plan.debrief.timeline import Timeline, printed_minute

HOW_MANY = 3
SLOW_S = 120.0
SOFT_SHARE, SOFT_FRAMES = 0.15, 12
UNSEEN_SHARE = 0.2
LEAN = 1 / 3
GAP_MIN = 8
SHORTEST_SHARE = 0.5
"""A lens is advised down to half of what was set: there the kicker is half as large."""

ADVICE = {
    Step.SHOT: "be on the ball earlier",
    Step.CARD: "let the camera send it, or change cards sooner",
    Step.CHOSEN: "choose before the next passage",
    Step.CAPTIONED: "type the line while it is still fresh",
    Step.SENT: "the link was slow: send smaller, or another way",
}
"""What is said of the part of the way that took longest."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding: the rule's name, what it weighs, the figure it rests on, and the sentence."""

    rule: str
    weight: float
    figure: str
    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Looked:
    """What the rules look at."""

    facts: MatchFacts
    followed: tuple[Followed, ...]
    desk: DeskTimes
    timeline: Timeline


Rule = Callable[[Looked], Iterator[Finding]]


def findings(looked: Looked) -> tuple[Finding, ...]:
    """The findings that weigh most, at most three."""
    found: list[Finding] = []
    for rule in RULES:
        heaviest = max(rule(looked), key=lambda f: f.weight, default=None)
        if heaviest is not None:
            found.append(heaviest)
    found.sort(key=lambda f: -f.weight)
    return tuple(islice(found, HOW_MANY))


def kick_rule(looked: Looked) -> Iterator[Finding]:
    """A kick whose ball left the frame before a shorter lens would have lost it."""
    for kick in looked.facts.kicks:
        got = kick.got
        if got is None or kick.focal_length_mm is None:
            continue
        least_mm = SHORTEST_SHARE * kick.focal_length_mm
        better = [
            (n, mm) for n, mm in kick.better if n > got and least_mm <= mm < kick.focal_length_mm
        ]
        if not better:
            continue
        frames, focal_mm = max(better)
        lost = (frames - got) / frames
        yield Finding(
            "kick",
            min(1.0, 0.55 + 0.45 * lost if kick.goal else 0.4 + 0.45 * lost),
            f"{got} of {frames}",
            f"The {kick.kind} at {kick.minute}'",
            f"Ball {'and kicker ' if kick.marked is None else ''}in the frame for "
            f"{frames_words(got)} at {kick.focal_length_mm:g} mm; "
            f"{whole_mm(focal_mm)} mm would have kept {frames}.",
        )


def goal_time_rule(looked: Looked) -> Iterator[Finding]:
    """The goal that took longest to its first desk, and the part it lost most time in."""
    goals = {e.number for e in looked.facts.entries if e.kind is Kind.GOAL and e.counts}
    ways = [w for number, w in looked.desk.first.items() if number in goals]
    earlier = [e.goal_s for e in looked.facts.earlier if e.goal_s is not None]
    for one in ways:
        if one.total_s > SLOW_S:
            yield _goal_time(one, earlier)


def _goal_time(one: Way, earlier: Sequence[float]) -> Finding:
    part = one.slowest
    usual = f" The matches before: {duration(median(earlier))}." if earlier else ""
    return Finding(
        "goal to the desk",
        min(1.0, 0.3 + 0.5 * one.total_s / 1800 + 0.2 * part.seconds / one.total_s),
        duration(one.total_s),
        f"The goal at {one.delivery.minute}' to {one.delivery.desk}",
        f"{_capital(part.words)} took {duration(part.seconds)} of it: "
        f"{ADVICE[part.steps[-1]]}.{usual}",
    )


def missed_rule(looked: Looked) -> Iterator[Finding]:
    """Entries that no frame shows."""
    missed = [f for f in looked.followed if f.missed]
    if not missed:
        return
    names = "; ".join(_told(f.entry) for f in missed[:3])
    more = f" and {len(missed) - 3} more" if len(missed) > 3 else ""
    heavy = any(f.entry.kind is Kind.GOAL for f in missed)
    yield Finding(
        "missed",
        min(1.0, (0.7 if heavy else 0.25) + 0.5 * len(missed) / len(looked.followed)),
        f"{len(missed)} of {len(looked.followed)}",
        "In the log, and in no frame",
        f"No frame shows {names}{more}.",
    )


def sharp_rule(looked: Looked) -> Iterator[Finding]:
    """One shutter, lens or distance that was softer than the rest."""
    frames = looked.facts.frames
    tables: tuple[tuple[str, Callable[[Sequence[FrameFact]], tuple[Share, ...]]], ...] = (
        ("at", by_shutter), ("at", by_focal), ("at", by_distance),
    )  # fmt: skip
    for word, table in tables:
        shares = table(frames)
        for one in shares:
            rest = [s for s in shares if s is not one]
            of = sum(s.of for s in rest)
            if one.of < SOFT_FRAMES or of < SOFT_FRAMES:
                continue
            others = sum(s.sharp for s in rest) / of
            if others - one.share < SOFT_SHARE:
                continue
            yield Finding(
                "soft",
                min(1.0, 0.2 + (others - one.share)),
                f"{one.share:.0%}",
                f"Sharp {word} {one.name}",
                f"{one.sharp} of {one.of} frames {word} {one.name} were sharp, "
                f"{others:.0%} of all others.",
            )


def unseen_rule(looked: Looked) -> Iterator[Finding]:
    """People who started and are in no picture of the set."""
    cover = looked.facts.coverage
    if cover is None or not cover.started or len(cover.unseen) < UNSEEN_SHARE * cover.started:
        return
    names = ", ".join(cover.unseen[:4])
    names += f" and {len(cover.unseen) - 4} more" if len(cover.unseen) > 4 else ""
    yield Finding(
        "unseen",
        0.15 + 0.4 * len(cover.unseen) / cover.started,
        f"{len(cover.unseen)} of {cover.started}",
        "Started, and in no picture of the set",
        f"{names}.",
    )


def lean_rule(looked: Looked) -> Iterator[Finding]:
    """A set that shows one side far more than the other."""
    cover = looked.facts.coverage
    if cover is None or cover.home + cover.away < 6:
        return
    less, more = sorted((cover.home, cover.away))
    if less >= LEAN * (less + more):
        return
    yield Finding(
        "lean",
        0.2 + 0.4 * (more - less) / (more + less),
        f"{cover.home} : {cover.away}",
        f"{looked.facts.home} and {looked.facts.away} in the set",
        f"{_less(cover, looked.facts)} is the subject of {less} of {less + more} pictures.",
    )


def _less(cover: CoverageFact, facts: MatchFacts) -> str:
    return facts.home if cover.home < cover.away else facts.away


def wrong_rule(looked: Looked) -> Iterator[Finding]:
    """Something that went out wrong."""
    for one in looked.facts.corrections:
        minutes = f" for {duration(one.wrong_for_s)}" if one.wrong_for_s is not None else ""
        change = f" “{one.was}” was put right to “{one.now}”." if one.was and one.now else ""
        desks = " and ".join(one.desks)
        yield Finding(
            "wrong at desks",
            min(1.0, 0.4 + 0.1 * len(one.desks) + (one.wrong_for_s or 0) / 7200),
            f"{len(one.desks)} {'desk' if len(one.desks) == 1 else 'desks'}",
            f"Had {one.handle} wrong",
            f"{desks} had it{minutes}.{change}",
        )


def gap_rule(looked: Looked) -> Iterator[Finding]:
    """A long stretch of play without a frame."""
    period, first, minutes = looked.timeline.longest_gap()
    if minutes < GAP_MIN:
        return
    last = printed_minute(period, first + minutes - 1)
    yield Finding(
        "gap",
        min(0.6, 0.1 + minutes / 60),
        f"{minutes} min",
        "Without a frame",
        f"Nothing was shot from {printed_minute(period, first)} to {last}.",
    )


RULES: tuple[Rule, ...] = (
    kick_rule, goal_time_rule, wrong_rule, missed_rule, sharp_rule, unseen_rule, lean_rule,
    gap_rule,
)  # fmt: skip


def whole_mm(focal_mm: float) -> int:
    """A focal length as it is spoken of: tens of millimetres, never longer than it may be."""
    return int(focal_mm // 10 * 10) if focal_mm >= 50 else int(focal_mm)


def got_words(kick: KickFact) -> str:
    """How the frames of a kick were counted, for the table's foot."""
    if kick.marked is not None:
        return "as marked"
    return "by the plan's window" if kick.window_s is not None else "not marked"


def frames_words(count: int) -> str:
    """`1 frame`, `2 frames`."""
    return f"{count} frame" if count == 1 else f"{count} frames"


def _told(entry: EntryFact) -> str:
    return f"{entry.minute}' {entry.words}" if entry.minute else entry.words


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
