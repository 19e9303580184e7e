"""`setpiece log`: the match log."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from setpiece.cli import log_state
from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import (
    Terminal,
    counted,
    opened_match,
    print_json,
    read_text,
    write_either,
)

app = typer.Typer(help="The match log: goals, cards, substitutions, whistles.")
app.command("state")(log_state.state)


@app.command("add")
def add(
    line: Annotated[
        list[str] | None, typer.Argument(help="goal 9r header, sub 17w for 8w, whistle ...")
    ] = None,
    at: Annotated[str, typer.Option(help="The printed minute: 17 or 45+2.")] = "",
    time: Annotated[str, typer.Option(help="When it happened: 15:47:31 local, or ISO.")] = "",
    frame: Annotated[str, typer.Option(help="The frame that pins it.")] = "",
    typed: Annotated[str, typer.Option(help="When it was typed, if not now (ISO).")] = "",
    replaces: Annotated[int | None, typer.Option(help="The entry it corrects.")] = None,
    pins: Annotated[
        int | None, typer.Option("--pin", help="Pin this entry to --frame; no line is needed.")
    ] = None,
    withdraws: Annotated[int | None, typer.Option(help="Take this entry back.")] = None,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Log what happened, as one typed line. Nothing is overwritten.

    Example: setpiece log add goal 9r header --at 17
    """
    from setpiece.match.instants import MinuteLabel, read_instant
    from setpiece.web.sentences import said
    from setpiece.web.wording import wording
    from setpiece.work.logbook import When, add_line, pin, proposals, withdraw
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        day = Matchday(space, of)
        if withdraws is not None:
            entry = withdraw(space, of, withdraws, Terminal())
        elif pins is not None:
            entry = pin(space, of, pins, frame, Terminal())
        else:
            when = When(
                printed=MinuteLabel.read(at) if at else None,
                at=day.read_time(time) if time else None,
                frame=frame,
            )
            entry = add_line(
                space,
                of,
                " ".join(line or ()),
                Terminal(),
                when=when,
                typed=read_instant(typed) if typed else None,
                supersedes=replaces,
            )
        if as_json:
            print_json(entry)
        else:
            day = Matchday(space, of)
            typer.echo(f"e{entry.id}  {said(entry, day.sheet, wording())}")
            frames = proposals(day, entry)
            if frames:
                typer.echo(f"Frames that may show it: {', '.join(frames[:4])}")
                typer.echo(f"Pin it: setpiece log add --pin {entry.id} --frame {frames[0]}")


@app.command("list")
def list_(
    history: Annotated[
        bool, typer.Option("--history", help="Also what was replaced or withdrawn.")
    ] = False,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """List the log in the order in which it happened.

    With --history all that was typed.

    Example: setpiece log list --history
    """
    from setpiece.match.entries import Kind, current
    from setpiece.web.sentences import said
    from setpiece.web.wording import wording
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        day = Matchday(space, of)
        standing = sorted(current(day.log), key=lambda e: day.fold.when(e).end)
        entries = day.log if history else tuple(standing)
        if as_json:
            print_json(tuple(entries))
            return
        for entry in entries:
            whistle = entry.kind in (Kind.KICK_OFF, Kind.PERIOD_END)
            label = day.fold.minute_of(entry) if entry in standing else entry.printed
            minute = f"{label}'" if label and not whistle else ""
            replaced = f" (replaces e{entry.supersedes})" if entry.supersedes else ""
            words = said(entry, day.sheet, wording()) + replaced
            typer.echo(f"{'e' + str(entry.id):5} {minute:>6}  {words}")


@app.command("import")
def import_(
    file: Annotated[Path, typer.Argument(help="A log as CSV or JSON (docs/formats.md).")],
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Append the entries of a file to the log, all or none.

    Example: setpiece log import log.csv
    """
    from setpiece.match.exchange import read_log_csv, read_log_json
    from setpiece.work.logbook import add_all
    from setpiece.work.matchday import Matchday

    text = read_text(file)
    with opened_match(workspace, match) as (space, of):
        day = Matchday(space, of)
        now = Terminal().now()
        if file.suffix.lower() == ".json":
            entries = read_log_json(text)
        else:
            entries = read_log_csv(text, day.sheet, typed=now)
        added = add_all(space, of, entries)
    typer.echo(f"{counted(len(added), 'entry', 'entries')} added.")


@app.command("export")
def export(
    file: Annotated[Path, typer.Argument(help="The file to write: .csv or .json.")],
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Write the log to a file: JSON holds all of it, CSV its columns.

    Example: setpiece log export log.json
    """
    from setpiece.match.exchange import write_log_csv, write_log_json
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        day = Matchday(space, of)
        write_either(file, lambda: write_log_csv(day.fold), lambda: write_log_json(day.log))
    typer.echo(f"{counted(len(day.log), 'entry', 'entries')} written to {file}.")
