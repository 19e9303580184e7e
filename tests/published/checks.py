"""The form of a check against a source outside the project, shared by every table of them.

A test file holds `CHECKS`, a table of `Check`, with the source above the values; one
parametrised test goes through it, and the accuracy report prints the same rows.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import NamedTuple

import pytest


class Row(NamedTuple):
    """One line of the accuracy report, as text."""

    quantity: str
    source: str
    published: str
    ours: str
    difference: str


@dataclass(frozen=True)
class Check:
    """A published figure and the call that must reproduce it.

    `source` is title and year, `section` where in it the figure stands. `tolerance` is in the
    figure's own unit and `why` gives its reason, most often half of the last printed digit.
    """

    quantity: str
    source: str
    section: str
    published: float
    ours: Callable[[], float]
    tolerance: float
    why: str

    def value(self) -> float:
        """Our figure."""
        return float(self.ours())

    @property
    def agrees(self) -> bool:
        """Whether ours lies within the tolerance of the published one."""
        return abs(self.value() - self.published) <= self.tolerance

    def row(self) -> Row:
        """The line of the accuracy report."""
        value = self.value()
        return Row(
            quantity=self.quantity,
            source=f"{self.source}, {self.section}" if self.section else self.source,
            published=f"{self.published:.10g}",
            ours=f"{value:.7g}" if abs(value) < 1e6 else f"{value:.6f}",
            difference=f"{value - self.published:+.2g}",
        )

    def hold(self) -> None:
        """Fail the running test, with the row, unless ours agrees."""
        if not self.agrees:
            pytest.fail(f"{self.row()} is off by more than {self.tolerance:g} ({self.why})")


def each(checks: Iterable[Check]) -> pytest.MarkDecorator:
    """Parametrises a test over `check`, one case for each row of a table."""
    table = tuple(checks)
    return pytest.mark.parametrize("check", table, ids=[c.quantity for c in table])
