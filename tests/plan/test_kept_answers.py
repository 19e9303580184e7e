"""What the plan answers for one invented day is what it answered when it was last looked through.

The figures themselves are held to their sources in `tests/published`; here their keys, units,
digits and order are held, since other programs read them. After a change that is meant,
`python tests/plan/test_kept_answers.py` writes `kept_answers.json` anew; read what git shows.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from setpiece.match.fixture import Fixture
from setpiece.match.instants import read_instant
from setpiece.match.people import PersonId
from setpiece.plan.answers.exposure import exposure_answer
from setpiece.plan.answers.lens import AtWork, lens_answer
from setpiece.plan.answers.light import light_answer
from setpiece.plan.answers.penalty import penalty_answer
from setpiece.plan.answers.seat import seat_answer
from setpiece.plan.answers.sheet import sheet_answer
from setpiece.plan.camera import Camera, Seat
from setpiece.plan.caution import CAUTIONS
from setpiece.plan.day import Contact
from setpiece.plan.exposure import STANDARDS
from setpiece.plan.flight import free_kick, header, penalty
from setpiece.plan.ground import Ground
from setpiece.plan.light import DayLight, match_day
from setpiece.plan.motion import MOVEMENTS
from setpiece.plan.optics import Lens, Orientation, Sensor
from setpiece.plan.pitch import End
from setpiece.plan.sheet import DaySheet, parts, subtitle, title
from setpiece.plan.tables import ground_from
from setpiece.plan.templates import TEMPLATES
from setpiece.plan.wants import STORIES, Angle, Want, shot_of

KEPT = Path(__file__).parent / "kept_answers.json"
DEMO = Path(__file__).parents[2] / "src/setpiece/work/demo/ground.toml"
GROUND = ground_from(tomllib.loads(DEMO.read_text(encoding="utf-8")))
ZONE = ZoneInfo("Europe/Vienna")
KICK_OFF = read_instant("2027-03-06T14:30:00Z")
LENSES = (Lens(400, 400), Lens(70, 200), Lens(24, 70, 4), Lens(300, 300, 2.8, 1.4))
CAMERA = Camera(GROUND.seats[0], 200, Orientation.LANDSCAPE, 20, 1 / 1600)
SHEET = DaySheet(
    Fixture("f", "SK Lethenbruck", "TSV Marnstein", "Women's Lantern Cup", KICK_OFF,
            "Europe/Vienna", stage="semi-final", venue="Stadion an der Leth", city="Lethenbruck"),
    GROUND, GROUND.seats, LENSES, TEMPLATES["final"], travel_min=75,
    contacts=(Contact("Media office", "ground", "+43 1 000"),),
    light=match_day(GROUND, KICK_OFF, ZONE, extra_time=True), rain=True, bodies=3,
)  # fmt: skip
WANTED = Want("", PersonId("home-9"), Angle.DEBUT, "first match", upright=True, count=2, who="City")


FAR = penalty(28, pitch=GROUND.pitch, end=End.FAR)
ANSWERS: dict[str, Callable[[], Any]] = {
    "seats": lambda: seat_answer(GROUND, GROUND.seats, Sensor(), LENSES),
    "a bare pitch": lambda: seat_answer(
        Ground(), (Seat("gantry", -50, 52, 14),), Sensor(), LENSES[:1]
    ),
    "penalty": lambda: penalty_answer(GROUND, CAMERA, penalty(28)),
    "penalty far": lambda: penalty_answer(GROUND, replace(CAMERA, exposure_s=0), FAR),
    "free kick": lambda: penalty_answer(GROUND, CAMERA, free_kick(8, 24, 25)),
    "header": lambda: penalty_answer(GROUND, CAMERA, header(12, x_m=2, y_m=6, height_m=2.2)),
    "lens": lambda: lens_answer(Sensor(), LENSES[0], 400, (10, 40, 90), AtWork()),
    "converter": lambda: lens_answer(Sensor(23.5, 15.6), LENSES[3], 420, (30,), AtWork(1 / 2000)),
    "light": lambda: light_answer(GROUND, SHEET.light, ZONE, GROUND.seats),
    "light in December": lambda: light_answer(GROUND, dark(), ZONE),
    "exposure": lambda: exposure_answer(820, LENSES, 1 / 1000, 50, 1600),
    "sheet": lambda: sheet_answer(SHEET),
    "page": lambda: [title(SHEET), subtitle(SHEET), [asdict(part) for part in parts(SHEET)]],
    "templates": lambda: {name: [asdict(s) for s in shots] for name, shots in TEMPLATES.items()},
    "stories": lambda: {name: asdict(want) for name, want in STORIES.items()},
    "a want": lambda: asdict(shot_of(WANTED, 3, "Nine")),
    "a story": lambda: asdict(shot_of(STORIES["supporters"], 4, "")),
    "movements": lambda: [asdict(m) for m in MOVEMENTS],
    "standards": lambda: [asdict(s) for s in STANDARDS],
    "cautions": lambda: [asdict(c) for c in CAUTIONS],
}


def answered(name: str) -> Any:
    """An answer as JSON has it."""
    return json.loads(json.dumps(ANSWERS[name](), default=_plain))


def dark() -> DayLight:
    """The light of a December evening."""
    return match_day(GROUND, read_instant("2027-12-06T17:30:00Z"), ZONE)


def _plain(value: object) -> object:
    return sorted(value) if isinstance(value, frozenset) else str(value)


def leaves(value: Any, place: str = "") -> Iterator[tuple[str, Any]]:
    """Every single value with the way to it, in order."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, f"{place}.{key}")
    elif isinstance(value, list):
        yield f"{place}#", len(value)
        for at, inner in enumerate(value):
            yield from leaves(inner, f"{place}[{at}]")
    else:
        yield place, value


WAS: dict[str, Any] = json.loads(KEPT.read_text("utf-8")) if KEPT.exists() else {}


@pytest.mark.parametrize("name", ANSWERS)
def test_an_answer_is_what_it_was(name: str) -> None:
    """The same keys in the same order, the same words, every figure to six digits."""
    was, now = list(leaves(WAS[name])), list(leaves(answered(name)))
    assert [place for place, _ in now] == [place for place, _ in was]
    for (place, before), (_, after) in zip(was, now, strict=True):
        if isinstance(before, float):
            assert after == pytest.approx(before, rel=1e-6, abs=1e-9), place
        else:
            assert (after, type(after)) == (before, type(before)), place


def test_every_answer_is_kept() -> None:
    """None is missing."""
    assert list(ANSWERS) == list(WAS)


if __name__ == "__main__":
    kept = {name: answered(name) for name in ANSWERS}
    KEPT.write_text(json.dumps(kept, indent=1, ensure_ascii=False) + "\n", "utf-8")
