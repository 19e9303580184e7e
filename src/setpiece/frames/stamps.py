"""How finely a camera's clock really counts, told from what it wrote.

Some cameras write two digits of sub-seconds and count tenths, or write `00` for ever: the digits
alone promise more than the clock holds.
"""

from __future__ import annotations

from collections.abc import Iterable

from setpiece.match.instants import CameraTime

STEPS_S = (1.0, 0.1, 0.01)
"""Steps that clocks are found to count in, coarsest first."""

CHANCE = 1e-4
"""A coarser step is believed when readings would fall on it so seldom by chance."""


def on_step(reading: CameraTime, step_s: float) -> bool:
    """Whether the reading is a whole number of steps."""
    return reading.reading.microsecond % round(step_s * 1e6) == 0


def real_resolution_s(readings: Iterable[CameraTime]) -> float:
    """The step that all readings of one camera share, 0 when it is no coarser than they write.

    A single reading proves nothing; the more readings, the surer.
    """
    distinct = {r.reading: r for r in readings}.values()
    for step_s in STEPS_S:
        finer = [r for r in distinct if r.resolution_s < step_s]
        chance = 1.0
        for reading in finer:
            chance *= reading.resolution_s / step_s
        if finer and round(chance, 9) <= CHANCE and all(on_step(r, step_s) for r in finer):
            return step_s
    return 0.0
