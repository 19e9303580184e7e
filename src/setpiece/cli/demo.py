"""`setpiece demo`: the main job on an invented match, then the page."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.page import serve_page
from setpiece.cli.terminal import Terminal, print_json

if TYPE_CHECKING:
    from setpiece.work.demo.outcome import Outcome


def demo(
    folder: Annotated[Path, typer.Argument(help="A new folder for cards, workspace and desk.")] = (
        Path("setpiece-demo")
    ),
    serve: Annotated[bool, typer.Option(help="Show the match in the browser afterwards.")] = True,
    port: Annotated[int, typer.Option(help="The page's port.")] = 8027,
    show: Annotated[bool, typer.Option(help="Open the browser.")] = True,
    fresh: Annotated[bool, typer.Option(help="Remove an earlier demo in that folder.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON for a program.")] = False,
) -> None:
    """Play an invented match, from its cards to the desks.

    Everything stays below one folder; the desk is an FTP server on this machine. Ends with a
    table of what was planted beside what was found.

    Example: setpiece demo --no-serve
    """
    from setpiece.work.demo.ground_time import AtTheGround
    from setpiece.work.demo.run import remove_demo, run_demo

    if fresh:
        remove_demo(folder)
    with Terminal().working() as caller:
        at_the_ground = AtTheGround(caller)
        outcome = run_demo(folder, at_the_ground)
    if as_json:
        print_json(outcome)
    else:
        _table(outcome)
        typer.echo(f"Workspace: {folder / 'workspace'}. The match of the day: --match marnstein")
    if not outcome.agrees:
        raise typer.Exit(1)
    if serve:
        serve_page(folder / "workspace", port, at_the_ground.now, show=show)


def _table(outcome: Outcome) -> None:
    from rich import box
    from rich.console import Console
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for head in ("", "planted", "found", ""):
        table.add_column(head)
    for row in outcome.rows:
        table.add_row(row.what, row.planted, row.found, "agrees" if row.agrees else "DIFFERS")
    times = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    times.add_column("step")
    times.add_column("seconds", justify="right")
    for timing in outcome.timings:
        times.add_row(timing.step, f"{timing.seconds:.1f}")
    console = Console()
    console.print(table)
    console.print(times)
    console.print("All of it agrees." if outcome.agrees else "Not all of it agrees.")
