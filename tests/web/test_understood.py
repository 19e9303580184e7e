"""What the page says that it understood, before Enter."""

from __future__ import annotations

import pytest
import small_match
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.store.workspace import Workspace
from setpiece.web.standing import Standing
from setpiece.web.touchline.hearing import Understood
from setpiece.web.touchline.understood import understood
from setpiece.web.wording import Wording, wording
from setpiece.work.matchday import Matchday

GOAL_FRAME = 73


def heard(day: Matchday, line: str, *, frame: int | None = GOAL_FRAME) -> Understood:
    """What is understood of a line whose cursor stands at its end."""
    frame_id = list(day.frames)[frame] if frame is not None else ""
    return understood(day, frame_id, line, len(line), small_match.at(2, 76), wording())


def told(answer: Understood) -> list[tuple[str, str]]:
    """The pieces as kind and text."""
    return [(b.kind, b.text) for b in answer.bits]


def test_a_caption_shows_number_name_position_and_kit(day: Matchday) -> None:
    """A shirt as typed becomes its number, name, position and kit; other words stay."""
    answer = heard(day, "9r left celebrates with 11r right")
    assert told(answer)[:6] == [
        ("number", "9"),
        ("name", "Freya Ostmark"),
        ("aside", "forward, red"),
        ("word", "left celebrates with"),
        ("number", "11"),
        ("name", "Maud Ostmark"),
    ]
    assert answer.bits[0].kit == "r"
    assert answer.wrong is None
    assert answer.enter == "Enter writes the caption"


def test_a_log_entry_shows_the_score_it_makes(day: Matchday) -> None:
    """A goal being logged shows scorer, minute and the score it would make."""
    answer = heard(day, "goal 9b header")
    assert ("name", "Ngozi Adembe") in told(answer)
    assert ("aside", "makes it 2–2") in told(answer)
    assert ("aside", "77'") in told(answer)


def test_a_goal_shows_its_frames_before_they_are_sent(day: Matchday) -> None:
    """`send goal` shows strike, celebration and reaction with their lines; Enter sends on `now`."""
    answer = heard(day, "send goal")
    parts = [text for kind, text in told(answer) if kind == "aside"]
    assert parts == ["strike", "celebration", "reaction"]
    assert ("word", "9r scores free kick") in told(answer)
    assert answer.enter == "Enter shows these frames; send goal now sends them"
    assert heard(day, "send goal now").enter == "Enter queues and sends"
    assert told(heard(day, "send here")) == [("lead", "Send"), ("name", "here")]


def test_a_substitution_says_who_leaves_and_who_comes(day: Matchday) -> None:
    """A substitution shows both players with their numbers."""
    names = [text for kind, text in told(heard(day, "sub 14r for 8r")) if kind == "name"]
    assert names == ["Orla Tannahay", "Pia Hollenstedt"]


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("29r celebrates", "29r"),
        ("9q celebrates", "9q"),
        ("goal 29r", "29r"),
        ("9r zzyzx", "zzyzx"),
    ],
)
def test_an_error_points_at_its_word(day: Matchday, line: str, word: str) -> None:
    """What cannot be understood is marked at its word, and nothing is guessed for it."""
    answer = heard(day, line)
    assert answer.wrong is not None
    assert word in line[answer.wrong.start : answer.wrong.end]
    assert answer.enter == ""


def test_a_number_is_shown_before_the_act_is_typed(day: Matchday) -> None:
    """A shirt shows who wears it at once; that the act is missing is said quietly."""
    for line in ("9r", "9r ", "9r cel", "9r celebrates with 11r"):
        answer = heard(day, line)
        assert told(answer)[:2] == [("number", "9"), ("name", "Freya Ostmark")]
        assert answer.wrong is None or answer.wrong.unfinished
    loud = heard(day, "9r celebrates with 29r")
    assert told(loud)[1] == ("name", "Freya Ostmark")
    assert loud.wrong is not None
    assert not loud.wrong.unfinished


def test_an_unclear_name_gives_the_choices(day: Matchday) -> None:
    """A family name that two players bear is asked about, with both."""
    answer = heard(day, "Ostmark celebrates")
    assert answer.wrong is not None
    assert any("Freya" in c for c in answer.wrong.choices)
    assert any("Maud" in c for c in answer.wrong.choices)


def test_nobody_is_named_without_an_opened_frame(day: Matchday) -> None:
    """A caption needs an opened frame, and the page says so."""
    assert told(heard(day, "9r celebrates", frame=None)) == [
        ("doubt", "open a frame first: the arrows move through the report")
    ]


def test_a_whole_word_is_followed_by_the_next(day: Matchday) -> None:
    """After a whole word the ways to go on begin with a space; in a word they replace it."""
    after = heard(day, "9r")
    assert after.nexts
    assert all(n.text.startswith(" ") and n.start == 2 for n in after.nexts)
    within = heard(day, "9r celeb")
    assert within.nexts[0].text.startswith("celebrates")
    assert within.nexts[0].start == 3


def test_a_log_line_completes_people_only(day: Matchday) -> None:
    """In an entry of the log only people are completed."""
    answer = heard(day, "goal Adem")
    assert [n.text for n in answer.nexts] == ["ngozi adembe"]


@settings(max_examples=60, deadline=None)
@given(line=st.text(max_size=60), opened=st.booleans())
def test_no_line_breaks_the_page(line: str, opened: bool) -> None:
    """Whatever is typed, there is an answer, and what it marks lies within the line."""
    answer = heard(_DAY(), line, frame=GOAL_FRAME if opened else None)
    if answer.wrong is not None:
        assert 0 <= answer.wrong.start <= answer.wrong.end <= len(line)


class _Kept:
    """The match for Hypothesis, which wants no fixture of a function's scope."""

    def __init__(self) -> None:
        self.day: Matchday | None = None

    def __call__(self) -> Matchday:
        assert self.day is not None
        return self.day


_DAY = _Kept()


@pytest.fixture(autouse=True)
def _keep(made: small_match.Made) -> None:
    if _DAY.day is None:
        _DAY.day = Standing(Workspace.open(made.folder)).of(made.match.folder)


def test_the_texts_are_there_for_every_deed(words: Wording) -> None:
    """Every kind of line has its sentence for Enter."""
    from setpiece.web.touchline.intent import Deed

    for deed in Deed:
        assert words.known(f"line.enter-{deed.value}")
