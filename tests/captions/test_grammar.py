"""The grammar of the one line."""

from __future__ import annotations

import pytest
from cup_tie import SHEET
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from setpiece.captions.acts import Acts
from setpiece.captions.grammar import COMMAND_WORDS, ShorthandError, parse
from setpiece.captions.lexicon import Vocabulary
from setpiece.captions.line import Line, RefKind
from setpiece.captions.situation import vocabulary_of
from setpiece.match.typed import KINDS
from setpiece.work.style_files import load_acts

VOCABULARY = vocabulary_of(SHEET)


def read(text: str, acts: Acts) -> Line:
    """A line read with the words of the cup tie."""
    return parse(text, acts, VOCABULARY)


def refs(people: tuple) -> list[tuple[str, tuple[str, ...]]]:
    """The people as typed, with their placements."""
    return [(ref.text, ref.places) for ref in people]


@pytest.mark.parametrize(
    ("text", "act", "who", "whom", "mates"),
    [
        ("9r celebrates with 11r right", "celebrates", ["9r"], [], ["11r"]),
        ("5w tackles 9r", "tackles", ["5w"], ["9r"], []),
        ("1g saves 9r penalty", "saves-penalty", ["1g"], ["9r"], []),
        ("4r 9r 11r celebrate", "celebrates", ["4r", "9r", "11r"], [], []),
        ("9r celebrates with someone left", "celebrates", ["9r"], [], ["someone"]),
        ("w coach reacts", "reacts", ["w coach"], [], []),
        ("ref yellow 5w", "shows-yellow", ["ref"], ["5w"], []),
        ("r supporters celebrate", "celebrates", ["r supporters"], [], []),
        ("17w replaces 8w", "replaces", ["17w"], ["8w"], []),
        ("red 9 celebrates", "celebrates", ["red 9"], [], []),
        ("9 r celebrates", "celebrates", ["9 r"], [], []),
        ("red nine celebrates", "celebrates", ["red nine"], [], []),
        ("9r tackled by 5w", "tackles", ["5w"], ["9r"], []),
        ("9r, 11r and 4r celebrate", "celebrates", ["9r", "11r", "4r"], [], []),
        ("10r passes to 9r", "passes", ["10r"], ["9r"], []),
        ("lu dribbles past 3r", "dribbles", ["lu"], ["3r"], []),
        ("9r with 11r left celebrates", "celebrates", ["9r"], [], ["11r"]),
        ("the steward stops an invader", "stops-invader", ["steward"], ["invader"], []),
        ("1g saves 9r's penalty", "saves-penalty", ["1g"], ["9r's"], []),
        ("general view", "general-view", [], [], []),
        ("both sides shake hands", "shakes-hands", ["both sides"], [], []),
        ("home coach reacts", "reacts", ["home coach"], [], []),
        ("hallern coach reacts", "reacts", ["hallern coach"], [], []),
        ("someone white tackles 9r", "tackles", ["someone white"], ["9r"], []),
    ],
)
def test_a_line_says_who_does_what(
    text: str, act: str, who: list[str], whom: list[str], mates: list[str], acts: Acts
) -> None:
    """Act, who acts, whom it is done to and with whom are read as a person would say them."""
    line = read(text, acts)
    assert line.act == act
    assert [r.text for r in line.subjects] == who
    assert [r.text for r in line.objects] == whom
    assert [r.text for r in line.mates] == mates


def test_placements_belong_to_the_person_before_them(acts: Acts) -> None:
    """Each placement goes with whom it follows; after the verb with who acts."""
    line = read("4r left 9r second left 11r back to camera celebrate", acts)
    assert refs(line.subjects) == [
        ("4r", ("left",)), ("9r", ("second-left",)), ("11r", ("back-to-camera",)),
    ]  # fmt: skip
    assert refs(read("9r celebrates left", acts).subjects) == [("9r", ("left",))]


