"""The debrief held against the day as it really was."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from benchmarks.matchday.verdict import Outcome, Verdict, chosen_count, says
from setpiece.plan.debrief.debrief import Debrief

CLOCKS_S = 1.5
"""A delay is told from a frame's time and an entry's, each as sure as its clock."""

SENT_S = 2.0


def debrief_truths(of: Outcome, told: Debrief) -> Iterator[Verdict]:
    """Frames, goals, delays, deliveries and corrections of the debrief."""
    yield _frames(of, told)
    yield _goals(of, told)
    yield _delays(of, told)
    yield _sent(of, told)
    yield _corrections(of, told)


def _frames(of: Outcome, told: Debrief) -> Verdict:
    """As many frames of each camera as each made."""
    made = Counter(e.camera.serial for e in of.day.exposures)
    serials = {c.letter: c.serial for c in of.matchday.cameras.values()}
    counted = Counter(serials.get(f.camera, f.camera) for f in told.facts.frames)
    wrong = [f"{s}: {counted[s]} instead of {n}" for s, n in made.items() if counted[s] != n]
    used = chosen_count(of.day)
    if told.used != used:
        wrong.append(f"{told.used} in the set instead of {used}")
    shown = ", ".join(str(n) for n in counted.values())
    return says("debrief: frames of each camera, and the set", wrong,
                f"{shown}; {told.used} in the set")  # fmt: skip


def _goals(of: Outcome, told: Debrief) -> Verdict:
    """Every goal with its scorer as put right, its minute and the score."""
    wrong = []
    goals = [e for e in told.facts.entries if e.words.startswith("Goal")]
    for goal, (number, score) in zip(of.day.goals, SCORED, strict=True):
        minutes = {str(of.day.minute(at)) for at in (goal.happened, goal.typed)}
        found = [e for e in goals if score in e.words and e.minute in minutes
                 and _scorer(of, e.number) == number]  # fmt: skip
        if len(found) != 1:
            said = [(e.words, e.minute, _scorer(of, e.number)) for e in goals]
            wrong.append(f"{number}, {score}, {minutes}, is {len(found)} times in {said}")
    if len(goals) != len(of.day.goals):
        wrong.append(f"{len(goals)} goals")
    if told.facts.score != "2–1":
        wrong.append(f"score {told.facts.score}")
    return says("debrief: goals, scorers, minutes, score", wrong, f"{told.facts.score}")


SCORED = (("home-11", "1–0"), ("away-9", "1–1"), ("home-10", "2–1"))
"""Who scored, and what the score was then."""


def _scorer(of: Outcome, number: int) -> str:
    return next(str(e.person) for e in of.matchday.fold.entries if e.id == number)


def _delays(of: Outcome, told: Debrief) -> Verdict:
    """The delay to the first frame after each goal lies in the range that is told."""
    by_handle = {f.handle: f.best_file.rpartition("/")[2] for f in of.matchday.frames.values()}
    true = {e.name: e.true for e in of.day.exposures}
    wrong, told_s = [], []
    goals = [f for f in told.followed if f.entry.words.startswith("Goal")]
    for goal, followed in zip(of.day.goals, goals, strict=False):
        if followed.missed:
            wrong.append(f"{followed.entry.words} is called missed")
            continue
        delay_s = (true[by_handle[followed.frame]] - goal.happened).total_seconds()
        told_s.append(f"{followed.least_s:.0f}–{followed.most_s:.0f}")
        if not followed.least_s - CLOCKS_S <= max(0.0, delay_s) <= followed.most_s + CLOCKS_S:
            wrong.append(f"{followed.entry.words}: {delay_s:.1f} s, told {told_s[-1]}")
    return says("debrief: delay from each goal to its first frame", wrong,
                f"{', '.join(told_s)} s")  # fmt: skip


def _sent(of: Outcome, told: Debrief) -> Verdict:
    """As many pictures at each desk as there are, none told earlier than its last byte came."""
    wrong = []
    had = Counter(d.desk for d in told.facts.deliveries)
    for desk in of.files:
        there = chosen_count(of.day) + (desk == "city")
        if had[desk] != there:
            wrong.append(f"{had[desk]} at {desk} instead of {there}")
    for item in told.facts.deliveries:
        came = of.came[item.desk].get(item.frame)
        if came is not None and (came - item.sent).total_seconds() > SENT_S:
            wrong.append(f"{item.handle} told sent before it came to {item.desk}")
        steps = [s for s in (item.shot, item.card, item.chosen, item.captioned) if s is not None]
        if any(s > item.sent for s in steps):
            wrong.append(f"{item.handle} told sent before it was made ready")
    shown = ", ".join(f"{n} at {d}" for d, n in had.items())
    return says("debrief: what each desk has, and when it came", wrong, shown)


def _corrections(of: Outcome, told: Debrief) -> Verdict:
    """The pictures that went out with the wrong scorer, once each, at both desks, and why."""
    by_handle = {f.handle: f.best_file.rpartition("/")[2] for f in of.matchday.frames.values()}
    wanted = {c.exposure.name for c in of.day.chosen if c.tells_goal}
    found = {by_handle[c.handle]: c for c in told.facts.corrections}
    wrong = [f"{n} is not among the corrections" for n in wanted - set(found)]
    wrong += [f"{n} was not corrected" for n in set(found) - wanted]
    for name, fact in found.items():
        if set(fact.desks) != set(of.files):
            wrong.append(f"{name} corrected at {', '.join(fact.desks)} only")
        if fact.cause != "the log was put right":
            wrong.append(f"{name}: cause told as {fact.cause!r}")
    return says("debrief: what went out wrong, and why", wrong, f"{len(found)} pictures")
