"""`setpiece desk`, `send`, `outbox`: who receives, and what they have."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened, opened_match, print_json

app = typer.Typer(help="Picture desks: who receives, how, and in which house style.")


@app.command("add")
def add(
    name: Annotated[str, typer.Argument(help="What you call the desk.")],
    protocol: Annotated[str, typer.Option(help="ftp, ftps, ftps-implicit, sftp or folder.")],
    style: Annotated[str, typer.Option(help="Its house style.")],
    host: Annotated[str, typer.Option(help="The server's name.")] = "",
    port: Annotated[int | None, typer.Option(help="If not the usual one.")] = None,
    user: Annotated[str, typer.Option(help="The user to log in as.")] = "",
    folder: Annotated[str, typer.Option(help="The folder at the desk.")] = "",
    path: Annotated[
        Path | None, typer.Option(help="The receiving folder of a folder desk.")
    ] = None,
    fingerprint: Annotated[str, typer.Option(help="Pins the server's key or certificate.")] = "",
    rename: Annotated[bool, typer.Option(help="Send under a temporary name, then rename.")] = True,
    workspace: WorkspaceDir = HERE,
) -> None:
    """Add a desk, or change one. The password goes to the system's keyring, never in here.

    Example: setpiece desk add City --protocol sftp --host in.city.example --user me --style north
    """
    from setpiece.errors import WrongUse
    from setpiece.send.desk import DeskAddress, Protocol
    from setpiece.work.desks import Desk, add_desk

    try:
        kind = Protocol(protocol.lower())
    except ValueError as error:
        raise WrongUse(
            "no such protocol", thing=protocol, next_step=f"One of: {', '.join(Protocol)}."
        ) from error
    address = DeskAddress(
        kind,
        host=host,
        port=port,
        user=user,
        folder=folder,
        path=path.resolve() if path else None,
        temporary_name=rename,
        fingerprint=fingerprint,
    )
    with opened(workspace) as space:
        add_desk(space, Desk(name, address, style), Terminal())
    typer.echo(f"Desk {name}: {address.spelled()}. Next: setpiece desk test {name}")


@app.command("password")
def password(name: Annotated[str, typer.Argument(help="The desk.")]) -> None:
    """Keep a desk's password in the system's keyring.

    Example: setpiece desk password City
    """
    from setpiece.send.passwords import keep_password, variable
    from setpiece.work.job import Question

    word = Terminal().ask(Question(f"Password for desk {name}", secret=True))
    if not keep_password(name, word):
        typer.echo(f"This computer has no safe keyring: set {variable(name)} instead.", err=True)
        raise typer.Exit(3)
    typer.echo("Kept in the system's keyring.")


@app.command("list")
def list_(workspace: WorkspaceDir = HERE, as_json: AsJson = False) -> None:
    """List the desks.

    Example: setpiece desk list
    """
    from setpiece.work.desks import all_desks

    with opened(workspace) as space:
        known = all_desks(space)
    if as_json:
        print_json(known)
        return
    for desk in known:
        typer.echo(f"{desk.name:16} {desk.style:12} {desk.address.spelled()}")


@app.command("test")
def rehearse(
    name: Annotated[str, typer.Argument(help="The desk.")],
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """Walk through a delivery with a small file: connect, log in, write, size, rename, delete.

    Example: setpiece desk test City
    """
    from setpiece.work.desks import rehearse_desk

    with opened(workspace) as space:
        steps = rehearse_desk(space, name, Terminal())
    if as_json:
        print_json(steps)
    else:
        for step in steps:
            typer.echo(f"{step.name:8} {step.outcome:9} {step.sentence}")
    raise typer.Exit(3 if any(s.outcome == "failed" for s in steps) else 0)


def send(
    frames: Annotated[list[str] | None, typer.Argument(help="Frames; none: the whole set.")] = None,
    desk: Annotated[list[str] | None, typer.Option(help="Desks; none: every desk.")] = None,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Send the set: renditions made, queued once, delivered whole, each with its receipt.

    Running it again sends nothing twice; after a stop or a lost link it goes on.

    Example: setpiece send --desk City
    """
    from setpiece.work.deliver import queue_set, send_waiting
    from setpiece.work.desks import all_desks

    with opened_match(workspace, match) as (space, of), Terminal().working() as caller:
        names = desk or [d.name for d in all_desks(space)]
        queued = queue_set(space, of, names, caller, frames=frames)
        sent = send_waiting(space, of, caller)
    if as_json:
        print_json(sent)
    else:
        for left in queued.left_out:
            typer.echo(f"{left.frame} not for {left.desk}: {' '.join(left.why)}", err=True)
        for trouble in sent.troubles:
            typer.echo(trouble, err=True)
        typer.echo(
            f"{queued.queued} queued, {queued.known} known before, "
            f"{len(queued.left_out)} left out; {sent.delivered} delivered, "
            f"{sent.refused} refused, {sent.waiting} still to go. {sent.seconds:.1f} s"
        )
    if sent.refused or sent.waiting:
        raise typer.Exit(3)
    raise typer.Exit(1 if queued.left_out else 0)


def outbox(
    workspace: WorkspaceDir = HERE, match: MatchName = None, as_json: AsJson = False
) -> None:
    """Show the outbox: what is queued, sending, delivered with its receipt, refused and why.

    Example: setpiece outbox
    """
    from setpiece.store.outbox import deliveries

    with opened_match(workspace, match) as (space, of):
        items = deliveries(space, of)
    if as_json:
        print_json(items)
        return
    for item in items:
        typer.echo(f"{item.state:10} {item.desk:12} {item.remote_name:44} {item.words}".rstrip())
    typer.echo(f"{len(items)} deliveries.")
