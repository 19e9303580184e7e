"""People placed by pointing: whom to point at, and the line it makes."""

from __future__ import annotations

import pytest

from setpiece.captions.compose import read_line
from setpiece.errors import SetpieceError, WrongUse
from setpiece.web.touchline.placing import pointed
from setpiece.work.style_files import load_acts

FRAME = 73
"""A frame of the celebration after the second goal."""


@pytest.fixture
def point(day, made, words):
    """Points at people of a line on that frame."""
    situation = day.situation(made.frames[FRAME])
    acts = load_acts(day.space.folder)

    def at(line: str, *across: float):
        done = pointed(line, across, situation, acts, words)
        if done.line:
            read_line(done.line, situation, acts)
        return done

    return at


def test_people_are_asked_for_in_the_order_typed(point) -> None:
    """Each click is asked for by number and name."""
    line = "9r celebrates with 11r"
    assert point(line).said.startswith("Point at 9 Freya Ostmark, 1 of 2")
    assert point(line, 0.8).said.startswith("Point at 11 Maud Ostmark, 2 of 2")


def test_left_and_right_come_from_where_was_clicked(point) -> None:
    """Whoever was pointed at further left is left, whatever the order typed."""
    line = "9r celebrates with 11r"
    assert point(line, 0.8, 0.3).line == "9r right celebrates with 11r left"
    assert point(line, 0.1, 0.3).line == "9r left celebrates with 11r right"


def test_three_and_four_stand_in_a_row(point) -> None:
    """Three are left, centre and right; four are counted from both sides."""
    assert point("4r 9r 11r celebrate", 0.5, 0.2, 0.9).line == (
        "4r centre 9r left 11r right celebrate"
    )
    assert point("4r 9r 11r 7r celebrate", 0.9, 0.1, 0.4, 0.6).line == (
        "4r right 9r left 11r second left 7r second right celebrate"
    )


def test_an_order_that_was_typed_is_replaced(point) -> None:
    """`in order` gives way to what was pointed at."""
    assert point("4r 9r 11r celebrate in order", 0.9, 0.2, 0.5).line == (
        "4r right 9r left 11r centre celebrate"
    )


def test_who_has_a_place_keeps_it(point) -> None:
    """A placement that was typed stays, and nobody is asked for it again."""
    done = point("4r kneeling 9r 11r celebrate", 0.9, 0.2)
    assert done.line == "4r kneeling 9r right 11r left celebrate"


@pytest.mark.parametrize("line", ["9r celebrates", "9r left celebrates with 11r right"])
def test_where_nobody_needs_a_place_it_is_said(point, line: str) -> None:
    """One person, or people who have their places, are not pointed at."""
    with pytest.raises(WrongUse, match="nobody in this line needs a placement"):
        point(line)


@pytest.mark.parametrize("line", ["29r celebrates with 9r", "9r 11r", "<b>", ""])
def test_a_line_that_cannot_be_read_is_told_as_ever(point, line: str) -> None:
    """What is wrong with a line is said before anybody is pointed at."""
    with pytest.raises(SetpieceError):
        point(line)


def test_the_page_asks_for_one_after_the_other(own_page) -> None:
    """The page sends what was pointed at so far, and gets the next name or the line."""
    sent = {"line": "9r celebrates with 11r", "frame": own_page.made.frames[FRAME]}
    address = f"{own_page.match}/line/point"
    assert "Freya Ostmark" in own_page.post(address, sent).value["said"]
    done = own_page.post(address, sent | {"across": [0.7, 0.1]}).value
    assert done["line"] == "9r right celebrates with 11r left"
    wrong = own_page.post(address, sent | {"line": "29r celebrates with 9r"})
    assert wrong.status == 422
    assert wrong.value["wrong"]["start"] == 0
    assert own_page.post(address, sent | {"frame": "nowhere"}).status == 404
