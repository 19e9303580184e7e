"""Whether a use is within its licence, and whether it breaks somebody else's."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from setpiece.books.entries import BookEntry, Licence, Use, standing
from setpiece.match.names import folded


def outside(licence: Licence, use: Use, day: datetime.date) -> tuple[str, ...]:
    """Why a use is not covered by a licence, in words; empty when it is."""
    words = []
    if use.frame not in licence.frames:
        words.append("the licence is not for this picture")
    if licence.outlet and folded(licence.outlet) != folded(use.outlet):
        words.append(f"the licence is for {licence.outlet}")
    if day < licence.first_day:
        words.append(f"the licence begins on {licence.first_day}")
    if licence.last_day is not None and day > licence.last_day:
        words.append(f"the licence ended on {licence.last_day}")
    return tuple(words)


def broken_by(
    entries: Sequence[BookEntry], use: Use, desk: str, day: datetime.date
) -> tuple[str, ...]:
    """Exclusive licences of others that hold on the picture that day, in words."""
    found = []
    for entry in standing(entries):
        licence = entry.content
        if not isinstance(licence, Licence) or not licence.exclusive or entry.desk == desk:
            continue
        if use.frame in licence.frames and not outside(licence, _same_outlet(use, licence), day):
            until = f" until {licence.last_day}" if licence.last_day else ""
            found.append(f"{entry.desk} has it exclusively{until} (entry {entry.number})")
    return tuple(found)


def _same_outlet(use: Use, licence: Licence) -> Use:
    return Use(use.frame, use.match, licence.outlet or use.outlet)
