"""`setpiece ledger`: what was published, what it earned, what it cost."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli import ledger_invoice, ledger_statement
from setpiece.cli.ledger_values import Day, DeskName, decimal, money_of, say, the_day
from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.terminal import Terminal, counted, opened, opened_match, print_json, read_text

if TYPE_CHECKING:
    from setpiece.work.ledger.entries import Noted

app = typer.Typer(
    help="Uses, payments, expenses, statements and invoices. Nothing is deleted: "
    "an entry is reversed. Figures are not tax advice."
)
app.add_typer(ledger_statement.app, name="statement")
app.add_typer(ledger_invoice.app, name="invoice")

Note = Annotated[str, typer.Option(help="A note of your own.")]
Fee = Annotated[str, typer.Option(help="As '80 EUR'; none: by the rate card.")]


@app.command("use")
def use(
    frame: Annotated[str, typer.Argument(help="The frame: handle, id or file name.")],
    outlet: Annotated[str, typer.Option(help="Where it was published.")],
    desk: DeskName = "",
    day: Day = "",
    placement: Annotated[str, typer.Option(help="As front, page 7, online.")] = "",
    size: Annotated[str, typer.Option(help="As 1/4 page, 600 px.")] = "",
    fee: Fee = "",
    share: Annotated[str, typer.Option(help="Your part of the fee in percent.")] = "100",
    licence: Annotated[int | None, typer.Option(help="The licence that covers it.")] = None,
    source: Annotated[str, typer.Option(help="Where it was seen.")] = "",
    note: Note = "",
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Note a published use of a picture.

    Example: setpiece ledger use A-0231 --outlet Gazette --desk City --fee "80 EUR" --share 50
    """
    from setpiece.books.entries import Use
    from setpiece.work.ledger.entries import note_use

    with opened_match(workspace, match) as (space, of):
        made = Use(
            "", "", outlet, placement, size, money_of(fee) if fee else None,
            share_percent=decimal(share), licence=licence, source=source, note=note,
        )  # fmt: skip
        noted = note_use(space, of, frame, made, desk, the_day(day), Terminal())
    _noted(noted, as_json)


@app.command("licence")
def licence(
    frames: Annotated[list[str], typer.Argument(help="Frames: handle, id or file name.")],
    to: Annotated[str, typer.Option(help="Who gets it.")],
    purpose: Annotated[str, typer.Option(help="What for.")],
    first: Annotated[str, typer.Option("--from", help="First day, as 2027-03-06.")],
    last: Annotated[str, typer.Option("--until", help="Last day; none: without end.")] = "",
    outlet: Annotated[str, typer.Option(help="Only there.")] = "",
    territory: Annotated[str, typer.Option(help="Only in these countries.")] = "",
    exclusive: Annotated[bool, typer.Option("--exclusive", help="Nobody else may.")] = False,
    fee: Annotated[str, typer.Option(help="As '300 EUR'.")] = "",
    note: Note = "",
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
    as_json: AsJson = False,
) -> None:
    """Note a licence: who may do what, how long, for how much.

    Example: setpiece ledger licence A-0231 --to "SK Lethenbruck" --purpose poster
    --from 2027-04-01 --until 2028-03-31 --exclusive --fee "300 EUR"
    """
    from setpiece.books.entries import Licence
    from setpiece.work.ledger.entries import note_licence

    with opened_match(workspace, match) as (space, of):
        made = Licence(
            tuple(frames), outlet, purpose, the_day(first), the_day(last) if last else None,
            territory, exclusive, money_of(fee) if fee else None, note,
        )  # fmt: skip
        noted = note_licence(space, of, frames, made, to, Terminal())
    _noted(noted, as_json)


