"""`setpiece style`: house styles, their files and what is wrong in them."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from setpiece.cli.options import HERE, WorkspaceDir

app = typer.Typer(help="House styles: how a desk wants its pictures.")


@app.command("check")
def check(
    file: Annotated[Path, typer.Argument(help="A style's TOML file, or your acts.toml.")],
) -> None:
    """Say whether a file of a house style, or of acts, can be used.

    Where it cannot, what is wrong in it.

    Example: setpiece style check styles/evening-post.toml
    """
    from setpiece.captions.style import read_style
    from setpiece.work.style_files import OWN_ACTS, load_acts, own_acts, read_text

    if file.name == OWN_ACTS:
        added = ", ".join(own_acts(read_text(file))) or "none"
        typer.echo(f"{file}: your own acts are {added}. The file can be used.")
        return
    style = read_style(read_text(file), str(file))
    load_acts().language(style.language)
    typer.echo(f"{file}: {style.name}, {style.language} {style.locale}. The style can be used.")


@app.command("list")
def listing(workspace: WorkspaceDir = HERE) -> None:
    """List the house styles: the workspace's own, then those shipped.

    Example: setpiece style list
    """
    from setpiece.errors import WrongUse
    from setpiece.work.style_files import load_style, style_names

    for name in style_names(workspace):
        try:
            style = load_style(workspace, name)
        except WrongUse as error:
            typer.echo(f"{name:12} cannot be used: {error}", err=True)
            continue
        typer.echo(f"{name:12} {style.name} ({style.language}, {style.recipe.long_side_px} px)")
