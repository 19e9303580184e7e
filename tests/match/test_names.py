"""Finding people by what is typed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from setpiece.match.names import Why, find_people, folded, spellings
from setpiece.match.people import Person, PersonId, Role, Side, SidePeople, TeamSheet

PEOPLE = (
    Person(PersonId("1"), "Guðný Þórsdóttir", Role.GOALKEEPER, Side.HOME, 1),
    Person(PersonId("2"), "Marta Łącka-Nowak", Role.PLAYER, Side.HOME, 2),
    Person(PersonId("3"), "Nora O'Brien", Role.PLAYER, Side.HOME, 3),
    Person(PersonId("4"), "Søren Ødegård", Role.PLAYER, Side.HOME, 9),
    Person(PersonId("5"), "Ida van der Velde", Role.PLAYER, Side.HOME, 10),
    Person(PersonId("6"), "Jelena Đorđević", Role.PLAYER, Side.AWAY, 9, aliases=("Jeca", "Fox")),
    Person(PersonId("7"), "Maria da Silva", Role.PLAYER, Side.AWAY, 11, known_as="Mari"),
    Person(PersonId("8"), "Anna Müller", Role.PLAYER, Side.AWAY, 19, earlier_number=91),
    Person(PersonId("9"), "Hanna Müller", Role.PLAYER, Side.AWAY, 20, family_name="Müller"),
    Person(PersonId("10"), "Eva Weiß", Role.PLAYER, Side.AWAY, 21),
    Person(PersonId("11"), "Tess Lind", Role.HEAD_COACH, Side.HOME),
)  # fmt: skip
SHEET = TeamSheet(SidePeople("Northgate", "N"), SidePeople("Elmbridge", "E"), PEOPLE)


def ids(words: str) -> list[str]:
    """The identifiers that the words find, best first."""
    return [f.person.id for f in find_people(SHEET, words)]


@pytest.mark.parametrize(
    ("words", "person"),
    [
        ("gudny", "1"),
        ("thorsdottir", "1"),
        ("lacka", "2"),
        ("nowak", "2"),
        ("lackanowak", "2"),
        ("Łącka-Nowak", "2"),
        ("obrien", "3"),
        ("O’Brien", "3"),
        ("o'brien", "3"),
        ("odegard", "4"),
        ("oedegaard", "4"),
        ("velde", "5"),
        ("van der velde", "5"),
        ("ida velde", "5"),
        ("dordevic", "6"),
        ("djordjevic", "6"),
        ("jeca", "6"),
        ("fox", "6"),
        ("mari", "7"),
        ("weiss", "10"),
        ("lind", "11"),
        ("LIND", "11"),
        ("ida van der velde", "5"),
        ("velde 10", "5"),
        ("jeca 9", "6"),
    ],
)
def test_any_spelling_finds_her_first(words: str, person: str) -> None:
    """Accents, hyphens, apostrophes, particles and aliases may be typed or not."""
    assert ids(words)[0] == person


def test_an_ambiguous_name_is_a_list() -> None:
    """Two of one family name come back with the same score."""
    found = find_people(SHEET, "mueller")
    assert {f.person.id for f in found} == {"8", "9"}
    assert found[0].score == found[1].score
    assert found[0].why is Why.LAST_WORD
    mononym = replace(PEOPLE[0], printed_name="Müller")
    both = find_people(replace(SHEET, people=(mononym, PEOPLE[7])), "muller")
    assert both[0].score == both[1].score


def test_a_number_finds_both_sides_and_the_old_number() -> None:
    """A number finds all who wear it now, then who was printed with it before."""
    assert set(ids("9")) == {"4", "6"}
    (found,) = find_people(SHEET, "91")
    assert (found.person.id, found.why) == ("8", Why.EARLIER_NUMBER)


def test_numbers_are_never_near() -> None:
    """A number that nobody has finds nobody, and 1 does not find 10 or 11."""
    assert ids("92") == []
    assert ids("1") == ["1"]


def test_slips_in_names_are_forgiven() -> None:
    """One slip in a word of four letters or more, two from eight on; none in short words."""
    assert ids("odegrad")[0] == "4"
    assert ids("thorsdotir")[0] == "1"
    assert ids("thorsdottyrr")[0] == "1"
    assert ids("xva") == []
    assert ids("zzzzzz") == []
    assert find_people(SHEET, "odegrad")[0].why is Why.SLIP


def test_beginnings_and_parts_come_after_whole_words() -> None:
    """A word beats a beginning, a beginning beats a middle part."""
    assert find_people(SHEET, "mull")[0].why is Why.BEGINNING
    assert find_people(SHEET, "degar")[0].why is Why.PART
    assert ids("anna")[0] == "8"
    assert "9" in ids("anna")


def test_all_words_must_fit_one_person() -> None:
    """Words of two people together find nobody; nothing typed finds nobody."""
    assert ids("ida weiss") == []
    assert ids("  ") == []
    assert find_people(SHEET, "ida", limit=0) == ()
    assert len(find_people(SHEET, "ma", limit=1)) == 1


def test_folding_drops_what_keyboards_lack() -> None:
    """Folding keeps letters and digits of any script and drops the rest."""
    assert folded("  Ærø—Ŋŧ  D'Arc. ") == "aero nt darc"
    assert folded("Мария") == "мария"
    assert spellings("Jörg Å") == ("jorg a", "joerg aa")
    assert spellings("Ann") == ("ann",)


def test_a_changed_sheet_is_searched_anew() -> None:
    """The index follows the sheet that is given."""
    una = replace(PEOPLE[0], printed_name="Una Ray", aliases=("The Fox",))
    other = replace(SHEET, people=(una,))
    assert [f.person.id for f in find_people(other, "una")] == ["1"]
    assert find_people(other, "lind") == ()
    assert find_people(other, "the fox")[0].why is Why.ALIAS
    assert find_people(other, "fox")[0].why is Why.ALIAS
