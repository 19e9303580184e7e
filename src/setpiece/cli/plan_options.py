"""What the commands of the plan share: their options, and what those mean."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

if TYPE_CHECKING:
    from setpiece.plan.camera import Seat
    from setpiece.plan.drawings.canvas import Drawing
    from setpiece.plan.ground import Ground
    from setpiece.plan.optics import Lens
    from setpiece.store.matches import Match
    from setpiece.store.workspace import Workspace
    from setpiece.work.matchday import Matchday

GroundFile = Annotated[
    Path | None,
    typer.Option(
        "--ground",
        help="The ground as a TOML or JSON file; else the match's own plan/ground.toml.",
    ),
]
Seats = Annotated[
    list[str] | None,
    typer.Option("--seat", help="X,Y,H in metres, or a seat's name in the ground file."),
]
Lenses = Annotated[
    list[str] | None, typer.Option("--lens", help="400/2.8, 70-200/2.8 or 300/2.8x1.4.")
]
SensorSize = Annotated[str, typer.Option("--sensor", help="Picture area in mm, or 1.5x.")]
Pixels = Annotated[str, typer.Option("--pixels", help="Picture in pixels, held in landscape.")]
Shutter = Annotated[str, typer.Option("--shutter", help="Shutter speed.")]
Svg = Annotated[Path | None, typer.Option("--svg", help="Write the drawing to this file.")]
Zone = Annotated[
    str, typer.Option("--zone", help="The ground's time zone; else the ground file's.")
]
Answer = TypeVar("Answer")


class Place:
    """Where the plan is for: the ground, `own` where it is the match's, and the match."""

    def __init__(self, ground: Ground, day: Matchday | None = None, *, own: bool = False) -> None:
        self.ground = ground
        self.day = day
        self.own = own

    def seats(self, typed: list[str] | None) -> tuple[Seat, ...]:
        """The seats typed, by place or by name; else those of the match or of the file."""
        from setpiece.errors import WrongUse
        from setpiece.plan.typed import read_seat

        known = self._own_seats()
        named = {seat.name.casefold(): seat for seat in known}
        seats = tuple(named.get(text.strip().casefold()) or read_seat(text) for text in typed or ())
        if not seats and not known:
            raise WrongUse("no seat given", next_step="Give one as --seat=-14,-5,1.15.")
        return seats or known

    def _own_seats(self) -> tuple[Seat, ...]:
        from setpiece.work.before.plan import seats_of
        from setpiece.work.before.wants import choices_of

        if self.day is None or (not self.own and self.ground.seats):
            return self.ground.seats
        return seats_of(self.ground, choices_of(self.day.space, self.day.match))

    def lenses(self, typed: list[str] | None) -> tuple[Lens, ...]:
        """The lenses typed, else those chosen for the match, else the usual ones."""
        from setpiece.plan.choices import Choices
        from setpiece.plan.typed import read_lens
        from setpiece.work.before.wants import choices_of

        if typed:
            return tuple(read_lens(text) for text in typed)
        if self.day is None:
            return Choices().glass
        return choices_of(self.day.space, self.day.match).glass


def place_of(path: Path | None, folder: Path, match: str | None) -> Place:
    """The ground in the file, else the match's own; without either a bare pitch of 105 by 68 m.

    A folder that is no workspace is none; a match that was named must be there.
    """
    from setpiece.plan.ground import Ground
    from setpiece.store.workspace import DATABASE, Workspace
    from setpiece.work.before.plan import ground_of, read_ground
    from setpiece.work.matchday import Matchday

    of = None
    if match is not None or (folder / DATABASE).is_file():
        space = Workspace.open(folder)
        of = _match(space, match, needed=path is None)
    day = Matchday(space, of) if of is not None else None
    if path is not None:
        return Place(read_ground(path), day)
    return Place(ground_of(day.space, day.match) if day else Ground(), day, own=True)


def _match(space: Workspace, name: str | None, *, needed: bool) -> Match | None:
    """The match meant: of several the one that has a ground of its own, of several such none."""
    from setpiece.store.matches import find_match, matches
    from setpiece.work.before.plan import has_ground

    known = [m for m in matches(space) if m.fixture is not None]
    if name is None and len(known) != 1:
        planned = [m for m in known if has_ground(space, m)]
        if len(planned) < 2 or not needed:
            return planned[0] if len(planned) == 1 else None
    return find_match(space, name)


def print_answer(answer: Answer, table: Callable[[Answer], None], as_json: bool) -> None:
    """The answer as JSON, or as plain tables."""
    if as_json:
        typer.echo(json.dumps(answer, ensure_ascii=False, indent=2))
    else:
        table(answer)


def write(data: bytes, path: Path) -> None:
    """Writes a file, and says where beside the answer."""
    from setpiece.store.copying import write_proved

    write_proved(data, path)
    typer.echo(f"Written: {path}", err=True)


def write_svg(drawing: Drawing, path: Path) -> None:
    """Writes a drawing that stands alone."""
    write(drawing.svg().encode(), path)
