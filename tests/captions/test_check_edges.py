"""What the check says where a text is unusual: numbers of staff, dates, officials, lengths."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from checking import JOY, typed
from cup_tie import CupTie

from setpiece.captions.findings import Finding, Level, doubt, error, remark
from setpiece.captions.typed_over import typed_over


def found(tie: CupTie, code: str, text: str) -> Finding:
    """The one finding of that kind in a typed text."""
    (one,) = [f for f in typed(tie, text, JOY) if f.code == code]
    return one


def test_a_number_beside_a_coach_is_an_error(tie: CupTie) -> None:
    """Staff wear none, whatever the text says."""
    one = found(tie, "number not worn", "Hallern FC head coach Mara Feld (7) looks on")
    assert (one.level, one.thing) == (Level.ERROR, "Mara Feld")
    assert one.message == "Mara Feld wears no number"


def test_a_date_created_on_another_day_is_an_error(tie: CupTie) -> None:
    """The field is held to the frame's own day at the ground."""
    caption = tie.compose("9r celebrates", JOY)
    made = caption.fields.date_created
    assert made is not None
    values = replace(caption.fields, date_created=made - timedelta(days=1))
    wrong = typed_over(caption, values, tie.situation(JOY), tie.style(), tie.acts)
    told = [f for f in tie.check(wrong, JOY) if f.code == "date not the frame's"]
    assert [(f.message, f.thing) for f in told] == [("Date created is 2027-03-05", "date_created")]


@pytest.mark.parametrize(
    ("field", "value", "code", "choice"),
    [
        ("city", "Whitmoor", "city not the fixture's", "Hallern"),
        ("sublocation", "Brickfield", "venue not the fixture's", "Kiln Lane"),
        ("country", "Südmark", "country not the fixture's", "Nordmark"),
    ],
)
def test_a_place_that_is_not_the_fixtures_is_an_error(
    tie: CupTie, field: str, value: str, code: str, choice: str
) -> None:
    """City, venue and country each; a part of the right one is right."""
    caption = tie.compose("9r celebrates", JOY)
    for said, wrong in ((value, True), (choice, False), (choice[:4], False)):
        values = replace(caption.fields, **{field: said})
        over = typed_over(caption, values, tie.situation(JOY), tie.style(), tie.acts)
        told = [f for f in tie.check(over, JOY) if f.code == code]
        assert [(f.thing, f.choices) for f in told] == ([(value, (choice,))] if wrong else [])


def test_findings_are_made_at_their_level() -> None:
    """An error blocks and may be overruled unless told otherwise; a doubt has choices."""
    assert error("a", "b") == Finding(Level.ERROR, "a", "b", "", (), True)
    assert error("a", "b", "c", choices=("d",), can_overrule=False) == Finding(
        Level.ERROR, "a", "b", "c", ("d",), False
    )
    assert doubt("a", "b", "c", choices=("d",)) == Finding(Level.DOUBT, "a", "b", "c", ("d",), True)
    assert remark("a", "b", "c") == Finding(Level.REMARK, "a", "b", "c", (), True)
    assert [level.value for level in Level] == ["error", "doubt", "remark"]
