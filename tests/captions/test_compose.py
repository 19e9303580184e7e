"""The fields of a composed caption."""

from __future__ import annotations

from dataclasses import replace

from cup_tie import FIXTURE, LOG, SHEET, CupTie, first, home, second
from pydantic import TypeAdapter

from setpiece.captions.acts import Acts
from setpiece.captions.caption import Caption
from setpiece.captions.compose import Creator, Marks, compose
from setpiece.captions.fields import PersonShown, Place
from setpiece.captions.situation import situation_for
from setpiece.match.fold import Fold
from setpiece.match.instants import Interval
from setpiece.match.state import Score

JOY = second(73, 50)


def test_the_fields_come_from_match_style_and_photographer(tie: CupTie) -> None:
    """Who made it, where, when, who is shown, and what the desk adds."""
    caption = compose(
        "9r celebrates with 11r right", tie.situation(JOY), tie.style(), tie.acts,
        creator=Creator("Kim Arnesen", "Photographer", "ka"),
        marks=Marks(guid="g-1", supplier_image_id="s-1", job_id="J7", rating=4,
                    instructions="Embargo: 18:00 CET"),
    )  # fmt: skip
    values = caption.fields
    assert values.creator == ("Kim Arnesen",)
    assert values.credit == "Kim Arnesen/North Wire"
    assert values.copyright_notice == "© 2027 Kim Arnesen"
    assert values.persons == (
        PersonShown("Nora Lindqvist", "Hallern FC, 9, forward"),
        PersonShown("Ebba Roth", "Hallern FC, 11, forward"),
    )
    assert values.location_created == Place("Kiln Lane", "Hallern", "", "Nordmark", "NRD")
    assert values.event_name == "Aldbrook Bank Women's Cup: Hallern FC v Whitmoor Rovers"
    assert values.date_created is not None
    assert values.date_created.isoformat() == "2027-03-06T17:01:50+01:00"
    assert (values.guid, values.supplier_image_id, values.job_id) == ("g-1", "s-1", "J7")
    assert (values.rating, values.instructions) == (4, "Embargo: 18:00 CET")
    assert values.digital_source_type.endswith("/digitalCapture")
    assert {"celebration", "Nora Lindqvist", "Hallern"} <= set(values.keywords)


def test_the_facts_are_what_the_text_rests_on(tie: CupTie) -> None:
    """People with number and name, the goal's score and entry, date and places."""
    facts = tie.compose("7r celebrates", JOY).facts
    assert {p.person: p.number_worn for p in facts.people} == {home(7): 7, home(9): None}
    assert (facts.score, facts.entries) == (Score(2, 1), (10,))
    assert (str(facts.date), facts.places) == ("2027-03-06", ("Kiln Lane", "Hallern"))


def test_unnamed_people_are_not_in_persons(tie: CupTie) -> None:
    """Neither somebody unknown, nor supporters, nor a scorer who is not in the picture."""
    assert tie.compose("r supporters celebrate", JOY).fields.persons == ()
    shown = tie.compose("7r celebrates with someone left", JOY).fields.persons
    assert [p.name for p in shown] == ["Jule Adler"]


def test_over_long_values_are_shortened_at_a_word_and_told(acts: Acts) -> None:
    """A city of 40 bytes is cut at a word to its 32, and the caption keeps what was cut."""
    city = "Sankt Håkon an der Großen Biegung"
    fixture = replace(FIXTURE, city=city)
    situation = situation_for(
        fixture, SHEET, Fold(fixture, SHEET, LOG), "f", Interval.exactly(first(30))
    )
    caption = compose("9r shoots", situation, CupTie(acts).style(), acts)
    assert caption.fields.city == "Sankt Håkon an der Großen"
    assert ("city", city) in {(s.field, s.full) for s in caption.shortened}
    assert city in caption.fields.description


def test_a_caption_can_be_kept_and_read_again(tie: CupTie, style_name: str) -> None:
    """Dumped to JSON and back a caption is the same, its reading included."""
    caption = tie.compose("9r celebrates with 11r right after 74 goal", second(80), style_name)
    adapter = TypeAdapter(Caption)
    assert adapter.validate_json(adapter.dump_json(caption)) == caption
