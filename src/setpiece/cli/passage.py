"""`setpiece passage`: passages put right by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened_match

if TYPE_CHECKING:
    from collections.abc import Callable

    from setpiece.frames.passages import Pin
    from setpiece.work.matchday import Matchday

app = typer.Typer(help="Passages put right by hand.")

Frame = Annotated[str, typer.Argument(help="A frame: handle, id or file name.")]
Frames = Annotated[list[str], typer.Argument(help="Frames: handle, id or file name.")]


@app.command("split")
def split(before: Frame, workspace: WorkspaceDir = HERE, match: MatchName = None) -> None:
    """Begin a new passage at a frame.

    Example: setpiece passage split A-0231
    """
    from setpiece.frames.passages import Split

    _say(lambda day: Split(day.frame(before).id), workspace, match)


@app.command("join")
def join(frames: Frames, workspace: WorkspaceDir = HERE, match: MatchName = None) -> None:
    """Make the passages that hold these frames one.

    Example: setpiece passage join A-0231 B-0007
    """
    from setpiece.frames.passages import Joined

    _say(lambda day: Joined(tuple(day.frame(f).id for f in frames)), workspace, match)


@app.command("pin")
def pin(frames: Frames, workspace: WorkspaceDir = HERE, match: MatchName = None) -> None:
    """Make exactly these frames a passage, whatever is taken in later.

    Example: setpiece passage pin A-0231 A-0232 B-0007
    """
    from setpiece.frames.passages import Pinned, passage_id

    def made(day: Matchday) -> Pin:
        ids = tuple(day.frame(f).id for f in frames)
        return Pinned(passage_id(ids[0]), ids)

    _say(made, workspace, match)


@app.command("undo")
def undo(workspace: WorkspaceDir = HERE, match: MatchName = None) -> None:
    """Take back the newest thing said of passages by hand.

    Example: setpiece passage undo
    """
    from setpiece.store.passages import take_back_pin

    with opened_match(workspace, match) as (space, of):
        gone = take_back_pin(space, of)
    typer.echo(f"Taken back: {type(gone).__name__.lower()}.")


def _say(made: Callable[[Matchday], Pin], workspace: WorkspaceDir, match: MatchName) -> None:
    from setpiece.store.passages import add_pin
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        add_pin(space, of, made(Matchday(space, of)), Terminal().now())
        count = len(Matchday(space, of).passages)
    typer.echo(f"Passages now: {count}.")
