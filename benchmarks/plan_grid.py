"""How long the plan takes to follow a seat that is dragged: the pitch in one-metre cells.

Floor: one numpy pass over the same cells (the distance from the seat). Printed: milliseconds and
the ratio to that floor, for three lenses at the demo ground with everything that hides, and for
the drawing with it. The page wants the whole in at most 100 ms.

    python benchmarks/plan_grid.py
"""

from __future__ import annotations

import statistics
import time
import tomllib
from collections.abc import Callable
from pathlib import Path

import numpy as np

from setpiece.plan.camera import Camera, Seat
from setpiece.plan.coverage import cells, cover, share
from setpiece.plan.drawings.penalty import draw_penalty
from setpiece.plan.drawings.seat import draw_seat
from setpiece.plan.flight import penalty
from setpiece.plan.optics import Sensor
from setpiece.plan.penalty import held
from setpiece.plan.seat import compare
from setpiece.plan.tables import ground_from
from setpiece.plan.typed import read_lens

ROUNDS = 40
DEMO = Path(__file__).parents[1] / "src/setpiece/work/demo/ground.toml"
GROUND = ground_from(tomllib.loads(DEMO.read_text(encoding="utf-8")))
LENSES = tuple(read_lens(text) for text in ("400/2.8", "70-200/2.8", "24-70/2.8"))
SENSOR = Sensor()


def seat(step: int) -> Seat:
    """The seat, a little further along the line each time, as if dragged."""
    return Seat("dragged", -20 + step * 0.2, -5, 1.15)


def floor(step: int) -> object:
    """One pass of numpy over the cells."""
    spots = cells(GROUND.pitch)
    return np.hypot(spots.x_m - seat(step).x_m, spots.y_m)


def grid(step: int) -> object:
    """Coverage of three lenses and all that is hidden, with the shares a page prints."""
    coverage = cover(GROUND, seat(step), SENSOR, LENSES)
    return [share(coverage.of_lens(n)) for n in range(3)], share(coverage.together)


def drawing(step: int) -> object:
    """The same as SVG."""
    return draw_seat(GROUND, (seat(step),), SENSOR, LENSES).svg(alone=False)


def comparison(step: int) -> object:
    """Three seats in every situation."""
    return compare(GROUND, (seat(step), *GROUND.seats[1:]), SENSOR, LENSES)


def strike(step: int) -> object:
    """The window of a penalty."""
    return held(Camera(seat(step), 200), penalty(28))


def strike_drawing(step: int) -> object:
    """A penalty as SVG."""
    return draw_penalty(GROUND, Camera(seat(step), 200), penalty(28)).svg(alone=False)


TASKS: dict[str, Callable[[int], object]] = {
    "three lenses and all that hides": grid,
    "the same as a drawing": drawing,
    "three seats in every situation": comparison,
    "the window of a penalty": strike,
    "a penalty as a drawing": strike_drawing,
}


def median_ms(what: Callable[[int], object]) -> float:
    """The median of some rounds, after one to warm up."""
    what(0)
    taken = []
    for step in range(ROUNDS):
        start = time.perf_counter()
        what(step)
        taken.append(time.perf_counter() - start)
    return 1000 * statistics.median(taken)


def main() -> None:
    """Prints one row a task."""
    base = median_ms(floor)
    print(f"{'one-metre cells of the demo pitch':44} {cells(GROUND.pitch).x_m.size:8d}")
    print(f"{'floor: one numpy pass over them':44} {base:8.3f} ms")
    for name, what in TASKS.items():
        taken = median_ms(what)
        print(f"{name:44} {taken:8.2f} ms  {taken / base:7.0f} x floor")


if __name__ == "__main__":
    main()
