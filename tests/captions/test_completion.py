"""What may be typed next."""

from __future__ import annotations

import pytest
from cup_tie import SHEET, CupTie, first, second
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from setpiece.captions.completion import MOST, Suggestion, complete
from setpiece.captions.grammar import ShorthandError, parse
from setpiece.captions.situation import vocabulary_of
from setpiece.work.style_files import load_acts

JOY = second(73, 50)
TIE = CupTie(load_acts())
SITUATION = TIE.situation(JOY)


def texts(line: str, at=JOY) -> list[str]:
    """The suggestions at the end of a line."""
    return [s.text for s in complete(line, len(line), TIE.situation(at), TIE.acts)]


@pytest.mark.parametrize(
    ("line", "first_ones"),
    [
        ("9", ["9r", "9w"]),
        ("1", ["1g", "1y"]),
        ("9r ", ["celebrates"]),
        ("9r cel", ["celebrates"]),
        ("9r celebrates ", ["with"]),
        ("9r celebrates with 11", ["11r", "11w"]),
        ("9r celebrates with 11r ri", ["right"]),
        ("9r celebrates with 11r second l", ["second left"]),
        ("9r celebrates after ", ["74 goal"]),
        ("9r celebrates after 17", ["17 goal"]),
        ("9r takes ", ["corner"]),
        ("w ", ["coach"]),
        ("w c", ["captain", "coach"]),
        ("mor", ["lotte moreau", "cleo moreau"]),
        ("som", ["someone"]),
        ("9r 11r celebrate in o", ["in order"]),
    ],
)
def test_the_likeliest_word_comes_first(line: str, first_ones: list[str]) -> None:
    """Shirts by their digits, acts by what was logged, entries by their minute."""
    assert texts(line)[: len(first_ones)] == first_ones


def test_what_was_just_logged_suggests_its_act() -> None:
    """After a card the booking, after a change the change, else the commonest."""
    assert texts("5w ", second(52, 30))[0] == "booked"
    assert texts("17w ", second(62, 30))[0] == "replaces"
    assert texts("9r ", first(30))[0] == "celebrates"


def test_a_suggestion_says_what_it_means() -> None:
    """A shirt is shown with name, position and kit, and replaces what was begun."""
    (nora, *_) = complete("9", 1, SITUATION, TIE.acts)
    assert nora == Suggestion("9r", "Nora Lindqvist, forward, red", 0, 1)


def test_who_is_on_the_pitch_comes_before_the_bench() -> None:
    """At each instant; a shirt that stands in the line already is not offered again."""
    offered = texts("1")
    assert offered.index("11r") < offered.index("12g")
    assert "9r" not in texts("9r celebrates with 9")


def test_in_the_middle_of_a_line_the_word_there_is_completed() -> None:
    """The cursor decides, not the end."""
    found = complete("9r cel with 11r", 6, SITUATION, TIE.acts)
    assert (found[0].text, found[0].start, found[0].end) == ("celebrates", 3, 6)


@pytest.mark.parametrize(
    "line", ["9r celebrates with 11r right", "5w tackles 9r", "lotte moreau clears",
             "w coach reacts", "9r celebrates after 74 goal", "9r takes corner"],
)  # fmt: skip
def test_any_line_can_be_typed_by_taking_suggestions(line: str) -> None:
    """Word by word, the word to come is among the suggestions after its first letters."""
    words = line.split()
    for index, word in enumerate(words):
        if len(word) == 1:
            continue
        head = " ".join([*words[:index], word[: max(1, len(word) - 1)]])
        offered = texts(head)
        assert any(word in text.split() or word == text for text in offered), (head, offered)


@settings(max_examples=400, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.text(max_size=40), st.integers(-5, 60))
def test_completion_never_raises(line: str, cursor: int) -> None:
    """Any text with the cursor anywhere gives at most eight suggestions."""
    found = complete(line, cursor, SITUATION, TIE.acts)
    assert len(found) <= MOST
    assert all(0 <= s.start <= s.end <= len(line) for s in found)


def test_suggested_acts_can_be_read() -> None:
    """What is suggested after a person is an act that the grammar reads."""
    refused = []
    for letter in "abcdefghijklmnopqrstuvwxyz":
        for suggestion in complete(f"9r {letter}", 4, SITUATION, TIE.acts):
            try:
                parse(f"9r {suggestion.text}", TIE.acts, vocabulary_of(SHEET))
            except ShorthandError as error:
                if "done to" not in error.what and "does not say" not in error.what:
                    refused.append((suggestion.text, str(error)))
    assert refused == []
