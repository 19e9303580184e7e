"""`setpiece caption` and `setpiece check`: one line in, a caption out, held against the facts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, counted, opened_match, print_json

if TYPE_CHECKING:
    from setpiece.captions.findings import Finding
    from setpiece.work.caption import Written

Field = Annotated[
    list[str] | None,
    typer.Option("--set", help="Type over a field of the caption there is: headline=..."),
]


def caption(
    frame: Annotated[str, typer.Argument(help="The frame: handle, id or file name.")],
    line: Annotated[str, typer.Argument(help="Shorthand (docs/shorthand.md).")] = "",
    fields: Field = None,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Caption a frame from one line. What is not clear is asked, never guessed.

    Example: setpiece caption A-0231 "9r celebrates with 11r right"
    """
    from setpiece.errors import WrongUse
    from setpiece.work.caption import retype, write_caption

    with opened_match(workspace, match) as (space, of):
        if fields:
            pairs = [f.partition("=") for f in fields]
            changed = {name: value for name, _, value in pairs}
            written = retype(space, of, frame, Terminal(), **changed)
        elif line:
            written = write_caption(space, of, frame, line, Terminal())
        else:
            raise WrongUse(
                "there is nothing to write", thing=frame, next_step="Give a line, or --set."
            )
    if as_json:
        print_json(written)
    else:
        _show(written)
    raise typer.Exit(1 if written.findings else 0)


def check(
    frames: Annotated[list[str] | None, typer.Argument(help="Frames; none: all captioned.")] = None,
    overrule: Annotated[
        str, typer.Option(help="Set a finding of the one frame aside, by its code.")
    ] = "",
    reason: Annotated[str, typer.Option(help="Why; it stays with the picture.")] = "",
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Hold captions against log, team sheet and house style.

    Example: setpiece check A-0231
    """
    from setpiece.errors import WrongUse
    from setpiece.work.caption import check_frames
    from setpiece.work.caption import overrule as set_aside
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        if overrule:
            if len(frames or ()) != 1:
                raise WrongUse("one finding of one frame is set aside at a time", thing=overrule)
            set_aside(space, of, (frames or [""])[0], overrule, reason, Terminal())
        checked = check_frames(Matchday(space, of), frames or ())
    found = [w for w in checked if w.findings]
    if as_json:
        print_json(checked)
    else:
        for written in found:
            for finding in written.findings:
                typer.echo(f"{written.handle:10} {_words(finding)}")
        typer.echo(f"{counted(len(checked), 'caption')} checked, {len(found)} with findings.")
    raise typer.Exit(1 if found else 0)


def _show(written: Written) -> None:
    fields = written.caption.fields
    typer.echo(f"{written.handle} version {written.version}")
    typer.echo(fields.headline)
    typer.echo(fields.description)
    typer.echo(f"Alt text: {fields.alt_text}")
    typer.echo(f"Keywords: {', '.join(fields.keywords)}")
    for finding in written.findings:
        typer.echo(_words(finding))


def _words(finding: Finding) -> str:
    choices = f" Choose: {'; '.join(finding.choices)}." if finding.choices else ""
    return f"{finding.level.value:6} {finding.code}: {finding.message}{choices}"
