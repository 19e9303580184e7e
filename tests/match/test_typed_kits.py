"""A changed kit as a typed line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from setpiece.match.entries import Kind
from setpiece.match.people import Side
from setpiece.match.typed import read_line

if TYPE_CHECKING:
    from conftest import Match


@pytest.mark.parametrize(
    ("line", "side", "note"),
    [
        ("kit w b", Side.AWAY, "b"),
        ("kit away b blue", Side.AWAY, "b blue"),
        ("kit r  g", Side.HOME, "g"),
        ("kit z b", None, "z b"),
        ("kit", None, ""),
    ],
)
def test_a_change_of_kit(tie: Match, line: str, side: Side | None, note: str) -> None:
    """The first word is the kit or the side that changes, the second the new kit's letter."""
    entry = read_line(line, tie.sheet, tie.fold().last(), tie.at(0))
    assert (entry.kind, entry.side, entry.note) == (Kind.KIT, side, note)
