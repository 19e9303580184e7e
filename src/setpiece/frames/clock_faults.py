"""What is wrong with a camera's clock, said in words: an hour, a day, a zone, a silence."""

from __future__ import annotations

from collections.abc import Iterable

NEAR_S = 300
"""A clock within five minutes of a whole fault has that fault and a small one besides
(clocks of one photographer's bodies are found minutes apart; common practice, no source)."""

_NEAR_HALF_HOUR_S = 60  # half-hour zones are few: a clock half an hour off is seldom a zone
_DAY_S, _HALF_HOUR_S = 86_400, 1_800


def zone_text(offset_min: int) -> str:
    """`UTC+1`, `UTC+5:30`, `UTC`."""
    if offset_min == 0:
        return "UTC"
    hours, minutes = divmod(abs(offset_min), 60)
    sign = "+" if offset_min > 0 else "-"
    return f"UTC{sign}{hours}" + (f":{minutes:02d}" if minutes else "")


def faults(
    offset_s: float, stated_zones_min: Iterable[int | None], venue_offset_min: int
) -> tuple[str, ...]:
    """The faults that an offset and the stated zones show; empty for a clock that is just off.

    `offset_s` is the camera's reading minus true time, positive when fast; `stated_zones_min`
    holds the zone of every reading used, None for a silent one.
    """
    zones = set(stated_zones_min)
    said = sorted(z for z in zones if z is not None)
    remarks = []
    if None in zones:
        remarks.append(
            "the camera states no zone: its time is taken as the venue's "
            f"({zone_text(venue_offset_min)})"
        )
    if len(zones) > 1:
        listed = ", ".join(zone_text(z) for z in said)
        remarks.append(f"the camera's zone was changed between these frames ({listed})")
    days, rest_s = _days_and_rest(offset_s)
    if days:
        remarks.append(f"the date is {_count(abs(days), 'day')} {_ahead(days)}")
    wrong_zone_s = (venue_offset_min - said[0]) * 60 if len(said) == 1 and None not in zones else 0
    if wrong_zone_s and abs(rest_s - wrong_zone_s) <= NEAR_S:
        remarks.append(
            f"it shows the venue's time ({zone_text(venue_offset_min)}) "
            f"but states {zone_text(said[0])}"
        )
    else:
        if wrong_zone_s:
            remarks.append(
                f"it states {zone_text(said[0])}; the venue is on {zone_text(venue_offset_min)}"
            )
        remarks += _hours(rest_s)
    return tuple(remarks)


def _days_and_rest(offset_s: float) -> tuple[int, float]:
    """Whole days and the rest, which is at most half a day (a little more for a zone fault)."""
    days = round(offset_s / _DAY_S)
    rest_s = offset_s - days * _DAY_S
    if abs(days) == 1 and abs(rest_s) > _DAY_S / 2 - NEAR_S - 1:
        return 0, offset_s
    return days, rest_s


def _hours(rest_s: float) -> list[str]:
    """The remark for a clock that is a whole number of half-hours off, if it is."""
    halves = round(rest_s / _HALF_HOUR_S)
    near_s = _NEAR_HALF_HOUR_S if halves % 2 else NEAR_S
    if not halves or abs(rest_s - halves * _HALF_HOUR_S) > near_s:
        return []
    pace = "fast" if halves > 0 else "slow"
    if abs(halves) == 2:
        left = "summer time is on in the camera" if halves > 0 else "it was left on winter time"
        return [f"the clock is an hour {pace}: {left}, or it is on a neighbouring zone"]
    if abs(halves) == 24:
        return [f"the clock is 12 hours {pace}: morning and afternoon are swapped"]
    return [f"the clock is {abs(halves) / 2:g} hours {pace}: it is on another zone's time"]


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _ahead(days: int) -> str:
    return "ahead" if days > 0 else "behind"
