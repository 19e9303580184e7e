"""`setpiece clock`: every camera's clock against true time."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, counted, opened_match, print_json

if TYPE_CHECKING:
    from setpiece.store.workspace import Workspace
    from setpiece.work.clocks.fit import CameraClock

app = typer.Typer(help="Every camera's clock against true time.")


@app.command("card")
def card(
    out: Annotated[Path, typer.Option(help="The page to write.")] = Path("clock-card.html"),
) -> None:
    """Write the clock card, to photograph with every camera.

    It is a page to open on the phone.

    The page works without a network. It shows the phone's own time and says so in its codes, so
    that the fit allows for 2 s: set the phone to network time first. `setpiece serve` shows the
    same card by the laptop's clock, there and on a phone that is paired.

    Example: setpiece clock card --out clock-card.html
    """
    from setpiece.store.copying import write_proved
    from setpiece.work.clocks.card_page import card_page

    write_proved(card_page().encode(), out)
    typer.echo(f"Clock card written to {out}. Photograph it with every camera, three frames each.")


@app.command("fit")
def fit(
    card_within: Annotated[
        float | None,
        typer.Option(
            help="How many seconds the card's own clock may be off; else 0 for a card of this "
            "laptop, 2 for the page without a network."
        ),
    ] = None,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Fit each camera's clock from card frames and pairs.

    Says which captioned frames stand at another minute or score than before.

    Example: setpiece clock fit --card-within 2
    """
    from setpiece.work.clocks.refit import refit

    with opened_match(workspace, match) as (space, of), Terminal().working() as caller:
        _watch(space)
        done = refit(space, of, caller, card_within_s=card_within)
    if not as_json:
        for frame in done.moved:
            typer.echo(f"{frame.handle}: was {frame.before}, is {frame.after}. Check its caption.")
    _print(done.clocks, as_json)


@app.command("find")
def find(
    first: Annotated[str, typer.Argument(help="The first frame to search.")],
    last: Annotated[str, typer.Argument(help="The last one, of the same camera.")],
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Search a camera's frames for the clock card, then run `clock fit`.

    Frames near others that show the card are searched without being told.

    Example: setpiece clock find C-0001 C-0012
    """
    from setpiece.work.clocks.fit import search_range
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of), Terminal().working() as caller:
        day = Matchday(space, of)
        found = search_range(space, of, day.frame(first), day.frame(last), caller)
    typer.echo(f"{found} of these frames show the clock card. Next: setpiece clock fit")
    raise typer.Exit(0 if found else 1)


@app.command("show")
def show(workspace: WorkspaceDir = HERE, match: MatchName = None, as_json: AsJson = False) -> None:
    """Show how far each camera's clock is off, and how sure.

    Example: setpiece clock show --json
    """
    from setpiece.work.clocks.fit import clocks_of

    with opened_match(workspace, match) as (space, of):
        _watch(space)
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
    """Type a pair for a camera without a clock card.

    Then run `clock fit`.

    Example: setpiece clock pair B 2027-03-06T14:03:12 2027-03-06T15:03:12+01:00
    """
    from datetime import datetime

    from setpiece.errors import WrongUse
    from setpiece.match.instants import read_instant
    from setpiece.work.clocks.fit import add_typed_pair

    try:
        shown = datetime.fromisoformat(reading)
    except ValueError as error:
        raise WrongUse(
            "this is no camera time", thing=reading, next_step="Write 2027-03-06T15:03:12."
        ) from error
    with opened_match(workspace, match) as (space, of):
        add_typed_pair(space, of, camera, shown, read_instant(true), Terminal())
    typer.echo(f"Pair kept for camera {camera.upper()}. Next: setpiece clock fit")


@app.command("frame")
def frame(
    frame: Annotated[str, typer.Argument(help="The frame: handle, id or file name.")],
    true: Annotated[
        str,
        typer.Argument(
            help="When it was made: 15:02:31 at the ground, ISO 8601, or e1 of the log."
        ),
    ],
    within: Annotated[float, typer.Option(help="Sure to so many seconds either way.")] = 0.5,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Say when a frame was made: it shows the whistle or a scoreboard. Then run `clock fit`.

    Example: setpiece clock frame B-0012 e1
    """
    from setpiece.match.instants import Interval
    from setpiece.work.clocks.fit import add_known_instant
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        day = Matchday(space, of)
        made = day.frame(frame)
        entry = next((e for e in day.fold.entries if true == f"e{e.id}"), None)
        at = day.fold.when(entry) if entry else Interval.exactly(day.read_time(true))
        sure = Interval.around(at.middle, at.width_s / 2 + within)
        source = f"shows {true}" if entry else "known instant"
        add_known_instant(space, of, made, sure, source, Terminal())
    typer.echo(f"Pair kept for {made.handle}. Next: setpiece clock fit")


@app.command("same")
def same(
    fitted: Annotated[str, typer.Argument(help="A frame of a camera that is fitted.")],
    other: Annotated[str, typer.Argument(help="The other camera's frame of the same moment.")],
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Say that two cameras' frames show the same moment.

    Then run `clock fit`.

    Example: setpiece clock same A-0231 C-0042
    """
    from setpiece.work.clocks.fit import add_same_moment
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        day = Matchday(space, of)
        made = day.frame(other)
        add_same_moment(space, of, day.frame(fitted), made, Terminal())
    typer.echo(f"Pair kept for {made.handle}. Next: setpiece clock fit")


def _watch(space: Workspace) -> None:
    """Says when the laptop's clock, which is the reference, was set today."""
    from datetime import UTC, datetime, timedelta

    from setpiece.cli.laptop import watch_clock
    from setpiece.store.laptop_clock import steps

    watch_clock(space)
    for step in steps(space):
        if step.at > datetime.now(UTC) - timedelta(days=1):
            typer.echo(
                f"The laptop's clock was set by {step.step_s:+.1f} s, noticed at "
                f"{step.at:%H:%M} UTC: photograph the card again with every camera.",
                err=True,
            )


def _print(clocks: tuple[CameraClock, ...], as_json: bool) -> None:
    if as_json:
        print_json(clocks)
    for clock in () if as_json else clocks:
        body = f"{clock.model} {clock.serial}".strip()
        head = f"{clock.camera}  {body}, {counted(clock.frames, 'frame')}: "
        if clock.fit is None:
            typer.echo(
                head + "no clock card seen and no pair typed; its own time is a guess. "
                "Type a pair: setpiece clock pair"
            )
            continue
        typer.echo(
            head + f"{clock.fit.offset_s:+.2f} s, within {clock.fit.uncertainty_s:.2f} s "
            f"({counted(clock.fit.pairs_used, 'pair')}, "
            f"{counted(clock.card_frames, 'clock-card frame')})"
        )
        for remark in clock.fit.remarks:
            typer.echo(f"   {remark}")
    raise typer.Exit(0 if all(c.fit for c in clocks) else 1)
