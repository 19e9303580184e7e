"""One typed line to a log entry."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from setpiece.errors import Choices, WrongUse
from setpiece.match.entries import Entry, How, Kind, Standing
from setpiece.match.instants import MinuteLabel, instant
from setpiece.match.people import Kit, Person, PersonId, Role, Side, SidePeople, TeamSheet
from setpiece.match.state import Phase, Score, SideState, State, Worn
from setpiece.match.typed import KINDS, read_line

NOW = instant(datetime(2027, 3, 6, 15, 0, tzinfo=UTC))


def person(ident: str, name: str, side: Side, number: int) -> Person:
    """A player."""
    return Person(PersonId(ident), name, Role.PLAYER, side, number)


SHEET = TeamSheet(
    SidePeople("SK Lethenbruck", "Lethenbruck", (Kit("r", "red", "#b5382a"),)),
    SidePeople("TSV Marnstein", "Marnstein", (Kit("w", "white", "#ffffff"),)),
    (
        person("h9", "Signe Ørbeck", Side.HOME, 9),
        person("h10", "Mira Kolbrand", Side.HOME, 10),
        person("h11", "Hanna Kolbrand", Side.HOME, 11),
        person("a8", "Dilara Göksuner", Side.AWAY, 8),
        person("a17", "Joana Pedregal", Side.AWAY, 17),
    ),
    (Kit("b", "black", "#000000"),),
)
STATE = State(
    Phase.FIRST_HALF,
    Score(),
    SideState(on_pitch=(Worn(PersonId("h9"), 28), Worn(PersonId("h10"), 10))),
    SideState(on_pitch=(Worn(PersonId("a8"), 8),)),
)


def read(line: str, state: State = STATE) -> Entry:
    """The entry of a line at that state."""
    return read_line(line, SHEET, state, NOW)


def test_a_goal_names_scorer_way_and_assist() -> None:
    """The scorer, how and who made it stand in their places; the side is the scorer's."""
    entry = read("goal 10r header assist 11r at 17")
    assert (entry.kind, entry.person, entry.other) == (Kind.GOAL, "h10", "h11")
    assert (entry.how, entry.side, entry.printed) == (How.HEADER, Side.HOME, MinuteLabel(17))


def test_an_own_goal_counts_for_the_other_side() -> None:
    """The side of an own goal is the side it counts for."""
    assert read("goal 8w own goal 45+2'").side is Side.HOME


def test_a_goal_may_wait_for_its_scorer() -> None:
    """A goal with only a side, by kit letter or word, is an entry without a scorer."""
    assert (read("goal w").side, read("goal w").person) == (Side.AWAY, None)
    assert read("goal home").side is Side.HOME


def test_the_number_worn_counts_on_the_pitch_and_the_sheets_off_it() -> None:
    """28 is worn by the player listed as 9; a substitute is found by the sheet's number."""
    assert read("yellow 28r").person == "h9"
    assert read("yellow 17w").person == "a17"


def test_who_comes_on_is_typed_first() -> None:
    """`sub 17w for 8w` takes 8 off and 17 on, and needs both."""
    entry = read("sub 17w for 8w")
    assert (entry.person, entry.other) == ("a8", "a17")
    with pytest.raises(WrongUse, match="two players"):
        read("sub 17w")


def test_a_name_finds_its_person_and_a_shared_one_asks() -> None:
    """A part of a name is enough where it is one person's; two sisters are a question."""
    assert read("yellow Ørbeck").person == "h9"
    with pytest.raises(Choices, match="Hanna"):
        read("yellow Kolbrand")


def test_a_number_nobody_has_and_a_letter_no_kit_has_are_refused() -> None:
    """Numbers and kits are never corrected."""
    with pytest.raises(WrongUse, match="nobody of the home side"):
        read("goal 99r")
    with pytest.raises(WrongUse, match="has that letter"):
        read("goal 9x")
    with pytest.raises(WrongUse, match="has that letter"):
        read("yellow 1b")


@pytest.mark.parametrize(
    ("phase", "kind", "period"),
    [
        (Phase.BEFORE, Kind.KICK_OFF, 1),
        (Phase.FIRST_HALF, Kind.PERIOD_END, 1),
        (Phase.HALF_TIME, Kind.KICK_OFF, 2),
        (Phase.SECOND_HALF, Kind.PERIOD_END, 2),
        (Phase.FULL_TIME, Kind.KICK_OFF, 3),
        (Phase.SHOOT_OUT, Kind.PERIOD_END, 5),
    ],
)
def test_a_whistle_is_the_next_one_due(phase: Phase, kind: Kind, period: int) -> None:
    """What a whistle means follows from where the match stands."""
    entry = read("whistle", State(phase, Score(), SideState(), SideState()))
    assert (entry.kind, entry.period) == (kind, period)


def test_no_whistle_is_due_in_a_suspended_match() -> None:
    """A whistle that means nothing is refused with what to log instead."""
    with pytest.raises(WrongUse, match="resumed"):
        read("whistle", State(Phase.SUSPENDED, Score(), SideState(), SideState()))


def test_a_shirt_changes_number_or_has_none() -> None:
    """A changed shirt has its new number, a plain one none; the rest is a note."""
    assert (read("shirt 10r 31").number, read("shirt 10r 31").note) == (31, "")
    assert (read("shirt 10r none blood").number, read("shirt 10r none blood").note) == (
        None,
        "blood",
    )


def test_words_left_over_are_the_note() -> None:
    """What names nobody is kept as the entry's note; a note keeps all of it."""
    assert read("added 3").note == "3"
    assert read("note 9r limps off at 30").note == "9r limps off"
    assert read("review offside").note == "offside"


def test_disallowed_is_a_goal_that_does_not_count() -> None:
    """`disallowed` gives a goal of that standing."""
    assert read("disallowed 10r").standing is Standing.DISALLOWED


@pytest.mark.parametrize("word", sorted(KINDS))
def test_every_opening_word_gives_its_entry(word: str) -> None:
    """Each word of the table opens an entry of its kind."""
    people = " 17w for 8w" if KINDS[word] in (Kind.SUBSTITUTION, Kind.LATE_CHANGE) else ""
    assert read(word + people).kind is KINDS[word]


def test_a_word_that_opens_nothing_lists_those_that_do() -> None:
    """An unknown first word is refused with the words that open an entry."""
    with pytest.raises(WrongUse, match="whistle, kick-off, goal"):
        read("abracadabra 9r")
