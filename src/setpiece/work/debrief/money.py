"""What was published of a match and what came of it so far, from the ledger."""

from __future__ import annotations

from setpiece.books.entries import BookEntry, Expense, Payment, Trip, Use, standing
from setpiece.books.money import Money, by_currency
from setpiece.books.totals import unpaid_uses
from setpiece.plan.debrief.facts import MoneyFact
from setpiece.store.books import entries_of
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace


def money_fact(space: Workspace, of: Match) -> MoneyFact | None:
    """The ledger's word on one match; None where it has none."""
    entries = standing(entries_of(space))
    uses = [e for e in entries if isinstance(e.content, Use) and e.content.match == of.folder]
    spent = [
        e.content.amount
        for e in entries
        if isinstance(e.content, (Expense, Trip)) and e.content.match == of.folder
    ]
    if not uses and not spent:
        return None
    numbers = {e.number for e in uses}
    unpaid = [e for e in unpaid_uses(entries) if e.number in numbers]
    return MoneyFact(
        uses=len(uses),
        outlets=tuple(dict.fromkeys(_outlet(e) for e in uses)),
        due=_sums([d for e in uses if isinstance(e.content, Use) and (d := e.content.due)]),
        paid=_sums([p for e in entries if (p := _paid_for(e, numbers)) is not None]),
        unpaid=len(unpaid),
        spent=_sums(spent),
    )


def _outlet(entry: BookEntry) -> str:
    return (entry.content.outlet if isinstance(entry.content, Use) else "") or entry.desk


def _paid_for(entry: BookEntry, numbers: set[int]) -> Money | None:
    """The payment of an entry that pays for these uses alone."""
    content = entry.content
    if isinstance(content, Payment) and content.uses and set(content.uses) <= numbers:
        return content.amount
    return None


def _sums(amounts: list[Money]) -> tuple[str, ...]:
    return tuple(str(m) for m in by_currency(amounts).values())
