"""From a line to people, acts and entries, or to a question."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cup_tie import LOG, SHEET, CupTie, entry, first, home, second
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from setpiece.captions.compose import compose, read_line
from setpiece.captions.line import Question, ShorthandError
from setpiece.captions.reading import Part, Reading, Whereabouts
from setpiece.errors import AskPhotographer, Choices
from setpiece.match.entries import Kind
from setpiece.match.instants import Instant
from setpiece.match.people import Side
from setpiece.match.state import Score
from setpiece.work.style_files import load_acts, load_style

JOY = second(73, 50)


def understand(tie: CupTie, text: str, at: Instant, frame: str = "frame") -> Reading:
    """The line as understood at that instant."""
    return read_line(text, tie.situation(at, frame), tie.acts)


def test_what_was_understood_comes_back_as_structure(tie: CupTie) -> None:
    """Number worn, name, position, kit, act, entry and placement are all there."""
    reading = understand(tie, "9r celebrates with 11r right", JOY)
    nora, ebba = reading.people
    assert (nora.name, nora.number_worn, nora.position) == ("Nora Lindqvist", 9, "forward")
    assert (nora.kit_letter, nora.kit_colour, nora.side) == ("r", "red", Side.HOME)
    assert (ebba.part, ebba.places) == (Part.MATE, ("right",))
    assert reading.bound is not None
    assert (reading.act, reading.bound.entry, reading.bound.score) == (
        "celebrates",
        10,
        Score(2, 1),
    )


def test_a_number_means_who_wears_it_then(tie: CupTie) -> None:
    """The number is the one worn at the frame, also by who came on."""
    before = understand(tie, "8w shoots", second(60))
    assert before.people[0].whereabouts is Whereabouts.ON_PITCH
    after = understand(tie, "8w sits on bench", second(70))
    assert (after.people[0].whereabouts, str(after.people[0].since)) == (
        Whereabouts.SUBSTITUTED, "63",
    )  # fmt: skip


def test_a_shirt_without_number_is_asked_for_by_name(tie: CupTie) -> None:
    """Nobody wears 3 after the shirt was changed: the name is offered, not taken."""
    with pytest.raises(ShorthandError) as caught:
        understand(tie, "3r shields ball", second(83))
    assert caught.value.nearest == ("Ines de Wit",)
    reading = understand(tie, "ines de wit shields ball", second(83))
    assert reading.people[0].number_worn is None


def test_a_number_nobody_has_is_never_put_right(tie: CupTie) -> None:
    """The error names like numbers of that side and takes none of them."""
    with pytest.raises(ShorthandError) as caught:
        understand(tie, "90r shoots", first(30))
    assert caught.value.word == "90r"
    assert any("9r" in near for near in caught.value.nearest)


def test_a_number_without_kit_asks_which_side(tie: CupTie) -> None:
    """Both who wear it are the choices."""
    with pytest.raises(Choices) as caught:
        understand(tie, "9 celebrates", JOY)
    assert len(caught.value.choices) == 2


def test_the_goalkeepers_kit_has_its_own_letter(tie: CupTie) -> None:
    """A goalkeeper in the outfield kit, or the reverse, is an error that offers the letter."""
    for text, near in (("1r saves", "1g"), ("9g shoots", "9r")):
        with pytest.raises(ShorthandError) as caught:
            understand(tie, text, first(30))
        assert caught.value.nearest == (near,)


def test_an_unknown_kit_names_those_there_are(tie: CupTie) -> None:
    """The kits of the match stand in the error."""
    with pytest.raises(ShorthandError) as caught:
        understand(tie, "9x shoots", first(30))
    assert "r (red, Hallern)" in str(caught.value)


@pytest.mark.parametrize("words", ["lindqvist", "nora", "nora lindqvist", "lindq", "NORA"])
def test_any_part_of_a_name_will_do(words: str, tie: CupTie) -> None:
    """First name, family name, both, or the beginning of one."""
    assert understand(tie, f"{words} shoots", first(30)).people[0].name == "Nora Lindqvist"


@pytest.mark.parametrize("words", ["zoe muller", "müller", "mueller"])
def test_names_are_found_without_their_accents(words: str, tie: CupTie) -> None:
    """Accents may be left out or spelled out."""
    assert understand(tie, f"{words} saves", first(30)).people[0].name == "Zoë Müller"


def test_a_shared_family_name_is_a_question(tie: CupTie) -> None:
    """Two sisters: both are the choices, none is taken."""
    with pytest.raises(Choices) as caught:
        understand(tie, "moreau clears", first(12))
    assert [c.split(" (")[0] for c in caught.value.choices] == [
        "4r Lotte Moreau",
        "14r Cleo Moreau",
    ]


def test_a_slip_in_a_name_is_an_error_that_offers_it(tie: CupTie) -> None:
    """Nobody is named by a slip; the nearest names are offered."""
    with pytest.raises(ShorthandError) as caught:
        understand(tie, "lindqwist shoots", first(30))
    assert "Nora Lindqvist" in caught.value.nearest


def test_two_names_in_a_row_are_two_people(tie: CupTie) -> None:
    """A run of words is cut where one name ends and the next begins."""
    reading = understand(tie, "kay stone nora challenge", first(30))
    assert [p.name for p in reading.people] == ["Kay Stone", "Nora Lindqvist"]


def test_roles_are_found_on_the_sheet(tie: CupTie) -> None:
    """The coach of a side, the referee, the captain and who keeps goal at that instant."""
    for text, name in (
        ("w coach reacts", "Tom Birch"),
        ("white coach reacts", "Tom Birch"),
        ("ref signals", "Ida Holm"),
        ("r captain reacts", "Pia Kern"),
        ("w goalkeeper saves", "Grace Oduya"),
    ):
        assert understand(tie, text, first(30)).people[0].name == name


def test_the_clubs_own_title_comes_with_the_role(tie: CupTie) -> None:
    """A manager is a manager, a head coach a head coach."""
    assert understand(tie, "w coach reacts", first(30)).people[0].title == "manager"
    assert understand(tie, "r coach reacts", first(30)).people[0].title == "head coach"


def test_a_role_on_both_sides_asks_whose(tie: CupTie) -> None:
    """`coach` alone has two answers."""
    with pytest.raises(Choices) as caught:
        understand(tie, "coach reacts", first(30))
    assert len(caught.value.choices) == 2


def test_a_role_nobody_has_stays_unnamed(tie: CupTie) -> None:
    """A physiotherapist who is not on the sheet is a role without a name."""
    reading = understand(tie, "w physio treats 9w", first(30))
    assert (reading.people[0].name, reading.people[0].side) == ("", Side.AWAY)


def test_someone_has_a_side_and_no_name(tie: CupTie) -> None:
    """An unknown player is of the side typed, or of the one the act gives."""
    for text, side in (
        ("9r celebrates with someone left", Side.HOME),
        ("9r tackled by someone", Side.AWAY),
        ("someone w tackles 9r", Side.AWAY),
    ):
        reading = understand(tie, text, JOY)
        unknown = next(p for p in reading.people if p.person is None)
        assert (unknown.side, unknown.name) == (side, "")


def test_order_typed_is_never_placement(tie: CupTie) -> None:
    """Three in one kit ask where they stand, with both orders and `in order` to choose."""
    with pytest.raises(Choices) as caught:
        understand(tie, "4r 9r 11r celebrate", JOY)
    assert isinstance(caught.value, Question)
    assert (caught.value.start, caught.value.end) == (0, 9)
    assert caught.value.choices[0] == "4r left, 9r centre, 11r right"
    assert caught.value.choices[-1] == "in order"


def test_in_order_states_the_placements(tie: CupTie) -> None:
    """Left to right, as typed, because the line says so."""
    reading = understand(tie, "11r 9r 4r celebrate in order", JOY)
    assert [p.places for p in reading.people] == [("left",), ("centre",), ("right",)]


def test_one_placement_tells_two_apart(tie: CupTie) -> None:
    """Of two in one kit one placement is enough; the same one twice is not."""
    assert understand(tie, "9r celebrates with 11r right", JOY)
    with pytest.raises(Choices):
        understand(tie, "9r left celebrates with 11r left", JOY)
    with pytest.raises(Choices):
        understand(tie, "9r celebrates with 11r", JOY)


def test_other_kits_and_acts_tell_people_apart_themselves(tie: CupTie) -> None:
    """Opponents, a goalkeeper and a change need no placement."""
    for text, at in (
        ("5w tackles 9r", first(30)),
        ("1g celebrates with 9r", JOY),
        ("17w replaces 8w", second(62, 20)),
    ):
        assert understand(tie, text, at)


def test_nobody_stands_in_a_line_twice(tie: CupTie) -> None:
    """The same person as number and name is an error at the second."""
    with pytest.raises(ShorthandError) as caught:
        understand(tie, "9r celebrates with lindqvist left", JOY)
    assert caught.value.word == "lindqvist"


def test_scores_binds_to_the_goal_logged_there(tie: CupTie) -> None:
    """The running score, an own goal and a disallowed goal come from the log."""
    for text, at, score, how in (
        ("9r scores", second(73, 20), Score(2, 1), "free kick"),
        ("5r scores", first(46, 30), Score(1, 1), "own goal"),
        ("9w scores", second(57, 20), None, ""),
    ):
        bound = understand(tie, text, at).bound
        assert bound is not None
        assert (bound.score, bound.how) == (score, how)


def test_scores_asks_where_no_goal_fits(tie: CupTie) -> None:
    """Without a goal of hers near the frame the goals of hers are the choices."""
    with pytest.raises(Choices) as caught:
        understand(tie, "9r scores", second(60))
    assert len(caught.value.choices) == 2


def test_scores_asks_where_two_goals_fit(tie: CupTie) -> None:
    """Two goals of hers within half a minute: the line must say which."""
    log = (*LOG, entry(16, Kind.GOAL, second(73, 40), side=Side.HOME, person=home(9)))
    twice = CupTie(tie.acts, log)
    with pytest.raises(Choices) as caught:
        understand(twice, "9r scores", second(73, 30))
    assert len(caught.value.choices) == 2


def test_the_frame_of_the_strike_has_the_score_it_made(tie: CupTie) -> None:
    """The frame that pins a goal is bound to it, also a moment before the ball is in."""
    bound = understand(tie, "9r scores", second(73, 19), frame="strike").bound
    assert bound is not None
    assert (bound.entry, bound.score) == (10, Score(2, 1))


def test_who_celebrates_need_not_have_scored(tie: CupTie) -> None:
    """The goal is bound, its scorer stays who she is."""
    bound = understand(tie, "7r celebrates", JOY).bound
    assert bound is not None
    assert bound.scorer == home(9)


def test_a_celebration_long_after_is_bound_to_nothing(tie: CupTie) -> None:
    """After four minutes no goal is taken to be meant."""
    assert understand(tie, "9r celebrates", second(80)).bound is None


def test_the_other_sides_goal_is_not_celebrated(tie: CupTie) -> None:
    """A goal of the other side is never bound to a celebration."""
    assert understand(tie, "9w celebrates", JOY).bound is None


def test_after_finds_its_entry_or_asks(tie: CupTie) -> None:
    """By minute and kind, by kind alone where one fits; else a question or an error."""
    bound = understand(tie, "9r celebrates after 17 goal", second(80)).bound
    assert bound is not None
    assert (bound.entry, bound.said) == (2, True)
    with pytest.raises(ShorthandError):
        understand(tie, "9r celebrates after 60 goal", second(80))
    with pytest.raises(Choices):
        understand(tie, "9r celebrates after goal", second(80))


def test_an_act_needs_who_does_it(tie: CupTie) -> None:
    """A line without anybody is an error unless the act has nobody."""
    with pytest.raises(ShorthandError):
        understand(tie, "tackles 9r", first(30))
    assert understand(tie, "floodlights out", first(30)).people == ()


def test_who_wears_a_number_may_hang_on_the_clock(tie: CupTie) -> None:
    """Where two may have worn the number within the clock's uncertainty, it is asked."""
    changed = {"kind": Kind.SHIRT, "side": Side.HOME}
    log = (
        *LOG[:5],
        entry(6, at=second(50), person=home(7), number=19, **changed),
        entry(7, at=second(50, 1), person=home(8), number=7, **changed),
    )
    swapped = CupTie(tie.acts, log)
    situation = swapped.situation(second(50, 0.6), uncertainty_s=3)
    with pytest.raises(Choices):
        read_line("7r shoots", situation, swapped.acts)


