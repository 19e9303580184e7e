"""`setpiece request`: a desk rings for a picture."""

from __future__ import annotations

from typing import Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.outbox import show_sent
from setpiece.cli.terminal import Terminal, counted, opened_match, print_json

app = typer.Typer(help="Requests: what a desk rings for, what fits it, and its answer.")

Number = Annotated[int, typer.Argument(help="The request's number.")]


@app.command("add")
def add(
    desk: Annotated[str, typer.Argument(help="The desk that rings.")],
    who: Annotated[str, typer.Option(help="Who: 9r, or any part of a name.")] = "",
    what: Annotated[str, typer.Option(help="What: words of an act, as save or celebrates.")] = "",
    shape: Annotated[str, typer.Option(help="any, upright or landscape.")] = "any",
    by: Annotated[str, typer.Option(help="By when: 17:30:00 at the ground, or ISO.")] = "",
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Note a request and show the frames that fit.

    Example: setpiece request add City --who 9r --shape upright --by 17:30:00
    """
    from setpiece.errors import WrongUse
    from setpiece.work.desk.request import Shape, ask_for, fitting
    from setpiece.work.matchday import Matchday

    try:
        wanted_shape = Shape(shape)
    except ValueError as error:
        raise WrongUse(
            "no such shape", thing=shape, next_step="One of: any, upright, landscape."
        ) from error
    with opened_match(workspace, match) as (space, of):
        day = Matchday(space, of)
        made = ask_for(
            space,
            of,
            desk,
            Terminal(),
            who=who,
            what=what,
            shape=wanted_shape,
            by=day.read_time(by) if by else None,
        )
        fits = fitting(day, made)
    if as_json:
        print_json(fits)
        return
    typer.echo(f"r{made.id} {made.desk}: {made.words}")
    for fit in fits:
        typer.echo(f"  {fit.handle:10} {fit.shape:10} {fit.why}. {fit.headline}".rstrip())
    if not fits:
        typer.echo("  Nothing fits yet.")


@app.command("list")
def list_(workspace: WorkspaceDir = HERE, match: MatchName = None, as_json: AsJson = False) -> None:
    """List the requests, open ones first.

    Example: setpiece request list
    """
    from setpiece.work.desk.request import requests
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        found = requests(Matchday(space, of))
    if as_json:
        print_json(found)
        return
    for one in found:
        by = f" by {one.wanted.by:%H:%M}Z" if one.wanted.by else ""
        typer.echo(f"r{one.id:<4} {one.stage:9} {one.desk:12} {one.words}{by} {one.ended}".rstrip())
    typer.echo(f"{counted(len(found), 'request')}.")


@app.command("answer")
def answer_(
    number: Number,
    frames: Annotated[list[str], typer.Argument(help="The frames it is answered with.")],
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Answer a request: its frames jump the queue.

    The receipt closes it.

    Example: setpiece request answer 3 A-0231
    """
    from setpiece.work.desk.deliver import send_waiting
    from setpiece.work.desk.request import answer

    with opened_match(workspace, match) as (space, of), Terminal().working() as caller:
        queued = answer(space, of, number, frames, caller)
        sent = send_waiting(space, of, caller)
    show_sent(queued, sent, as_json=as_json)


@app.command("decline")
def decline_(
    number: Number,
    reason: Annotated[str, typer.Option(help="Why.")] = "",
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Close a request without a picture.

    Example: setpiece request decline 3 --reason "she did not play"
    """
    from setpiece.work.desk.request import decline

    with opened_match(workspace, match) as (space, of):
        decline(space, of, number, reason)
    typer.echo(f"r{number} declined.")
