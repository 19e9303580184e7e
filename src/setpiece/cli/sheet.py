"""`setpiece sheet`: the team sheet."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import (
    Terminal,
    counted,
    opened_match,
    print_json,
    read_text,
    write_either,
)

app = typer.Typer(help="The team sheet: people, numbers, roles, kits.")


@app.command("import")
def import_(
    file: Annotated[Path, typer.Argument(help="CSV, JSON, or pasted text; - for standard input.")],
    side: Annotated[str, typer.Option(help="home or away, for pasted text of one side.")] = "",
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Import a team sheet. Lines that are not understood are shown; nothing is guessed.

    Example: setpiece sheet import sheet.csv
    """
    from setpiece.match.people import Side
    from setpiece.work.before.sheets import import_sheet
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        done = import_sheet(space, of, read_text(file), file.suffix.lower(), side, Terminal())
        sheet = Matchday(space, of).sheet
    for line in done.not_understood:
        typer.echo(f"not understood: {line}", err=True)
    for remark in done.remarks:
        typer.echo(f"{remark}", err=True)
    people = counted(done.people, "person", "people")
    typer.echo(f"{people} on the sheet, {done.starting} of them start.")
    if not any(sheet.side(side).kits for side in Side):
        typer.echo("Next: setpiece sheet kit home r red")
    raise typer.Exit(1 if done.not_understood or done.remarks else 0)


@app.command("kit")
def kit(
    wearer: Annotated[str, typer.Argument(help="home, away or officials.")],
    letter: Annotated[str, typer.Argument(help="The letter shorthand uses, as r in 9r.")],
    colour: Annotated[str, typer.Argument(help="The colour's word, as printed.")],
    shown: Annotated[str, typer.Option(help="On the screen, as #b5382a; none: by the word.")] = "",
    goalkeeper: Annotated[bool, typer.Option("--goalkeeper", help="A goalkeeper's kit.")] = False,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Say what a side wears and which letter stands for it.

    Example: setpiece sheet kit home r red
    """
    from setpiece.match.kit_colours import shade_of
    from setpiece.match.people import Kit
    from setpiece.work.before.sheets import add_kit

    with opened_match(workspace, match) as (space, of):
        add_kit(
            space,
            of,
            wearer,
            Kit(letter, colour, shown or shade_of(colour), goalkeeper),
            Terminal(),
        )
    typer.echo(f"{letter}: {colour}, {wearer}{' goalkeeper' if goalkeeper else ''}.")


@app.command("show")
def show(workspace: WorkspaceDir = HERE, match: MatchName = None, as_json: AsJson = False) -> None:
    """Show the team sheet.

    Example: setpiece sheet show
    """
    from setpiece.match.people import Side
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        sheet = Matchday(space, of).sheet
    if as_json:
        print_json(sheet)
        return
    for side in (*Side, None):
        head = sheet.side(side).name if side else "Officials and guests"
        typer.echo(head)
        for p in (p for p in sheet.people if p.side is side):
            number = "" if p.number is None else str(p.number)
            role = p.title or (p.position if p.role.plays else p.role.value)
            said = (("captain", p.captain), ("starts", p.starts), ("under 18", p.under_18))
            marks = ", ".join(word for word, on in said if on)
            typer.echo(f"  {number:>3} {p.printed_name:32} {role:20} {marks}".rstrip())


@app.command("check")
def check(workspace: WorkspaceDir = HERE, match: MatchName = None, as_json: AsJson = False) -> None:
    """Check the team sheet.

    Double numbers, no goalkeeper, names and kits that look alike.

    Example: setpiece sheet check
    """
    from setpiece.match.sheet_audit import audit_sheet
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        remarks = audit_sheet(Matchday(space, of).sheet)
    if as_json:
        print_json(remarks)
    else:
        for remark in remarks:
            typer.echo(remark.says)
        typer.echo(f"{counted(len(remarks), 'remark')}.")
    raise typer.Exit(1 if remarks else 0)


@app.command("export")
def export(
    file: Annotated[Path, typer.Argument(help="The file to write: .csv or .json.")],
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Write the team sheet to a file.

    JSON holds all of it, CSV its people.

    Example: setpiece sheet export sheet.json
    """
    from setpiece.match.sheet_exchange import write_sheet_csv, write_sheet_json
    from setpiece.work.matchday import Matchday

    with opened_match(workspace, match) as (space, of):
        sheet = Matchday(space, of).sheet
    write_either(file, lambda: write_sheet_csv(sheet), lambda: write_sheet_json(sheet))
    typer.echo(f"{counted(len(sheet.people), 'person', 'people')} written to {file}.")
