"""Composed captions written into a JPEG, read back by ExifTool as an independent reader."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

sys.path.append(str(Path(__file__).parent.parent / "captions" / "helpers"))
sys.path.append(str(Path(__file__).parent.parent / "captions" / "oracle"))

from cup_tie import CupTie, second

from setpiece.captions.compose import Creator, Marks, compose
from setpiece.captions.fields import PictureFields
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


@pytest.mark.parametrize("style", style_names())
def test_exiftool_reads_every_field_back(
    style: str, picture: bytes, tmp_path: Path, need_tool: Callable[[str], str]
) -> None:
    """Every field of a caption with accents comes back exactly, from XMP and from IIM."""
    tie = CupTie(load_acts())
    marks = Marks(
        "9f1c-guid", "SP-0231", "J-77", "Embargo: 18:00 MEZ – für Kiel Ærø", 4,
    )  # fmt: skip
    caption = compose(
        LINE, tie.situation(second(80)), tie.style(style), tie.acts,
        creator=Creator("Kim Ørnæs", "Fotografin", "kö"), marks=marks,
    )  # fmt: skip
    file = tmp_path / "captioned.jpg"
    file.write_bytes(write_fields(picture, caption.fields))
    read = _read(need_tool("exiftool"), file)
    assert "“" in caption.fields.description or "„" in caption.fields.description
    for name, tags in TAGS.items():
        value = getattr(caption.fields, name)
        for tag in tags:
            if value not in ("", None):
                assert str(read.get(tag)) == str(value), tag
    for name, tags in LISTS.items():
        for tag in tags:
            assert _many(read[tag]) == list(getattr(caption.fields, name)), tag
    _structures(read, caption.fields)


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
