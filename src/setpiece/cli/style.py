"""`setpiece style`: house styles, their files and what is wrong in them."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

app = typer.Typer(help="House styles: how each desk wants captions, fields, names and sizes.")


@app.command("check")
def check(
    file: Annotated[Path, typer.Argument(help="The style's TOML file.")],
) -> None:
    """Say whether a house style's file can be used, and what is wrong where it cannot.

    Example: setpiece style check styles/evening-post.toml
    """
    from setpiece.captions.style import read_style
    from setpiece.work.style_files import load_acts, read_text

    style = read_style(read_text(file), str(file))
    load_acts().language(style.language)
    typer.echo(f"{file}: {style.name}, {style.language} {style.locale}. The style can be used.")


@app.command("list")
def listing() -> None:
    """List the house styles that are shipped.

    Example: setpiece style list
    """
    from setpiece.work.style_files import load_style, style_names

    for name in style_names():
        style = load_style(None, name)
        typer.echo(f"{name:12} {style.name} ({style.language}, {style.recipe.long_side_px} px)")