@app.command("pay")
def pay(
    amount: Annotated[str, typer.Argument(help="As '40 EUR'; negative where it went back.")],
    desk: DeskName = "",
    day: Day = "",
    uses: Annotated[
        list[int] | None, typer.Option("--use", help="Numbers of the uses it pays for.")
    ] = None,
    invoice: Annotated[str, typer.Option(help="The invoice that it pays.")] = "",
    note: Note = "",
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """Note money that came, for uses or for an invoice.

    Example: setpiece ledger pay "40 EUR" --desk City --use 3
    """
    from setpiece.books.entries import Payment
    from setpiece.work.ledger.entries import note_payment

    with opened(workspace) as space:
        made = Payment(money_of(amount), tuple(uses or ()), invoice, note=note)
        noted = note_payment(space, made, desk, the_day(day), Terminal())
    _noted(noted, as_json)


@app.command("expense")
def expense(
    what: Annotated[str, typer.Argument(help="What for.")],
    amount: Annotated[str, typer.Argument(help="As '7.50 EUR'.")],
    day: Day = "",
    category: Annotated[str, typer.Option(help="As travel, equipment, insurance.")] = "",
    receipt: Annotated[
        Path | None, typer.Option(help="The receipt's picture or PDF; it is copied.")
    ] = None,
    match: Annotated[str, typer.Option(help="The match it belongs to.")] = "",
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """Note money spent, with its receipt.

    Example: setpiece ledger expense parking "7.50 EUR" --receipt parking.jpg
    """
    from setpiece.books.entries import Expense
    from setpiece.work.ledger.entries import note_expense

    with opened(workspace) as space:
        made = Expense(what, money_of(amount), category, match=match)
        noted = note_expense(space, made, receipt, the_day(day), Terminal())
    _noted(noted, as_json)


@app.command("trip")
def trip(
    start: Annotated[str, typer.Argument(help="From where.")],
    end: Annotated[str, typer.Argument(help="To where.")],
    distance: Annotated[str, typer.Argument(help="How far, in the table's unit.")],
    vehicle: Annotated[str, typer.Option(help="As in the mileage table.")] = "car",
    day: Day = "",
    match: Annotated[str, typer.Option(help="The match it belongs to.")] = "",
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """Note a way driven, by that day's mileage table.

    Example: setpiece ledger trip Vienna Lethenbruck 184 --day 2027-03-06
    """
    from setpiece.work.ledger.entries import note_trip

    with opened(workspace) as space:
        noted = note_trip(
            space, start, end, decimal(distance), vehicle, the_day(day), Terminal(), match=match
        )
    _noted(noted, as_json)


@app.command("reverse")
def reverse(
    number: Annotated[int, typer.Argument(help="The entry's number.")],
    reason: Annotated[str, typer.Option(help="Why.")],
    day: Day = "",
    workspace: WorkspaceDir = HERE,
) -> None:
    """Take an entry back. It stays in the ledger, and so does the reason.

    Example: setpiece ledger reverse 4 --reason "entered twice"
    """
    from setpiece.store.books import reverse as take_back

    with opened(workspace) as space:
        made = take_back(space, number, reason, the_day(day), Terminal().now())
    typer.echo(f"Entry {number} is reversed by entry {made.number}.")


@app.command("list")
def listed(
    year: Annotated[int | None, typer.Option(help="Only this year.")] = None,
    csv: Annotated[Path | None, typer.Option(help="Write all of it to this file.")] = None,
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """List the ledger's entries, reversals too.

    Example: setpiece ledger list --year 2027 --csv ledger-2027.csv
    """
    from setpiece.books.totals import rows_of
    from setpiece.store.books import entries_of
    from setpiece.store.copying import write_proved
    from setpiece.work.ledger.entries import as_csv

    with opened(workspace) as space:
        entries = tuple(e for e in entries_of(space) if year is None or e.day.year == year)
        if csv is not None:
            write_proved(as_csv(space, year).encode(), csv)
    if as_json:
        print_json(entries)
        return
    for number, day, kind, desk, what, *rest in rows_of(entries):
        amount, currency, gone = rest[2], rest[3], rest[6]
        mark = f" (reversed by {gone})" if gone else ""
        typer.echo(f"{number:>5} {day} {kind:9} {desk:14} {amount:>10} {currency:3} {what}{mark}")
    typer.echo(f"{counted(len(entries), 'entry', 'entries')}.")


@app.command("unpaid")
def unpaid(desk: DeskName = "", workspace: WorkspaceDir = HERE, as_json: AsJson = False) -> None:
    """List published uses that nobody paid for yet.

    Example: setpiece ledger unpaid --desk City
    """
    from setpiece.books.totals import rows_of, unpaid_uses
    from setpiece.store.books import entries_of

    with opened(workspace) as space:
        found = unpaid_uses(entries_of(space), desk=desk)
    if as_json:
        print_json(found)
        return
    for row in rows_of(found):
        typer.echo(f"{row[0]:>5} {row[1]} {row[3]:14} {row[10] or '?':>10} {row[8]:3} {row[4]}")
    typer.echo(f"{counted(len(found), 'use is', 'uses are')} not paid.")


@app.command("year")
def year_(
    year: Annotated[int, typer.Argument(help="The year.")],
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """Show what a year came to, one sum for each currency. Not tax advice.

    Example: setpiece ledger year 2027
    """
    from setpiece.work.ledger.entries import year_of

    with opened(workspace) as space:
        found = year_of(space, year)
    if as_json:
        print_json(found)
        return
    for t in found.totals:
        typer.echo(f"{year} in {t.currency}")
        for name in ("earned", "invoiced", "tax", "received", "expenses", "mileage", "result"):
            typer.echo(f"  {name:10} {getattr(t, name).amount:>14,f}")
    typer.echo(found.caution)


@app.command("card")
def card(
    file: Annotated[Path, typer.Argument(help="CSV with a heading.")],
    workspace: WorkspaceDir = HERE,
) -> None:
    """Add lines to the rate card.

    Columns: desk, outlet, placement, size, fee, currency, valid_from, source.

    Example: setpiece ledger card rates-2027.csv
    """
    from setpiece.work.ledger.entries import import_card

    with opened(workspace) as space:
        count = import_card(space, read_text(file), Terminal().now())
    typer.echo(f"{counted(count, 'line')} added to the rate card.")


@app.command("mileage")
def mileage(
    file: Annotated[Path, typer.Argument(help="CSV with a heading.")],
    workspace: WorkspaceDir = HERE,
) -> None:
    """Add your mileage table.

    Columns: vehicle, unit, per_unit, currency, valid_from, beyond, source.

    Example: setpiece ledger mileage mileage-2027.csv
    """
    from setpiece.books.rates import NOT_ADVICE
    from setpiece.work.ledger.entries import import_mileage

    with opened(workspace) as space:
        count = import_mileage(space, read_text(file), Terminal().now())
    typer.echo(f"{counted(count, 'rate')} added. {NOT_ADVICE}")


def _noted(noted: Noted, as_json: bool) -> None:
    if as_json:
        print_json(noted)
        return
    say(noted.remarks)
    typer.echo(f"Entry {noted.entry.number}: {noted.entry.kind}, {noted.entry.day}.")
