"""`setpiece copies`: the further drives on which every file is kept."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from setpiece.cli.options import HERE, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened

app = typer.Typer(help="Further drives on which every file taken in is kept.")

Folder = Annotated[Path, typer.Argument(help="A folder on another drive.")]


@app.command("add")
def add(folder: Folder, workspace: WorkspaceDir = HERE) -> None:
    """Keep a further, proved copy of every file.

    In a folder on another drive.

    Example: setpiece copies add /media/second/setpiece
    """
    from setpiece.work.intake.second_copies import on_same_disk, set_place

    with opened(workspace) as space:
        place = set_place(space, folder, Terminal().now())
        same = on_same_disk(space, place)
    typer.echo(f"Further copies go to {place.folder}. Next: setpiece copies make")
    if same:
        typer.echo("It is on the same disk as the workspace: one broken disk takes both.", err=True)
    raise typer.Exit(1 if same else 0)


@app.command("list")
def listed(workspace: WorkspaceDir = HERE) -> None:
    """Show where further copies are kept.

    Example: setpiece copies list
    """
    from setpiece.store.copies import places

    with opened(workspace) as space:
        for place in places(space):
            typer.echo(str(place.folder))


@app.command("make")
def make(workspace: WorkspaceDir = HERE) -> None:
    """Copy every match's files to the drives that do not hold them yet.

    Example: setpiece copies make
    """
    from setpiece.store.matches import match_folder, matches
    from setpiece.work.intake.second_copies import copy_further

    well = True
    with opened(workspace) as space, Terminal().working() as caller:
        for of in matches(space):
            for done in copy_further(space, of, match_folder(space, of), caller):
                well = well and not done.missing
                typer.echo(
                    f"{of.folder}: {done.copied} copied to {done.folder}, {done.missing} missing"
                    + (f": {done.why}" if done.why else "")
                )
    raise typer.Exit(0 if well else 1)


@app.command("remove")
def remove(folder: Folder, workspace: WorkspaceDir = HERE) -> None:
    """Keep no further copies there from now on; what is there stays.

    Example: setpiece copies remove /media/second/setpiece
    """
    from setpiece.store.copies import forget_place

    with opened(workspace) as space:
        forget_place(space, folder.resolve())
    typer.echo(f"No further copies go to {folder}.")
