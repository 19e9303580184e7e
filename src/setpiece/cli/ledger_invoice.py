"""`setpiece ledger invoice`: written, listed, cancelled, reminded of. Who writes and who pays."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.ledger_values import Day, decimal, money_of, the_day
from setpiece.cli.options import HERE, AsJson, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened, print_json

if TYPE_CHECKING:
    from setpiece.books.invoices import Line
    from setpiece.work.ledger.invoices import TaxSetting

app = typer.Typer(help="Invoices as PDF, numbered without a gap. Not tax advice.")

Number = Annotated[str, typer.Argument(help="The invoice's number.")]
Address = Annotated[
    list[str] | None, typer.Option(help="A line of the address; once for each line.")
]
TaxId = Annotated[str, typer.Option(help="A tax number, as printed.")]
Currency = Annotated[str, typer.Option(help="As EUR.")]


@app.command("me")
def me(
    name: Annotated[str, typer.Argument(help="Your name as invoices print it.")],
    address: Address = None,
    tax_id: TaxId = "",
    bank: Annotated[str, typer.Option(help="Where to pay to, as printed.")] = "",
    email: Annotated[str, typer.Option(help="Your address for mail.")] = "",
    note: Annotated[str, typer.Option(help="A sentence under every invoice.")] = "",
    workspace: WorkspaceDir = HERE,
) -> None:
    """Set what your invoices say of yourself.

    Example: setpiece ledger invoice me "Ida Marlow" --address "Lantern Street 4" --bank "AT00 ..."
    """
    from setpiece.books.invoices import Party
    from setpiece.store.books import OWN, save_party

    with opened(workspace) as space:
        own = Party(name, tuple(address or ()), tax_id, bank, email, note=note)
        save_party(space, OWN, own, Terminal().now())
    typer.echo("Kept. Next: setpiece ledger invoice customer")


@app.command("customer")
def customer(
    name: Annotated[str, typer.Argument(help="Name as invoices print it.")],
    address: Address = None,
    tax_id: TaxId = "",
    currency: Currency = "EUR",
    terms: Annotated[int, typer.Option(help="Days until an invoice is due.")] = 30,
    workspace: WorkspaceDir = HERE,
) -> None:
    """Keep somebody who gets invoices.

    Example: setpiece ledger invoice customer "SK Lethenbruck" --address "Ground Road 1" --terms 14
    """
    from setpiece.books.invoices import Party
    from setpiece.store.books import save_party

    with opened(workspace) as space:
        made = Party(
            name, tuple(address or ()), tax_id, currency=currency.upper(), terms_days=terms
        )
        save_party(space, name, made, Terminal().now())
    typer.echo(f"Kept: {name}. Next: setpiece ledger invoice new --to")


@app.command("new")
def new(
    to: Annotated[str, typer.Option(help="The customer.")],
    line: Annotated[
        list[str] | None, typer.Option(help="As 'Match day; 350 EUR' or 'Picture; 40 EUR; 3'.")
    ] = None,
    use: Annotated[list[int] | None, typer.Option(help="A published use by its number.")] = None,
    tax: Annotated[str, typer.Option(help="Percent on every line, where you owe tax.")] = "",
    tax_name: Annotated[str, typer.Option(help="As printed.")] = "VAT",
    series: Annotated[str, typer.Option(help="Series of numbers; none: the year.")] = "",
    service: Annotated[str, typer.Option(help="What for and when, as printed.")] = "",
    note: Annotated[str, typer.Option(help="A sentence under the sum.")] = "",
    day: Day = "",
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """Write an invoice under the next number, and its PDF.

    Example: setpiece ledger invoice new --to "SK Lethenbruck" --line "Match day; 350 EUR" --tax 20
    """
    from setpiece.work.ledger.invoices import TaxSetting, write_invoice

    setting = TaxSetting(decimal(tax), tax_name) if tax else TaxSetting()
    with opened(workspace) as space:
        written = write_invoice(
            space,
            to,
            [_line(text, setting) for text in line or []],
            the_day(day),
            Terminal(),
            uses=use or [],
            tax=setting,
            series=series,
            service=service,
            note=note,
        )
    if as_json:
        print_json(written)
        return
    made = written.invoice
    typer.echo(f"Invoice {made.number}: {made.gross}, due {made.due}. {written.path}")


@app.command("list")
def listed(day: Day = "", workspace: WorkspaceDir = HERE, as_json: AsJson = False) -> None:
    """List invoices: paid, open, overdue, and whether a reminder is due.

    Example: setpiece ledger invoice list
    """
    from setpiece.work.ledger.invoices import invoices, missing_numbers

    with opened(workspace) as space:
        known = invoices(space, the_day(day))
        missing = missing_numbers(space)
    if as_json:
        print_json(known)
        return
    for item in known:
        words = "cancelled" if item.cancelled else "paid" if not item.open.amount else "open"
        late = f", {item.days_overdue} days overdue" if item.days_overdue else ""
        remind = f", reminder {item.reminder_due} is due" if item.reminder_due else ""
        typer.echo(
            f"{item.invoice.number}  {item.invoice.customer.name:24} {item.invoice.gross!s:>14}  "
            f"{words}{late}{remind}"
        )
    for number in missing:
        typer.echo(f"{number} is missing from its series.", err=True)
    raise typer.Exit(1 if missing else 0)


@app.command("print")
def print_(number: Number, workspace: WorkspaceDir = HERE) -> None:
    """Write an invoice's PDF again.

    Example: setpiece ledger invoice print 2027-0001
    """
    from setpiece.store.books import find_invoice
    from setpiece.work.ledger.invoices import print_invoice

    with opened(workspace) as space:
        typer.echo(print_invoice(space, find_invoice(space, number)))


@app.command("cancel")
def cancel(
    number: Number,
    reason: Annotated[str, typer.Option(help="Why; it is printed.")],
    day: Day = "",
    workspace: WorkspaceDir = HERE,
) -> None:
    """Take an invoice back by one with its own number.

    Example: setpiece ledger invoice cancel 2027-0001 --reason "wrong customer"
    """
    from setpiece.work.ledger import invoices as books_invoices

    with opened(workspace) as space:
        made = books_invoices.cancel(space, number, reason, the_day(day), Terminal())
    typer.echo(f"Invoice {made.invoice.number} takes {number} back. {made.path}")


@app.command("remind")
def remind(number: Number, day: Day = "", workspace: WorkspaceDir = HERE) -> None:
    """Write the reminder that is due for an overdue invoice.

    Example: setpiece ledger invoice remind 2027-0001
    """
    from setpiece.work.ledger import invoices as books_invoices

    with opened(workspace) as space:
        found, path = books_invoices.remind(space, number, the_day(day), Terminal())
    typer.echo(f"Reminder {found.reminder_due} for {number}: {found.open} open. {path}")


def _line(text: str, tax: TaxSetting) -> Line:
    """A typed line: words; price; quantity."""
    from setpiece.books.invoices import Line
    from setpiece.errors import WrongUse

    words, *rest = [part.strip() for part in text.split(";")]
    if len(rest) not in (1, 2):
        raise WrongUse(
            "a line is words; price; quantity", thing=text, next_step="As: Match day; 350 EUR"
        )
    quantity = decimal(rest[1]) if len(rest) == 2 else decimal("1")
    return Line(words, money_of(rest[0]), quantity, tax.percent, tax.name if tax.percent else "")
