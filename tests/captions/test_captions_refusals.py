"""What a line, a pattern or a style is refused for: the words, their place, the way out."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from cup_tie import CupTie, first, second

from setpiece.captions.compose import read_line
from setpiece.captions.line import Question, ShorthandError
from setpiece.captions.patterns import check_pattern, fill
from setpiece.captions.tables import Table, read_toml
from setpiece.errors import SetpieceError, WrongUse
from setpiece.match.instants import Instant

JOY = second(73, 50)
EARLY = first(30)

REFUSED: list[tuple[str, Instant, str, str, tuple[int, int], tuple[str, ...], str | bool]] = [
    ("9x shoots", EARLY, "no kit of this match is `x`", "9x", (0, 2),
     ("r (red, Hallern)", "g (green, Hallern, goalkeeper)", "w (white, Whitmoor)",
      "y (yellow, Whitmoor, goalkeeper)"),
     "The kits are r (red, Hallern), g (green, Hallern, goalkeeper), w (white, Whitmoor), "
     "y (yellow, Whitmoor, goalkeeper)."),
    ("9k shoots", EARLY, "officials wear no numbers", "9k", (0, 2), (),
     True),
    ("90r shoots", EARLY, "nobody of Hallern has number 90", "90r", (0, 3),
     ("9r Nora Lindqvist", "10r Sofía Peña"), True),
    ("ivy marsh tackles 90r", EARLY, "nobody of Hallern has number 90", "90r", (18, 21),
     ("9r Nora Lindqvist", "10r Sofía Peña"), True),
    ("3r shoots", second(83), "Ines de Wit wears no number at this instant", "3r", (0, 2),
     ("Ines de Wit",), "Type the name, Ines de Wit, if you mean that player."),
    ("1r saves", EARLY, "Zoë Müller does not wear red at this instant", "1r", (0, 2), ("1g",),
     "Did you mean 1g?"),
    ("lindqwist shoots", EARLY, "this is no person on the sheet, no act and no placement",
     "lindqwist", (0, 9), ("Nora Lindqvist",), "Did you mean Nora Lindqvist?"),
    ("zzyzx shoots", EARLY, "this is no person on the sheet, no act and no placement", "zzyzx",
     (0, 5), (), True),
    ("9r celebrates after 300 goal", JOY, "no such match minute", "300", (14, 28), (),
     True),
    ("9r celebrates after red", JOY, "one act to a line, this is a second one", "red", (20, 23),
     (), True),
    ("9r celebrates after substitution", first(10),
     "no such entry is in the log before this frame", "substitution", (14, 32), (),
     True),
    ("9r", JOY, "the line does not say what they do", "9r", (0, 2), (),
     True),
    ("", JOY, "nothing was typed", "", (0, 0), (), True),
    ("shots 9r", JOY, "this could be more than one act", "shots", (0, 5),
     ("shoots", "shouts", "shows"), "Did you mean shoots or shouts or shows?"),
    ("9r celebrates with", JOY, "the line ends too early", "with", (18, 18), (),
     "Here could stand a name, a shirt, a number, a role."),
    ("9r celebrates after", JOY, "the line ends too early", "after", (19, 19), (),
     "Here could stand a name, a shirt, an entry, a minute."),
    ("goal 9r", JOY, "this word acts, it does not open a caption", "goal", (0, 4), (),
     True),
]  # fmt: skip


def leads_on(error: SetpieceError, step: str | bool) -> bool:
    """Whether it says the step; True asks for any, False for none: their words may be bettered."""
    return error.next_step == step if isinstance(step, str) else bool(error.next_step) >= step


@pytest.mark.parametrize(
    ("line", "at", "what", "word", "place", "nearest", "next_step"), REFUSED,
    ids=[line or "nothing" for line, *_ in REFUSED],
)  # fmt: skip
def test_a_line_that_cannot_be_read_shows_its_word(
    tie: CupTie, line: str, at: Instant, what: str, word: str, place: tuple[int, int],
    nearest: tuple[str, ...], next_step: str | bool,
) -> None:  # fmt: skip
    """The word, where it stands, what it may have been and what to type instead."""
    with pytest.raises(ShorthandError) as told:
        read_line(line, tie.situation(at), tie.acts)
    error = told.value
    assert (error.what, error.word, error.thing) == (what, word, word)
    assert (error.start, error.end) == place
    assert error.nearest == nearest
    assert leads_on(error, next_step)


QUESTIONS: list[tuple[str, Instant, str, str, tuple[int, int], tuple[str, ...], str | bool]] = [
    ("9 celebrates", JOY, "which side's number is meant?", "9", (0, 1),
     ("9r Nora Lindqvist (on the pitch)", "9w Jo Kemp (on the pitch)"),
     True),
    ("moreau clears", first(12), "more than one person has this name", "moreau", (0, 6),
     ("4r Lotte Moreau (on the pitch)", "14r Cleo Moreau (on the bench)"),
     True),
    ("coach reacts", EARLY, "more than one head coach is on the sheet", "coach", (0, 5),
     ("Mara Feld (head coach)", "Tom Birch (manager)"),
     True),
    ("assistant signals", EARLY, "more than one assistant referee is on the sheet", "assistant",
     (0, 9), ("Pål Lie (assistant referee)", "Una Sund (assistant referee)"),
     True),
    ("4r 9r 11r celebrate", JOY, "who stands where?", "4r, 9r, 11r", (0, 9),
     ("4r left, 9r centre, 11r right", "11r left, 9r centre, 4r right", "in order"),
     True),
    ("9r celebrates with 11r", JOY, "who stands where?", "9r, 11r", (0, 22),
     ("9r left, 11r right", "11r left, 9r right", "in order"),
     True),
    ("9r scores", second(60), "no goal that fits is logged near this frame", "scores", (3, 9),
     ("17' goal, header, Nora Lindqvist", "74' goal, free kick, Nora Lindqvist"),
     True),
    ("captain reacts", JOY, "whose?", "captain", (0, 7),
     ("6r Pia Kern (on the pitch)", "6w Ruth van der Berg (on the pitch)"),
     True),
    ("goalkeeper saves", JOY, "whose?", "goalkeeper", (0, 10),
     ("1g Zoë Müller (on the pitch)", "1y Grace Oduya (on the pitch)"),
     True),
]  # fmt: skip


@pytest.mark.parametrize(
    ("line", "at", "what", "thing", "place", "choices", "next_step"), QUESTIONS,
    ids=[line for line, *_ in QUESTIONS],
)  # fmt: skip
def test_a_line_that_may_mean_several_asks(
    tie: CupTie, line: str, at: Instant, what: str, thing: str, place: tuple[int, int],
    choices: tuple[str, ...], next_step: str | bool,
) -> None:  # fmt: skip
    """Everybody who may be meant is a choice, with the words the question is about."""
    with pytest.raises(Question) as told:
        read_line(line, tie.situation(at), tie.acts)
    question = told.value
    assert (question.what, question.thing) == (what, thing)
    assert (question.start, question.end) == place
    assert question.choices == choices
    assert leads_on(question, next_step)


FILE = Table({"name": 5, "kind": "loud", "list": [1], "count": 9, "on": 1, "inner": 3}, "desk.toml")
KNOWN = ("home", "away", "minute")
FORM = "Values stand as {{ name }}, choices as {% if name %} ... {% endif %}."
FILTERS = "Use capitalize, default, first, last, lower, replace, title, trim, upper."
FILES: list[tuple[Callable[[], object], str, str, str | bool]] = [
    (lambda: FILE.text("name"), "`name` should be a text in quotation marks, not 5", "desk.toml",
     True),
    (lambda: FILE.text("title"), "`title` is missing", "desk.toml", True),
    (lambda: FILE.one_of("kind", ("plain", "full"), "plain"),
     "`kind` should be one of \"plain\", \"full\", not 'loud'", "desk.toml",
     True),
    (lambda: FILE.texts("list"), "`list` should be a list of texts in square brackets, not [1]",
     "desk.toml", True),
    (lambda: FILE.texts("name"), "`name` should be a list of texts in square brackets, not 5",
     "desk.toml", True),
    (lambda: FILE.number("count", 1, 0, 8), "`count` should be a whole number from 0 to 8, not 9",
     "desk.toml", True),
    (lambda: FILE.number("count", 1, 10, 12),
     "`count` should be a whole number from 10 to 12, not 9", "desk.toml",
     True),
    (lambda: Table({"count": True}, "x").number("count", 1, 0, 8),
     "`count` should be a whole number from 0 to 8, not True", "x", True),
    (lambda: FILE.flag("on", False), "`on` should be true or false, not 1", "desk.toml",
     True),
    (lambda: FILE.table("inner"), "`inner` should be a table, [inner], not 3", "desk.toml",
     True),
    (lambda: check_pattern("{{ hom }}", KNOWN, "desk.toml, caption"),
     "there is no value `hom`", "desk.toml, caption: {{ hom }}", "Did you mean home?"),
    (lambda: check_pattern("{{ zz }}", KNOWN, "desk.toml"), "there is no value `zz`",
     "desk.toml: {{ zz }}", "Use away, home, minute."),
    (lambda: check_pattern("{{ home | tojson }}", KNOWN, "desk.toml"),
     "the filter `tojson` is not for patterns", "desk.toml: {{ home | tojson }}", FILTERS),
    (lambda: check_pattern("{% for x in home %}{% endfor %}", KNOWN, "desk.toml"),
     "a pattern cannot hold for", "desk.toml: {% for x in home %}{% endfor %}",
     True),
    (lambda: check_pattern("{% if home %}{{ away() }}{% endif %}", KNOWN, "desk.toml"),
     "a pattern cannot hold call", "desk.toml: {% if home %}{{ away() }}{% endif %}",
     True),
    (lambda: check_pattern("{{ home", KNOWN, "desk.toml"),
     "the pattern cannot be read: unexpected end of template, expected 'end of print statement'.",
     "desk.toml: {{ home", FORM),
    (lambda: fill("{{ home }}", {}), "the pattern failed: 'home' is undefined", "{{ home }}",
     False),
]  # fmt: skip


@pytest.mark.parametrize(("read", "what", "thing", "next_step"), FILES)
def test_a_style_that_cannot_be_read_is_told_by_its_key(
    read: Callable[[], object], what: str, thing: str, next_step: str | bool
) -> None:
    """The file, the key, what stands there and what should."""
    with pytest.raises(WrongUse) as told:
        read()
    assert (told.value.what, told.value.thing) == (what, thing)
    assert leads_on(told.value, next_step)


def test_a_key_that_nobody_asks_for_is_refused() -> None:
    """A slip is answered with the key it may have been; anything else is to be dropped."""
    slip = Table({"name": "x", "nmae": "y"}, "desk.toml")
    assert slip.text("name") == "x"
    with pytest.raises(WrongUse) as told:
        slip.close()
    assert (told.value.what, told.value.thing) == ("`nmae` means nothing here", "desk.toml")
    assert told.value.next_step == "Did you mean `name`?"
    odd = Table({"zz": 1}, "desk.toml")
    assert odd.flag("name", True)
    with pytest.raises(WrongUse) as told:
        odd.close()
    assert told.value.next_step == "Drop it."
    assert odd.names() == ("zz",)
    odd.close()


def test_a_table_gives_what_its_keys_ask_for() -> None:
    """Defaults stand for keys that are not there; a table inside says where it lies."""
    table = read_toml('name = "n"\nlist = ["a", "b"]\ncount = 8\n[in]\non = true\n', "desk.toml")
    assert (table.text("name"), table.text("no", "default")) == ("n", "default")
    assert (table.texts("list"), table.texts("no", ("c",)), table.texts("none")) == (
        ("a", "b"), ("c",), (),
    )  # fmt: skip
    assert (table.number("count", 1, 8, 8), table.number("no", 3, 0, 8)) == (8, 3)
    assert (table.one_of("kind", ("plain", "full"), "plain"), table.flag("no", False)) == (
        "plain", False,
    )  # fmt: skip
    inner = table.table("in")
    assert (inner.thing, inner.flag("on", False), inner.has("on"), inner.has("off")) == (
        "desk.toml, in", True, True, False,
    )  # fmt: skip
    assert table.table("empty").names() == ()
    table.close()
    with pytest.raises(WrongUse, match="this is not TOML: ") as told:
        read_toml("name = \n", "desk.toml")
    assert (told.value.thing, told.value.next_step) == ("desk.toml", "Correct that line.")