def test_a_colour_of_two_kits_asks_which(tie: CupTie) -> None:
    """Two kits of one colour are told apart by their letters."""
    away = replace(SHEET.away, kits=(replace(SHEET.away.kits[0], colour="red"), SHEET.away.kits[1]))
    alike = CupTie(tie.acts, LOG, replace(SHEET, away=away))
    with pytest.raises(Choices):
        understand(alike, "red 9 shoots", first(30))


_ACTS = load_acts()
_STYLES = [load_style(None, name) for name in ("north", "nordblatt")]
_TIE = CupTie(_ACTS)
_SITUATIONS = [_TIE.situation(at) for at in (first(-5), first(30), second(73, 50), second(96))]
_WORDS = [
    *(" ".join(words) for words in _ACTS.lexicon.phrases),
    *("9r", "11r", "5w", "1g", "1y", "8w", "17w", "moreau", "lu", "nora", "someone", "ref",
      "r coach", "w supporters", "left", "right", "with", "after", "74 goal", "in order", "red 9"),
]  # fmt: skip


@settings(max_examples=700, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    st.lists(st.sampled_from(_WORDS), min_size=1, max_size=7).map(" ".join),
    st.sampled_from(_SITUATIONS),
    st.sampled_from(_STYLES),
)
def test_any_line_gives_a_caption_or_a_question(text: str, situation, style) -> None:
    """Whatever known words are typed, the answer is a caption or something to ask."""
    asked: AskPhotographer | None = None
    try:
        caption = compose(text, situation, style, _ACTS)
        assert caption.fields.description.endswith((".", "”"))
    except AskPhotographer as error:
        asked = error
    assert asked is None or str(asked)
