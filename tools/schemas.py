"""Writes the schema of every `--json` to docs/schemas, one file a command."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from setpiece.books.entries import BookEntry
from setpiece.books.invoices import Standing
from setpiece.match.answers import LogAnswer, MinuteAnswer
from setpiece.match.entries import Entry
from setpiece.match.people import TeamSheet
from setpiece.pictures.rendition import Edit
from setpiece.plan.answers.exposure import ExposureAnswer
from setpiece.plan.answers.lens import LensAnswer
from setpiece.plan.answers.light import LightAnswer
from setpiece.plan.answers.penalty import PenaltyAnswer
from setpiece.plan.answers.seat import SeatAnswer
from setpiece.plan.answers.sheet import SheetAnswer
from setpiece.plan.debrief.facts import MatchFacts
from setpiece.store.forms import adapter
from setpiece.store.matches import Match
from setpiece.store.statements import StoredStatement
from setpiece.work.archive.keep import Archived
from setpiece.work.archive.rebuild import Rebuilt
from setpiece.work.archive.state import Safety
from setpiece.work.archive.verify import Scrubbed
from setpiece.work.caption import Written
from setpiece.work.clocks.fit import CameraClock
from setpiece.work.cuttings.index import Indexed
from setpiece.work.cuttings.kept import Cutting
from setpiece.work.cuttings.lookup import CuttingsFound
from setpiece.work.demo.outcome import Outcome
from setpiece.work.desk.arrivals import OutboxRow
from setpiece.work.desk.correct import WrongNow
from setpiece.work.desk.deliver import SendReport
from setpiece.work.desk.desks import Desk, StepSaid
from setpiece.work.desk.goal import GoalSent
from setpiece.work.desk.request import Fit, Request
from setpiece.work.desk.terms import PictureTerms
from setpiece.work.doctor import Doctor
from setpiece.work.find.pictures import Found
from setpiece.work.intake.take import TakeReport
from setpiece.work.ledger.entries import Noted, Year
from setpiece.work.ledger.invoices import Written as InvoiceWritten
from setpiece.work.ledger.statements import Judged
from setpiece.work.listing import FrameRow

FOLDER = Path(__file__).resolve().parent.parent / "docs" / "schemas"

JSON_OF: dict[str, Any] = {
    "doctor": Doctor,
    "fixture show": Match,
    "sheet show": TeamSheet,
    "log add": Entry,
    "log list": tuple[Entry, ...],
    "log state": LogAnswer,
    "minute": MinuteAnswer,
    "plan seat": SeatAnswer,
    "plan penalty": PenaltyAnswer,
    "plan lens": LensAnswer,
    "plan light": LightAnswer,
    "plan exposure": ExposureAnswer,
    "plan sheet": SheetAnswer,
    "demo": Outcome,
    "take": TakeReport,
    "clock fit": tuple[CameraClock, ...],
    "clock show": tuple[CameraClock, ...],
    "frames": tuple[FrameRow, ...],
    "caption": Written,
    "check": tuple[Written, ...],
    "desk list": tuple[Desk, ...],
    "desk test": tuple[StepSaid, ...],
    "send": SendReport,
    "outbox": tuple[OutboxRow, ...],
    "desk set": Desk,
    "terms": PictureTerms,
    "crop": Edit,
    "request add": tuple[Fit, ...],
    "request list": tuple[Request, ...],
    "request answer": SendReport,
    "send-goal": GoalSent,
    "correct list": WrongNow,
    "correct send": SendReport,
    "kill": SendReport,
    "archive match": tuple[Archived, ...],
    "archive verify": tuple[Scrubbed, ...],
    "archive state": tuple[Safety, ...],
    "archive rebuild": Rebuilt,
    "find": Found,
    "cuttings index": Indexed,
    "cuttings find": CuttingsFound,
    "cuttings list": tuple[Cutting, ...],
    "cuttings confirm": Noted,
    "debrief": MatchFacts,
    "ledger use": Noted,
    "ledger licence": Noted,
    "ledger pay": Noted,
    "ledger expense": Noted,
    "ledger trip": Noted,
    "ledger list": tuple[BookEntry, ...],
    "ledger unpaid": tuple[BookEntry, ...],
    "ledger year": Year,
    "ledger statement read": Judged,
    "ledger statement show": Judged,
    "ledger statement list": tuple[StoredStatement, ...],
    "ledger invoice new": InvoiceWritten,
    "ledger invoice list": tuple[Standing, ...],
}
"""What each command prints with `--json`."""


def schemas() -> dict[str, str]:
    """File name and text of every schema."""
    return {
        f"{name.replace(' ', '-')}.json": json.dumps(
            {"title": f"setpiece {name} --json"} | adapter(kind).json_schema(mode="serialization"),
            indent=1,
            ensure_ascii=False,
            sort_keys=True,
        )
        + "\n"
        for name, kind in JSON_OF.items()
    }


if __name__ == "__main__":
    FOLDER.mkdir(parents=True, exist_ok=True)
    for file, text in schemas().items():
        (FOLDER / file).write_text(text, encoding="utf-8")
    print(f"{len(JSON_OF)} schemas written to docs/schemas")
