"""What the rooms below the page say, in the page's language."""

from __future__ import annotations

import sys
from functools import cache
from importlib import util
from pathlib import Path
from types import ModuleType

import pytest

from setpiece.web.told import messages, told

ROOT = Path(__file__).resolve().parents[2]

SEEN = ("captions/", "match/clock", "match/sheet_audit", "match/typed", "web/", "work/doctor")
"""Rooms whose sentences the page shows at every turn: check, line, sheet, doctor."""

TYPED = "withdraw 7"
"""What is typed is the same in every language."""


@cache
def tool() -> ModuleType:
    """The tool that finds every message in the code."""
    spec = util.spec_from_file_location("messages_tool", ROOT / "tools" / "messages.py")
    assert spec is not None
    assert spec.loader is not None
    made = util.module_from_spec(spec)
    sys.modules[spec.name] = made
    spec.loader.exec_module(made)
    return made


def seen() -> list[str]:
    """Every sentence of those rooms as it stands in the code, names in braces."""
    found: dict[str, None] = {}
    for message in tool().messages():
        if message.module.startswith(SEEN):
            for text in (message.says, message.next_step):
                found |= dict.fromkeys(p.strip() for p in text.split(" / ") if p.strip())
    return [text for text in found if any(letter.isalpha() for letter in text) and text != TYPED]


def test_every_sentence_that_a_page_shows_has_a_german_one() -> None:
    """The check, the line's errors, the sheet's remarks and the doctor speak German."""
    german = messages("de")
    texts = seen()
    assert len(texts) > 150
    assert [text for text in texts if not german.knows(text)] == []


def test_a_german_sentence_names_what_the_english_one_names() -> None:
    """Every sentence can be said: it has no name in braces that its English one does not give."""
    german = messages("de")
    for english in seen():
        assert german.told(english).strip(), english


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("The description has no date", "Der Bildtext hat kein Datum"),
        (
            "17r: nobody of Ostmark has number 17. Look again; numbers are never corrected.",
            "17r: niemand von Ostmark hat die Nummer 17. Noch einmal hinsehen; Nummern werden nie "
            "berichtigt.",
        ),
        (
            "Ada Voss is not on the pitch at this instant: substituted 63'",
            "Ada Voss ist in diesem Augenblick nicht auf dem Platz: in der 63. Minute "
            "ausgewechselt",
        ),
        (
            "Vos is nobody on the sheet; like it: Ada Voss, Ida Voss",
            "Vos steht nicht in der Aufstellung; ähnlich: Ada Voss, Ida Voss",
        ),
        ("The log gives 2-1 or 2-2 here, the text 1-1",
         "Das Protokoll gibt hier 2-1 oder 2-2, der Text 1-1"),
        ("Ada Voss does not wear red at this instant",
         "Ada Voss trägt in diesem Augenblick nicht red"),
        ("Zzz, and nothing else", "Zzz, and nothing else"),
    ],
)  # fmt: skip
def test_a_sentence_is_said_with_its_names(english: str, german: str) -> None:
    """Names stay as they are, words between them are looked up; what is unknown stays English."""
    assert told(english, "de") == german


def test_english_stays_as_it_is() -> None:
    """The page in English says what the room below said, letter for letter."""
    assert told("The description has no date", "en") == "The description has no date"
