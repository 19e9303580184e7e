"""The drawings: sound SVG that a strict page may hold, and that shows what was computed."""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from datetime import date, time
from pathlib import Path
from xml.etree import ElementTree

import pytest

sys.path.append(str(Path(__file__).parent))
from drawn import CAMERA, DRAWINGS, GROUND, LENSES, SENSOR, light_drawing

from setpiece.plan.camera import Seat
from setpiece.plan.drawings import canvas
from setpiece.plan.drawings.canvas import STYLE
from setpiece.plan.drawings.ground_map import GroundMap, fitted
from setpiece.plan.drawings.penalty import draw_penalty, frame_times
from setpiece.plan.drawings.seat import draw_comparison, draw_seat
from setpiece.plan.flight import penalty
from setpiece.plan.ground import Stand
from setpiece.plan.penalty import held
from setpiece.plan.pitch import Point
from setpiece.plan.seat import compare

HOSTILE = "<img onerror=alert(1)> & \"quotes\" 'n' Ørbeck"
drawn = pytest.mark.parametrize("name", DRAWINGS)


@drawn
def test_a_drawing_is_well_formed_and_told_in_words(name: str) -> None:
    """XML that parses, with a title and a description for those who cannot see it."""
    drawing = DRAWINGS[name]()
    root = ElementTree.fromstring(drawing.svg())
    space = "{http://www.w3.org/2000/svg}"
    assert root.tag == f"{space}svg"
    assert root.find(f"{space}title").text == drawing.title
    assert root.find(f"{space}desc").text
    assert root.get("role") == "img"


@drawn
def test_a_drawing_in_a_page_brings_no_style_of_its_own(name: str) -> None:
    """A page with a strict content policy may hold it: no style element, attribute or script."""
    text = DRAWINGS[name]().svg(alone=False)
    assert "<style" not in text
    assert "style=" not in text
    assert "<script" not in text
    assert 'class="page"' not in text
    assert "<style>" in DRAWINGS[name]().svg()


@drawn
def test_every_class_of_a_drawing_has_its_style(name: str) -> None:
    """No shape is left without a look."""
    used = set(re.findall(r'class="([^"]+)"', DRAWINGS[name]().svg()))
    classes = {word for words in used for word in words.split()} - {"plan", "pattern", "clip"}
    for word in classes:
        assert f".plan .{word}{{" in STYLE or f".plan .{word}," in STYLE, word


@drawn
def test_the_words_of_a_drawing_stay_on_it(name: str) -> None:
    """Every text begins inside the drawing, and every line ends in its height."""
    drawing = DRAWINGS[name]()
    for x, y in re.findall(r'<text[^>]* x="([-\d.]+)" y="([-\d.]+)"', drawing.body):
        assert 0 <= float(x) <= drawing.width
        assert 0 <= float(y) <= drawing.height
    assert "nan" not in drawing.body
    assert "inf" not in drawing.body.replace("info", "")


def test_names_never_become_markup() -> None:
    """Hostile names of seats, stands and grounds are printed as they are typed."""
    from setpiece.plan.ground import Flank

    ground = replace(
        GROUND,
        name=HOSTILE,
        near_end=HOSTILE,
        stands=(Stand(Flank.LEFT, HOSTILE),),
        seats=(Seat(HOSTILE, -10, -5),),
    )
    for drawing in (
        draw_seat(ground, ground.seats, SENSOR, LENSES),
        draw_comparison(compare(ground, ground.seats, SENSOR, LENSES)),
        draw_penalty(ground, replace(CAMERA, seat=ground.seats[0]), penalty(28)),
        light_drawing(date(2027, 3, 6), time(15, 30), ground),
    ):
        root = ElementTree.fromstring(drawing.svg())
        assert not root.findall(".//{http://www.w3.org/2000/svg}img")
        assert HOSTILE in "".join(root.itertext())


def test_the_ground_fits_its_drawing() -> None:
    """The corners of the pitch and every seat lie inside, at one scale both ways."""
    map_, foot = fitted(GROUND, 480, 60, GROUND.seats)
    for point in (*(Point(s.x_m, s.y_m) for s in GROUND.seats), Point(-34, 105), Point(34, 0)):
        x, y = map_.place(point)
        assert 16 <= x <= 464
        assert 60 <= y <= foot
    across = map_.x(34) - map_.x(-34)
    along = map_.y(0) - map_.y(105)
    assert across / 68 == pytest.approx(along / 105)


def test_the_near_goal_lies_at_the_foot() -> None:
    """Up the drawing is into the pitch, right is right."""
    map_ = GroundMap(GROUND, 100, 600, 5)
    assert map_.y(10) < map_.y(0) == 600
    assert map_.x(34) - map_.x(-34) == 340


def test_full_balls_are_those_inside_the_window() -> None:
    """As many full balls on the plan as frame times lie within the window."""
    kick = penalty(28)
    body = draw_penalty(GROUND, CAMERA, kick).body
    inside = [t for t in frame_times(CAMERA, kick) if t <= held(CAMERA, kick).window_s]
    plan = re.split(r'id="frame-\w+"', body)[0]
    assert plan.count('class="ball"') == len(inside)
    assert plan.count('class="ball-out"') == len(frame_times(CAMERA, kick)) - len(inside)


def test_numbers_are_short_and_never_minus_nought() -> None:
    """At most two decimals, none where none are needed."""
    assert canvas.number(1.0) == "1"
    assert canvas.number(1.239) == "1.24"
    assert canvas.number(-0.001) == "0"
    assert canvas.percent(0.617) == "62 %"
    assert canvas.path([], "mark") == ""
