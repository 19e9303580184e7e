"""`setpiece init` and `setpiece doctor`: make a workspace, and see what works here."""

from __future__ import annotations

from typing import Annotated

import typer

from setpiece.cli.options import HERE, AsJson, WorkspaceDir
from setpiece.cli.terminal import opened, print_json


def init(
    workspace: WorkspaceDir = HERE,
    photographer: Annotated[str, typer.Option(help="Your name, as captions print it.")] = "",
) -> None:
    """Make a workspace: the folder that holds everything.

    Example: setpiece init --workspace season-2027 --photographer "Ida Marlow"
    """
    from setpiece.store.workspace import Workspace
    from setpiece.work.settings import FILE, Settings, write_settings

    Workspace.create(workspace).close()
    with opened(workspace) as space:
        write_settings(space, Settings(photographer))
    if not photographer:
        typer.echo(f"Captions want your name: write it into {FILE} there.")
    typer.echo(f"Workspace made in {workspace.resolve()}. Next: setpiece fixture new")


def doctor(workspace: WorkspaceDir = HERE, as_json: AsJson = False) -> None:
    """Show what works here, and what is missing.

    Example: setpiece doctor --workspace season-2027
    """
    from setpiece.work.doctor import examine

    with opened(workspace) as space:
        report = examine(space)
    if as_json:
        print_json(report)
    else:
        for finding in report.findings:
            typer.echo(
                f"{'works' if finding.works else 'MISSING':8} {finding.what}: {finding.words}"
            )
    raise typer.Exit(0 if all(f.works or f.optional for f in report.findings) else 1)
