"""How long the plan takes to follow a seat that is dragged: the pitch in one-metre cells.

Floor: one numpy pass over the same cells (the distance from the seat). Printed: milliseconds and
the ratio to that floor, for three lenses at the demo ground with everything that hides, for the
drawing with it, and for what the page before the match asks for while a seat is dragged, through
the real server on the loopback address. The page wants the drawing in at most 100 ms.

    python benchmarks/plan_grid.py
"""

from __future__ import annotations

import http.client
import statistics
import threading
import time
import tomllib
from collections.abc import Callable
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.parse import urlencode

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
from setpiece.store.matches import add_fixture, add_sheet
from setpiece.store.workspace import Workspace
from setpiece.web.app import make_app
from setpiece.web.serving import PageServer
from setpiece.work.demo import scenario
from setpiece.work.demo.planning import demo_ground_text, plan_the_demo
from setpiece.work.job import Unattended

ROUNDS = 40
GROUND = ground_from(tomllib.loads(demo_ground_text()))
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


class Served:
    """The demo's match with its plan, served; one connection, as a browser keeps it."""

    def __init__(self, folder: Path) -> None:
        at = scenario.fixture().kick_off
        space = Workspace.create(folder)
        of = add_fixture(space, scenario.fixture(), at)
        add_sheet(space, of, scenario.sheet(), at)
        plan_the_demo(space, of, Unattended(at))
        space.close()
        app = make_app(folder, now=lambda: at, hosts=frozenset({"127.0.0.1"}))
        self.server = PageServer(app, "127.0.0.1", 0)
        self.path = f"/match/{of.folder}"
        self.thread = threading.Thread(target=self.server.run, daemon=True)
        self.thread.start()
        while not self.server.started:
            self.thread.join(0.01)
        self.connection = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=60)

    def ask(self, step: int, what: str) -> bytes:
        """One answer: `plan/map` and `plan/figures` follow the seat, `before` is the whole page."""
        at = seat(step)
        fields = [("seat-name", "A"), ("seat-x", at.x_m), ("seat-y", at.y_m), ("seat-h", 1.15)]
        for other in GROUND.seats[1:]:
            fields += [("seat-name", other.name), ("seat-x", other.x_m), ("seat-y", other.y_m),
                       ("seat-h", other.lens_height_m)]  # fmt: skip
        fields += [("lens", lens.name) for lens in LENSES]
        self.connection.request("GET", f"{self.path}/{what}?{urlencode(fields)}")
        answer = self.connection.getresponse()
        body = answer.read()
        assert answer.status == 200
        return body

    def close(self) -> None:
        """Stops the server."""
        self.connection.close()
        self.server.should_exit = True
        self.thread.join(10)


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
    with TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        served = Served(Path(folder) / "workspace")
        over_the_page = {
            "the page's drawing as a seat is dragged": partial(served.ask, what="plan/map"),
            "the page's other drawings": partial(served.ask, what="plan/figures"),
            "the whole page before the match": partial(served.ask, what="before"),
        }
        for name, what in (TASKS | over_the_page).items():
            taken = median_ms(what)
            print(f"{name:44} {taken:8.2f} ms  {taken / base:7.0f} x floor")
        served.close()


if __name__ == "__main__":
    main()
