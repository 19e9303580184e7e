"""`setpiece correct` and `setpiece kill`: what desks have wrong, put right or taken back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.outbox import show_sent
from setpiece.cli.terminal import Terminal, counted, opened_match, print_json

if TYPE_CHECKING:
    from setpiece.work.desk.correct import Wrong

app = typer.Typer(help="Corrections: what a changed fact has made wrong.")


@app.command("list")
def list_(workspace: WorkspaceDir = HERE, match: MatchName = None, as_json: AsJson = False) -> None:
    """List what is wrong now, here and at each desk, with old and new text.

    Example: setpiece correct list
    """
    from setpiece.work.desk.correct import wrong_now
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        found = wrong_now(Matchday(space, of))
    if as_json:
        print_json(found)
    else:
        for item in (*found.captions, *found.at_desks):
            _show(item)
        typer.echo(
            f"{counted(len(found.captions), 'caption is', 'captions are')} wrong, "
            f"{counted(len(found.at_desks), 'picture')} at desks."
        )
    raise typer.Exit(1 if found.captions or found.at_desks else 0)


def _show(item: Wrong) -> None:
    place = f"at {item.desk}: {item.file}" if item.desk else "caption"
    typer.echo(f"{item.handle} {place}{' (on its way)' if item.on_the_way else ''}")
    if item.question:
        typer.echo(f"  {item.question}")
    for field in item.fields:
        typer.echo(f"  {field.field} - {field.old}")
        typer.echo(f"  {' ' * len(field.field)} + {field.new}")


@app.command("send")
def send(
    frames: Annotated[
        list[str] | None, typer.Argument(help="Frames; none: all that is wrong.")
    ] = None,
    desk: Annotated[list[str] | None, typer.Option(help="Desks; none: all that have it.")] = None,
    wrong: Annotated[str, typer.Option(help="What was wrong, in your own words.")] = "",
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Send corrections to every desk that has the error.

    Captions are written anew first.

    Example: setpiece correct send A-0231
    """
    from setpiece.work.desk.correct import send_corrections
    from setpiece.work.desk.deliver import send_waiting
    from setpiece.work.desk.queueing import QueueReport

    with opened_match(workspace, match) as (space, of), Terminal().working() as caller:
        made = send_corrections(
            space, of, caller, frames=frames or (), desks=desk or (), wrong=wrong
        )
        sent = send_waiting(space, of, caller)
    if not as_json:
        for name in made.told_shortly:
            typer.echo(
                f"{name}: what was wrong does not fit its Instructions, which only say that the "
                "text was wrong."
            )
    show_sent(QueueReport(made.queued, 0, made.left_out), sent, as_json=as_json)


def kill(
    frame: Annotated[str, typer.Argument(help="The frame: handle, id or file name.")],
    reason: Annotated[str, typer.Option(help="Why it must not be used.")] = "",
    replacement: Annotated[str, typer.Option(help="The frame that follows in its place.")] = "",
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Kill a picture: every desk that has it is told.

    The notice goes before anything else.

    Example: setpiece kill A-0231 --reason "the player named asked for it"
    """
    from setpiece.work.desk.deliver import send_waiting
    from setpiece.work.desk.kill import kill as kill_it
    from setpiece.work.desk.queueing import QueueReport

    with opened_match(workspace, match) as (space, of), Terminal().working() as caller:
        done = kill_it(space, of, frame, reason, caller, replacement=replacement)
        sent = send_waiting(space, of, caller)
    if not as_json:
        told = ", ".join(done.notices) or "no desk has it"
        typer.echo(f"Notices: {told}. {done.withdrawn} deliveries withdrawn.")
        if done.reaching:
            typer.echo(f"It may be reaching {', '.join(done.reaching)} just now: told next.")
    show_sent(QueueReport(len(done.notices)), sent, as_json=as_json)
