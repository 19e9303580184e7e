"""The debrief as sections: what the page and the PDF print, each in its own way.

A section is a headline, a sentence, and blocks: a drawing (wide, and as several narrow ones for a
telephone), a table, or lines of text.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from setpiece.plan.debrief.debrief import Debrief
from setpiece.plan.debrief.desk_time import Way, duration
from setpiece.plan.debrief.facts import CorrectionFact, CoverageFact, KickFact, MoneyFact, Step
from setpiece.plan.debrief.findings import frames_words, got_words
from setpiece.plan.debrief.following import SURE_S, Followed
from setpiece.plan.debrief.timeline import printed_minute
from setpiece.plan.drawings.canvas import Drawing
from setpiece.plan.drawings.debrief_bars import draw_earlier, draw_kick, draw_shares, draw_ways
from setpiece.plan.drawings.debrief_timeline import draw_timeline

MOST_WAYS = 60


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing; `narrow` stand in its place on a small screen, none: it is small enough."""

    wide: Drawing
    narrow: tuple[Drawing, ...] = ()


@dataclass(frozen=True, slots=True)
class Rows:
    """A table. `minutes`: its first column stands in the gutter. A cell that begins with `✗` is
    told as wrong; `figures` are the columns set right."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    minutes: bool = False
    figures: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Lines:
    """Lines of text, the first words of each set apart when it has any."""

    lines: tuple[tuple[str, str], ...]


Block = Picture | Rows | Lines


@dataclass(frozen=True, slots=True)
class Section:
    """One section. `place` is `whole`, `left` or `right`; `together`: its blocks side by side."""

    name: str
    title: str
    lead: str
    blocks: tuple[Block, ...]
    place: str = "whole"
    together: bool = False


def sections(of: Debrief) -> tuple[Section, ...]:
    """Every section that has something to say, in the order of the page."""
    found: list[Section] = []
    for make in (
        _timeline,
        _log,
        _desk,
        _kicks,
        _sharp,
        _coverage,
        _wrong,
        _money,
        _ways,
        _settings,
    ):
        found += make(of)
    return tuple(found)


def _timeline(of: Debrief) -> Iterator[Section]:
    narrow = tuple(draw_timeline(of, [s.period]) for s in of.timeline.stretches)
    lead = []
    if busiest := of.timeline.busiest():
        period, minute = busiest
        lead.append(f"The busiest minute was {printed_minute(period, minute.number)} with "
                    f"{frames_words(minute.total)}.")  # fmt: skip
    period, first, count = of.timeline.longest_gap()
    if count >= 3:
        lead.append(f"Nothing was shot from {printed_minute(period, first)} to "
                    f"{printed_minute(period, first + count - 1)}.")  # fmt: skip
    if of.timeline.outside:
        were = "was" if of.timeline.outside == 1 else "were"
        lead.append(f"{frames_words(of.timeline.outside)} {were} made before, between and after.")
    yield Section("timeline", "The match in frames", " ".join(lead),
                  (Picture(draw_timeline(of), narrow),))  # fmt: skip


def _log(of: Debrief) -> Iterator[Section]:
    if not of.followed:
        return
    rows = tuple(
        (f"{f.entry.minute}'" if f.entry.minute else "", f.entry.words,
         f.frame or "", _delay(f), str(f.frames) if f.frames else "")
        for f in of.followed
    )  # fmt: skip
    missed = len(of.missed)
    lead = (
        f"No frame shows {missed} of {len(of.followed)} entries."
        if missed
        else "Every entry has its frame."
    )
    head = ("min.", "entry", "first frame", "after it", "frames")
    yield Section("log", "What the log says, and what was got of it", lead,
                  (Rows(head, rows, minutes=True, figures=(3, 4)),), "left")  # fmt: skip


def _delay(one: Followed) -> str:
    if one.missed:
        return "✗ missed"
    if one.most_s - one.least_s > SURE_S and one.entry.at.width_s > SURE_S:
        return f"{one.least_s:.0f}–{one.most_s:.0f} s"
    middle = (one.least_s + one.most_s) / 2
    return "at once" if middle < 1 else duration(round(middle))


def _desk(of: Debrief) -> Iterator[Section]:
    if not of.desk.ways:
        return
    blocks: list[Block] = []
    if of.desk.first:
        blocks.append(Picture(draw_ways(of)))
    names = tuple((words, duration(s)) for words, s in of.desk.medians.items())
    blocks.append(Rows(("part of the way", "middle value"), names, figures=(1,)))
    if any(e.median_s is not None for e in of.facts.earlier):
        blocks.append(Picture(draw_earlier(of)))
    lead = (
        f"Half of the pictures were at a desk within {duration(of.desk.median_s)} of the shutter."
        if of.desk.median_s is not None
        else ""
    )
    yield Section("desk", "From what happened to the desk", lead, tuple(blocks), "right")


def _kicks(of: Debrief) -> Iterator[Section]:
    kicks = of.facts.kicks
    if not kicks:
        return
    blocks: list[Block] = []
    for kick in kicks:
        blocks += [Lines(((f"{kick.minute}'", kick.words),)), Picture(draw_kick(kick)),
                   Lines((("", _kick_words(kick)),))]  # fmt: skip
    lead = "Full are the frames that hold ball and kicker."
    title = "Penalties and free kicks, planned and got"
    yield Section("kicks", title, lead, tuple(blocks), "right")


def _kick_words(kick: KickFact) -> str:
    rate = f" at {kick.frames_per_s:.0f} frames a second" if kick.frames_per_s else ""
    focal = f"{kick.focal_length_mm:g} mm" if kick.focal_length_mm else "a lens not known"
    said = f"Camera {kick.camera}, {focal}{rate}"
    said += f", from {kick.seat}. " if kick.seat else ". "
    if kick.planned is not None:
        said += f"The plan gives {kick.planned:.1f} frames on average; "
        said += f"got {kick.got} ({got_words(kick)})."
    elif kick.got is not None:
        said += f"Got {kick.got} ({got_words(kick)}); the plan was not asked."
    else:
        said += "No frame was marked, and the plan was not asked."
    return said


def _sharp(of: Debrief) -> Iterator[Section]:
    if not of.sharp:
        return
    told = [f for f in of.facts.frames if f.sharp is not None]
    sharp = sum(bool(f.sharp) for f in told)
    lead = (
        f"{sharp} of {len(told)} frames ({sharp / len(told):.0%}) are within 1 px of the sharpest "
        "of their camera in their passage; frames that stand alone are left out."
    )
    blocks = tuple(Picture(draw_shares(name, shares)) for name, shares in of.sharp)
    yield Section("sharp", "Sharp, and with what", lead, blocks, together=True)


def _settings(of: Debrief) -> Iterator[Section]:
    rows = tuple(
        (s.camera, s.lens, str(s.frames), s.focal, s.shutter, s.aperture, s.iso)
        for s in of.settings
    )
    if rows:
        head = ("camera", "lens", "frames", "focal length", "shutter", "aperture", "ISO")
        yield Section("settings", "Settings used", "", (Rows(head, rows, figures=(2,)),))


def _ways(of: Debrief) -> Iterator[Section]:
    """Every delivery with its parts; a part that ran together with the next has a dash."""
    ways = of.desk.ways[:MOST_WAYS]
    if not ways:
        return
    rows = tuple(
        (f"{w.delivery.minute}'" if w.delivery.minute else "",
         w.delivery.words.partition(": ")[0], w.delivery.desk,
         *(_part(w, step) for step in Step), duration(w.total_s))
        for w in ways
    )  # fmt: skip
    more = len(of.desk.ways) - len(ways)
    lead = f"The first {len(ways)}; {more} more are left out." if more else ""
    head = (
        "min.",
        "picture",
        "desk",
        "to shot",
        "to card",
        "to choice",
        "to caption",
        "to desk",
        "all",
    )
    yield Section("ways", "Every picture on its way", lead,
                  (Rows(head, rows, minutes=True, figures=(3, 4, 5, 6, 7, 8)),))  # fmt: skip


def _part(way: Way, step: Step) -> str:
    found = next((p for p in way.parts if p.steps[-1] is step), None)
    return duration(found.seconds) if found is not None else "–"


def _coverage(of: Debrief) -> Iterator[Section]:
    cover = of.facts.coverage
    if cover is None:
        return
    lead = f"The set answers {cover.done} of {cover.of} lines of the shot list."
    yield Section("coverage", "What the set holds", lead, (Lines(tuple(_cover(cover, of))),),
                  "left")  # fmt: skip


def _cover(cover: CoverageFact, of: Debrief) -> Iterator[tuple[str, str]]:
    facts = of.facts
    if cover.home + cover.away:
        others = f", neither {cover.neither}" if cover.neither else ""
        yield "Sides", f"{facts.home} {cover.home}, {facts.away} {cover.away}{others}."
    if cover.wants:
        yield "Wanted, not got", f"{', '.join(cover.wants)}."
    if cover.missing:
        yield "Not in the set", f"{'; '.join(cover.missing)}."
    if cover.unseen:
        yield (
            "Not seen",
            f"{len(cover.unseen)} of {cover.started} who started: "
            + (f"{', '.join(cover.unseen)}."),
        )


def _wrong(of: Debrief) -> Iterator[Section]:
    if not of.facts.corrections:
        return
    lines = tuple((f"{c.minute}'" if c.minute else c.handle, _wrong_words(c))
                  for c in of.facts.corrections)  # fmt: skip
    yield Section("wrong", "Put right", "", (Lines(lines),), "right")


def _wrong_words(one: CorrectionFact) -> str:
    desks = " and ".join(one.desks)
    waited = f" for {duration(one.wrong_for_s)}" if one.wrong_for_s is not None else ""
    if one.kill:
        return f"{one.handle} was killed at {desks}{waited}."
    change = f": {one.was or 'nobody'} was named, right is {one.now}" if one.now else ""
    cause = f" Cause: {one.cause}." if one.cause else ""
    return f"{one.handle} was wrong at {desks}{waited}{change}.{cause}"


def _money(of: Debrief) -> Iterator[Section]:
    money = of.facts.money
    if money is not None:
        yield Section("money", "Published and earned so far", "",
                      (Lines(tuple(_money_lines(money))),), "right")  # fmt: skip


def _money_lines(money: MoneyFact) -> Iterator[tuple[str, str]]:
    outlets = f" in {', '.join(o for o in money.outlets if o)}" if any(money.outlets) else ""
    yield "Published", f"{money.uses} {'use' if money.uses == 1 else 'uses'}{outlets}."
    if money.due:
        yield "Worth", f"{', '.join(money.due)}."
    yield (
        "Paid",
        f"{', '.join(money.paid) or 'nothing yet'}"
        + (f"; {money.unpaid} unpaid." if money.unpaid else "."),
    )
    if money.spent:
        yield "Spent", f"{', '.join(money.spent)}."
