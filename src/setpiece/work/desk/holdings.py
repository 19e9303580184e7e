"""What each desk has: the newest version of each picture that arrived there and was not killed."""

from __future__ import annotations

from collections.abc import Iterable

from setpiece.send.sender import Receipt
from setpiece.store.delivery import Delivery, Kind, State
from setpiece.store.forms import from_json


def holdings(outbox: Iterable[Delivery]) -> dict[tuple[str, str], Delivery]:
    """The delivery that a desk goes by, by frame id and desk.

    A killed picture is still there until its notice has arrived.
    """
    has: dict[tuple[str, str], Delivery] = {}
    for item in sorted(outbox, key=lambda d: (d.ended, d.id)):
        if item.state is not State.DELIVERED:
            continue
        key = item.frame_id, item.desk
        if item.kind is Kind.KILL:
            has.pop(key, None)
        else:
            has[key] = item
    return has


def receipt_of(item: Delivery) -> Receipt | None:
    """The receipt of a delivery, None before it arrived."""
    return from_json(Receipt, item.receipt) if item.receipt else None
