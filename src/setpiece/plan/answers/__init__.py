"""What a plan command answers, as plain values: the keys of its JSON, units in their names.

The commands print them, the page draws from them. docs/planning.md explains every key.
"""

from __future__ import annotations

from typing import Any

from setpiece.plan.caution import Part, cautions

Answer = dict[str, Any]


def cautions_of(*parts: Part) -> list[dict[str, str]]:
    """The cautions of some parts, each with its source."""
    return [{"text": c.text, "source": c.source} for c in cautions(*parts)]


def rounded(value: float, digits: int = 4) -> float | None:
    """A figure short enough to read; None where it is endless."""
    if value != value or value in (float("inf"), float("-inf")):
        return None
    return round(value, digits)
