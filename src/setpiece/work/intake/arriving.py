"""What cameras sent over the air is taken in as it arrives, and then cleared away."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from setpiece.errors import Busy
from setpiece.store.copying import content_of
from setpiece.store.files import files_of
from setpiece.store.matches import Match, find_match
from setpiece.store.workspace import Workspace
from setpiece.work.intake.cards import Trouble, printable
from setpiece.work.intake.receiving import Receiver
from setpiece.work.intake.take import TakeReport, take_in
from setpiece.work.job import Caller

TICK_S = 1.0
"""What arrives within so much of each other is taken in together."""


def take_in_what_arrives(
    space: Workspace,
    target: Callable[[], Match | None],
    receiver: Receiver,
    caller: Caller,
    told: Callable[[TakeReport], None],
    refused: Callable[[Trouble], None],
) -> None:
    """Takes in what is waiting, and then whatever arrives, until the caller stops.

    `target` names the match each time; `told` gets the report of every run, `refused` each file
    that went to quarantine. While another run goes on, what arrived waits.
    """
    due = True
    while not caller.stopped():
        arrived = receiver.next(TICK_S)
        if arrived is not None and arrived.quarantined:
            refused(Trouble(printable(arrived.path), f"quarantined: {arrived.quarantined}"))
        elif arrived is not None:
            due = True
        elif due:
            with suppress(Busy):
                _take_in(space, target(), receiver.received, caller, told)
                due = False


def _take_in(
    space: Workspace,
    of: Match | None,
    folder: Path,
    caller: Caller,
    told: Callable[[TakeReport], None],
) -> None:
    """One run over what is waiting; what is in the match afterwards is cleared."""
    waiting = [p for p in folder.rglob("*") if p.is_file()]
    if not waiting:
        return
    report = take_in(space, of, waiting, caller)
    known = {f.content for f in files_of(space, find_match(space, report.match))}
    for path in waiting:
        if content_of(path) in known:
            path.unlink()
            with suppress(OSError):
                path.parent.rmdir()
    told(report)
