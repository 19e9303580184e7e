"""The table of fields against the standard's own file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from setpiece.captions.fields import FIELDS, FieldSpec, Form, PictureFields

pytestmark = pytest.mark.published

# IPTC Photo Metadata Standard 2025.1, technical reference (JSON, release stamp 2025-11-04),
# https://www.iptc.org/std/photometadata/ , read from the open data beside the repository.
REFERENCE = "iptc/iptc-pmd-techreference_2025.1.json"

# The edit status is a dataset of IIM 4.2 (2:07, 64 bytes) that the 2025.1 table leaves out.
OUTSIDE = ("edit_status",)
TABLED = [spec for spec in FIELDS if spec.name not in OUTSIDE]

FORMS = {
    Form.TEXT: ("string", "single"),
    Form.LANGUAGE: ("struct", "single"),
    Form.BAG: ("string", "multi"),
    Form.SEQUENCE: ("string", "multi"),
    Form.PLACES: ("struct", "multi"),
    Form.PERSONS: ("struct", "multi"),
    Form.DATE: ("string", "single"),
    Form.NUMBER: ("number", "single"),
}


@pytest.fixture(scope="module")
def standard(open_data: Path) -> dict[str, Any]:
    """The standard's properties by key."""
    text = (open_data / REFERENCE).read_text("utf-8")
    return json.loads(text)["ipmd_top"]


@pytest.mark.parametrize("spec", TABLED, ids=lambda s: s.ipmd)
def test_each_row_is_the_standards(spec: FieldSpec, standard: dict[str, Any]) -> None:
    """A row has the standard's XMP id, IIM dataset, byte limit, type and occurrence."""
    row = standard[spec.ipmd]
    assert spec.xmp == row["XMPid"]
    assert spec.iim == row.get("IIMid", "")
    assert spec.max_bytes == row.get("IIMmaxbytes")
    assert (row["datatype"], row["propoccurrence"]) == FORMS[spec.form]
    assert spec.repeats == (row["propoccurrence"] == "multi")


def test_every_value_has_a_row_and_every_row_a_value() -> None:
    """What a picture's fields hold and what the table names are the same."""
    values = set(PictureFields.__dataclass_fields__)
    assert values == {spec.name for spec in FIELDS}


def test_language_alternatives_are_the_standards_structures(standard: dict[str, Any]) -> None:
    """A row written as a language alternative is one in the standard, and no other row is."""
    for spec in TABLED:
        is_language = standard[spec.ipmd].get("dataformat") == "AltLang"
        assert (spec.form is Form.LANGUAGE) == is_language, spec.name
