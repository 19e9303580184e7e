"""The first word decides what a line does."""

from __future__ import annotations

from contextlib import suppress

import pytest
import small_match

from setpiece.captions.line import COMMAND_WORDS
from setpiece.errors import WrongUse
from setpiece.store.frames import Decision
from setpiece.web.touchline.intent import Deed, intent_of
from setpiece.work.style_files import load_acts


@pytest.mark.parametrize(
    ("line", "deed"),
    [
        ("", Deed.NOTHING),
        ("   ", Deed.NOTHING),
        ("9r celebrates", Deed.CAPTION),
        ("red 9 celebrates", Deed.CAPTION),
        ("r supporters celebrate", Deed.CAPTION),
        ("captain lifts trophy", Deed.CAPTION),
        ("red 5b", Deed.LOG),
        ("yellow 5b", Deed.LOG),
        ("goal 9r header", Deed.LOG),
        ("log captain 4r", Deed.LOG),
        ("whistle", Deed.LOG),
        ("sub 17b for 8b", Deed.LOG),
        ("use", Deed.DECIDE),
        ("USE A-0001", Deed.DECIDE),
        ("send goal", Deed.SEND),
        ("take /media/card", Deed.TAKE),
        ("find supporters", Deed.FIND),
        ("undo", Deed.UNDO),
        ("withdraw 7", Deed.WITHDRAW),
        ("overrule 1 asked the club", Deed.OVERRULE),
    ],
)
def test_the_first_word_decides(line: str, deed: Deed) -> None:
    """A word that acts acts; everything else is a caption; a colour with a number is a shirt."""
    assert intent_of(line, small_match.sheet(), load_acts()).deed is deed


def test_a_correction_names_its_entry() -> None:
    """`correct 7 goal 11r here` replaces entry 7 and pins the new one to the opened frame."""
    intent = intent_of("correct e7 goal 11r here", small_match.sheet(), load_acts())
    assert (intent.deed, intent.replaces, intent.here) == (Deed.LOG, 7, True)
    assert intent.rest == "goal 11r"


def test_clear_takes_a_decision_off() -> None:
    """`clear` leaves a frame undecided."""
    intent = intent_of("clear", small_match.sheet(), load_acts())
    assert (intent.deed, intent.decision) == (Deed.DECIDE, Decision.NONE)


def test_no_word_that_acts_opens_a_caption() -> None:
    """Every word that acts does so on this page, or is refused; none is taken for a caption."""
    sheet, acts = small_match.sheet(), load_acts()
    opens_caption = []
    for word in COMMAND_WORDS - {"correct"}:
        with suppress(WrongUse):
            if intent_of(word, sheet, acts).deed is Deed.CAPTION:
                opens_caption.append(word)
    assert opens_caption == []
