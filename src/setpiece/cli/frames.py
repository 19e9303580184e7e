"""`setpiece frames`, `use`, `hold`, `spike`: what was taken in, and the decision on it."""

from __future__ import annotations

from typing import Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import counted, opened_match, print_json

FrameNames = Annotated[list[str], typer.Argument(help="Frames: handle, id or file name.")]


def frames(
    passage: Annotated[str, typer.Option(help="Only the passage that holds this frame.")] = "",
    the_set: Annotated[bool, typer.Option("--set", help="Only frames in use.")] = False,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """List frames by passage: minute, score, how sharp.

    Example: setpiece frames --set
    """
    from setpiece.work.listing import listed
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        day = Matchday(space, of)
        around = day.frame(passage).id if passage else None
        rows = listed(day, around=around, only_set=the_set)
    if as_json:
        print_json(rows)
        return
    last = ""
    for row in rows:
        if row.passage != last:
            typer.echo("")
            last = row.passage
        mark = "*" if row.sharpest else " "
        minute = f"{row.minute}'" if row.minute else row.phase
        typer.echo(
            f"{mark} {row.handle:10} {minute:>7} {row.score:6} {row.local_time:12} "
            f"{row.decision:6} {row.words}"
        )
    typer.echo(f"{counted(len(rows), 'frame')}. * the sharpest of its passage.")


def time(
    frame: Annotated[str, typer.Argument(help="The frame: handle, id or file name.")],
    made: Annotated[str, typer.Argument(help="When: 15:47:31 at the ground, or ISO 8601.")],
    within: Annotated[float, typer.Option(help="How sure, in seconds either way.")] = 30.0,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Type when a frame was made, if its camera wrote no time.

    Example: setpiece time phone-picture.jpg 15:47:31 --within 5
    """
    from setpiece.match.instants import Interval
    from setpiece.store.frames import type_time
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        day = Matchday(space, of)
        found = day.frame(frame)
        type_time(space, of, found.id, Interval.around(day.read_time(made), abs(within)))
    typer.echo(f"{found.handle}: {made}, within {abs(within):g} s.")


def use(frames: FrameNames, workspace: WorkspaceDir = HERE, match: MatchName = None) -> None:
    """Use frames: they are in the set.

    Example: setpiece use A-0231 B-0007
    """
    _decide("use", frames, workspace, match)


def hold(frames: FrameNames, workspace: WorkspaceDir = HERE, match: MatchName = None) -> None:
    """Hold frames: not sent until you decide again.

    Example: setpiece hold A-0231
    """
    _decide("hold", frames, workspace, match)


def spike(frames: FrameNames, workspace: WorkspaceDir = HERE, match: MatchName = None) -> None:
    """Spike frames: they are kept, but not for this match's set.

    Example: setpiece spike A-0231
    """
    _decide("spike", frames, workspace, match)


def _decide(word: str, names: list[str], workspace: WorkspaceDir, match: MatchName) -> None:
    from setpiece.store.frames import Decision, decide
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        day = Matchday(space, of)
        chosen = [day.frame(name) for name in names]
        for frame in chosen:
            decide(space, of, frame.id, Decision(word))
    typer.echo(f"{word}: {', '.join(f.handle for f in chosen)}")
