"""What a plan command answers, as plain values: the keys of its JSON, units in their names.

The commands print them, the page draws from them. Each answer is a typed table, so that its
schema can be written out; docs/planning.md explains the keys.
"""

from __future__ import annotations

import math

from typing_extensions import TypedDict

from setpiece.plan.caution import Part, cautions


class CautionSaid(TypedDict):
    """A caution and who says so."""

    text: str
    source: str


class Clocked(TypedDict):
    """An instant in UTC, and what a clock at the ground shows then."""

    at: str
    clock: str


def cautions_of(*parts: Part) -> list[CautionSaid]:
    """The cautions of some parts, each with its source."""
    return [{"text": c.text, "source": c.source} for c in cautions(*parts)]


def short(value: float, digits: int = 4) -> float:
    """A figure short enough to read."""
    return round(value, digits)


def short_or_endless(value: float, digits: int = 4) -> float | None:
    """A figure short enough to read; None where it is endless, for JSON knows no infinity."""
    return round(value, digits) if math.isfinite(value) else None
