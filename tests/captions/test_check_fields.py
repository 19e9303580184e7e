"""The check of dates, places, lengths and required fields."""

from __future__ import annotations

from dataclasses import replace

import pytest
from checking import EVENT, JOY, codes, typed
from cup_tie import FIXTURE, LOG, SHEET, CupTie, first

from setpiece.captions.check import check
from setpiece.captions.compose import compose
from setpiece.captions.findings import Level
from setpiece.captions.situation import situation_for
from setpiece.match.fold import Fold
from setpiece.match.instants import Interval


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("6 March", "7 March", "date not the frame's"),
        ("March", "April", "date not the frame's"),
        ("2027", "2026", "date not the frame's"),
        (" 2027", "", "year missing"),
        ("Saturday", "Friday", "weekday not the frame's"),
        (", on Saturday, 6 March 2027", "", "date missing"),
        ("6 March 2027", "7.3.2027", "date not the frame's"),
        ("6 March 2027", "March 7, 2027", "date not the frame's"),
        ("at Kiln Lane, Hallern, on", "on", "place missing"),
    ],
)
def test_date_and_place_are_the_frames(old: str, new: str, code: str, tie: CupTie) -> None:
    """In words or figures, with year, weekday and a place."""
    text = f"Jo Kemp looks on {EVENT}".replace("Hallern FC", "the home side")
    assert code in codes(typed(tie, text.replace(old, new), JOY), Level.ERROR)


@pytest.mark.parametrize("said", ["6.3.2027", "2027-03-06", "March 6, 2027", "Sat 6 Mar 2027"])
def test_a_true_date_is_left_alone_in_any_form(said: str, tie: CupTie) -> None:
    """The frame's own date may be written as people write dates."""
    text = f"Jo Kemp looks on {EVENT.replace('Saturday, 6 March 2027', said)}"
    assert codes(typed(tie, text, JOY)) == set()


def test_each_field_fits_its_dataset(tie: CupTie) -> None:
    """Bytes count, not characters; what was shortened by rule is remarked."""
    caption = tie.compose("9r shoots", JOY)
    long = replace(caption, fields=replace(caption.fields, headline="ü" * 129))
    found = tie.check(long, JOY)
    assert "over-long field" in codes(found, Level.ERROR)
    exact = replace(caption, fields=replace(caption.fields, headline="ü" * 128))
    assert "over-long field" not in codes(tie.check(exact, JOY))
    alt = replace(caption, fields=replace(caption.fields, alt_text="x" * 251))
    assert "over-long field" in codes(tie.check(alt, JOY), Level.ERROR)


def test_what_was_shortened_is_remarked(tie: CupTie) -> None:
    """A venue too long for its dataset is cut, and the check says to what."""
    fixture = replace(FIXTURE, venue="Stadion am Grossen Alten Ziegelofenweg")
    situation = situation_for(
        fixture, SHEET, Fold(fixture, SHEET, LOG), "f", Interval.exactly(first(30))
    )
    caption = compose("9r shoots", situation, tie.style(), tie.acts)
    found = check(caption, situation, replace(tie.style(), required=()), tie.acts)
    assert codes(found) == {"shortened"}


def test_what_only_ascii_makes_too_long_is_remarked(tie: CupTie) -> None:
    """A sign that takes more letters in ASCII can break the limit of IIM; nothing is cut unsaid."""
    notice = f"© {'x ' * 61}end"
    caption = tie.compose("9r shoots", JOY)
    long = replace(caption, fields=replace(caption.fields, copyright_notice=notice))
    situation, style = tie.situation(JOY), replace(tie.style(), required=())
    assert codes(check(long, situation, style, tie.acts)) == set()
    found = check(long, situation, replace(style, iim_ascii=True), tie.acts)
    assert codes(found, Level.REMARK) == {"shortened"}


def test_required_fields_must_be_there(tie: CupTie) -> None:
    """What the desk asks for and is empty is an error that names it."""
    caption = tie.compose("9r shoots", JOY)
    empty = replace(caption, fields=replace(caption.fields, creator=()))
    found = [f for f in tie.check(empty, JOY) if f.code == "field missing"]
    assert [f.thing for f in found] == ["creator"]