@pytest.mark.parametrize(
    ("text", "event", "minute"),
    [
        ("9r celebrates after 74' goal", "goal", "74"),
        ("9r celebrates after 74 goal", "goal", "74"),
        ("9r celebrates after seventy four goal", "goal", "74"),
        ("9r celebrates after 45+2 own goal", "own-goal", "45+2"),
        ("9r celebrates after own goal", "own-goal", ""),
        ("9r reacts following red card", "red-card", ""),
        ("9r celebrates 74'", "", "74"),
    ],
)
def test_the_entry_is_named_after_after(text: str, event: str, minute: str, acts: Acts) -> None:
    """Kind and minute of the entry are read, with or without the sign for minutes."""
    after = read(text, acts).after
    assert after is not None
    assert (after.event, after.minute) == (event, minute)


def test_where_how_and_milestones_are_read(acts: Acts) -> None:
    """A way, a place with people, a milestone and a quotation stand anywhere after who."""
    line = read(
        "9r 100th appearance celebrates on knees in front of r supporters quote at last", acts
    )
    assert line.milestones == (("appearance", 100),)
    assert line.hows == ("on-knees",)
    assert line.places == ("in-front-of",)
    assert [r.text for r in line.place_people] == ["r supporters"]
    assert line.quotes == ("at last",)


@pytest.mark.parametrize("quoted", ['"at last"', "“at last”", "«at last»", "quote at last unquote"])
def test_a_quotation_needs_no_shift(quoted: str, acts: Acts) -> None:
    """Quotation marks of any kind, or a word for them, hold the quoted text."""
    line = read(f"9r celebrates {quoted} with 11r right", acts)
    assert line.quotes == ("at last",)
    assert [r.text for r in line.mates] == ["11r"]


def test_in_order_is_said(acts: Acts) -> None:
    """Only `in order` and its like state placement by the order typed."""
    assert read("4r 9r celebrate in order", acts).in_order
    assert read("4r 9r celebrate left to right", acts).in_order
    assert not read("4r 9r celebrate", acts).in_order


@pytest.mark.parametrize(
    ("typed", "act"),
    [("celebates", "celebrates"), ("tackels", "tackles"), ("shoorts", "shoots"),
     ("reatcs", "reacts"), ("dribles", "dribbles")],
)  # fmt: skip
def test_a_slip_in_a_verb_is_put_right_and_told(typed: str, act: str, acts: Acts) -> None:
    """The nearest act is taken, and the correction says what was typed."""
    line = read(f"9r {typed}", acts)
    assert line.act == act
    assert [(c.typed, c.read_as) for c in line.corrections] == [(typed, act)]


def test_a_slip_that_may_be_two_acts_is_asked_for(acts: Acts) -> None:
    """A word as near to one act as to another is an error that names both."""
    with pytest.raises(ShorthandError) as caught:
        read("9r pushes", acts)
    assert caught.value.word == "pushes"


def test_part_of_a_name_is_never_taken_for_a_verb(acts: Acts) -> None:
    """A word of the sheet that is near a verb stays a name."""
    line = read("sand tackles 9w", acts)
    assert [r.kind for r in line.subjects] == [RefKind.NAME]
    with pytest.raises(ShorthandError):
        read("sand voss", acts)


def test_numbers_and_kits_are_never_put_right(acts: Acts) -> None:
    """What is typed as a number and a letter comes back as just that."""
    line = read("19x celebrates", acts)
    assert (line.subjects[0].number, line.subjects[0].kit) == (19, "x")


@pytest.mark.parametrize(
    ("text", "start", "end", "word"),
    [
        ("9r tackles heads", 11, 16, "heads"),
        ("9r waves $", 9, 10, "$"),
        ("9r takes", 3, 8, "takes"),
        ("goal 9r", 0, 4, "goal"),
        ("9r celebrates after 74 goal after own goal", 28, 42, "after own goal"),
    ],
)
def test_an_error_points_at_the_word(
    text: str, start: int, end: int, word: str, acts: Acts
) -> None:
    """Where the word stands and the word itself are in the error."""
    with pytest.raises(ShorthandError) as caught:
        read(text, acts)
    assert (caught.value.start, caught.value.end, caught.value.word) == (start, end, word)


