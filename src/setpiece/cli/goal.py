"""`setpiece send-goal`: strike, celebration and reaction of the newest goal, first of all."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.outbox import end_sent, show_sent
from setpiece.cli.terminal import Terminal, opened_match, print_json


def send_goal(
    entry: Annotated[int | None, typer.Argument(help="The goal's entry; none: the newest.")] = None,
    desk: Annotated[list[str] | None, typer.Option(help="Desks; none: every desk.")] = None,
    strike: Annotated[str, typer.Option(help="Another line for the strike; - leaves it out.")] = "",
    celebration: Annotated[str, typer.Option(help="Another for the celebration, or -.")] = "",
    reaction: Annotated[str, typer.Option(help="Another for the reaction, or -.")] = "",
    card: Annotated[
        list[Path] | None, typer.Option(help="Take the goal's frames in from this card first.")
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", help="You have looked at them: send.")] = False,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Propose the pictures of a goal, captioned, and send them.

    They go with --yes, or at your word.

    Example: setpiece send-goal --celebration "9r celebrates with 11r right"
    """
    from setpiece.work.desk.desks import all_desks
    from setpiece.work.desk.goal import GoalSent, take_in_goal
    from setpiece.work.desk.goal import send_goal as send_it
    from setpiece.work.desk.goal_proposal import Part, propose_goal
    from setpiece.work.job import Question
    from setpiece.work.matchday import Matchday

    said = {Part.STRIKE: strike, Part.CELEBRATION: celebration, Part.REACTION: reaction}
    lines = {part: line for part, line in said.items() if line not in ("", "-")}
    without = [part for part, line in said.items() if line == "-"]
    with opened_match(workspace, match) as (space, of), Terminal().working() as caller:
        if card:
            take_in_goal(space, of, card, caller)
        proposal = propose_goal(Matchday(space, of), entry)
        if not as_json:
            typer.echo(proposal.words, err=True)
            for shown in proposal.frames:
                if shown.part not in without:
                    line = lines.get(shown.part, shown.line)
                    typer.echo(
                        f"  {shown.part:12} {shown.handle:10} {line:36} {shown.why}", err=True
                    )
        if not yes:
            if as_json:
                print_json(GoalSent(proposal))
                return
            if caller.ask(Question("Send them?", ("send", "leave"))) != "send":
                typer.echo("Nothing was sent.")
                return
        names = desk or [d.name for d in all_desks(space)]
        done = send_it(space, of, proposal, names, caller, lines=lines, without=without)
    if as_json:
        print_json(done)
        end_sent(done.queued, done.sent)
    show_sent(done.queued, done.sent, as_json=False)
