"""docs/tour.md, typed line for line."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import frame_maker as made
import pytest
from typed_commands import run

from setpiece.pictures.iptc import read_fields

ROOT = Path(__file__).resolve().parents[2]
TOUR = (ROOT / "docs" / "tour.md").read_text("utf-8")
SHEETS = re.findall(r"`(\w+\.txt)`:\n\n```\n(.*?)```", TOUR, re.DOTALL)
TYPED = re.findall(r"^    (.+)$", TOUR, re.MULTILINE)

AN_HOUR_S = 3600
FRAMES_S = {19: 2396, 26: 2856, 27: 2885, 30: 2906}
"""The frames of the tour, in seconds after 15:00 at the ground; the camera is an hour fast."""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A folder with a card like the demo's second one."""
    for number, after_s in FRAMES_S.items():
        data = made.frame(number, after_s=after_s + AN_HOUR_S, size=(600, 400))
        made.put(tmp_path / "setpiece-demo/cards/B", f"SPA_{number:04}.JPG", data)
    return tmp_path


def test_the_tour_ends_with_a_delivered_set(home: Path) -> None:
    """Every line of the tour works as it stands, and the desk has each picture with its caption."""
    folder = home
    for line in TYPED:
        words = shlex.split(line.replace("$PWD", folder.as_posix()))
        if words[0] == "cd":
            folder = folder / words[1]
            for name, text in SHEETS:
                (folder / name).write_text(text, "utf-8")
        elif words[0] == "mkdir":
            (folder / words[1]).mkdir()
        elif words[1:] == ["clock", "fit"]:  # these frames show no clock card
            pair = "clock pair A 2027-03-06T16:03:12 2027-03-06T15:03:12+01:00"
            assert run(folder, *pair.split()).status == 0
            assert run(folder, *words[1:]).status == 0
        else:
            ran = run(folder, *words[1:])
            asked = "has no players" in ran.err  # the other side's sheet is still to come
            assert ran.status == 0 or asked, (line, ran)
    captions = {p.name[-8:-4]: read_fields(p.read_bytes()) for p in (folder / "desk").iterdir()}
    assert sorted(captions) == ["0026", "0027", "0030"]
    assert captions["0026"].description.startswith(
        "Mira Kolbrand of SK Lethenbruck scores with a header to make it 1–0 during"
    )
    assert captions["0027"].creator == ("Ida Marlow",)
