"""What the words of a typed line may mean, and what stays a note."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from setpiece.errors import Choices
from setpiece.match.entries import Entry, Kind
from setpiece.match.people import PersonId, Side
from setpiece.match.typed import read_line

if TYPE_CHECKING:
    from conftest import Match


def read(tie: Match, line: str) -> Entry:
    """The entry of a line typed in the first half."""
    if not tie.entries:
        tie.whistles(until=1)
    return read_line(line, tie.sheet, tie.fold().state_at(tie.at(100)), tie.at(100))


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
    entry = read(tie, line)
    assert (entry.kind, entry.side, entry.note) == (Kind.KIT, side, note)


@pytest.mark.parametrize(
    "line", ["added 3", "tribute ines", "resumed 9", "abandoned in fog", "break 4"]
)
def test_kinds_that_name_nobody_keep_their_words(tie: Match, line: str) -> None:
    """Numbers and names after a word that concerns nobody are its note."""
    entry = read(tie, line)
    assert entry.note == line.split(" ", 1)[1]
    assert (entry.person, entry.other, entry.side) == (None, None, None)


def test_a_word_that_is_nearly_a_name_is_a_note(tie: Match) -> None:
    """`hand` is not Hana and `ho` not Holm: a name is never guessed from a slip."""
    entry = read(tie, "goal 9r hand ho")
    assert (entry.person, entry.other, entry.note) == (tie.who("home 9"), None, "hand ho")
    assert read(tie, "yellow te").person is None
    assert read(tie, "yellow tes").person == PersonId("home-coach")
    assert read(tie, "goal 9r tes").other is None
    assert read(tie, "goal 9r tess").other == PersonId("home-coach")


def test_a_new_number_is_nobody(tie: Match) -> None:
    """The number of a changed shirt may be another's: it is no person."""
    entry = read(tie, "shirt 9r 14")
    assert (entry.person, entry.number) == (tie.who("home 9"), 14)


def test_a_bare_number_is_a_question(tie: Match) -> None:
    """A number without its kit letter fits both sides and is asked for."""
    with pytest.raises(Choices, match="9 Ines Holm; 9 Ines Okoro"):
        read(tie, "goal 9")
