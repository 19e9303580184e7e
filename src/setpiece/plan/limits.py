"""Validity: every formula of this room says where it stops, and refuses beyond it."""

from __future__ import annotations

from setpiece.errors import WrongUse


def within(value: float, lowest: float, highest: float, *, what: str, unit: str = "") -> float:
    """The value itself when it lies in the range, ends included; else WrongUse says the range."""
    if lowest <= value <= highest:
        return value
    space = " " if unit else ""
    raise WrongUse(
        f"{what} must lie between {lowest:g} and {highest:g}{space}{unit}",
        thing=f"{value:g}{space}{unit}",
        next_step="Give a value inside that range.",
    )
