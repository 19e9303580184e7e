"""`setpiece take`: frames off cards and folders."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.laptop import watch_clock
from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened, print_json

if TYPE_CHECKING:
    from setpiece.match.instants import Instant
    from setpiece.store.matches import Match
    from setpiece.store.workspace import Workspace
    from setpiece.work.take import TakeReport


class Only(StrEnum):
    """What `--only` may name."""

    PROTECTED = "protected"


def take(
    sources: Annotated[list[Path], typer.Argument(help="Cards or folders.")],
    only: Annotated[
        Only | None, typer.Option(help="Only frames that you protected in the camera.")
    ] = None,
    since: Annotated[
        str, typer.Option(help="Only frames from then on: 15:47 at the ground, or with date.")
    ] = "",
    goal: Annotated[bool, typer.Option("--goal", help="Only frames near the newest goal.")] = False,
    prove: Annotated[
        bool, typer.Option("--prove", help="Read everything again, also what is known.")
    ] = False,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Take frames in: each file copied, proved, and never changed.

    Protected frames come first, then those near the newest goal, then the newest. Works before
    any fixture is made. A second run copies nothing twice; after a stop or a pulled card the
    next run goes on. It says when a card may be wiped.

    Example: setpiece take /media/card-a /media/card-b --only protected
    """
    from setpiece.store.matches import find_match, matches
    from setpiece.work.take import take_in
    from setpiece.work.urgency import Wanted

    with opened(workspace) as space, Terminal().working() as caller:
        watch_clock(space)
        known = [m for m in matches(space) if m.fixture]
        target = find_match(space, match) if match or len(known) == 1 else None
        wanted = Wanted(only is Only.PROTECTED, _instant(space, target, since), goal)
        report = take_in(space, target, sources, caller, wanted=wanted, prove=prove)
    if as_json:
        print_json(report)
    else:
        say(report)
    raise typer.Exit(1 if report.damaged or report.troubles else 0)


def say(report: TakeReport) -> None:
    """Prints what a run did: troubles first, then one line, then whether cards may be wiped."""
    for trouble in (*report.troubles, *report.damaged):
        typer.echo(f"{trouble.path}: {trouble.what}", err=True)
    unread = f" ({report.unread} of them not read again)" if report.unread else ""
    typer.echo(
        f"{report.frames} frames in {report.match}: {report.copied} files copied and proved, "
        f"{report.known} known before{unread}, {len(report.damaged)} damaged, "
        f"{len(report.troubles)} with trouble, {len(report.left)} no pictures. "
        f"{report.seconds:.1f} s"
    )
    if report.waiting:
        typer.echo(f"{report.waiting} files are still on the card: take in again for the rest.")
    for copies in report.copies:
        missing = f", {copies.missing} missing" if copies.missing else ""
        why = f": {copies.why}" if copies.why else ""
        typer.echo(f"{copies.folder}: {copies.copied} further copies made{missing}{why}")
    for card in report.cards:
        typer.echo(card.words)


def _instant(space: Workspace, of: Match | None, text: str) -> Instant | None:
    """What `--since` means, None when it was not given."""
    from setpiece.match.instants import read_instant
    from setpiece.work.matchday import Matchday

    if not text:
        return None
    return Matchday(space, of).read_time(text) if of else read_instant(text)
