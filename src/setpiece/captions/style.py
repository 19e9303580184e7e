"""A house style: how one desk wants captions, fields, file names and pictures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import date

from babel import Locale, UnknownLocaleError
from babel.dates import format_date

from setpiece.captions.fields import PictureFields
from setpiece.captions.patterns import check_pattern, values_in
from setpiece.captions.tables import Table, nearest, read_toml
from setpiece.errors import WrongUse

SENTENCE_VALUES = (
    "clause", "minute", "score", "final", "when", "event", "competition", "stage", "home", "away",
    "home_short", "away_short", "venue", "city", "state", "country", "date", "weekday", "quotes",
    "creator", "credit", "headline", "phase",
)  # fmt: skip
"""What the patterns for headline, description, title and event name may fill in."""

NAME_VALUES = (
    "date", "time", "home", "away", "competition", "camera", "number", "minute", "people",
    "creator", "frame", "act",
)  # fmt: skip
"""What the pattern for file names may fill in."""

CORRECTION_VALUES = ("name", "count")
"""What the pattern for a corrected picture's file name may fill in."""

KEEPABLE = ("serial", "gps")
"""What of the camera's data goes out only where a style asks for it."""

CREDIT_VALUES = ("creator", "year", "agency")
"""What the patterns for credit, source, copyright and byline may fill in."""


@dataclass(frozen=True, slots=True)
class Recipe:
    """How the picture itself is made for the desk.

    `long_side_px` pixels, `quality` 1 to 100 (JPEG), `max_bytes` 0 for no limit.
    """

    long_side_px: int = 3500
    quality: int = 85
    max_bytes: int = 3_000_000
    profile: str = "sRGB"


@dataclass(frozen=True, slots=True)
class HouseStyle:
    """One desk's house style. `text` patterns are Jinja2; see docs/house-styles.md."""

    name: str
    language: str
    locale: str
    headline: str
    description: str
    title: str
    event_name: str
    minute: str
    minute_with: str
    score: str
    score_with: str
    club: str
    numbers: bool
    date_format: str
    weekday_format: str
    titles: Mapping[str, str]
    competitions: Mapping[str, str]
    drop_sponsors: tuple[str, ...]
    agency: str
    byline: str
    credit: str
    source: str
    copyright_notice: str
    usage_terms: str
    data_mining: str
    digital_source_type: str
    keywords: tuple[str, ...]
    keyword_people: bool
    file_name: str
    file_name_most: int
    correction_name: str
    recipe: Recipe
    iim_ascii: bool
    keep: tuple[str, ...]
    required: tuple[str, ...]
    adjectives: tuple[str, ...]
    allowed_words: tuple[str, ...]
    quota_per_match: int
    quota_per_half: int
    quota_extra_time: int
    spacing_s: int


def read_style(text: str, thing: str = "house style") -> HouseStyle:
    """The house style a TOML text states. Raises WrongUse naming the key and what to do."""
    top = read_toml(text, thing)
    writing, facts, people = top.table("text"), top.table("facts"), top.table("people")
    dates, credit, file = top.table("dates"), top.table("credit"), top.table("file")
    check, words, quota = top.table("check"), top.table("words"), top.table("quota")
    names = top.table("competition")
    style = HouseStyle(
        name=top.text("name"),
        language=top.text("language", "en"),
        locale=_locale(top.text("locale", "en_GB"), thing),
        headline=writing.text("headline"),
        description=writing.text("description"),
        title=writing.text("title", "{{ home_short }} v {{ away_short }}"),
        event_name=writing.text("event_name", "{{ competition }}: {{ home }} v {{ away }}"),
        minute=facts.one_of("minute", ("words", "sign", "none"), "words"),
        minute_with=facts.one_of("minute_with", ("entries", "play"), "entries"),
        score=facts.text("score", "–"),
        score_with=facts.one_of("score_with", ("goals", "always", "never"), "goals"),
        club=people.one_of("club", ("of", "possessive", "brackets"), "of"),
        numbers=people.flag("numbers", False),
        date_format=dates.text("date", "d MMMM y"),
        weekday_format=dates.text("weekday", "EEEE"),
        titles=_texts(people.table("titles")),
        competitions=_texts(names.table("names")),
        drop_sponsors=names.texts("drop"),
        agency=credit.text("agency", ""),
        byline=credit.text("byline", "{{ creator }}"),
        credit=credit.text("credit"),
        source=credit.text("source", "{{ creator }}"),
        copyright_notice=credit.text("copyright", "© {{ year }} {{ creator }}"),
        usage_terms=credit.text("usage_terms", ""),
        data_mining=credit.text("data_mining", ""),
        digital_source_type=credit.text("digital_source_type", DIGITAL_CAPTURE),
        keywords=words.texts("keywords"),
        keyword_people=words.flag("people", True),
        file_name=file.text("name"),
        file_name_most=file.number("most_characters", 64, 12, 200),
        correction_name=file.text("correction", "{{ name }}_COR{{ count }}"),
        recipe=_recipe(top.table("picture")),
        iim_ascii=file.flag("iim_ascii", False),
        keep=file.texts("keep"),
        required=check.texts("required", ("headline", "description")),
        adjectives=words.texts("unwanted"),
        allowed_words=words.texts("allowed"),
        quota_per_match=quota.number("per_match", 0, 0, 10_000),
        quota_per_half=quota.number("per_half", 0, 0, 10_000),
        quota_extra_time=quota.number("extra_time", 0, 0, 10_000),
        spacing_s=quota.number("spacing_s", 0, 0, 86_400),
    )
    for table in (writing, facts, people, dates, credit, file, check, words, quota, names, top):
        table.close()
    _check(style, thing)
    return style


