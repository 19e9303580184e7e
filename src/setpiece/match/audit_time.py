"""Remarks on time: whistles that are missing, minutes that cannot be, logs counted from zero."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from zoneinfo import ZoneInfo

from setpiece.errors import WrongUse
from setpiece.match.clock import PLAYED, label_span_s, minute_label, period_length_s
from setpiece.match.entries import Entry, EntryId, Kind, Standing, known
from setpiece.match.fold import Fold
from setpiece.match.instants import MinuteLabel
from setpiece.match.match_clock import PHASES, split
from setpiece.match.placing import Placed
from setpiece.match.remark import Remark
from setpiece.match.whistles import IN_PLAY, MOST_ADDED_S, own_time

SURE_OF_MINUTE_S = 5.0
"""An entry known this closely is held against its printed minute. Our choice."""

LATEST_STRAY_MIN = 10
"""Minutes past the regular end that may be added time written without its plus. Our choice."""

FEWEST_COMPARED = 3
"""So many minutes must be one low before a log is said to count from zero. Our choice."""

_PERIOD_NAMES = {
    1: "first half",
    2: "second half",
    3: "first half of extra time",
    4: "second half of extra time",
    5: "shoot-out",
}


def remarks(fold: Fold) -> Iterator[Remark]:
    """Every remark on time."""
    yield from _corrections(fold)
    yield from _whistles(fold)
    yield from _order_of_whistles(fold)
    yield from _outside(fold)
    yield from _impossible_minutes(fold)
    yield from _stray_extra_time(fold)
    yield from _order_of_minutes(fold)
    yield from _order_of_goals(fold)
    zero = tuple(counted_from_zero(fold))
    yield from zero or _against_clock(fold)
    yield from _standing_still(fold)


def counted_from_zero(fold: Fold) -> Iterator[Remark]:
    """Signs that a log prints elapsed whole minutes, one lower than results do.

    Where the clock is known the minutes are compared with it. Else the half-time substitutions
    tell: counted from one they are made in minute 46, counted from zero in 45.
    """
    compared = list(_compared(fold))
    low = [p for p, own, clock in compared if _count(own) == _count(clock) - 1]
    if len(compared) >= FEWEST_COMPARED and len(low) >= 0.8 * len(compared):
        yield Remark(
            "counted from zero",
            f"{len(low)} of {len(compared)} printed minutes are one lower than the clock: "
            "this log looks counted from zero.",
            tuple(p.entry.id for p in low),
        )
        return
    if compared:
        return
    half = fold.fixture.rules.half_min
    changes = [e for e in fold.entries if e.kind is Kind.SUBSTITUTION and e.printed is not None]
    at_end = [e for e in changes if e.printed == MinuteLabel(half) and e.period != 2]
    if at_end and not any(e.printed == MinuteLabel(half + 1) for e in changes):
        count = len(at_end)
        noun = "substitution stands" if count == 1 else "substitutions stand"
        yield Remark(
            "counted from zero",
            f"{count} {noun} at minute {half} and none at {half + 1}: if made at half-time, "
            "this log looks counted from zero, every minute one low.",
            tuple(e.id for e in at_end),
        )


def _compared(fold: Fold) -> Iterator[tuple[Placed, MinuteLabel, MinuteLabel]]:
    """Entries with a printed minute that is known by the clock as well."""
    for placed in fold.placed:
        entry = placed.entry
        if entry.printed is None or placed.is_whistle:
            continue
        if entry.elapsed_s is not None and entry.period in PLAYED:
            label = minute_label(entry.period, entry.elapsed_s, fold.fixture.rules)
            yield placed, entry.printed, label
            continue
        stretch, running_s = split(placed.latest)
        if entry.happened is None or entry.happened.width_s > SURE_OF_MINUTE_S:
            continue
        by_clock = fold.clock.label_at(stretch, running_s)
        logged = stretch % 2 and fold.clock.spans[(stretch + 1) // 2].start_logged
        if by_clock is not None and logged:
            yield placed, entry.printed, by_clock


def _against_clock(fold: Fold) -> Iterator[Remark]:
    for placed, own, by_clock in _compared(fold):
        if abs(_count(own) - _count(by_clock)) > 1:
            yield Remark(
                "minute against the clock",
                f"Minute {own} is printed, the clock says {by_clock}.",
                (placed.entry.id,),
            )


def _count(label: MinuteLabel) -> int:
    return label.minute + label.added


def _corrections(fold: Fold) -> Iterator[Remark]:
    """Two corrections of one entry, and corrections of an entry that is not there."""
    entries = known(fold.log, None)
    ids = {e.id for e in entries}
    corrected: dict[EntryId, Entry] = {}
    for entry in entries:
        target = entry.supersedes
        if target is None or entry.kind is Kind.WITHDRAWN:
            continue
        if target not in ids:
            yield Remark(
                "corrects nothing", f"It corrects e{target}, which is not there.", (entry.id,)
            )
        elif target in corrected:
            yield Remark(
                "corrected twice",
                f"e{target} was corrected twice; the later correction stands.",
                (corrected[target].id, entry.id),
            )
        corrected[target] = entry


def _whistles(fold: Fold) -> Iterator[Remark]:
    """Whistles nobody logged, in a log that is kept by the clock."""
    if all(e.imported or own_time(e) is None for e in fold.entries):
        return
    zone = ZoneInfo(fold.fixture.time_zone)
    spans = list(fold.clock.spans.values())
    for span in spans:
        name = _PERIOD_NAMES[span.period]
        missing = [] if span.start_logged else [("kick-off", span.start)]
        if span.end is not None and not span.end_logged:
            missing.append(("end", span.end))
        for what, estimate in missing:
            yield Remark(
                "whistle not logged",
                f"The {what} of the {name} was not logged; it is taken as "
                f"{estimate.middle.astimezone(zone):%H:%M:%S}, give or take "
                f"{estimate.width_s / 2:.0f} s.",
            )
        if span.period in PLAYED:
            yield from _too_long(fold, span.period)


def _too_long(fold: Fold, period: int) -> Iterator[Remark]:
    """A period whose log goes on far past its regular end."""
    most_s = period_length_s(period, fold.fixture.rules) + MOST_ADDED_S
    for placed in fold.placed:
        stretch, running_s = split(placed.latest)
        if placed.dated and stretch == 2 * period - 1 and not placed.is_whistle:
            elapsed_s = fold.clock.elapsed_at(stretch, running_s) or 0.0
            if elapsed_s > most_s:
                yield Remark(
                    "period too long",
                    f"More than {MOST_ADDED_S / 60:.0f} minutes of added time: is the end of the "
                    f"{_PERIOD_NAMES[period]} missing?",
                    (placed.entry.id,),
                )
                return


def _order_of_whistles(fold: Fold) -> Iterator[Remark]:
    for kind in (Kind.KICK_OFF, Kind.PERIOD_END):
        seen: dict[int | None, Entry] = {}
        for entry in fold.entries:
            if entry.kind is kind and entry.period in seen:
                yield Remark(
                    "whistle twice",
                    f"The {kind.value} of period {entry.period} is logged twice.",
                    (seen[entry.period].id, entry.id),
                )
            if entry.kind is kind:
                seen[entry.period] = entry
    edges = [
        (whistle, f"{what} of the {_PERIOD_NAMES[span.period]}")
        for span in fold.clock.spans.values()
        for whistle, what in ((span.start, "kick-off"), (span.end, "end"))
        if whistle is not None
    ]
    for (first, earlier), (then, later) in pairwise(edges):
        if then.end < first.start:
            yield Remark("whistles out of order", f"The {later} is before the {earlier}.")


def _outside(fold: Fold) -> Iterator[Remark]:
    """What only happens in a period, at a time when none was played."""
    for placed in fold.placed:
        if placed.entry.kind not in IN_PLAY and placed.entry.kind is not Kind.SHOOT_OUT_KICK:
            continue
        stretch, running_s = split(placed.latest)
        if not placed.dated and placed.entry.period is not None:
            continue
        if not placed.dated or stretch % 2 == 0:
            what = PHASES[stretch].value if placed.dated else "an unknown period"
            yield Remark(
                "outside any period",
                f"A {placed.entry.kind.value} outside any period: {what}.",
                (placed.entry.id,),
            )
            continue
        period = (stretch + 1) // 2
        span = fold.clock.spans[period]
        if span.end is None or not span.end_logged or placed.entry.printed is None:
            continue
        length_s = (span.end.end - span.start.start).total_seconds()
        by_minute_s = split(fold.clock.label_places(placed.entry.printed, period)[1])[1]
        if placed.true is not None and min(running_s, by_minute_s) > length_s:
            yield Remark(
                "outside any period",
                f"Minute {placed.entry.printed} is after the end of the {_PERIOD_NAMES[period]}.",
                (placed.entry.id,),
            )


def _impossible_minutes(fold: Fold) -> Iterator[Remark]:
    for entry in fold.entries:
        if entry.printed is None:
            continue
        try:
            label_span_s(entry.printed, fold.fixture.rules, period=entry.period)
        except WrongUse as error:
            yield Remark("no such minute", f"Minute {entry.printed}: {error.what}.", (entry.id,))


def _stray_extra_time(fold: Fold) -> Iterator[Remark]:
    """Minutes just past 90 in a log that knows no extra time: added time without its plus?"""
    regular_min = 2 * fold.fixture.rules.half_min
    beyond = [e for e in fold.entries if e.printed is not None and e.printed.minute > regular_min]
    says_extra = any(e.period in (3, 4, 5) for e in fold.entries)
    stray = all(_count(e.printed) <= regular_min + LATEST_STRAY_MIN for e in beyond if e.printed)
    if beyond and stray and not says_extra:
        yield Remark(
            "extra time not logged",
            f"Minute {beyond[0].printed} is in extra time, which the log does not have: "
            f"is it {regular_min}+{_count(beyond[0].printed or MinuteLabel(1)) - regular_min}?",
            tuple(e.id for e in beyond),
        )


def _order_of_minutes(fold: Fold) -> Iterator[Remark]:
    """Printed minutes that run back in log order; corrections come late by nature."""
    newest: Entry | None = None
    back: list[EntryId] = []
    for entry in fold.entries:
        if entry.printed is None or entry.supersedes is not None:
            continue
        if newest is not None and newest.printed is not None and entry.printed < newest.printed:
            back.append(entry.id)
        else:
            newest = entry
    if back:
        yield Remark(
            "minutes out of order",
            "Minutes run back in the order of the log at " + ", ".join(f"e{i}" for i in back) + ".",
            tuple(back),
        )


def _order_of_goals(fold: Fold) -> Iterator[Remark]:
    goals = [
        p
        for p in fold.placed
        if p.entry.kind is Kind.GOAL
        and p.entry.standing is not Standing.DISALLOWED
        and p.entry.printed is None
        and p.dated
    ]
    for first, then in pairwise(goals):
        if then.earliest < first.latest:
            yield Remark(
                "order of goals not sure",
                f"e{first.entry.id} and e{then.entry.id} may have come in either order: "
                "pin one to its frame.",
                (first.entry.id, then.entry.id),
            )


def _standing_still(fold: Fold) -> Iterator[Remark]:
    """Goals while play is suspended or after it was abandoned."""
    stopped: Entry | None = None
    for placed in fold.placed:
        entry = placed.entry
        if entry.kind in (Kind.SUSPENDED, Kind.ABANDONED):
            stopped = entry
        elif entry.kind in (Kind.RESUMED, Kind.KICK_OFF):
            stopped = None
        elif stopped is not None and entry.kind in IN_PLAY:
            yield Remark(
                "while play stood still",
                f"A {entry.kind.value} while play was {stopped.kind.value} (e{stopped.id}).",
                (entry.id, stopped.id),
            )
