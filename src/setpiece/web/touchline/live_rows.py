"""The report for a page that is open already: which rows changed, and their markup again."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from setpiece.web.standing import REPORT
from setpiece.web.touchline.opened import opened
from setpiece.web.touchline.report import (
    Row,
    Run,
    first_to_open,
    passage_frames,
    passage_of,
    rows,
    run_of,
)
from setpiece.web.wording import Wording
from setpiece.work.matchday import Matchday

FIRST_ROWS = 14
"""So many rows come whole with the page; the others are shells until they are near."""


@dataclass(frozen=True, slots=True)
class Reported:
    """All rows of a match with their closed passages, and a mark of each row's content."""

    rows: tuple[Row, ...]
    runs: Mapping[str, Run]
    marks: Mapping[str, str]


def reported(day: Matchday, words: Wording) -> Reported:
    """The whole report, kept with the view of the match that it was made from."""
    kept: dict[str, Reported] = vars(day).setdefault(REPORT, {})
    if words.language not in kept:
        kept[words.language] = _made(day, words)
    return kept[words.language]


def _made(day: Matchday, words: Wording) -> Reported:
    all_rows, frames = rows(day, words), passage_frames(day)
    runs = {p: run_of(day, p, words, frames[p]) for row in all_rows for p in row.passages}
    marks = {
        row.key: hashlib.blake2b(
            repr((row, [runs[p] for p in row.passages])).encode(), digest_size=6
        ).hexdigest()
        for row in all_rows
    }
    return Reported(all_rows, runs, marks)


def report_values(
    day: Matchday, words: Wording, frame_id: str, keys: Sequence[str] | None
) -> dict[str, Any]:
    """What the templates of rows need.

    With `keys` those rows, whole; without, all rows of which the first, and those around the
    opened frame, are whole and the others shells.
    """
    made = reported(day, words)
    opens = passage_of(day, frame_id) if frame_id else ""
    at = next((i for i, r in enumerate(made.rows) if opens in r.passages), 0)
    chosen: Sequence[Row] = made.rows
    if keys is None:
        near: Sequence[Row] = made.rows[max(0, at - FIRST_ROWS // 2) : at + FIRST_ROWS]
    else:
        chosen = near = [r for r in made.rows if r.key in set(keys)]
    return {
        "rows": chosen,
        "whole": {r.key for r in near},
        "marks": made.marks,
        "runs": made.runs,
        "firsts": {p: first_to_open(day, f) for p, f in passage_frames(day).items()},
        "open": opened(day, frame_id, words) if frame_id else None,
        "folder": day.match.folder,
    }
