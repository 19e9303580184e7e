"""Drawings of the plan, by name, for the tests that look at all of them."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import replace
from datetime import date, time
from pathlib import Path
from zoneinfo import ZoneInfo

from setpiece.plan.camera import Camera, Seat
from setpiece.plan.drawings.canvas import Drawing
from setpiece.plan.drawings.exposure import draw_exposure
from setpiece.plan.drawings.lens import draw_lens
from setpiece.plan.drawings.light import draw_light
from setpiece.plan.drawings.penalty import draw_penalty
from setpiece.plan.drawings.seat import draw_comparison, draw_seat
from setpiece.plan.flight import free_kick, header, penalty
from setpiece.plan.ground import Ground
from setpiece.plan.light import local_instant, match_day
from setpiece.plan.optics import Lens, Orientation, Sensor
from setpiece.plan.pitch import End
from setpiece.plan.seat import compare
from setpiece.plan.tables import ground_from

DEMO = Path(__file__).parents[3] / "src/setpiece/work/demo/ground.toml"
GROUND = ground_from(tomllib.loads(DEMO.read_text(encoding="utf-8")))
ZONE = ZoneInfo("Europe/Vienna")
SENSOR = Sensor()
LENSES = (Lens(400, 400), Lens(70, 200), Lens(24, 70, 4), Lens(300, 300, 2.8, 1.4))
CAMERA = Camera(GROUND.seats[0], 200, Orientation.LANDSCAPE, 20, 1 / 1600)


def light_drawing(day: date, kick_off: time, ground: Ground = GROUND) -> Drawing:
    """The light of a match day at the ground."""
    start = local_instant(day, kick_off, ZONE)
    return draw_light(ground, match_day(ground, start, ZONE, extra_time=True), ZONE)


DRAWINGS: dict[str, Callable[[], Drawing]] = {
    "seat": lambda: draw_seat(GROUND, GROUND.seats, SENSOR, LENSES),
    "seat on a bare pitch": lambda: draw_seat(
        Ground(), (Seat("gantry", -50, 52, 14),), SENSOR, LENSES[:1]
    ),
    "comparison": lambda: draw_comparison(compare(GROUND, GROUND.seats, SENSOR, LENSES)),
    "comparison of one": lambda: draw_comparison(
        compare(Ground(), GROUND.seats[:1], SENSOR, LENSES)
    ),
    "penalty": lambda: draw_penalty(GROUND, CAMERA, penalty(28)),
    "penalty held to the end": lambda: draw_penalty(
        GROUND, replace(CAMERA, focal_length_mm=24, exposure_s=0), penalty(28)
    ),
    "penalty at the far end": lambda: draw_penalty(
        GROUND,
        replace(CAMERA, orientation=Orientation.PORTRAIT),
        penalty(28, pitch=GROUND.pitch, end=End.FAR),
    ),
    "free kick": lambda: draw_penalty(GROUND, CAMERA, free_kick(8, 24, 25)),
    "header": lambda: draw_penalty(
        GROUND, replace(CAMERA, focal_length_mm=400), header(12, x_m=2, y_m=6, height_m=2.2)
    ),
    "light": lambda: light_drawing(date(2027, 3, 6), time(15, 30)),
    "light by night": lambda: light_drawing(date(2027, 3, 6), time(20, 0)),
    "light in summer": lambda: light_drawing(date(2027, 7, 6), time(12, 0)),
    "lens": lambda: draw_lens(SENSOR, 400, 2.8),
    "short lens": lambda: draw_lens(Sensor(23.5, 15.6), 24, 8, (2, 5, 10, 20, 40)),
    "exposure": lambda: draw_exposure(LENSES, 1 / 1000, 820),
    "exposure in the dark": lambda: draw_exposure(LENSES, 1 / 2000, 20),
}
