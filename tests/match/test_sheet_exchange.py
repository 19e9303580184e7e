"""A team sheet as CSV and JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.match.exchange import (
    read_sheet_csv,
    read_sheet_json,
    write_sheet_csv,
    write_sheet_json,
)
from setpiece.match.people import Kit, Person, PersonId, Role, Side, SidePeople, TeamSheet

if TYPE_CHECKING:
    from conftest import Match

FULL = (
    "side,number,name,known_as,family_name,pronouns,position,role,title,captain,starts,under_18,"
    "earlier_number,aliases,id\n"
    "home,1,ANNA BERG,Anna Berg,Berg,she,GK,goalkeeper,,yes,yes,,,,home-1\n"
    "home,17,Bo Ray,,,they,,player,,,no,yes,71,Bobby;Ray,home-17\n"
    "away,,Pat Lund,,,,,manager,interim manager,,,,,,away-manager-pat-lund\n"
    ",,R. Moss,,,he,,referee,,,,,,,referee-r-moss\n"
)


def test_a_sheet_goes_round_in_csv() -> None:
    """Written again, a read sheet is the same text; every column has its field."""
    sheet = read_sheet_csv(FULL)
    assert write_sheet_csv(sheet) == FULL
    anna, bo, pat, moss = sheet.people
    assert (anna.role, anna.captain, anna.starts, anna.name) == (
        Role.GOALKEEPER, True, True, "Anna Berg",
    )  # fmt: skip
    assert (bo.earlier_number, bo.under_18, bo.aliases, bo.pronouns) == (
        71, True, ("Bobby", "Ray"), "they",
    )  # fmt: skip
    assert (pat.role, pat.title, pat.side) == (Role.MANAGER, "interim manager", Side.AWAY)
    assert moss.side is None


def test_a_short_sheet_is_enough() -> None:
    """Side, number and name suffice: goalkeepers by position, the first eleven start."""
    rows = [f"{side};{n};P{n};{'gk' if n in (1, 12) else ''}" for side in ("home", "away")
            for n in range(1, 15)]  # fmt: skip
    sheet = read_sheet_csv("Team;No;Player;Pos\n" + "\n".join(rows))
    for side in Side:
        players = sheet.players(side)
        assert [p.starts for p in players] == [True] * 11 + [False] * 3
        assert [p.role is Role.GOALKEEPER for p in players].count(True) == 2
    assert sheet.home.name == "Home"


def test_the_clubs_may_be_given() -> None:
    """Clubs and kits come from the fixture, not from the CSV."""
    club = SidePeople("Northgate", "NG", (Kit("r", "red", "#aa0000"),))
    assert read_sheet_csv("name\nAnn\n", home=club).home == club


def test_people_of_one_number_stay_apart() -> None:
    """Two rows of one number and two of one name get identifiers of their own."""
    sheet = read_sheet_csv("side,number,name\nhome,9,A\nhome,9,B\n,,C\n,,C\n,,C\n")
    ids = [p.id for p in sheet.people]
    assert len(set(ids)) == 5
    assert ids[:2] == ["home-9", "home-9-2"]


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("left,9,A,,,,,,,,,,,,", "home or away"),
        ("home,nine,A,,,,,,,,,,,,", "number is no number"),
        ("home,9,,,,,,,,,,,,,", "needs a name"),
        ("home,9,A,,,it,,,,,,,,,", "no pronouns"),
        ("home,9,A,,,,,wizard,,,,,,,", "no such role"),
        ("home,9,A,,,,,,,maybe,,,,,", "neither yes nor no"),
    ],
)
def test_a_wrong_row_is_named(row: str, says: str) -> None:
    """An error says which line and what to write."""
    with pytest.raises(WrongUse) as caught:
        read_sheet_csv(FULL + row + "\n")
    assert "line 6" in str(caught.value)
    assert says in str(caught.value)


def test_a_sheet_goes_round_in_json(tie: Match) -> None:
    """The whole sheet with clubs and kits comes back from JSON as it was."""
    assert read_sheet_json(write_sheet_json(tie.sheet)) == tie.sheet


NAMES = st.text(min_size=1, max_size=12).filter(str.strip)


@given(
    st.lists(
        st.builds(
            Person,
            id=st.text(min_size=1).map(PersonId),
            printed_name=NAMES,
            role=st.sampled_from(Role),
            side=st.none() | st.sampled_from(Side),
            number=st.none() | st.integers(0, 99),
            known_as=st.text(max_size=5),
            pronouns=st.sampled_from(["", "she", "he", "they"]),
            aliases=st.lists(st.text(max_size=5), max_size=2).map(tuple),
            captain=st.booleans(),
        ),
        max_size=4,
    )
)
def test_any_sheet_goes_round_in_json(people: list[Person]) -> None:
    """Any names in any script come back from JSON as they were."""
    sheet = TeamSheet(SidePeople("a", "b"), SidePeople("c", "d"), tuple(people))
    assert read_sheet_json(write_sheet_json(sheet)) == sheet


CSV_NAMES = st.from_regex(r"[A-Za-zÀ-ž'’,\";-]{1,12}( [A-Za-z\"]{1,8})?", fullmatch=True)


@given(
    st.lists(
        st.tuples(
            st.sampled_from([Side.HOME, Side.AWAY]),
            st.integers(0, 99),
            CSV_NAMES,
            st.sampled_from(["", "she", "he", "they"]),
            st.booleans(),
        ),
        min_size=1,
        max_size=5,
        unique_by=lambda p: (p[0], p[1]),
    )
)
def test_any_players_go_round_in_csv(told: list[tuple[Side, int, str, str, bool]]) -> None:
    """Any players come back from CSV as they were, quotes and commas in names included."""
    people = tuple(
        Person(PersonId(f"{side}-{n}"), name, Role.PLAYER, side, n, pronouns=pro, starts=starts)
        for side, n, name, pro, starts in told
    )
    sheet = TeamSheet(SidePeople("Home", "Home"), SidePeople("Away", "Away"), people)
    assert read_sheet_csv(write_sheet_csv(sheet)) == sheet
