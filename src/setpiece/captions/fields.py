"""The IPTC fields Setpiece writes: their values, and one table of names and limits.

Source of the table: IPTC Photo Metadata Standard 2025.1, technical reference (release
2025-11-04), https://www.iptc.org/std/photometadata/ ; limits are bytes after UTF-8 encoding
(standard, section 15.1). `tests/published/test_fields_against_iptc.py` holds it to that file.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


@dataclass(frozen=True, slots=True)
class Place:
    """An IPTC Location structure: where a picture was made, or what place it shows."""

    sublocation: str = ""
    city: str = ""
    state: str = ""
    country: str = ""
    country_code: str = ""


@dataclass(frozen=True, slots=True)
class PersonShown:
    """An IPTC person structure: a name as printed and what she is in this picture."""

    name: str
    description: str = ""


@dataclass(frozen=True, slots=True)
class PictureFields:
    """Everything written into a rendition or sidecar. Empty means: the field is not written.

    `date_created` is the frame's own time with the venue's zone. `rating` is 0 to 5, None
    unset. `edit_status` and `instructions` carry corrections and embargoes (IIM 2:07, 2:40).
    """

    headline: str = ""
    description: str = ""
    alt_text: str = ""
    title: str = ""
    keywords: tuple[str, ...] = ()
    persons: tuple[PersonShown, ...] = ()
    organisations: tuple[str, ...] = ()
    event_name: str = ""
    event_ids: tuple[str, ...] = ()
    location_created: Place | None = None
    location_shown: Place | None = None
    city: str = ""
    sublocation: str = ""
    state: str = ""
    country: str = ""
    country_code: str = ""
    date_created: datetime | None = None
    creator: tuple[str, ...] = ()
    creator_job_title: str = ""
    credit: str = ""
    source: str = ""
    copyright_notice: str = ""
    usage_terms: str = ""
    instructions: str = ""
    job_id: str = ""
    description_writer: str = ""
    digital_source_type: str = ""
    data_mining: str = ""
    guid: str = ""
    supplier_image_id: str = ""
    rating: int | None = None
    edit_status: str = ""


class Form(StrEnum):
    """How a value is written in XMP."""

    TEXT = "text"
    LANGUAGE = "language alternative"
    BAG = "bag"
    SEQUENCE = "sequence"
    PLACES = "bag of places"
    PERSONS = "bag of persons"
    DATE = "date"
    NUMBER = "number"
    NONE = "not in XMP"


@dataclass(frozen=True, slots=True)
class FieldSpec:
    """One row of the table: the value's name here, in XMP, in IIM, and its limit.

    `ipmd` is the key in the standard's file, empty for IIM-only datasets. `iim` is
    `record:dataset`; `max_bytes` the IIM limit per value, None where there is none.
    """

    name: str
    ipmd: str
    xmp: str
    form: Form
    iim: str = ""
    max_bytes: int | None = None
    repeats: bool = False


ALT_TEXT_MAX_CHARACTERS = 250
"""Standard, Alt Text (Accessibility): at most 250 characters is advised."""

_T, _L = Form.TEXT, Form.LANGUAGE

FIELDS: tuple[FieldSpec, ...] = (
    FieldSpec("headline", "headline", "photoshop:Headline", _T, "2:105", 256),
    FieldSpec("description", "description", "dc:description", _L, "2:120", 2000),
    FieldSpec("alt_text", "altTextAccessibility", "Iptc4xmpCore:AltTextAccessibility", _L),
    FieldSpec("title", "title", "dc:title", _L, "2:05", 64),
    FieldSpec("keywords", "keywords", "dc:subject", Form.BAG, "2:25", 64, repeats=True),
    FieldSpec("persons", "personInImageNames", "Iptc4xmpExt:PersonInImage", Form.BAG, repeats=True),
    FieldSpec(
        "persons",
        "personsShown",
        "Iptc4xmpExt:PersonInImageWDetails",
        Form.PERSONS,
        repeats=True,
    ),
    FieldSpec(
        "organisations",
        "organisationInImageNames",
        "Iptc4xmpExt:OrganisationInImageName",
        Form.BAG,
        repeats=True,
    ),
    FieldSpec("event_name", "eventName", "Iptc4xmpExt:Event", _L),
    FieldSpec("event_ids", "eventId", "Iptc4xmpExt:EventId", Form.BAG, repeats=True),
    FieldSpec(
        "location_created",
        "locationCreated",
        "Iptc4xmpExt:LocationCreated",
        Form.PLACES,
        repeats=True,
    ),
    FieldSpec(
        "location_shown", "locationsShown", "Iptc4xmpExt:LocationShown", Form.PLACES, repeats=True
    ),
    FieldSpec("city", "cityName", "photoshop:City", _T, "2:90", 32),
    FieldSpec("sublocation", "sublocationName", "Iptc4xmpCore:Location", _T, "2:92", 32),
    FieldSpec("state", "provinceState", "photoshop:State", _T, "2:95", 32),
    FieldSpec("country", "countryName", "photoshop:Country", _T, "2:101", 64),
    FieldSpec("country_code", "countryCode", "Iptc4xmpCore:CountryCode", _T, "2:100", 3),
    FieldSpec("date_created", "dateCreated", "photoshop:DateCreated", Form.DATE, "2:55"),
    FieldSpec("creator", "creatorNames", "dc:creator", Form.SEQUENCE, "2:80", 32, repeats=True),
    FieldSpec("creator_job_title", "jobtitle", "photoshop:AuthorsPosition", _T, "2:85", 32),
    FieldSpec("credit", "creditLine", "photoshop:Credit", _T, "2:110", 32),
    FieldSpec("source", "source", "photoshop:Source", _T, "2:115", 32),
    FieldSpec("copyright_notice", "copyrightNotice", "dc:rights", _L, "2:116", 128),
    FieldSpec("usage_terms", "usageTerms", "xmpRights:UsageTerms", _L),
    FieldSpec("instructions", "instructions", "photoshop:Instructions", _T, "2:40", 256),
    FieldSpec("job_id", "jobid", "photoshop:TransmissionReference", _T, "2:103", 32),
    FieldSpec("description_writer", "captionWriter", "photoshop:CaptionWriter", _T, "2:122", 32),
    FieldSpec("digital_source_type", "digitalSourceType", "Iptc4xmpExt:DigitalSourceType", _T),
    FieldSpec("data_mining", "dataMining", "plus:DataMining", _T),
    FieldSpec("guid", "digitalImageGuid", "Iptc4xmpExt:DigImageGUID", _T),
    FieldSpec("supplier_image_id", "imageSupplierImageId", "plus:ImageSupplierImageID", _T),
    FieldSpec("rating", "imageRating", "xmp:Rating", Form.NUMBER),
    # IIM 4.2, dataset 2:07 Edit Status: carries CORRECTION. Not part of the 2025.1 table.
    FieldSpec("edit_status", "", "", Form.NONE, "2:07", 64),
)


def shorten(text: str, max_bytes: int) -> str:
    """`text` cut at a word so that it fits `max_bytes` of UTF-8; never inside a character."""
    if len(text.encode()) <= max_bytes:
        return text
    cut = text.encode()[:max_bytes].decode(errors="ignore")
    if text[len(cut) : len(cut) + 1].isspace():
        return cut.rstrip()
    at_word = cut.rsplit(None, 1)[0] if any(c.isspace() for c in cut) else cut
    return at_word.rstrip(" ,;:–-")


def over_long(values: PictureFields) -> tuple[tuple[FieldSpec, str], ...]:
    """Each value whose UTF-8 is longer than its IIM dataset holds, with its row."""
    found: list[tuple[FieldSpec, str]] = []
    for spec in FIELDS:
        if spec.max_bytes is None:
            continue
        value = getattr(values, spec.name)
        for text in (value,) if isinstance(value, str) else value or ():
            if len(text.encode()) > spec.max_bytes:
                found.append((spec, text))
    return tuple(found)
