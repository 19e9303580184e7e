"""XMP of other programs is read for what it says."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from sample_fields import FULL

from setpiece.captions.fields import PersonShown, PictureFields, Place
from setpiece.pictures.iptc import read_fields, sidecar

HEAD = (
    '<x:xmpmeta xmlns:x="adobe:ns:meta/">'
    '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
    '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"'
    ' xmlns:xmp="http://ns.adobe.com/xap/1.0/"'
    ' xmlns:photoshop="http://ns.adobe.com/photoshop/1.0/"'
    ' xmlns:other="http://iptc.org/std/Iptc4xmpExt/2008-02-29/">'
)
TAIL = "</rdf:Description></rdf:RDF></x:xmpmeta>"


def packet(body: str) -> bytes:
    """An XMP packet as another program might write it, with a prefix of its own."""
    return (HEAD + body + TAIL).encode()


def test_the_standard_s_prefixes_are_written() -> None:
    """Namespaces carry the prefixes that the standard uses, which simple readers look for."""
    text = sidecar(FULL).decode()
    for prefix in ("Iptc4xmpExt:PersonInImage", "Iptc4xmpCore:CountryCode", "plus:DataMining"):
        assert f"<{prefix}" in text or f" {prefix}=" in text
    assert text.startswith("<?xpacket begin=")
    assert text.rstrip().endswith("?>")


def test_another_prefix_is_understood() -> None:
    """Names belong to the namespace, whatever the prefix."""
    body = (
        "<other:PersonInImage><rdf:Bag><rdf:li>Ana d’Ávila</rdf:li></rdf:Bag></other:PersonInImage>"
    )
    assert read_fields(packet(body)).persons == (PersonShown("Ana d’Ávila"),)


def test_details_of_persons_come_before_names() -> None:
    """Where both stand, the one with more is kept."""
    body = (
        "<other:PersonInImage><rdf:Bag><rdf:li>Ana</rdf:li></rdf:Bag></other:PersonInImage>"
        "<other:PersonInImageWDetails><rdf:Bag><rdf:li rdf:parseType='Resource'>"
        "<other:PersonName><rdf:Alt><rdf:li xml:lang='x-default'>Ana</rdf:li></rdf:Alt>"
        "</other:PersonName><other:PersonDescription><rdf:Alt>"
        "<rdf:li xml:lang='x-default'>keeper</rdf:li></rdf:Alt></other:PersonDescription>"
        "</rdf:li></rdf:Bag></other:PersonInImageWDetails>"
    )
    assert read_fields(packet(body)).persons == (PersonShown("Ana", "keeper"),)


def test_a_description_in_other_languages_is_read() -> None:
    """The default language first; without one, the first there is; plain text as it stands."""
    alt = "<dc:description><rdf:Alt>{}</rdf:Alt></dc:description>"
    german = "<rdf:li xml:lang='de'>Tor</rdf:li>"
    default = "<rdf:li xml:lang='x-default'>Goal</rdf:li>"
    assert read_fields(packet(alt.format(german + default))).description == "Goal"
    assert read_fields(packet(alt.format(german))).description == "Tor"
    assert read_fields(packet("<dc:title>Plain</dc:title>")).title == "Plain"


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("2027-03-06T15:03:12.3Z", datetime(2027, 3, 6, 15, 3, 12, 300_000, tzinfo=UTC)),
        ("2027-03-06T15:03Z", datetime(2027, 3, 6, 15, 3, tzinfo=UTC)),
        ("2027-03-06", None),
        ("2027", None),
        ("last Saturday", None),
    ],
)
def test_a_date_that_is_no_time_is_left_out(text: str, at: datetime | None) -> None:
    """ISO times are read, a day alone is no time of a frame."""
    body = f"<photoshop:DateCreated>{text}</photoshop:DateCreated>"
    assert read_fields(packet(body)).date_created == at


def test_what_is_not_understood_is_left_out() -> None:
    """An odd rating and an empty structure give nothing."""
    place = "<rdf:Bag><rdf:li rdf:parseType='Resource'/></rdf:Bag>"
    body = f"<xmp:Rating>five</xmp:Rating><other:LocationShown>{place}</other:LocationShown>"
    assert read_fields(packet(body)) == PictureFields()


def test_the_first_place_counts() -> None:
    """Of several places shown, the first is kept."""
    one = "<rdf:li rdf:parseType='Resource'><other:City>{}</other:City></rdf:li>"
    places = f"<rdf:Bag>{one.format('A')}{one.format('B')}</rdf:Bag>"
    body = f"<other:LocationShown>{places}</other:LocationShown>"
    assert read_fields(packet(body)).location_shown == Place(city="A")
