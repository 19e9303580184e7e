"""A ground from plain tables."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from setpiece.errors import WrongUse
from setpiece.plan.ground import Flank, Ground
from setpiece.plan.pitch import End
from setpiece.plan.tables import ground_from

DEMO = Path(__file__).parents[2] / "src/setpiece/work/demo/ground.toml"


def test_an_empty_file_is_a_plain_pitch() -> None:
    """Everything has its default."""
    assert ground_from({}) == Ground()


def test_the_demo_ground_reads_whole() -> None:
    """Every table of the file arrives, with its words and numbers."""
    ground = ground_from(tomllib.loads(DEMO.read_text(encoding="utf-8")))
    assert ground.pitch.length_m == 105
    assert ground.home_end is End.NEAR
    assert [stand.flank for stand in ground.stands] == [
        Flank.RIGHT,
        Flank.LEFT,
        Flank.NEAR,
        Flank.FAR,
    ]
    assert len(ground.boards) == 3
    assert len(ground.dugouts) == 2
    assert all(ground.in_a_zone(seat) for seat in ground.seats)
    assert isinstance(ground.bearing_deg, float)


@pytest.mark.parametrize(
    ("table", "says"),
    [
        ({"bearing": 3}, "no such key: bearing. Did you mean bearing_deg"),
        ({"zzz": 3}, "no such key: zzz. Known: name, pitch"),
        ({"pitch": {"length": 100}}, "pitch: no such key"),
        ({"pitch": 100}, "pitch: this must be a table"),
        ({"stands": {"flank": "left"}}, r"stands: write it as \[\[stands\]\]"),
        ({"stands": [{"height_m": 9}]}, "stands 1: flank is missing"),
        ({"stands": [{"flank": "north"}]}, "flank is one of left, right, near, far"),
        ({"stands": [{"flank": 3}]}, "flank is one of"),
        ({"bearing_deg": "north"}, "bearing_deg is a number"),
        ({"bearing_deg": True}, "bearing_deg is a number"),
        ({"stands": [{"flank": "left", "from_m": float("nan")}]}, "from_m is a number"),
        ({"name": 3}, "name is a text"),
        ({"seats": [{"name": "A", "x_m": 1, "y_m": 900}]}, "must lie between"),
    ],
)
def test_a_wrong_table_is_named(table: dict, says: str) -> None:
    """The message names the table, the key and what would be right."""
    with pytest.raises(WrongUse, match=says):
        ground_from(table)
