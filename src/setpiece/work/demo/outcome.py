"""What a run of the demo found beside what was planted: one row a fact, and whether they agree."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Row:
    """One fact of the demo: what was planted, what was found, whether that is good."""

    what: str
    planted: str
    found: str
    agrees: bool


@dataclass(frozen=True, slots=True)
class Timing:
    """How long one step took."""

    step: str
    seconds: float


@dataclass(frozen=True, slots=True)
class Outcome:
    """Every fact and every step of a run."""

    rows: tuple[Row, ...]
    timings: tuple[Timing, ...]

    @property
    def agrees(self) -> bool:
        """Whether all of it agrees with what was planted."""
        return all(row.agrees for row in self.rows)


def counted(what: str, planted: int, found: int) -> Row:
    """A row of two numbers that must be equal."""
    return Row(what, str(planted), str(found), planted == found)


def within(what: str, planted: float, found: float, most: float, unit: str) -> Row:
    """A row of two figures that may differ by `most`."""
    return Row(
        what,
        f"{planted:.2f} {unit}",
        f"{found:.2f} {unit} (may differ by {most:g})",
        abs(planted - found) <= most,
    )
