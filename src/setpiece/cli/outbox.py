"""`setpiece send` and `setpiece outbox`: what goes out, what waits, what may be taken back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, counted, opened_match, print_json

if TYPE_CHECKING:
    from setpiece.work.desk.arrivals import OutboxRow
    from setpiece.work.desk.deliver import SendReport
    from setpiece.work.desk.queueing import QueueReport

app = typer.Typer(
    help="The outbox: queued, sending, delivered, refused and why.",
    invoke_without_command=True,
)

Number = Annotated[int, typer.Argument(help="The delivery's number, as `setpiece outbox` shows.")]
Why = Annotated[str, typer.Option("--reason", help="Why; it stays with the delivery.")]
Stay = Annotated[
    bool, typer.Option("--stay", help="Wait out lost links and spacings until all has arrived.")
]


def send(
    frames: Annotated[list[str] | None, typer.Argument(help="Frames; none: the whole set.")] = None,
    desk: Annotated[list[str] | None, typer.Option(help="Desks; none: every desk.")] = None,
    stay: Stay = False,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Send the set: once, whole, each with its receipt.

    Running it again sends nothing twice; after a stop or a lost link it goes on.

    Example: setpiece send --desk City
    """
    from setpiece.work.desk.deliver import queue_set, send_waiting
    from setpiece.work.desk.desks import all_desks

    with opened_match(workspace, match) as (space, of), Terminal().working() as caller:
        names = desk or [d.name for d in all_desks(space)]
        queued = queue_set(space, of, names, caller, frames=frames)
        sent = send_waiting(space, of, caller, until_done=stay)
    if not (queued.queued or queued.known or queued.left_out or as_json):
        typer.echo("No frame is in the set yet: setpiece use FRAME")
    show_sent(queued, sent, as_json=as_json)


def show_sent(queued: QueueReport, sent: SendReport, *, as_json: bool) -> None:
    """Prints what was queued and sent, and ends with the status that tells it."""
    if as_json:
        print_json(sent)
    else:
        for left in queued.left_out:
            waits = f" (waits: {left.waits})" if left.waits else ""
            typer.echo(f"{left.frame} not for {left.desk}{waits}: {'. '.join(left.why)}", err=True)
        for trouble in sent.troubles:
            typer.echo(trouble, err=True)
        typer.echo(
            f"{queued.queued} queued, {queued.known} known before, "
            f"{len(queued.left_out)} left out; {sent.delivered} delivered, "
            f"{sent.refused} refused, {sent.waiting} still to go, {sent.held} held. "
            f"{sent.seconds:.1f} s"
        )
    end_sent(queued, sent)


def end_sent(queued: QueueReport, sent: SendReport) -> None:
    """Ends with 3 where something did not arrive, 1 where something was left out."""
    if sent.refused or sent.waiting:
        raise typer.Exit(3)
    raise typer.Exit(1 if queued.left_out else 0)


@app.callback()
def show(
    context: typer.Context,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """The outbox: what is queued and when it should arrive, what arrived, what is held and why.

    Example: setpiece outbox
    """
    from setpiece.work.desk.arrivals import outbox_rows
    from setpiece.work.matchday import Matchday

    if context.invoked_subcommand is not None:
        return
    with opened_match(workspace, match) as (space, of):
        rows = outbox_rows(Matchday(space, of), Terminal().now())
    if as_json:
        print_json(rows)
        return
    for row in rows:
        typer.echo(_line(row))
    typer.echo(f"{counted(len(rows), 'delivery', 'deliveries')}.")


def _line(row: OutboxRow) -> str:
    item = row.delivery
    parts = [f"{item.id:4} {item.state:10} {item.desk:12} {item.remote_name:44}"]
    if item.reason:
        parts.append(f"waits: {item.reason}.")
    if row.expected is not None:
        parts.append(f"expected {row.expected.at:%H:%M:%S}Z")
        if row.expected.late_for:
            parts.append(f"after the edition of {row.expected.late_for}")
    return " ".join(p for p in (*parts, item.words, item.note) if p).rstrip()


@app.command("withdraw")
def withdraw_(number: Number, workspace: WorkspaceDir = HERE, match: MatchName = None) -> None:
    """Take a delivery back before its first byte.

    Afterwards `setpiece kill` is the way.

    Example: setpiece outbox withdraw 12
    """
    from setpiece.work.desk.outbox import withdraw

    with opened_match(workspace, match) as (space, of):
        item = withdraw(space, of, number)
    typer.echo(f"{item.remote_name} does not go to {item.desk}.")


@app.command("let-go")
def let_go_(
    number: Number, reason: Why = "", workspace: WorkspaceDir = HERE, match: MatchName = None
) -> None:
    """Send what a quota holds, on purpose.

    Example: setpiece outbox let-go 12 --reason "the desk asked for it"
    """
    from setpiece.work.desk.outbox import let_go

    with opened_match(workspace, match) as (space, of):
        item = let_go(space, of, number, reason)
    typer.echo(f"{item.remote_name} goes to {item.desk} with the next `setpiece send`.")


@app.command("again")
def again(
    number: Number, reason: Why = "", workspace: WorkspaceDir = HERE, match: MatchName = None
) -> None:
    """Queue a delivery again, on purpose.

    One that was refused, withdrawn, or lost by the desk.

    Example: setpiece outbox again 12 --reason "the desk has lost it"
    """
    from setpiece.work.desk.outbox import send_again

    with opened_match(workspace, match) as (space, of):
        item = send_again(space, of, number, reason, Terminal())
    typer.echo(f"{item.remote_name} goes to {item.desk} with the next `setpiece send`.")


@app.command("enter")
def enter_(
    frame: Annotated[str, typer.Argument(help="The frame: handle, id or file name.")],
    desk: Annotated[str, typer.Argument(help="The desk that has it.")],
    name: Annotated[str, typer.Argument(help="Its file name there.")],
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Enter a picture that went straight from the camera.

    Corrections reach it then.

    Example: setpiece outbox enter A-0231 City SPA_0231.JPG
    """
    from setpiece.work.desk.outbox import enter

    with opened_match(workspace, match) as (space, of):
        item = enter(space, of, frame, desk, name, Terminal())
    typer.echo(f"{item.desk} has {item.remote_name}.")
