"""Entries of the log in words: one teller for the page and the commands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from setpiece.match.entries import Entry, EntryId, Kind
from setpiece.web.sentences import said, sentence
from setpiece.web.wording import Wording
from setpiece.work.demo import scenario
from setpiece.work.matchday import Matchday


@pytest.fixture(scope="module")
def log() -> tuple[Entry, ...]:
    """Every entry of the demo's match."""
    return tuple(scenario.pinned(scenario.log_lines()))


def test_every_entry_of_the_demo_is_told_in_words(log: tuple[Entry, ...], words: Wording) -> None:
    """With names, without placeholders, beginning like a sentence."""
    told = [said(entry, scenario.sheet(), words) for entry in log]
    assert all(text[0].isupper() and "{" not in text for text in told)
    assert "Goal. Mira Kolbrand with a header, made by Hanna Kolbrand (Lethenbruck)" in told


def test_the_commands_and_the_page_say_the_same(day: Matchday, words: Wording) -> None:
    """What a command prints is the page's sentence, with the side where colour would tell it."""
    for entry in day.log:
        assert said(entry, day.sheet, words).startswith(sentence(entry, day, words).plain)


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_of_entry_has_words(kind: Kind, words: Wording) -> None:
    """An entry of any kind, even with nothing known, says what it is."""
    bare = Entry(EntryId(1), Kind.NOTE, scenario.at(1, "10:00"), note="the roller doors stick")
    period = 1 if kind in (Kind.KICK_OFF, Kind.PERIOD_END) else None
    supersedes = EntryId(1) if kind is Kind.WITHDRAWN else None
    entry = replace(bare, id=EntryId(2), kind=kind, period=period, supersedes=supersedes)
    assert said(entry, scenario.sheet(), words).strip(" :") != ""
