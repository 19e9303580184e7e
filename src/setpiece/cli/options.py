"""The options that many commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

WorkspaceDir = Annotated[
    Path,
    typer.Option(
        "--workspace",
        envvar="SETPIECE_WORKSPACE",
        help="The folder that holds everything.",
        show_default="the current folder",
    ),
]
MatchName = Annotated[
    str | None,
    typer.Option("--match", help="Part of the match's folder name; not needed with one match."),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON for another program.")]

HERE = Path()
