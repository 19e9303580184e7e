"""`setpiece terms` and `setpiece crop`: who may have a picture, and how it is cut."""

from __future__ import annotations

from typing import Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened_match, print_json

Frame = Annotated[str, typer.Argument(help="The frame: handle, id or file name.")]


def terms(
    frame: Frame,
    exclusive: Annotated[str | None, typer.Option(help="The one desk that may have it.")] = None,
    pool: Annotated[bool | None, typer.Option(help="A pool picture, free to all.")] = None,
    desk: Annotated[list[str] | None, typer.Option(help="Desks that may have it.")] = None,
    usage: Annotated[str | None, typer.Option(help="Usage terms, for the style's.")] = None,
    credit: Annotated[str | None, typer.Option(help="Credit line, for the style's.")] = None,
    job: Annotated[str | None, typer.Option(help="The desk's number for the order.")] = None,
    embargo: Annotated[
        str | None, typer.Option(help="Not before: 21:00:00 at the ground, ISO, or none.")
    ] = None,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Say who may have a picture, and on what terms. What is not given stays; "" takes it away.

    Example: setpiece terms A-0231 --exclusive City
    """
    from setpiece.work.desk.terms import FREE, set_terms, terms_of
    from setpiece.work.matchday import Matchday

    given = {
        "exclusive_to": exclusive,
        "pool": pool,
        "desks": tuple(d for d in desk if d) if desk is not None else None,
        "usage_terms": usage,
        "credit": credit,
        "job_id": job,
    }
    changed = {name: value for name, value in given.items() if value is not None}
    with opened_match(workspace, match) as (space, of):
        day = Matchday(space, of)
        if embargo is not None:
            until = None if embargo in ("", "none") else day.read_time(embargo)
            changed["embargo_until"] = until  # type: ignore[assignment]
        if changed:
            made = set_terms(space, of, frame, Terminal(), **changed)
        else:
            made = terms_of(space, of).get(day.frame(frame).id, FREE)
    if as_json:
        print_json(made)
    else:
        typer.echo(f"{frame}: {made}")


def crop(
    frame: Frame,
    box: Annotated[str, typer.Option(help="left,top,width,height in shares: 0.1,0,0.6,1.")] = "",
    ratio: Annotated[str, typer.Option(help="The largest of a ratio: 3:2, 4:5, 1:1.")] = "",
    across: Annotated[float, typer.Option(help="Its middle, in shares from the left.")] = 0.5,
    down: Annotated[float, typer.Option(help="Its middle, in shares from the top.")] = 0.5,
    straighten: Annotated[float, typer.Option(help="Degrees clockwise, at most 45.")] = 0.0,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Crop or straighten a frame for every rendition of it.

    With no option, that is taken back.

    The original is never touched.

    Example: setpiece crop A-0231 --ratio 4:5 --across 0.4
    """
    from setpiece.errors import NotFound, WrongUse
    from setpiece.pictures.rendition import Edit
    from setpiece.work.edits import ratio_box, read_box, set_edit
    from setpiece.work.matchday import Matchday

    if box and ratio:
        raise WrongUse("a crop has a box or a ratio", thing=frame, next_step="Give one of them.")
    with opened_match(workspace, match) as (space, of):
        cut = read_box(box) if box else None
        if ratio:
            day = Matchday(space, of)
            look = day.looks.get(day.frame(frame).id)
            if look is None:
                raise NotFound(
                    "this frame was not looked at yet", thing=frame, next_step="Take it in first."
                )
            cut = ratio_box(ratio, look, across, down)
        made = set_edit(space, of, frame, Edit(cut, straighten), Terminal())
    if as_json:
        print_json(made)
    else:
        typer.echo(f"{frame}: {made}")
