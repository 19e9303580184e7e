"""Days, amounts and numbers as the ledger's commands take them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.terminal import Terminal

if TYPE_CHECKING:
    import datetime
    from decimal import Decimal

    from setpiece.books.money import Money

Day = Annotated[str, typer.Option("--day", help="As 2027-03-06; none: today.")]
DeskName = Annotated[str, typer.Option("--desk", help="The desk or customer.")]


def the_day(text: str) -> datetime.date:
    """A typed day, or today where the laptop stands. Raises WrongUse."""
    from setpiece.work.find.search import read_date

    return read_date(text) or Terminal().now().astimezone().date()


def money_of(text: str) -> Money:
    """A typed amount with its currency. Raises WrongUse."""
    from setpiece.books.money import read_money

    return read_money(text)


def decimal(text: str) -> Decimal:
    """A typed number. Raises WrongUse."""
    from setpiece.books.money import read_decimal

    return read_decimal(text)


def say(remarks: Iterable[str]) -> None:
    """Prints what is to be known, beside the answer."""
    for remark in remarks:
        typer.echo(remark, err=True)
