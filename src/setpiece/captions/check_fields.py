"""The fields: dates and places that are the frame's, lengths that fit, nothing missing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from types import MappingProxyType

from babel import Locale

from setpiece.captions.caption import Caption
from setpiece.captions.fields import ALT_TEXT_MAX_CHARACTERS, over_long, shorten
from setpiece.captions.findings import Finding, error, remark
from setpiece.captions.freetext import Found, in_picture
from setpiece.captions.language import Language
from setpiece.captions.situation import Situation
from setpiece.captions.style import HouseStyle
from setpiece.captions.translit import in_ascii


@dataclass(frozen=True, slots=True)
class SaidDate:
    """A date in a text; `year` None when it is missing."""

    text: str
    day: int
    month: int
    year: int | None


@lru_cache(maxsize=16)
def _calendar(locale: str) -> tuple[dict[str, int], dict[str, int], re.Pattern[str]]:
    known = Locale.parse(locale)
    months: dict[str, int] = {}
    days: dict[str, int] = {}
    for form in ("wide", "abbreviated"):
        months |= {str(n).lower().rstrip("."): i for i, n in known.months["format"][form].items()}
        days |= {str(n).lower().rstrip("."): i for i, n in known.days["format"][form].items()}
    names = "|".join(re.escape(n) for n in sorted(months, key=lambda n: -len(n)))
    pattern = re.compile(
        rf"\b(?P<d1>\d{{1,2}})(?:st|nd|rd|th|\.)?\s+(?P<m1>{names})\.?(?:,?\s+(?P<y1>\d{{4}}))?\b"
        rf"|\b(?P<m2>{names})\.?\s+(?P<d2>\d{{1,2}})(?:st|nd|rd|th)?(?:,?\s+(?P<y2>\d{{4}}))?\b"
        r"|\b(?P<d3>\d{1,2})\.(?P<m3>\d{1,2})\.(?P<y3>\d{4})\b"
        r"|\b(?P<y4>\d{4})-(?P<m4>\d{2})-(?P<d4>\d{2})\b",
        re.IGNORECASE,
    )
    return months, days, pattern


def dates_in(text: str, locale: str) -> tuple[SaidDate, ...]:
    """The dates in a text, in words or figures."""
    months, _, pattern = _calendar(locale)
    found: list[SaidDate] = []
    for match in pattern.finditer(text):
        part = next(n for n in "1234" if match[f"d{n}"])
        month = match[f"m{part}"].lower().rstrip(".")
        number = int(month) if month.isdecimal() else months[month]
        year = match[f"y{part}"]
        found.append(
            SaidDate(match[0], int(match[f"d{part}"]), number, int(year) if year else None)
        )
    return tuple(found)


def weekdays_in(text: str, locale: str) -> tuple[tuple[str, int], ...]:
    """The weekdays in a text, Monday 0, where they stand with a capital or before a date."""
    _, days, _ = _calendar(locale)
    names = "|".join(re.escape(n) for n in sorted(days, key=lambda n: -len(n)))
    found = re.finditer(rf"\b({names})\b\.?(?=[\s,.:]|$)", text, re.IGNORECASE)
    return tuple((m[1], days[m[1].lower()]) for m in found if m[1][:1].isupper())


def check_dates(caption: Caption, situation: Situation, style: HouseStyle) -> Iterator[Finding]:
    """The date is the frame's own at the venue, with the year and its weekday."""
    text = caption.fields.description
    days = {situation.fixture.local_date(at) for at in (situation.at.start, situation.at.end)}
    said = dates_in(text, style.locale)
    if not said and text:
        yield error("date missing", "The description has no date")
    for one in said:
        if one.year is None:
            yield error("year missing", f"{one.text} has no year", one.text)
        if not any(
            (one.day, one.month) == (d.day, d.month) and one.year in (None, d.year) for d in days
        ):
            yield error(
                "date not the frame's",
                f"The frame was made on {_plain(min(days))}, the text says {one.text}",
                one.text,
                choices=tuple(_plain(d) for d in sorted(days)),
            )
    for name, number in weekdays_in(text, style.locale):
        if number not in {d.weekday() for d in days}:
            yield error("weekday not the frame's", f"{name} is not the day of the frame", name)
    made = caption.fields.date_created
    if made is not None and made.date() not in days:
        yield error(
            "date not the frame's", f"Date created is {_plain(made.date())}", "date_created"
        )


def _plain(day: date) -> str:
    return day.isoformat()


def check_places(caption: Caption, situation: Situation) -> Iterator[Finding]:
    """Venue and city are the fixture's, and the description names one of them."""
    fixture, values = situation.fixture, caption.fields
    for name, said, right in (
        ("city", values.city, fixture.city),
        ("venue", values.sublocation, fixture.venue),
        ("country", values.country, fixture.country),
    ):
        fits = right.startswith(said) if said else True
        if said and right and not fits:
            yield error(
                f"{name} not the fixture's", f"{said}; the fixture says {right}", said,
                choices=(right,),
            )  # fmt: skip
    low = values.description.lower()
    known = [p for p in (fixture.venue, fixture.city) if p]
    if known and low and not any(p.lower() in low for p in known):
        yield error("place missing", "The description names neither venue nor city")


def check_lengths(caption: Caption, style: HouseStyle) -> Iterator[Finding]:
    """Every value fits its dataset; what was shortened is said."""
    for spec, text in over_long(caption.fields):
        yield error(
            "over-long field",
            f"{spec.name} has {len(text.encode())} bytes, {spec.iim} holds {spec.max_bytes}",
            spec.name,
        )
    if len(caption.fields.alt_text) > ALT_TEXT_MAX_CHARACTERS:
        yield error(
            "over-long field",
            f"alt text has {len(caption.fields.alt_text)} characters of {ALT_TEXT_MAX_CHARACTERS}",
            "alt_text",
        )
    for cut in caption.shortened:
        yield remark("shortened", f"{cut.field} was shortened to: {cut.kept}", cut.field)
    if style.iim_ascii:
        too_long = {spec.name for spec, _ in over_long(caption.fields)}
        for spec, text in over_long(in_ascii(caption.fields)):
            if spec.name not in too_long:
                kept = shorten(text, spec.max_bytes or 0)
                yield remark(
                    "shortened", f"{spec.name} in ASCII is shortened to: {kept}", spec.name
                )


_FILLED_IN = MappingProxyType(
    {
        "creator": ". Write your name into setpiece.toml",
        **dict.fromkeys(
            ("city", "state", "country", "country_code", "sublocation"),
            ". Fill it in at the fixture",
        ),
    }
)
"""Where a field is filled in that no caption can fill."""


def check_required(
    caption: Caption, found: Found, style: HouseStyle, language: Language
) -> Iterator[Finding]:
    """Every field the desk asks for is filled; persons only where somebody shown is named."""
    if caption.reading is not None:
        people = any(p.name for p in caption.reading.people)
    else:
        people = bool(in_picture(found, language))
    for name in style.required:
        if name == "persons" and not people:
            continue
        if getattr(caption.fields, name) in ("", (), None):
            message = f"{name} is empty, {style.name} asks for it"
            yield error("field missing", f"{message}{_FILLED_IN.get(name, '')}", name)
