"""What a corrected picture says of itself in its Instructions, and that nothing of it is cut."""

from __future__ import annotations

import pytest

from setpiece.captions.changes import ChangedFact
from setpiece.captions.fields import PictureFields
from setpiece.errors import WrongUse
from setpiece.work.desk.words import EDIT_STATUS, INSTRUCTIONS_MOST_BYTES, corrected

NAMES = tuple(f"Żelichowska-Brännmark the {n}th" for n in range(12))


def test_the_instructions_name_what_was_wrong_before_what_they_said() -> None:
    """A changed name is told, then the picture's own instructions, and the status is set."""
    wrong = (ChangedFact("person", "Ida Lund", ""), ChangedFact("person", "", "Eva Lund"))
    fields, shortly = corrected(PictureFields(instructions="Pool picture."), wrong, "", "en")
    assert not shortly
    assert fields.edit_status == EDIT_STATUS
    assert fields.instructions.endswith(
        "it named Ida Lund in error; right is Eva Lund. Pool picture."
    )


def test_what_does_not_fit_is_told_shortly_and_whole() -> None:
    """Where the field cannot hold every name, it says that the text was wrong, cut nowhere."""
    wrong = [ChangedFact("person", name, "") for name in NAMES]
    fields, shortly = corrected(PictureFields(instructions="Pool picture."), wrong, "", "en")
    assert shortly
    assert fields.instructions.endswith("the text was wrong. Pool picture.")
    assert len(fields.instructions.encode()) <= INSTRUCTIONS_MOST_BYTES


def test_own_words_that_do_not_fit_are_a_question() -> None:
    """The photographer's own account is never cut: it is to be said in fewer words."""
    with pytest.raises(WrongUse, match=r"the field holds 256\. Say it in fewer words"):
        corrected(PictureFields(), (), "ü" * 200, "en")
