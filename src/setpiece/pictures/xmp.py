"""The caption's fields as XMP and back: every form the standard uses, structures included.

Forms and property names: `captions.fields.FIELDS` (IPTC Photo Metadata 2025.1); structures:
the same technical reference, Location and PersonWDetails. All of it runs under exiv2's lock.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

import exiv2

from setpiece.captions.fields import FIELDS, FieldSpec, Form, PersonShown, PictureFields, Place

_EXT = "Iptc4xmpExt"
_PLACE_PARTS = {
    "sublocation": "Sublocation",
    "city": "City",
    "state": "ProvinceState",
    "country": "CountryName",
    "country_code": "CountryCode",
}
_PERSON_PARTS = {"name": "PersonName", "description": "PersonDescription"}
# Inside a structure exiv2 keeps the prefix of the program that wrote it.
_PART = re.compile(r"(?P<field>.+)\[(?P<place>\d+)\]/[\w.-]+:(?P<part>\w+)(?:\[1\])?")
_BAG, _SEQUENCE = exiv2.TypeId.xmpBag, exiv2.TypeId.xmpSeq


def key_of(spec: FieldSpec) -> str:
    """exiv2's key for a row of the table, as `Xmp.photoshop.Headline`."""
    return "Xmp." + spec.xmp.replace(":", ".")


def to_xmp(fields: PictureFields) -> Any:
    """The fields as exiv2's XmpData. Empty fields are left out."""
    xmp = exiv2.XmpData()
    for spec in FIELDS:
        value = getattr(fields, spec.name)
        if spec.form is not Form.NONE and value not in ("", (), None):
            _WRITERS[spec.form](xmp, key_of(spec), value)
    return xmp


def _write_text(xmp: Any, key: str, value: str | int) -> None:
    xmp.add(exiv2.XmpKey(key), exiv2.XmpTextValue(str(value)))


def _write_language(xmp: Any, key: str, value: str) -> None:
    xmp.add(exiv2.XmpKey(key), exiv2.LangAltValue({"x-default": value}))


def _write_bag(xmp: Any, key: str, value: tuple[str | PersonShown, ...]) -> None:
    _write_array(xmp, key, value, _BAG)


def _write_sequence(xmp: Any, key: str, value: tuple[str, ...]) -> None:
    _write_array(xmp, key, value, _SEQUENCE)


def _write_array(xmp: Any, key: str, value: tuple[str | PersonShown, ...], form: Any) -> None:
    array = exiv2.XmpArrayValue(form)
    for item in value:
        array.append(item.name if isinstance(item, PersonShown) else item)
    xmp.add(exiv2.XmpKey(key), array)


def _write_date(xmp: Any, key: str, value: datetime) -> None:
    fraction = f".{value.microsecond:06d}".rstrip("0") if value.microsecond else ""
    zone = value.isoformat()[-6:]
    _write_text(xmp, key, f"{value:%Y-%m-%dT%H:%M:%S}{fraction}{zone}")


def _write_structures(xmp: Any, key: str) -> None:
    """Opens a bag of structures at `key`."""
    bag = exiv2.XmpTextValue("")
    bag.setXmpArrayType(exiv2.XmpValue.XmpArrayType.xaBag)
    xmp.add(exiv2.XmpKey(key), bag)


def _write_places(xmp: Any, key: str, value: Place) -> None:
    _write_structures(xmp, key)
    for name, part in _PLACE_PARTS.items():
        if text := getattr(value, name):
            _write_text(xmp, f"{key}[1]/{_EXT}:{part}", text)


def _write_persons(xmp: Any, key: str, value: tuple[PersonShown, ...]) -> None:
    _write_structures(xmp, key)
    for place, person in enumerate(value, start=1):
        for name, part in _PERSON_PARTS.items():
            if text := getattr(person, name):
                _write_language(xmp, f"{key}[{place}]/{_EXT}:{part}", text)


_WRITERS: Mapping[Form, Any] = {
    Form.TEXT: _write_text,
    Form.NUMBER: _write_text,
    Form.LANGUAGE: _write_language,
    Form.BAG: _write_bag,
    Form.SEQUENCE: _write_sequence,
    Form.PLACES: _write_places,
    Form.PERSONS: _write_persons,
    Form.DATE: _write_date,
}


def from_xmp(xmp: Any) -> dict[str, Any]:
    """The values of PictureFields that an XmpData holds, by name; what is absent is left out."""
    found: dict[str, Any] = {}
    by_key: dict[str, Any] = {datum.key(): datum for datum in xmp}
    for spec in FIELDS:
        if spec.form is Form.NONE:
            continue
        value = _read(spec, by_key)
        if value not in (None, "", ()) and (spec.form is Form.PERSONS or spec.name not in found):
            found[spec.name] = value
    return found


def _read(spec: FieldSpec, by_key: Mapping[str, Any]) -> Any:
    """A row's value as PictureFields keeps it, None when absent or not understood."""
    key = key_of(spec)
    if spec.form is Form.PLACES:
        places = tuple(_structures(by_key, key, _PLACE_PARTS))
        return Place(**places[0]) if places else None
    if spec.form is Form.PERSONS:
        people = _structures(by_key, key, _PERSON_PARTS)
        return tuple(PersonShown(**person) for person in people if person.get("name"))
    if key not in by_key:
        return None
    texts = _texts(by_key[key])
    if spec.form in (Form.BAG, Form.SEQUENCE):
        return tuple(map(PersonShown, texts)) if spec.name == "persons" else texts
    text = texts[0] if texts else ""
    if spec.form is Form.DATE:
        return _date(text)
    if spec.form is Form.NUMBER:
        return int(text) if re.fullmatch(r"-?[0-9]", text) else None
    return text


def _texts(datum: Any) -> tuple[str, ...]:
    """The texts of a property of any form; of a language alternative the default first."""
    value = datum.value()
    if isinstance(value, exiv2.LangAltValue):
        by_language = dict(value.items())
        default = by_language.pop("x-default", None)
        return ((default,) if default is not None else ()) + tuple(by_language.values())
    if isinstance(value, exiv2.XmpArrayValue):
        return tuple(value.toString(place) for place in range(value.count()))
    return (value.toString(),)


def _structures(
    by_key: Mapping[str, Any], key: str, parts: Mapping[str, str]
) -> Iterator[dict[str, str]]:
    """The structures of a bag, each as our names with their texts."""
    names = {part: name for name, part in parts.items()}
    found: dict[int, dict[str, str]] = {}
    for full, datum in by_key.items():
        part = _PART.fullmatch(full)
        if part and part["field"] == key and part["part"] in names:
            texts = _texts(datum)
            if texts and texts[0]:
                found.setdefault(int(part["place"]), {})[names[part["part"]]] = texts[0]
    for place in sorted(found):
        yield found[place]


def _date(text: str) -> datetime | None:
    """The time an XMP date names; None when it names less than a minute (ISO 8601)."""
    try:
        return datetime.fromisoformat(text) if "T" in text else None
    except ValueError:
        return None
