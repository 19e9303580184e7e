"""A team sheet as it is pasted."""

from __future__ import annotations

import pytest

from setpiece.match.exchange import read_person_line, read_sheet_text
from setpiece.match.people import Person, Role, Side, SidePeople

NORTHGATE = SidePeople("Northgate WFC", "Northgate")
ELMBRIDGE = SidePeople("Elmbridge Ladies", "Elmbridge")


def one(line: str, side: Side | None = Side.HOME) -> Person:
    """The one person of a line."""
    (person,) = read_person_line(line, side)
    return person


@pytest.mark.parametrize(
    ("line", "number", "name"),
    [
        ("9 Anna Berg", 9, "Anna Berg"),
        ("9. ANNA BERG", 9, "ANNA BERG"),
        ("9) Anna Berg", 9, "Anna Berg"),
        ("9\tAnna Berg", 9, "Anna Berg"),
        ("9,Anna Berg", 9, "Anna Berg"),
        ("9; Anna O'Berg-Ray,", 9, "Anna O'Berg-Ray"),
        ("#9 - Anna Berg", 9, "Anna Berg"),
        ("No. 9 Anna Berg", 9, "Anna Berg"),
        ("Anna Berg 9", 9, "Anna Berg"),
        ("Anna Berg, 9", 9, "Anna Berg"),
        ("09 Łucja d'Ø", 9, "Łucja d'Ø"),
    ],
)
def test_a_number_and_a_name(line: str, number: int, name: str) -> None:
    """Number and name are told apart however they are set, the name kept as printed."""
    person = one(line)
    assert (person.number, person.printed_name, person.side) == (number, name, Side.HOME)


def test_marks_beside_a_name() -> None:
    """Captain, goalkeeper, age and pronouns are read; a bracket that is none of them stays."""
    person = one("1 Anna Berg (C) [gk] (U18) (she/her)")
    assert (person.captain, person.role, person.under_18, person.pronouns) == (
        True, Role.GOALKEEPER, True, "she",
    )  # fmt: skip
    assert person.printed_name == "Anna Berg"
    assert one("9 Anna Berg (on loan)").printed_name == "Anna Berg (on loan)"


def test_positions_beside_a_name() -> None:
    """A position after the name is no part of it."""
    assert (one("9 Anna Berg FW").position, one("9 Anna Berg FW").printed_name) == (
        "FW", "Anna Berg",
    )  # fmt: skip
    assert one("1 Anna Berg, goalkeeper").role is Role.GOALKEEPER
    assert one("4 Anna Berg centre-back").position == "centre-back"


def test_staff_officials_and_guests() -> None:
    """A role and a colon name staff with the club's own title, officials and guests."""
    coach = one("Head coach: Jo Hall")
    assert (coach.role, coach.title, coach.printed_name) == (Role.HEAD_COACH, "", "Jo Hall")
    boss = one("Interim manager: Pat Lund (they)")
    assert (boss.role, boss.title, boss.pronouns) == (Role.MANAGER, "Interim manager", "they")
    physio = one("Physio\tMia Cole")
    assert (physio.role, physio.title) == (Role.PHYSIOTHERAPIST, "Physio")
    first, second = read_person_line("Assistant referees: A. One, B. Two", Side.HOME)
    assert (first.role, first.side, first.title) == (Role.ASSISTANT_REFEREE, None, "")
    assert second.printed_name == "B. Two"
    guest = one("Guest: Ann Holt, mayor of Northgate", None)
    assert (guest.role, guest.title, guest.side) == (
        Role.GUEST, "mayor of Northgate", None,
    )  # fmt: skip


@pytest.mark.parametrize("line", ["", "Northgate", "Guest: ", "Wizard: X", "Player: Ann", "x 9 y"])
def test_a_line_that_names_nobody(line: str) -> None:
    """What names nobody gives nobody."""
    assert read_person_line(line, Side.HOME) == ()


def test_two_columns_side_by_side() -> None:
    """Home stands on the left, away on the right, in any of the usual layouts."""
    pasted = read_sheet_text(
        "NORTHGATE WFC\n"
        "1 Anna Berg (gk)       1. Mia STONE (GK)\n"
        "2\tBea Ray\t2\tIda van der Velde\n"
        "Cara Ash\t3\t3\tNora Łącka\n"
        "4 Dina Cole | 4 Olga Reed\n"
        "Substitutes            Substitutes\n"
        "12 Dee May             13 Eve Ash\n"
        "\t\t14 Only Away\n"
        "\n"
        "Head coach: Jo Hall    Manager: Pat Lund\n"
        "Referee: R. Moss\n"
        "what is this\n",
        home=NORTHGATE,
        away=ELMBRIDGE,
    )
    sheet = pasted.sheet
    assert [p.printed_name for p in sheet.players(Side.HOME)] == [
        "Anna Berg", "Bea Ray", "Cara Ash", "Dina Cole", "Dee May",
    ]  # fmt: skip
    assert [p.printed_name for p in sheet.players(Side.AWAY)] == [
        "Mia STONE", "Ida van der Velde", "Nora Łącka", "Olga Reed", "Eve Ash", "Only Away",
    ]  # fmt: skip
    assert [p.starts for p in sheet.players(Side.HOME)] == [True] * 4 + [False]
    assert pasted.not_understood == ("what is this",)
    assert {p.role for p in sheet.people if p.side is None} == {Role.REFEREE}


def test_one_column_under_the_clubs_names() -> None:
    """One column goes from home to away at the line with the away club's name."""
    pasted = read_sheet_text(
        "Northgate\nStarting XI\n1 Anna Berg\nSubs: 12 Bea Ray, 13 Cara Ash\n"
        "Elmbridge Ladies\n1 Mia Stone\n",
        home=NORTHGATE,
        away=ELMBRIDGE,
    )
    home, away = (pasted.sheet.players(side) for side in Side)
    assert [(p.number, p.starts) for p in home] == [(1, True), (12, False), (13, False)]
    assert [(p.number, p.starts) for p in away] == [(1, True)]
    assert pasted.not_understood == ()


def test_one_side_alone() -> None:
    """A paste for one side is all of that side; without headings the first eleven start."""
    lines = "\n".join(f"{n} P{'abcdefghijklmn'[n - 1]} Berg" for n in range(1, 14))
    pasted = read_sheet_text("AWAY\n" + lines, side=Side.AWAY)
    players = pasted.sheet.players(Side.AWAY)
    assert [p.starts for p in players] == [True] * 11 + [False] * 2
    assert pasted.sheet.players(Side.HOME) == ()
    assert pasted.sheet.home.name == "Home"


def test_half_a_line_that_is_not_understood_is_told() -> None:
    """A heading word with names that are none of ours is handed back."""
    pasted = read_sheet_text("Subs: nobody here\n")
    assert pasted.not_understood == ("Subs: nobody here",)
    numbers = read_sheet_text("1\t9\t2\tAnn Ray\n")
    assert numbers.not_understood == ("1 9",)
    assert [p.printed_name for p in numbers.sheet.players(Side.AWAY)] == ["Ann Ray"]
