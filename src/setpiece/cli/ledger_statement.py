"""`setpiece ledger statement`: what desks say they pay, held against what they have."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.ledger_values import Day, decimal, the_day
from setpiece.cli.options import HERE, AsJson, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened, print_json

if TYPE_CHECKING:
    from setpiece.work.ledger.statements import Judged

app = typer.Typer(help="Payment statements of desks, matched to deliveries and uses.")

Number = Annotated[int, typer.Argument(help="The statement's number.")]


@app.command("read")
def read(
    file: Annotated[Path, typer.Argument(help="The statement as CSV.")],
    desk: Annotated[str, typer.Option("--desk", help="Whose statement it is.")],
    column: Annotated[
        list[str] | None,
        typer.Option(help="As picture='File name'; once for each column, remembered."),
    ] = None,
    currency: Annotated[str, typer.Option(help="Where the file names none, as EUR.")] = "",
    decimal_mark: Annotated[str, typer.Option(help=". or , where numbers do not tell.")] = "",
    dates: Annotated[str, typer.Option(help="dmy, mdy or ymd where numbers do not tell.")] = "",
    share: Annotated[str, typer.Option(help="Your agreed part in percent.")] = "",
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """Read a statement and say what each line is.

    Paid, wrong share, unknown, twice, or taken back.

    Nothing is booked. How a desk's file is read is remembered.

    Example: setpiece ledger statement read march.csv --desk City --column picture="Image"
    --column paid="Net" --currency EUR --share 50
    """
    from setpiece.errors import WrongUse
    from setpiece.work.ledger import statements as job

    columns = {}
    for text in column or []:
        name, equals, heading = text.partition("=")
        if not equals or not heading.strip():
            raise WrongUse("a column is given as NAME=HEADING", thing=text)
        columns[name.strip()] = heading.strip()
    with opened(workspace) as space:
        form = job.form_with(
            space,
            desk,
            columns,
            currency=currency.upper(),
            decimal_mark=decimal_mark,
            day_order=dates,
            share_percent=decimal(share) if share else None,
        )
        judged = job.read(space, file, desk, form, Terminal())
    _say(judged, as_json)


@app.command("show")
def show(number: Number, workspace: WorkspaceDir = HERE, as_json: AsJson = False) -> None:
    """Show a statement again, judged by what is known now.

    Example: setpiece ledger statement show 1
    """
    from setpiece.work.ledger.statements import judge

    with opened(workspace) as space:
        judged = judge(space, number)
    _say(judged, as_json)


@app.command("book")
def book(number: Number, day: Day = "", workspace: WorkspaceDir = HERE) -> None:
    """Book the payments of a statement and their uses.

    A payment for every line that is known.

    Example: setpiece ledger statement book 1 --day 2027-04-15
    """
    from setpiece.work.ledger.statements import book as book_it

    with opened(workspace) as space:
        judged = book_it(space, number, Terminal(), day=the_day(day))
    left = sum(m.frame == "" for m in judged.outcome.lines)
    typer.echo(f"Statement {number} is booked; {left} unknown lines are not.")


@app.command("list")
def listed(workspace: WorkspaceDir = HERE, as_json: AsJson = False) -> None:
    """List statements and whether they were booked.

    Example: setpiece ledger statement list
    """
    from setpiece.work.ledger.statements import statements

    with opened(workspace) as space:
        known = statements(space)
    if as_json:
        print_json(known)
        return
    for item in known:
        booked = f"booked {item.booked[:10]}" if item.booked else "not booked"
        typer.echo(f"{item.id:>4} {item.desk:14} {item.name:30} {booked}")


def _say(judged: Judged, as_json: bool) -> None:
    if as_json:
        print_json(judged)
    else:
        for item in judged.outcome.lines:
            why = f"  {item.why}" if item.why else ""
            typer.echo(
                f"{item.line.line:>4} {item.verdict:11} {item.line.paid!s:>14} "
                f"{item.line.picture}{why}"
            )
        for row in judged.statement.unread:
            typer.echo(f"{row.line:>4} not understood: {row.why}", err=True)
        for remark in judged.statement.remarks:
            typer.echo(remark, err=True)
        for use in judged.outcome.unpaid:
            typer.echo(f"     unpaid      {use.due or '?'!s:>14} use {use.number}, {use.outlet}")
        sums = ", ".join(str(m) for m in judged.statement.paid.values()) or "nothing"
        typer.echo(
            f"Statement {judged.id}: {len(judged.outcome.lines)} lines, {sums}. "
            f"Next: setpiece ledger statement book {judged.id}"
        )
    clean = all(m.verdict == "paid" for m in judged.outcome.lines)
    findings = judged.statement.unread or judged.statement.remarks or judged.outcome.unpaid
    raise typer.Exit(0 if clean and not findings else 1)