DIGITAL_CAPTURE = "http://cv.iptc.org/newscodes/digitalsourcetype/digitalCapture"
"""IPTC NewsCodes, Digital Source Type: original capture of a real scene."""


def _texts(table: Table) -> dict[str, str]:
    return {key: table.text(key) for key in table.names()}


def _recipe(table: Table) -> Recipe:
    recipe = Recipe(
        long_side_px=table.number("long_side_px", 3500, 200, 20_000),
        quality=table.number("quality", 85, 1, 100),
        max_bytes=table.number("max_bytes", 3_000_000, 0, 200_000_000),
        profile=table.one_of("profile", ("sRGB",), "sRGB"),
    )
    table.close()
    return recipe


def _locale(name: str, thing: str) -> str:
    try:
        Locale.parse(name)
    except (ValueError, UnknownLocaleError) as error:
        raise WrongUse(
            f"no such locale: {name}", thing=thing, next_step="Use one like en_GB or de_DE."
        ) from error
    return name


def _check(style: HouseStyle, thing: str) -> None:
    for key in ("headline", "description", "title", "event_name"):
        check_pattern(getattr(style, key), SENTENCE_VALUES, f"{thing}, {key}")
    check_pattern(style.file_name, NAME_VALUES, f"{thing}, file name")
    used = values_in(style.file_name)
    if "frame" not in used and not {"camera", "number"} <= used:
        raise WrongUse(
            "two pictures could have one name",
            thing=f"{thing}, file name: {style.file_name}",
            next_step="Use {{ camera }} and {{ number }}, or {{ frame }}.",
        )
    _check_correction(style, thing)
    for key in ("byline", "credit", "source", "copyright_notice", "usage_terms"):
        check_pattern(getattr(style, key), CREDIT_VALUES, f"{thing}, {key}")
    for pattern in (style.date_format, style.weekday_format):
        try:
            format_date(date(2027, 3, 6), pattern, style.locale)
        except (ValueError, KeyError, AttributeError) as error:
            raise WrongUse(
                f"no such date pattern: {pattern}", thing=thing, next_step="Use one like d MMMM y."
            ) from error
    for word in style.keep:
        if word not in KEEPABLE:
            raise WrongUse(
                f"there is nothing called `{word}` to keep",
                thing=f"{thing}, keep",
                next_step=f"Of the camera's own data {' and '.join(KEEPABLE)} may be kept.",
            )
    known = {field.name for field in fields(PictureFields)}
    for name in style.required:
        if name not in known:
            near = nearest(name, known)
            raise WrongUse(
                f"there is no field `{name}` to require",
                thing=thing,
                next_step=f"Did you mean {' or '.join(near)}?" if near else "See the fields.",
            )


def _check_correction(style: HouseStyle, thing: str) -> None:
    """A corrected picture needs a name of its own: the plain one, marked and counted."""
    where = f"{thing}, correction"
    check_pattern(style.correction_name, CORRECTION_VALUES, where)
    if not set(CORRECTION_VALUES) <= values_in(style.correction_name):
        raise WrongUse(
            "two corrections could have one name",
            thing=f"{where}: {style.correction_name}",
            next_step="Use {{ name }} and {{ count }}.",
        )
