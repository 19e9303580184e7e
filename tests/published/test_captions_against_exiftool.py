"""Composed captions written into a JPEG, read back by ExifTool as an independent reader."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from collections.abc import Callable
from dataclasses import fields as dataclass_fields
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

sys.path.append(str(Path(__file__).parent.parent / "captions" / "helpers"))
sys.path.append(str(Path(__file__).parent.parent / "captions" / "oracle"))

from cup_tie import CupTie, second

from setpiece.captions.compose import Creator, Marks, compose
from setpiece.captions.fields import PictureFields
from setpiece.captions.style import HouseStyle
from setpiece.captions.translit import in_ascii
from setpiece.pictures.iptc import write_fields
from setpiece.work.style_files import load_acts, style_names

pytestmark = pytest.mark.published

LINE = "zoë left celebrates with sofía right after 74 goal quote „Åh – ja!“"
READ_WITHIN_S = 60
"""ExifTool is given this long; a broken file must not stop the tests."""

# What ExifTool calls each field (exiftool.org, tag names of XMP and IPTC; from memory).
TAGS: dict[str, tuple[str, ...]] = {
    "headline": ("XMP-photoshop:Headline", "IPTC:Headline"),
    "description": ("XMP-dc:Description", "IPTC:Caption-Abstract"),
    "alt_text": ("XMP-iptcCore:AltTextAccessibility",),
    "title": ("XMP-dc:Title", "IPTC:ObjectName"),
    "event_name": ("XMP-iptcExt:Event",),
    "city": ("XMP-photoshop:City", "IPTC:City"),
    "sublocation": ("XMP-iptcCore:Location", "IPTC:Sub-location"),
    "state": ("XMP-photoshop:State", "IPTC:Province-State"),
    "country": ("XMP-photoshop:Country", "IPTC:Country-PrimaryLocationName"),
    "country_code": ("XMP-iptcCore:CountryCode", "IPTC:Country-PrimaryLocationCode"),
    "creator_job_title": ("XMP-photoshop:AuthorsPosition", "IPTC:By-lineTitle"),
    "credit": ("XMP-photoshop:Credit", "IPTC:Credit"),
    "source": ("XMP-photoshop:Source", "IPTC:Source"),
    "copyright_notice": ("XMP-dc:Rights", "IPTC:CopyrightNotice"),
    "usage_terms": ("XMP-xmpRights:UsageTerms",),
    "instructions": ("XMP-photoshop:Instructions", "IPTC:SpecialInstructions"),
    "job_id": ("XMP-photoshop:TransmissionReference", "IPTC:OriginalTransmissionReference"),
    "description_writer": ("XMP-photoshop:CaptionWriter", "IPTC:Writer-Editor"),
    "digital_source_type": ("XMP-iptcExt:DigitalSourceType",),
    "data_mining": ("XMP-plus:DataMining",),
    "guid": ("XMP-iptcExt:DigitalImageGUID",),
    "supplier_image_id": ("XMP-plus:ImageSupplierImageID",),
    "rating": ("XMP-xmp:Rating",),
    "edit_status": ("IPTC:EditStatus",),
}
LISTS: dict[str, tuple[str, ...]] = {
    "keywords": ("XMP-dc:Subject", "IPTC:Keywords"),
    "creator": ("XMP-dc:Creator", "IPTC:By-line"),
    "organisations": ("XMP-iptcExt:OrganisationInImageName",),
    "event_ids": ("XMP-iptcExt:EventID",),
}


def _many(value: object) -> list[str]:
    return [str(v) for v in value] if isinstance(value, list) else [str(value)]


@pytest.fixture(scope="module")
def picture() -> bytes:
    """A small grey JPEG."""
    kept = io.BytesIO()
    Image.new("RGB", (64, 48), (90, 90, 90)).save(kept, "JPEG")
    return kept.getvalue()


def test_every_field_is_asked_for() -> None:
    """No field of the table is left out of what ExifTool must read back."""
    held = {*TAGS, *LISTS, "persons", "location_created", "location_shown", "date_created"}
    assert held == {f.name for f in dataclass_fields(PictureFields)}


@pytest.mark.parametrize("style", style_names())
def test_exiftool_reads_every_field_back(
    style: str, picture: bytes, tmp_path: Path, need_tool: Callable[[str], str]
) -> None:
    """Every field of a caption with accents comes back exactly, from XMP and from IIM."""
    tie = CupTie(load_acts())
    house = tie.style(style)
    marks = Marks(
        "9f1c-guid", "SP-0231", "J-77", "Embargo: 18:00 MEZ – für Kiel Ærø", 4,
    )  # fmt: skip
    caption = compose(
        LINE, tie.situation(second(80)), house, tie.acts,
        creator=Creator("Kim Ørnæs", "Fotografin", "kö"), marks=marks,
    )  # fmt: skip
    fields = replace(caption.fields, state="Østmark", edit_status="CORRECTION")
    file = tmp_path / "captioned.jpg"
    file.write_bytes(write_fields(picture, fields, ascii_iim=house.iim_ascii))
    read = _read(need_tool("exiftool"), file)
    assert "“" in caption.fields.description or "„" in caption.fields.description
    for name, tags in TAGS.items():
        for tag in tags:
            value = getattr(_in(tag, fields, house), name)
            if value not in ("", None):
                assert str(read.get(tag)) == str(value), tag
    for name, tags in LISTS.items():
        for tag in tags:
            assert _many(read[tag]) == list(getattr(_in(tag, fields, house), name)), tag
    _structures(read, fields)


def test_a_desk_of_old_gets_ascii_in_iim_and_every_letter_in_xmp(
    picture: bytes, tmp_path: Path, need_tool: Callable[[str], str]
) -> None:
    """ExifTool finds no byte beyond ASCII in any IIM value, and the accents in XMP."""
    fields = PictureFields(
        headline="Zoë Müller – „Jawohl!“", description="Signe Ørbeck grüßt", city="Çanakören",
        keywords=("Fußball", "Ærø"), creator=("Łucja Þórsdóttir",), copyright_notice="© Łucja",
    )  # fmt: skip
    file = tmp_path / "plain.jpg"
    file.write_bytes(write_fields(picture, fields, ascii_iim=True))
    read = _read(need_tool("exiftool"), file)
    iim = [text for tag, value in read.items() if tag.startswith("IPTC:") for text in _many(value)]
    assert all(text.isascii() for text in iim)
    assert {"IPTC:Headline", "IPTC:Keywords", "IPTC:By-line"} <= set(read)
    assert read["IPTC:Headline"] == 'Zoe Muller - "Jawohl!"'
    assert read["IPTC:Keywords"] == ["Fussball", "AEro"]
    assert read["IPTC:CopyrightNotice"] == "(c) Lucja"
    assert read["XMP-photoshop:Headline"] == fields.headline
    assert read["XMP-dc:Creator"] in (list(fields.creator), fields.creator[0])


def _in(tag: str, fields: PictureFields, style: HouseStyle) -> PictureFields:
    """The fields as the group of this tag holds them in this style."""
    return in_ascii(fields) if style.iim_ascii and tag.startswith("IPTC:") else fields


def _read(exiftool: str, file: Path) -> dict[str, object]:
    options = ["-j", "-G1", "-struct", "-n", "-charset", "iptc=UTF8"]
    answer = subprocess.run(
        [exiftool, *options, str(file)], capture_output=True, check=True, timeout=READ_WITHIN_S
    )
    found: dict[str, object] = json.loads(answer.stdout)[0]
    return found


def _structures(read: dict[str, object], values: PictureFields) -> None:
    """Persons and places as the nested structures they are, and the date with its zone."""
    persons = read["XMP-iptcExt:PersonInImageWDetails"]
    assert isinstance(persons, list)
    assert [(p["PersonName"], p["PersonDescription"]) for p in persons] == [
        (p.name, p.description) for p in values.persons
    ]
    (place,) = read["XMP-iptcExt:LocationCreated"]  # type: ignore[misc]
    made = values.location_created
    assert made is not None
    assert (place["Sublocation"], place["City"], place["CountryCode"]) == (
        made.sublocation, made.city, made.country_code,
    )  # fmt: skip
    assert values.date_created is not None
    assert read["XMP-photoshop:DateCreated"] == (f"{values.date_created:%Y:%m:%d %H:%M:%S}+01:00")
    assert read["IPTC:DateCreated"] == f"{values.date_created:%Y:%m:%d}"
    assert read["IPTC:TimeCreated"] == f"{values.date_created:%H:%M:%S}+01:00"
