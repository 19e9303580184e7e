"""An invented caption with every field set, and texts for random ones."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

from hypothesis import strategies as st

from setpiece.captions.fields import PersonShown, PictureFields, Place

VENNA = timezone(timedelta(hours=1))

FULL = PictureFields(
    headline="Øydis Håkonsdóttir’s “winner” – Hollerau 2, Sankt Vend 1",
    description=(
        "Hollerau's Øydis Håkonsdóttir, right, celebrates with Zoë van der Žuk & Ana d’Ávila "
        "<left> at the Lännenpark in Hollerau on Saturday, March 6, 2027.\nSecond line; 100 %."
    ),
    alt_text="Two players in red hug; one points at the stand.",
    title="HOL-SVE 74 free kick",
    keywords=("football", "Alpine Women's Cup", "celebration, goal", "Øydis Håkonsdóttir"),
    persons=(
        PersonShown("Øydis Håkonsdóttir", "Hollerau forward, number 9"),
        PersonShown("Zoë van der Žuk", "Hollerau midfielder, number 11"),
        PersonShown("Ana d’Ávila"),
    ),
    organisations=("Hollerau", "Sankt Vend"),
    event_name="Alpine Women's Cup semi-final",
    event_ids=("https://cup.example/2027/sf1",),
    location_created=Place("Lännenpark", "Hollerau", "Oberland", "Österreich", "AUT"),
    location_shown=Place(sublocation="Lännenpark", city="Hollerau"),
    city="Hollerau",
    sublocation="Lännenpark",
    state="Oberland",
    country="Österreich",
    country_code="AUT",
    date_created=datetime(2027, 3, 6, 16, 19, 5, 340_000, tzinfo=VENNA),
    creator=("Jördis Ø. Fährmann", "Second Hand"),
    creator_job_title="Photographer",
    credit="Fährmann Bild",
    source="Fährmann Bild",
    copyright_notice="© 2027 Jördis Ø. Fährmann",
    usage_terms="Editorial use only",
    instructions="EMBARGO until full time",
    job_id="JOB-2027-0042",
    description_writer="jøf",
    digital_source_type="http://cv.iptc.org/newscodes/digitalsourcetype/digitalCapture",
    data_mining="http://ns.useplus.org/ldf/vocab/DMI-PROHIBITED",
    guid="urn:uuid:0b0e5f4e-0000-4000-8000-000000000042",
    supplier_image_id="HOL-0042",
    rating=3,
    edit_status="CORRECTION",
)

LONG = "Grundlseeer Größenwahn übertrifft Fußballverbände "
"""50 signs, 55 bytes: repeated, it passes every limit, with accents at every place of the cut."""

_SIGNS = st.characters(blacklist_categories=("Cs", "Cc"), blacklist_characters="\ufffe\uffff")
texts = st.text(_SIGNS, max_size=40).filter(lambda text: not text.startswith("type="))
some_texts = texts.filter(lambda text: text != "")
lists = st.lists(some_texts, max_size=4, unique=True).map(tuple)
places = st.none() | st.builds(Place, texts, texts, texts, texts, texts)
zones = st.integers(-840, 840).map(lambda minutes: timezone(timedelta(minutes=minutes)))
dates = st.none() | st.datetimes(datetime(1900, 1, 1), datetime(2100, 1, 1), timezones=zones)

captions = st.builds(
    PictureFields,
    headline=texts,
    description=texts,
    alt_text=texts,
    keywords=lists,
    persons=st.lists(st.builds(PersonShown, some_texts, texts), max_size=4).map(tuple),
    organisations=lists,
    event_name=texts,
    location_created=places,
    location_shown=places,
    city=texts,
    creator=lists,
    date_created=dates,
    instructions=texts,
    rating=st.none() | st.integers(0, 5),
)
