"""`setpiece cuttings`: which of my pictures is this?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, AsJson, WorkspaceDir
from setpiece.cli.terminal import Terminal, counted, opened, print_json

if TYPE_CHECKING:
    from setpiece.work.cuttings.index import Indexed
    from setpiece.work.cuttings.kept import Cutting

app = typer.Typer(
    help="Published uses of your pictures, found and confirmed. From web pictures, scans, "
    "photographs of a page and PDFs. Nothing goes to the ledger before you confirm it."
)

Archive = Annotated[
    Path | None,
    typer.Option(help="A folder of pictures, such as an archive, instead of the workspace."),
]
Outlet = Annotated[str, typer.Option(help="Who published it.")]
Date = Annotated[str, typer.Option(help="When, as 2027-03-07.")]
Placement = Annotated[str, typer.Option(help="As front, page 7, online.")]
Title = Annotated[str, typer.Option(help="The headline over it.")]
Number = Annotated[int, typer.Argument(help="The cutting's number.")]


@app.command("index")
def index(
    archive: Archive = None,
    anew: Annotated[bool, typer.Option("--anew", help="Look at every picture again.")] = False,
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """Make every frame of the workspace findable, or a folder.

    Only what is new is looked at. `find` does it too; do it before, and it is quick.

    Example: setpiece cuttings index --archive /media/drive/archive
    """
    from setpiece.work.cuttings.index import index_folder, index_matches

    with Terminal().working() as caller:
        if archive is not None:
            made = index_folder(archive, caller, anew=anew)
        else:
            with opened(workspace) as space:
                made = index_matches(space, caller, anew=anew)
    if as_json:
        print_json(made)
    else:
        _say_indexed(made)
    if made.troubles:
        raise typer.Exit(1)


@app.command("find")
def find(
    files: Annotated[list[Path], typer.Argument(help="Pictures, PDFs, or folders of them.")],
    archive: Archive = None,
    outlet: Outlet = "",
    date: Date = "",
    title: Title = "",
    placement: Placement = "",
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """Find which of your pictures a cutting shows.

    The answer is one of: this frame, same moment, look, not mine.

    In the workspace every cutting is kept under a number, to be confirmed or rejected. With
    --archive only the folder is searched, and nothing is kept.

    Example: setpiece cuttings find sports-page.pdf ~/Pictures/cuttings --outlet Gazette
    """
    from setpiece.books.cuttings import Publication
    from setpiece.work.cuttings.lookup import find_cuttings, find_in_folder

    typed = Publication().typed_over(outlet=outlet, day=date, title=title, placement=placement)
    with Terminal().working() as caller:
        if archive is not None:
            found = find_in_folder(archive, files, caller, typed=typed)
        else:
            with opened(workspace) as space:
                found = find_cuttings(space, files, caller, typed=typed)
    if as_json:
        print_json(found)
    else:
        for one in found.cuttings:
            _say(one)
        for trouble in found.troubles:
            typer.echo(f"{trouble.path}: {trouble.what}.", err=True)
    if found.troubles:
        raise typer.Exit(1)


@app.command("list")
def listed(
    every: Annotated[
        bool, typer.Option("--all", help="Confirmed, rejected and not mine, too.")
    ] = False,
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """List the cuttings that wait for your word.

    Example: setpiece cuttings list --all
    """
    from setpiece.books.cuttings import State
    from setpiece.work.cuttings.kept import cuttings

    with opened(workspace) as space:
        found = cuttings(space, None if every else State.OPEN)
    if not every:
        found = tuple(c for c in found if c.found)
    if as_json:
        print_json(found)
        return
    for one in found:
        _say(one)
    typer.echo(f"{counted(len(found), 'cutting')}{'' if every else ' to confirm'}.")


@app.command("show")
def show(
    number: Number,
    to: Annotated[Path, typer.Option(help="Write the picture to this file.")],
    which: Annotated[int, typer.Option(help="Which of several found on it, from 1.")] = 1,
    workspace: WorkspaceDir = HERE,
) -> None:
    """Draw a cutting beside the frame, with the points that agree joined.

    Example: setpiece cuttings show 3 --to compare.jpg
    """
    from setpiece.store.copying import write_proved
    from setpiece.work.cuttings.kept import cutting, drawn

    with opened(workspace) as space:
        one = cutting(space, number)
        write_proved(drawn(space, number, which - 1), to)
    _say(one)
    typer.echo(f"Drawn in {to}.")


@app.command("confirm")
def confirm(
    number: Number,
    frame: Annotated[str, typer.Option(help="Another frame than the one found.")] = "",
    outlet: Outlet = "",
    date: Date = "",
    title: Title = "",
    placement: Placement = "",
    desk: Annotated[str, typer.Option(help="The desk that sold it.")] = "",
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """Say yes to a cutting: its use goes to the ledger.

    Example: setpiece cuttings confirm 3 --outlet Gazette --date 2027-03-07 --desk City
    """
    from setpiece.cli.ledger_values import say
    from setpiece.work.cuttings import kept as job

    with opened(workspace) as space:
        noted = job.confirm(
            space, number, Terminal(), frame=frame, desk=desk, outlet=outlet, day=date,
            title=title, placement=placement,
        )  # fmt: skip
    if as_json:
        print_json(noted)
        return
    say(noted.remarks)
    typer.echo(f"Cutting {number} is confirmed: entry {noted.entry.number}, {noted.entry.day}.")


@app.command("reject")
def reject(
    number: Number,
    reason: Annotated[str, typer.Option(help="Why.")] = "",
    undo: Annotated[bool, typer.Option("--undo", help="Take a rejection back.")] = False,
    workspace: WorkspaceDir = HERE,
) -> None:
    """Say no to a cutting: not your picture, or nothing to charge.

    Example: setpiece cuttings reject 4 --reason "a colleague's"
    """
    from setpiece.work.cuttings import kept as job

    with opened(workspace) as space:
        if undo:
            job.reopen(space, number, Terminal())
        else:
            job.reject(space, number, reason, Terminal())
    typer.echo(f"Cutting {number} is {'open again' if undo else 'rejected'}.")


def _say_indexed(made: Indexed) -> None:
    typer.echo(
        f"{made.pictures} pictures can be found; {made.looked_at} are new, {made.gone} gone. "
        f"The index has {made.size / 1e6:.1f} MB."
    )
    for trouble in made.troubles:
        typer.echo(f"{trouble.path}: {trouble.what}.", err=True)


def _say(one: Cutting) -> None:
    number = f"{one.number:>4} " if one.number else ""
    page = f" page {one.part}" if one.part else ""
    where = ", ".join(w for w in (one.publication.outlet, one.publication.day) if w)
    state = "" if one.state == "open" else f" [{one.state}]"
    typer.echo(f"{number}{one.name}{page}: {one.verdict.upper()}{state}")
    for placed in one.found:
        seen = placed.sighting
        frame = f"{placed.frame} in {placed.match}" if placed.frame else seen.name
        typer.echo(f"     {seen.verdict}: {frame}; {'; '.join(seen.why)}")
    if where:
        typer.echo(f"     published: {where} ({one.publication.told_by})")
