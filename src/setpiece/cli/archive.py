"""`setpiece archive`: verified copies of matches, read again and again, and given back."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened, print_json

if TYPE_CHECKING:
    from setpiece.store.archive import Root
    from setpiece.store.workspace import Workspace
    from setpiece.work.archive.verify import Scrubbed

app = typer.Typer(help="Verified copies of matches, and the way back.")

Roots = Annotated[
    list[Path] | None, typer.Argument(help="Roots of the archive; none: all that are set.")
]
_SHOWN = 20


@app.command("root")
def root(
    folder: Annotated[Path, typer.Argument(help="A folder on another drive.")],
    elsewhere: Annotated[
        bool, typer.Option("--elsewhere", help="This drive is kept at another place.")
    ] = False,
    workspace: WorkspaceDir = HERE,
) -> None:
    """Set a folder as a root of the archive.

    Example: setpiece archive root /media/drive/archive --elsewhere
    """
    from setpiece.work.archive.keep import set_root

    with opened(workspace) as space:
        made = set_root(space, folder, Terminal().now(), elsewhere=elsewhere)
    place = "kept elsewhere" if made.elsewhere else "kept here"
    typer.echo(f"Archive root: {made.folder}, {place}. Next: setpiece archive match")


@app.command("forget")
def forget(
    folder: Annotated[Path, typer.Argument(help="A root of the archive.")],
    workspace: WorkspaceDir = HERE,
) -> None:
    """Archive nothing there from now on; what is there stays.

    Example: setpiece archive forget /media/drive/archive
    """
    from setpiece.store.archive import forget_root

    with opened(workspace) as space:
        forget_root(space, folder.resolve())
    typer.echo(f"{folder} is no root any more. What it holds stays.")


@app.command("match")
def match_(
    roots: Roots = None,
    every: Annotated[bool, typer.Option("--all", help="Every match of the workspace.")] = False,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Archive a match: every file proved and listed.

    Captions lie beside them as sidecars.

    A folder that is no root yet becomes one. Each match is a bag (BagIt, RFC 8493); running it
    again copies only what is new; after a stop it goes on.

    Example: setpiece archive match /media/a/archive /media/b/archive
    """
    from setpiece.store.matches import find_match, matches
    from setpiece.work.archive.keep import archive_match

    with opened(workspace) as space, Terminal().working() as caller:
        chosen = matches(space) if every else (find_match(space, match),)
        places = _roots(space, roots or [], new=True)
        answer = tuple(item for of in chosen for item in archive_match(space, of, places, caller))
    if as_json:
        print_json(answer)
    else:
        for item in answer:
            for trouble in item.troubles:
                typer.echo(f"{item.match}: {trouble.path}: {trouble.what}", err=True)
            words = item.why or (
                f"{item.files} files, {item.size / 1e9:.2f} GB, {item.copied} copied now"
            )
            typer.echo(f"{item.root}  {item.match}  {words}")
    if any(item.why for item in answer):
        raise typer.Exit(3)
    raise typer.Exit(1 if any(item.troubles for item in answer) else 0)


@app.command("verify")
def verify(
    roots: Roots = None,
    repair: Annotated[
        bool, typer.Option("--repair", help="Put right what another copy still has.")
    ] = False,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Read every archived file again and hold it against its hash.

    Names every file that differs, is missing, or is not listed. After a stop it goes on where it
    was.

    Example: setpiece archive verify --repair
    """
    from setpiece.store.matches import find_match
    from setpiece.work.archive import verify as archive_verify

    with opened(workspace) as space, Terminal().working() as caller:
        only = find_match(space, match) if match else None
        places = _roots(space, roots or [])
        found = archive_verify.verify(space, places, caller, only=only, repair=repair)
    if as_json:
        print_json(found)
    else:
        _say(found)
    raise typer.Exit(0 if all(f.good for f in found) else 1)


def _say(found: Sequence[Scrubbed]) -> None:
    for item in found:
        for harmed in item.left[:_SHOWN]:
            typer.echo(f"{item.root}/{item.match}/{harmed.path} {harmed.harm}", err=True)
        if len(item.left) > _SHOWN:
            typer.echo(f"... and {len(item.left) - _SHOWN} more", err=True)
        mended = f", {len(item.repaired)} put right" if item.repaired else ""
        words = item.why or f"{item.read} files read, {len(item.left)} not as listed{mended}"
        typer.echo(f"{item.root}  {item.match}  {words}")
    if not found:
        typer.echo("Nothing is archived there yet. Next: setpiece archive match")


@app.command("state")
def state(workspace: WorkspaceDir = HERE, match: MatchName = None, as_json: AsJson = False) -> None:
    """Show how safe each match is.

    Three copies, two drives, one of them kept elsewhere.

    Example: setpiece archive state
    """
    from setpiece.store.matches import find_match
    from setpiece.work.archive.state import safety

    with opened(workspace) as space:
        only = find_match(space, match) if match else None
        found = safety(space, only)
    if as_json:
        print_json(found)
    else:
        for item in found:
            lacking = "3-2-1 met" if item.met else "lacking: " + "; ".join(item.lacking)
            typer.echo(
                f"{item.match}  {item.copies} copies, {item.drives} drives, "
                f"{item.elsewhere} elsewhere  {lacking}"
            )
            for held in item.held:
                read = f"read again {held.checked[:10]}" if held.checked else "not read again yet"
                typer.echo(f"    {held.root}  {held.files} files of {held.made[:10]}, {read}")
    raise typer.Exit(0 if all(item.met for item in found) else 1)


@app.command("rebuild")
def rebuild(
    roots: Annotated[list[Path], typer.Argument(help="Roots of the archive.")],
    files: Annotated[
        bool, typer.Option("--files", help="Bring the pictures back as well.")
    ] = False,
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """Make the workspace again from the archive alone.

    The database; with --files all of it.

    Needs a folder that has no database. Passwords are never archived: type them again.

    Example: setpiece archive rebuild /media/a/archive --files --workspace /home/ida/desk
    """
    from setpiece.work.archive import rebuild as archive_rebuild

    with Terminal().working() as caller:
        made = archive_rebuild.rebuild(workspace, roots, caller, files=files)
    if as_json:
        print_json(made)
    else:
        for trouble in made.troubles:
            typer.echo(f"{trouble.path}: {trouble.what}", err=True)
        rows = sum(made.rows.values())
        typer.echo(
            f"{len(made.matches)} matches, {rows} rows, {made.files} files brought back, "
            f"{made.not_here} still in the archive only."
        )
    raise typer.Exit(1 if made.troubles else 0)


def _roots(space: Workspace, folders: Sequence[Path], *, new: bool = False) -> list[Root]:
    """The roots meant; with `new` a folder that is none yet becomes one. Raises NotFound."""
    from setpiece.errors import NotFound
    from setpiece.store.archive import roots
    from setpiece.work.archive.keep import set_root

    known = {r.folder: r for r in roots(space)}
    if not folders:
        return list(known.values())
    chosen = []
    for folder in folders:
        found = known.get(folder.resolve())
        if found is None and not new:
            raise NotFound(
                "the archive has no such root",
                thing=str(folder),
                next_step="`setpiece archive state` shows them.",
            )
        chosen.append(found or set_root(space, folder, Terminal().now()))
    return chosen
