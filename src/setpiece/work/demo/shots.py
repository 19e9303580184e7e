"""The shot plan, read from `shots.toml`: every passage of the day with its takes."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from functools import lru_cache
from importlib.resources import files
from typing import Any

from setpiece.match.people import Side
from setpiece.work.demo.scenario import at
from setpiece.work.demo.scene import Ball
from setpiece.work.demo.staging import Part, Passage, Take, spread

SEATS: dict[str, tuple[float, float, float]] = {
    "east": (108.2, 50.0, 1.0),
    "east other": (108.2, 17.0, 1.0),
    "west": (-3.2, 50.0, 1.0),
    "west other": (-3.2, 18.0, 1.0),
    "behind east net": (108.4, 33.2, 0.55),
    "behind west net": (-3.4, 34.9, 0.55),
    "touchline": (74.0, -3.2, 1.2),
    "far side": (62.0, 71.4, 1.1),
    "gantry": (50.0, -17.5, 12.5),
}
"""Where the photographer or a camera sits, by the name the plan gives the place."""

_CHEERS = ("arms up", "roar", "clap high", "leap", "wave", "fist", "clap")


@lru_cache(maxsize=1)
def passages() -> tuple[Passage, ...]:
    """Every passage in the order of the day."""
    plan = tomllib.loads(files(__package__).joinpath("shots.toml").read_text(encoding="utf-8"))
    return tuple(_passage(row) for row in plan["passage"])


def _passage(row: dict[str, Any]) -> Passage:
    period, clock = row["start"].split()
    takes = tuple(_take(take) for take in row["take"])
    return Passage(row["id"], at(int(period), clock), takes, row["about"])


def _take(row: dict[str, Any]) -> Take:
    """One take; what the plan says of its people is worked out here."""
    values = dict(row)
    seat = values.pop("seat")
    stand, eleven = values.pop("stand", None), values.pop("eleven", None)
    places = values.pop("places", ())
    people = [_part(part) for part in values.pop("parts", ())]
    if stand is not None:
        people += supporters(Side(stand["side"]), stand["rows"], stand["across"])
    if eleven is not None:
        people += team(Side(eleven))
    ball = Ball(**values.pop("ball")) if "ball" in values else None
    take = Take(
        seat=SEATS[seat] if isinstance(seat, str) else tuple(seat),
        spot=tuple(values.pop("spot")),
        parts=tuple(people),
        ball=ball,
        **values,
    )
    return spread(take, tuple(tuple(place) for place in places)) if places else take


def _part(row: dict[str, Any]) -> Part:
    return Part(**{**row, "poses": tuple(row["poses"])})


def supporters(side: Side, rows: int, across: int) -> list[Part]:
    """A block of a side's supporters on their feet, row behind row."""
    return [
        Part(
            who=f"{side.value} {row} {place}",
            across=-0.47 + 0.94 / (across - 1) * place + 0.04 * (row % 2),
            poses=tuple(_CHEERS[(3 * place + 2 * row + turn) % 7] for turn in (0, 3)),
            yaw_deg=(-22, 12, 28, -6)[(place + row) % 4],
            back_m=0.85 * row,
            side=side,
            lift_m=1.0 + 0.52 * row,
        )
        for row in range(rows)
        for place in range(across)
    ]


def team(side: Side) -> list[Part]:
    """A side's eleven as a team poses: six stand, five crouch before them."""
    letter, keeper = ("r", "1g") if side is Side.HOME else ("w", "1y")
    behind = [keeper, *(f"{number}{letter}" for number in (4, 5, 9, 3, 6))]
    before = [f"{number}{letter}" for number in (11, 10, 7, 8, 2)]
    standing = [replace(part, back_m=1.0) for part in _row(behind, 0.62, "line up")]
    return [*standing, *_row(before, 0.52, "crouch")]


def _row(who: list[str], width: float, pose: str) -> list[Part]:
    last = len(who) - 1
    return [
        Part(name, -width / 2 + width * place / last, (pose,), 4.0 * (place % 3 - 1))
        for place, name in enumerate(who)
    ]
