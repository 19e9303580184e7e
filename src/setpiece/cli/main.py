"""`setpiece`: the commands, each group in a file of its own. Help must be there at once."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from setpiece import __version__
from setpiece.cli import (
    archive,
    caption,
    clock,
    copies,
    correct,
    cuttings,
    debrief,
    demo,
    desk,
    find,
    fixture,
    frames,
    goal,
    ledger,
    log,
    log_state,
    outbox,
    page,
    passage,
    plan,
    request,
    sheet,
    style,
    take,
    terminal,
    terms,
    workspace,
)

app = typer.Typer(
    name="setpiece",
    help="The working desk of a football press photographer: from the team sheet to the picture "
    "desk. Before the match, at the touchline, to the desk, and after.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

app.command()(workspace.init)
app.command()(workspace.doctor)
app.add_typer(fixture.app, name="fixture")
app.add_typer(sheet.app, name="sheet")
app.add_typer(log.app, name="log")
app.command()(take.take)
app.command()(take.receive)
app.add_typer(copies.app, name="copies")
app.add_typer(clock.app, name="clock")
app.add_typer(passage.app, name="passage")
app.command()(frames.frames)
app.command()(frames.time)
app.command()(frames.use)
app.command()(frames.hold)
app.command()(frames.spike)
app.command()(caption.caption)
app.command()(caption.check)
app.add_typer(style.app, name="style")
app.add_typer(desk.app, name="desk")
app.command()(terms.terms)
app.command()(terms.crop)
app.command()(outbox.send)
app.add_typer(outbox.app, name="outbox")
app.command("send-goal")(goal.send_goal)
app.add_typer(request.app, name="request")
app.add_typer(correct.app, name="correct")
app.command()(correct.kill)
app.add_typer(archive.app, name="archive")
app.command()(find.find)
app.add_typer(cuttings.app, name="cuttings")
app.add_typer(ledger.app, name="ledger")
app.command()(debrief.debrief)
app.command()(debrief.kick)
app.add_typer(plan.app, name="plan")
app.command()(log_state.minute)
app.command()(page.serve)
app.command()(demo.demo)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"setpiece {__version__}")
        raise typer.Exit


@app.callback()
def main(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    """Read the options that stand before a command."""


def run() -> None:
    """The entry point: exit status 0 done, 1 done with findings, 2 wrong use, 3 could not."""
    sys.exit(terminal.guarded(app))
