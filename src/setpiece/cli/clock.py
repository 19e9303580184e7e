"""`setpiece clock`: every camera's clock against true time."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened_match, print_json

if TYPE_CHECKING:
    from setpiece.work.clocks import CameraClock

app = typer.Typer(help="Every camera's clock against true time.")


@app.command("card")
def card(
    out: Annotated[Path, typer.Option(help="The page to write.")] = Path("clock-card.html"),
) -> None:
    """Write the clock card: a page to open on the phone and photograph with every camera.

    The page works without a network. It shows the phone's own time, so set the phone to
    network time first.

    Example: setpiece clock card --out clock-card.html
    """
    from setpiece.store.copying import write_proved
    from setpiece.work.card_page import card_page

    write_proved(card_page().encode(), out)
    typer.echo(f"Clock card written to {out}. Photograph it with every camera, three frames each.")


@app.command("fit")
def fit(workspace: WorkspaceDir = HERE, match: MatchName = None, as_json: AsJson = False) -> None:
    """Fit each camera's clock from its clock-card frames, else from typed pairs.

    Example: setpiece clock fit
    """
    from setpiece.work.clocks import fit_clocks

    with opened_match(workspace, match) as (space, of), Terminal().working() as caller:
        clocks = fit_clocks(space, of, caller)
    _print(clocks, as_json)


@app.command("show")
def show(workspace: WorkspaceDir = HERE, match: MatchName = None, as_json: AsJson = False) -> None:
    """Show how each camera's clock stands to true time, and how sure that is.

    Example: setpiece clock show --json
    """
    from setpiece.work.clocks import clocks_of

    with opened_match(workspace, match) as (space, of):
        clocks = clocks_of(space, of)
    _print(clocks, as_json)


@app.command("pair")
def pair(
    camera: Annotated[str, typer.Argument(help="The camera's letter.")],
    reading: Annotated[str, typer.Argument(help="What its display shows: 2027-03-06T15:03:12.")],
    true: Annotated[str, typer.Argument(help="True time then, with zone: ...15:02:31+01:00.")],
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Type a pair for a camera that photographed no clock card, then run `clock fit`.

    Example: setpiece clock pair B 2027-03-06T14:03:12 2027-03-06T15:03:12+01:00
    """
    from datetime import datetime

    from setpiece.errors import WrongUse
    from setpiece.match.instants import read_instant
    from setpiece.work.clocks import add_typed_pair

    try:
        shown = datetime.fromisoformat(reading)
    except ValueError as error:
        raise WrongUse(
            "this is no camera time", thing=reading, next_step="Write 2027-03-06T15:03:12."
        ) from error
    with opened_match(workspace, match) as (space, of):
        add_typed_pair(space, of, camera, shown, read_instant(true), Terminal())
    typer.echo(f"Pair kept for camera {camera.upper()}. Next: setpiece clock fit")


def _print(clocks: tuple[CameraClock, ...], as_json: bool) -> None:
    if as_json:
        print_json(clocks)
    for clock in () if as_json else clocks:
        head = f"{clock.camera}  {clock.model} {clock.serial}, {clock.frames} frames: "
        if clock.fit is None:
            typer.echo(head + "no clock card seen and no pair typed; its own time is a guess")
            continue
        typer.echo(
            head + f"{clock.fit.offset_s:+.2f} s, within {clock.fit.uncertainty_s:.2f} s "
            f"({clock.fit.pairs_used} pairs, {clock.card_frames} clock-card frames)"
        )
        for remark in clock.fit.remarks:
            typer.echo(f"   {remark}")
    raise typer.Exit(0 if all(c.fit for c in clocks) else 1)
