"""What was typed as an expression for the index: beginnings, phrases, spellings, slips.

A word finds every word that begins with it. A word that begins none is taken for a slip of the
nearest ones; numbers never are. What is in quotation marks is a phrase. `2-1` is a score.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from rapidfuzz.distance import OSA
from rapidfuzz.process import extract

from setpiece.match.names import SHORTEST_WITH_SLIP, folded, spellings
from setpiece.store.search import beginning_with, rows_with, words_of_length
from setpiece.store.workspace import Workspace

SCORE = re.compile(r"\b(\d{1,2})\s?[-–:]\s?(\d{1,2})\b")
SHORTEST_BEGINNING = 3
"""Shorter words must stand as they are."""

RARE, READ_AT_MOST = 20_000, 60_000
"""Rows that the rarest word of a ranked search may have, and all its words together.

Without a rare word there is nothing to rank by, and reading all rows of common words takes
long: 225 ms for a word of every row of 250,000.
"""

_TWO_SLIPS_FROM = 8
_PIECE = re.compile(r'"([^"]*)"|(\S+)')
_NEAREST, _NAMED = 6, 12


@dataclass(frozen=True, slots=True)
class Asked:
    """An expression for the index. `possible` is False when a word means nothing there.

    `notes` say in words what was taken for what. `rows` counts, for each word, the rows that
    have it.
    """

    match: str
    possible: bool = True
    notes: tuple[str, ...] = ()
    rows: tuple[int, ...] = ()

    @property
    def ranked(self) -> bool:
        """Whether ranking is worth its time: some word is rare and all together are not much."""
        return bool(self.rows) and min(self.rows) <= RARE and sum(self.rows) <= READ_AT_MOST


def as_score(text: str) -> str:
    """The text with each score as the one word it has in the index."""
    return SCORE.sub(r" \1to\2 ", text)


def expression_of(space: Workspace, typed: str, column: str = "") -> Asked:
    """The expression that all the typed words must meet, in one column or anywhere."""
    parts: list[str] = []
    notes: list[str] = []
    rows: list[int] = []
    for phrase, word in _PIECE.findall(as_score(typed)):
        if phrase:
            if words := folded(phrase):
                parts.append(f'"{words}"')
                rows.append(min(rows_with(space, w) for w in words.split()))
            continue
        for piece in folded(word).split():
            terms = _terms(space, piece, word)
            if not terms:
                near = _nearest(space, piece)
                if not near:
                    return Asked("", False, (*notes, f"no caption has {word}"))
                notes.append(f"nothing has {word}: looked for {', '.join(near)}")
                terms = {f'"{n}"': rows_with(space, n) for n in near}
            parts.append(f"({' OR '.join(terms)})")
            rows.append(sum(terms.values()))
    joined = " AND ".join(parts)
    if column and joined:
        joined = f"{column} : ({joined})"
    return Asked(joined, True, tuple(notes), tuple(rows))


def all_of(asked: Sequence[Asked]) -> Asked:
    """What meets every one of several expressions."""
    parts = [f"({a.match})" for a in asked if a.match]
    notes = tuple(n for a in asked for n in a.notes)
    rows = tuple(n for a in asked for n in a.rows)
    return Asked(" AND ".join(parts), all(a.possible for a in asked), notes, rows)


def _terms(space: Workspace, piece: str, typed: str) -> dict[str, int]:
    """The terms of one word, in its spellings, with the rows that have them; those there are.

    A few words of one beginning are named one by one: the index reads them as it goes, while it
    would first read all of a beginning.
    """
    forms = dict.fromkeys((piece, *(spellings(typed) if folded(typed) == piece else ())))
    found: dict[str, int] = {}
    for form in forms:
        if " " in form:
            continue
        if len(form) < SHORTEST_BEGINNING or form.isdigit():
            found[f'"{form}"'] = rows_with(space, form)
            continue
        words, rows = beginning_with(space, form, _NAMED + 1)
        if len(words) > _NAMED:
            found[f'"{form}"*'] = rows
        else:
            found |= {f'"{w}"': n for w, n in words.items()}
    return {term: rows for term, rows in found.items() if rows}


def _nearest(space: Workspace, word: str) -> list[str]:
    """The indexed words with the fewest slips: one, or two from eight letters on."""
    if len(word) < SHORTEST_WITH_SLIP or any(c.isdigit() for c in word):
        return []
    most = 2 if len(word) >= _TWO_SLIPS_FROM else 1
    words = words_of_length(space, len(word) - most, len(word) + most)
    found = extract(word, words, scorer=OSA.distance, score_cutoff=most, limit=_NEAREST)
    best = min((distance for _, distance, _ in found), default=0)
    return sorted(w for w, distance, _ in found if distance == best)
