"""The match clock: from a period and its elapsed time to the minute as printed, and back.

Minute = floor(elapsed / 60) + 1 + the regular minutes of the periods before; past the regular
end of the period it is printed END+N. Source: the usage of the published match reports that
`tests/published/test_minutes_against_open_data.py` holds it to; lengths: Laws of the Game, Law 7
(from memory).
"""

from __future__ import annotations

from math import floor

from setpiece.errors import WrongUse
from setpiece.match.fixture import Rules
from setpiece.match.instants import MinuteLabel

SHOOT_OUT = 5
"""The period of the kicks from the penalty mark, which has no minutes."""

PLAYED = (1, 2, 3, 4)
"""The periods that have minutes: two halves, two halves of extra time."""

MOST_ADDED_MIN = 99
"""A longer added time is a whistle that was forgotten; labels stop counting here."""


def period_length_s(period: int, rules: Rules) -> float:
    """Regular length of a period with minutes."""
    _with_minutes(period)
    return 60.0 * (rules.half_min if period <= 2 else rules.extra_half_min)


def minutes_before(period: int, rules: Rules) -> int:
    """Regular minutes of the periods before this one: 0, 45, 90, 105 by the Laws."""
    _with_minutes(period)
    halves = min(period - 1, 2)
    extra_halves = max(period - 3, 0)
    return halves * rules.half_min + extra_halves * rules.extra_half_min


def minute_label(period: int, elapsed_s: float, rules: Rules) -> MinuteLabel:
    """The minute as printed, that many seconds into a period. Raises WrongUse for the shoot-out."""
    if elapsed_s < 0:
        raise WrongUse("a period's clock starts at 0:00", thing=f"{elapsed_s} s")
    length_s = period_length_s(period, rules)
    before = minutes_before(period, rules)
    if elapsed_s < length_s:
        return MinuteLabel(before + floor(elapsed_s / 60) + 1)
    added = min(floor((elapsed_s - length_s) / 60) + 1, MOST_ADDED_MIN)
    return MinuteLabel(before + floor(length_s / 60), added)


def label_span_s(
    label: MinuteLabel, rules: Rules, *, period: int | None = None
) -> tuple[int, float, float]:
    """The period a minute belongs to, and the elapsed seconds it runs from and up to.

    The end is not part of the minute. With `period`, a minute past that period's regular end
    counts on (92 of the second half is 90+2). Raises WrongUse for a minute no period has.
    """
    if period is not None:
        return _span_in(label, period, rules)
    for candidate in PLAYED:
        end = minutes_before(candidate, rules) + _length_min(candidate, rules)
        if label.minute <= end and (not label.added or label.minute == end):
            return _span_in(label, candidate, rules)
    raise WrongUse(
        "no period of this match has such a minute",
        thing=str(label),
        next_step="Added time is written after the regular end, as 45+2.",
    )


def _span_in(label: MinuteLabel, period: int, rules: Rules) -> tuple[int, float, float]:
    _with_minutes(period)
    into = label.minute - minutes_before(period, rules) + label.added
    if into < 1 or (label.added and into - label.added < _length_min(period, rules)):
        raise WrongUse(f"period {period} has no such minute", thing=str(label))
    return period, 60.0 * (into - 1), 60.0 * into


def _length_min(period: int, rules: Rules) -> int:
    return rules.half_min if period <= 2 else rules.extra_half_min


def _with_minutes(period: int) -> None:
    if period not in PLAYED:
        raise WrongUse("only the periods 1 to 4 have minutes", thing=f"period {period}")
