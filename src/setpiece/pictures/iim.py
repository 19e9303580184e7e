"""The caption's fields as IIM datasets and back.

Datasets and byte limits: `captions.fields.FIELDS`; IIM 4.2 for 1:90 (character set), 2:55 and
2:60 (date and time; from memory). An over-long value is shortened by the fields' own rule, at a
word: exiv2 would write it without complaint. All of it runs under exiv2's lock.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import exiv2

from setpiece.captions.fields import FIELDS, FieldSpec, Form, PictureFields, shorten

DataSet = tuple[int, int]
"""Record and dataset number, as (2, 105) for the headline."""

_UTF8_MARK = "\x1b%G"
_CHARACTER_SET: DataSet = (1, 90)
_RECORD_VERSION: DataSet = (2, 0)
_DATE: DataSet = (2, 55)
_TIME: DataSet = (2, 60)
_DATE_TEXT = re.compile(r"(\d{4})-?(\d\d)-?(\d\d)", re.ASCII)
_TIME_TEXT = re.compile(r"(\d\d):?(\d\d):?(\d\d)(?:([+-])(\d\d):?(\d\d))?", re.ASCII)


def dataset_of(spec: FieldSpec) -> DataSet:
    """The row's record and dataset number."""
    record, number = spec.iim.split(":")
    return int(record), int(number)


def datasets(fields: PictureFields) -> dict[DataSet, list[str]]:
    """What IIM will hold, shortened to its limits; the date as exiv2 prints it."""
    found: dict[DataSet, list[str]] = {}
    for spec in FIELDS:
        value = getattr(fields, spec.name)
        if not spec.iim or value in ("", (), None):
            continue
        if spec.form is Form.DATE:
            found[_DATE], found[_TIME] = [_date_text(value)], [_time_text(value)]
            continue
        texts = (value,) if isinstance(value, str) else value
        kept = [shorten(text, spec.max_bytes) if spec.max_bytes else text for text in texts]
        found[dataset_of(spec)] = list(dict.fromkeys(text for text in kept if text))
    return found


def to_iim(fields: PictureFields) -> Any:
    """The fields as exiv2's IptcData, with the mark that says UTF-8."""
    iim = exiv2.IptcData()
    _add(iim, _CHARACTER_SET, exiv2.StringValue(_UTF8_MARK))
    _add(iim, _RECORD_VERSION, exiv2.ShortValue(4))
    for dataset, texts in datasets(fields).items():
        for text in texts:
            if dataset == _DATE:
                value = exiv2.DateValue(*(int(part) for part in text.split("-")))
            elif dataset == _TIME:
                value = exiv2.TimeValue(*_time_parts(text))
            else:
                value = exiv2.StringValue(text)
            _add(iim, dataset, value)
    return iim


def _add(iim: Any, dataset: DataSet, value: Any) -> None:
    record, number = dataset
    iim.add(exiv2.IptcKey(number, record), value)


def read_datasets(iim: Any) -> dict[DataSet, list[str]]:
    """The texts an IptcData holds, without its two heads."""
    utf8 = iim.detectCharset() == "UTF-8"
    found: dict[DataSet, list[str]] = {}
    for datum in iim:
        dataset = (datum.record(), datum.tag())
        value = datum.value()
        if dataset in (_CHARACTER_SET, _RECORD_VERSION):
            continue
        if isinstance(value, exiv2.StringValue):
            raw = bytes(value.data())
            text = raw.decode("utf-8" if utf8 else "latin-1", errors="replace")
        else:
            text = datum.toString()
        if text := text.rstrip("\0"):
            found.setdefault(dataset, []).append(text)
    return found


def from_iim(iim: Any) -> dict[str, Any]:
    """The values of PictureFields that an IptcData holds, by name; what is absent is left out."""
    texts = read_datasets(iim)
    found: dict[str, Any] = {}
    for spec in FIELDS:
        if not spec.iim:
            continue
        if spec.form is Form.DATE:
            day, time = texts.get(_DATE, [""])[0], texts.get(_TIME, [""])[0]
            if (at := _instant_of(day, time)) is not None:
                found[spec.name] = at
        elif values := texts.get(dataset_of(spec)):
            found[spec.name] = tuple(values) if spec.repeats else values[0]
    return found


def _date_text(at: datetime) -> str:
    return f"{at:%Y-%m-%d}"


def _time_text(at: datetime) -> str:
    """The time as exiv2 prints it, `15:03:12+01:00`."""
    offset_min = round((at.utcoffset() or timedelta()).total_seconds() / 60)
    hours, minutes = divmod(abs(offset_min), 60)
    return f"{at:%H:%M:%S}{'-' if offset_min < 0 else '+'}{hours:02d}:{minutes:02d}"


def _time_parts(text: str) -> tuple[int, int, int, int, int]:
    """Hour, minute, second and the zone's hours and minutes, both with the zone's sign."""
    found = _TIME_TEXT.fullmatch(text)
    if not found:
        raise ValueError(text)
    sign = -1 if found[4] == "-" else 1
    hour, minute, second = int(found[1]), int(found[2]), int(found[3])
    return hour, minute, second, sign * int(found[5] or 0), sign * int(found[6] or 0)


def _instant_of(day: str, time: str) -> datetime | None:
    """The time that 2:55 and 2:60 name together; None when either is missing or no time."""
    date_found, time_found = _DATE_TEXT.fullmatch(day), _TIME_TEXT.fullmatch(time)
    if not date_found or not time_found:
        return None
    hour, minute, second, zone_hour, zone_minute = _time_parts(time)
    zone = timezone(timedelta(hours=zone_hour, minutes=zone_minute)) if time_found[4] else UTC
    year, month, date = (int(part) for part in date_found.groups())
    try:
        return datetime(year, month, date, hour, minute, second, tzinfo=zone)
    except ValueError:
        return None
