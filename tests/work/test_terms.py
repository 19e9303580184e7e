"""The terms of a picture: exclusive, pool, for some desks."""

from __future__ import annotations

import pytest

from setpiece.captions.fields import PictureFields
from setpiece.errors import WrongUse
from setpiece.match.instants import read_instant
from setpiece.work.desk.terms import FREE, PictureTerms
from setpiece.work.desk.words import words_for

ZONE = "Europe/Zurich"


def test_an_exclusive_is_for_one_desk() -> None:
    """Other desks are told whose it is; its own desk may have it."""
    terms = PictureTerms(exclusive_to="City")
    assert (terms.only_for("North"), terms.only_for("City")) == ("City", "")
    assert FREE.only_for("North") == ""
    assert PictureTerms(desks=("City", "North")).only_for("Moon") == "City, North"


@pytest.mark.parametrize(
    "terms",
    [
        {"pool": True, "exclusive_to": "City"},
        {"pool": True, "desks": ("City",)},
        {"exclusive_to": "City", "desks": ("North",)},
    ],
)
def test_terms_that_contradict_each_other_are_told(terms: dict[str, object]) -> None:
    """A pool picture is for everybody, an exclusive for one desk alone."""
    with pytest.raises(WrongUse):
        PictureTerms(**terms)  # type: ignore[arg-type]


def test_own_words_stand_in_place_of_the_styles() -> None:
    """Credit and terms replace the style's; the pool mark is added to the instructions."""
    fields = PictureFields(credit="style", usage_terms="style", instructions="Call first.")
    dressed = PictureTerms(credit="own", pool=True, job_id="J7").dressed(fields, "en", None, ZONE)
    assert (dressed.credit, dressed.usage_terms, dressed.job_id) == ("own", "style", "J7")
    assert dressed.instructions == f"Call first. {words_for('en')['pool']}"
    assert FREE.dressed(fields, "en", None, ZONE) == fields


def test_an_embargo_stands_in_the_instructions_in_the_desks_language() -> None:
    """With the hour at the ground, which is when it ends for everybody."""
    until = read_instant("2027-03-06T20:00:00Z")
    told = [FREE.dressed(PictureFields(), lang, until, ZONE).instructions for lang in ("en", "de")]
    assert told == [
        "Embargo: not for use before 2027-03-06 21:00 Europe/Zurich.",
        "Sperrfrist: nicht vor 2027-03-06 21:00 Europe/Zurich verwenden.",
    ]
