"""`setpiece debrief` and `setpiece kick`: one page about a match, for the photographer alone."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import opened_match, print_json

if TYPE_CHECKING:
    from setpiece.plan.debrief.debrief import Debrief


def debrief(
    workspace: WorkspaceDir = HERE, match: MatchName = None, as_json: AsJson = False
) -> None:
    """Write the debrief of a match, as a page and a PDF.

    They lie in the match's folder `debrief`.

    Frames a minute with the log, what was missed, penalties and free kicks, sharp frames by lens
    and shutter, the time to the desks, the set, what went wrong, what was earned; and three
    findings (docs/debrief.md says how they are made).

    Example: setpiece debrief --match lethenbruck
    """
    from setpiece.work.debrief.page import write_debrief

    with opened_match(workspace, match) as (space, of):
        written = write_debrief(space, of)
    if as_json:
        print_json(written.debrief.facts)
        return
    _say(written.debrief)
    typer.echo(f"Page: {written.html}\nPDF:  {written.pdf}")


def _say(of: Debrief) -> None:
    from setpiece.plan.debrief.debrief import standfirst

    typer.echo(standfirst(of))
    for number, found in enumerate(of.findings, 1):
        typer.echo(f"{number}. {found.title}: {found.figure}. {found.text}")
    if not of.findings:
        typer.echo("Nothing stands out.")


def kick(
    entry: Annotated[str, typer.Argument(help="The penalty or free kick in the log: e19.")],
    frames: Annotated[
        list[str] | None, typer.Argument(help="Frames that hold ball and kicker.")
    ] = None,
    holds_not: Annotated[
        list[str] | None, typer.Option("--not", help="A frame that does not hold both.")
    ] = None,
    end: Annotated[str, typer.Option(help="The goal it was struck at: near or far.")] = "",
    start: Annotated[
        str, typer.Option("--from", help="Where the ball lay, from that goal: X,Y in metres.")
    ] = "",
    seat: Annotated[str, typer.Option(help="The seat's name in the match's ground file.")] = "",
    speed: Annotated[float, typer.Option(help="Speed of the ball as it was struck, m/s.")] = 0,
    match: MatchName = None,
    workspace: WorkspaceDir = HERE,
) -> None:
    """Say which frames of a kick hold ball and kicker.

    And from where it was struck.

    The debrief holds it against the plan: it needs the ground as `plan/ground.toml` in the
    match's folder.

    Example: setpiece kick e19 A-0087 A-0088 A-0089 --end near --from 19,25
    """
    from setpiece.plan.typed import read_numbers
    from setpiece.work.debrief.kicks import KickTold, entry_number, mark, tell_kick

    place = None
    if start:
        x_m, y_m = read_numbers(start, 2, 2, what="a place", example="19,25")
        place = (x_m, y_m)
    with opened_match(workspace, match) as (space, of):
        words = tell_kick(space, of, entry_number(entry), KickTold(end, place, seat, speed or None))
        marked = mark(space, of, frames or []) + mark(space, of, holds_not or [], holds=False)
    typer.echo(f"{words}: {marked} frames marked. Next: setpiece debrief")
