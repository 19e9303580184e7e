"""Each caution that the plan prints is one that its source gives."""

from __future__ import annotations

import pytest

from setpiece.plan.caution import CAUTIONS, Part, cautions

pytestmark = pytest.mark.published

# Words that the source uses, the source as the plan names it, and the parts it belongs to.
SAID = [
    # Nikon D90 manual, p. XIV, quoted at outdoorphotographer.com
    ("can start a fire", "Nikon D90 manual, p. XIV", {Part.LIGHT}),
    # photo.stackexchange 116444, citing NASA
    ("painless and can be permanent", "116444", {Part.LIGHT, Part.LENS}),
    # Nikon D800 manual, p. 401
    ("damage the sensor", "Nikon D800 manual, p. 401", {Part.LIGHT, Part.LENS}),
    # sgsa.org.uk, Media provision
    ("media rules come first", "sgsa.org.uk, Media provision", {Part.SEAT, Part.PENALTY}),
    # UEFA Conference League 2024/25, article 86
    ("behind the boards on the goal lines", "article 86", {Part.SEAT}),
    ("Change ends at half-time", "article 86", {Part.SEAT}),
    ("bib at all times", "article 86", {Part.SEAT}),
    # dbu.dk, guideline; Law 1
    ("moves behind the goal during a penalty", "dbu.dk", {Part.PENALTY}),
    ("on posts or nets", "Law 1", {Part.SEAT, Part.PENALTY}),
]


@pytest.mark.parametrize(("words", "source", "parts"), SAID, ids=[row[0] for row in SAID])
def test_a_caution_stands_with_its_source_where_it_belongs(
    words: str, source: str, parts: set[Part]
) -> None:
    """The caution is printed by every part it belongs to, with the source beside it."""
    found = [c for c in CAUTIONS if words in c.text]
    assert len(found) == 1
    assert source in found[0].source
    assert set(found[0].parts) == parts
    for part in parts:
        assert found[0] in cautions(part)