def test_an_error_offers_the_nearest(acts: Acts) -> None:
    """A verb that needs to be told what it is done to offers its things."""
    with pytest.raises(ShorthandError) as caught:
        read("9r takes", acts)
    assert "takes corner" in caught.value.nearest


@pytest.mark.parametrize("word", sorted(COMMAND_WORDS))
def test_words_that_act_never_open_a_caption(word: str, acts: Acts) -> None:
    """A line that begins with a word that acts is no caption."""
    with pytest.raises(ShorthandError):
        read(f"{word} 9r celebrates", acts)


def test_a_word_of_the_log_acts_unless_an_act_begins_with_it(acts: Acts) -> None:
    """`kit w b` or `return 5w` can only log; `suspended` and `kick` may also be seen."""
    begins_an_act = {words[0] for words in acts.lexicon.phrases}
    only_log = {kind.split()[0] for kind in KINDS} - begins_an_act - {"kick-off"}
    assert only_log <= COMMAND_WORDS
    assert {"kit", "return", "temporary", "stands"} <= only_log


def test_a_kits_colour_may_open_a_caption_with_its_number(acts: Acts) -> None:
    """`red 9 celebrates` is a caption although `red 9r` alone is a command."""
    assert read("red 9 celebrates", acts).act == "celebrates"


@pytest.mark.parametrize(
    "text", ["", "   ", "9r", "red 9", "9r 11r", "x" * 500, "9r celebrates with"]
)
def test_an_unfinished_line_is_an_error_with_a_way_on(text: str, acts: Acts) -> None:
    """What is missing is said, and what could stand there."""
    with pytest.raises(ShorthandError) as caught:
        read(text, acts)
    assert str(caught.value).strip()
    assert caught.value.start <= caught.value.end <= len(text)


def test_the_line_is_read_without_a_match_too(acts: Acts) -> None:
    """Without the match's words the same lines are read; names stay words."""
    line = parse("lindqvist celebrates with 11r right", acts)
    assert [r.text for r in line.subjects] == ["lindqvist"]


# ----- anything at all -----

_SHIPPED = load_acts()
_KNOWN = [" ".join(words) for words in _SHIPPED.lexicon.phrases]
_ODD = [
    "9r", "11r", "5w", "1g", "99z", "r", "w", "?", ",", "74'", "45+2", "100th", "moreau", '"', "'",
    "“so”", "quote", "unquote", "red", "9", "zoë", "nine", "twenty", "$", "\u0000", "é", "𝟗", "९r",
    "in order", "after", "with", "by", "to", "for", "against",
]  # fmt: skip
lines = st.one_of(
    st.text(max_size=60),
    st.lists(st.one_of(st.sampled_from(_KNOWN), st.sampled_from(_ODD)), max_size=9).map(" ".join),
    st.lists(st.one_of(st.sampled_from(_ODD), st.text(max_size=6)), max_size=12).map(" ".join),
)


def _only_its_own_error(text: str, vocabulary: Vocabulary | None) -> None:
    refused: ShorthandError | None = None
    try:
        assert parse(text, _SHIPPED, vocabulary).act in _SHIPPED.acts
    except ShorthandError as error:
        refused = error
    assert refused is None or 0 <= refused.start <= refused.end <= len(text)
    assert refused is None or str(refused)


@settings(max_examples=5000, deadline=None, suppress_health_check=list(HealthCheck))
@given(lines, st.sampled_from((None, VOCABULARY)))
def test_any_line_is_read_or_refused_with_its_own_error(
    text: str, vocabulary: Vocabulary | None
) -> None:
    """5,000 lines of anything raise nothing but ShorthandError, and it points into the line."""
    _only_its_own_error(text, vocabulary)


@pytest.mark.slow
@settings(max_examples=50_000, deadline=None, suppress_health_check=list(HealthCheck))
@given(lines, st.sampled_from((None, VOCABULARY)))
def test_fifty_thousand_lines_are_read_or_refused(text: str, vocabulary: Vocabulary | None) -> None:
    """The same for 50,000 lines."""
    _only_its_own_error(text, vocabulary)
