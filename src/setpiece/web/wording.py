"""The screen's words: every text of a page by its name, from one file a language."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import datetime, timedelta
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from zoneinfo import ZoneInfo

from babel import Locale
from babel.dates import format_date

from setpiece.match.instants import Instant
from setpiece.web.told import told

ENGLISH = "en"


class Wording:
    """The texts of one language. Values are put in as plain text; the templates escape them."""

    def __init__(self, language: str, texts: Mapping[str, str]) -> None:
        self._language = language
        self._texts = texts

    @property
    def language(self) -> str:
        """The language, as `en`."""
        return self._language

    @property
    def texts(self) -> Mapping[str, str]:
        """Every text by its name."""
        return self._texts

    def __call__(self, name: str, /, **values: object) -> str:
        """The text of that name. Raises KeyError for a name no text has: a slip in the program."""
        return self.texts[name].format_map(values) if values else self.texts[name]

    def count(self, name: str, number: int, /, **values: object) -> str:
        """The text of that name for so many: `name.one`, `name.other`, as the language counts.

        `name.two` is taken for two where it is given ("both").
        """
        form = "two" if number == 2 and f"{name}.two" in self.texts else ""
        form = form or Locale.parse(self.language).plural_form(number)
        text = self.texts.get(f"{name}.{form}") or self.texts[f"{name}.other"]
        return text.format_map({"n": number, **values})

    def told(self, english: str) -> str:
        """What a room below the page says in English, in this language where it is known."""
        return told(english, self.language)

    def known(self, name: str) -> bool:
        """Whether there is such a text."""
        return name in self.texts

    def listed(self, names: list[str]) -> str:
        """`a`, `a and b`, `a, b and c`."""
        if len(names) < 2:
            return "".join(names)
        return self("list.last", head=", ".join(names[:-1]), tail=names[-1])

    def place_in(self, position: int, total: int) -> str:
        """`Fifth of ten` up to twelve, then `Frame 13 of 40`."""
        first, of = f"ordinal.{position}", f"number.{total}"
        if first in self.texts and of in self.texts:
            return self("opened.place", position=self.texts[first], total=self.texts[of])
        return self("opened.place-long", position=position, total=total)

    def day(self, at: Instant, zone: str) -> str:
        """`Saturday 6 March 2027`, at the venue."""
        return format_date(at.astimezone(ZoneInfo(zone)), self.texts["form.day"], self.language)

    def clock(self, at: Instant, zone: str, *, tenths: bool = False, seconds: bool = True) -> str:
        """`16:32:53 CET`: the venue's time of day with its zone."""
        local = at.astimezone(ZoneInfo(zone))
        shown = f"{local:%H:%M:%S}" if seconds else f"{local:%H:%M}"
        if tenths:
            shown += f".{local.microsecond // 100_000}"
        return f"{shown} {zone_name(local)}"


def zone_name(local: datetime) -> str:
    """`CET`, or `UTC+03:30` where the zone has no letters of its own."""
    name = local.tzname() or ""
    if name.isalpha():
        return name
    offset = local.utcoffset() or timedelta()
    minutes = round(offset.total_seconds() / 60)
    sign = "-" if minutes < 0 else "+"
    return f"UTC{sign}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


@cache
def wording(language: str = ENGLISH) -> Wording:
    """The texts of a language, English where it has none of its own."""
    texts = dict(_read(ENGLISH))
    if language != ENGLISH:
        texts |= _read(language)
    return Wording(language, MappingProxyType(texts))


@cache
def languages() -> tuple[str, ...]:
    """The languages there are texts for."""
    here = files("setpiece.web.texts")
    return tuple(
        sorted(f.name.removesuffix(".toml") for f in here.iterdir() if f.name.endswith(".toml"))
    )


def _read(language: str) -> dict[str, str]:
    text = files("setpiece.web.texts").joinpath(f"{language}.toml").read_text(encoding="utf-8")
    flat: dict[str, str] = {}
    _flatten(tomllib.loads(text), "", flat)
    return flat


def _flatten(table: Mapping[str, object], path: str, into: dict[str, str]) -> None:
    for key, value in table.items():
        if isinstance(value, dict):
            _flatten(value, f"{path}{key}.", into)
        else:
            into[path + key] = str(value)
