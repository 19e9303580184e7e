"""`setpiece take`: frames off cards and folders."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened, print_json


def take(
    sources: Annotated[list[Path], typer.Argument(help="Cards or folders.")],
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Take frames in: each file copied, proved, and never changed.

    Works before any fixture is made. A second run copies nothing twice; after a stop or a
    pulled card the next run goes on.

    Example: setpiece take /media/card-a /media/card-b
    """
    from setpiece.store.matches import find_match, matches
    from setpiece.work.look import look_at_new
    from setpiece.work.take import take_in

    with opened(workspace) as space, Terminal().working() as caller:
        known = [m for m in matches(space) if m.fixture]
        target = find_match(space, match) if match or len(known) == 1 else None
        report = take_in(space, target, sources, caller)
        damaged = look_at_new(space, find_match(space, report.match), caller)
    if as_json:
        print_json(report)
    else:
        for trouble in report.troubles:
            typer.echo(f"{trouble.path}: {trouble.what}", err=True)
        typer.echo(
            f"{report.frames} frames in {report.match}: {report.copied} files copied and proved, "
            f"{report.known} known before, {damaged} damaged, {len(report.troubles)} not taken, "
            f"{len(report.left)} no pictures. {report.seconds:.1f} s"
        )
    raise typer.Exit(1 if damaged or report.troubles else 0)
