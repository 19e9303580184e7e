"""Dates that captions print, against CLDR's names and a weekday computed apart."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from babel import Locale
from babel.dates import format_date

from setpiece.captions.check_fields import dates_in, weekdays_in
from setpiece.work.style_files import load_style, style_names

pytestmark = pytest.mark.published

# Unicode CLDR, as Babel carries it: names of months and days of the Gregorian calendar.
# Weekday: Zeller's congruence for the Gregorian calendar (Chr. Zeller, Acta Mathematica 9, 1887).
FIRST, LAST = date(2024, 1, 1), date(2031, 12, 31)
LONG = date(2027, 1, 1), date(2027, 12, 31)


def zeller(day: date) -> int:
    """The weekday, Monday 0."""
    month, year = (day.month, day.year) if day.month > 2 else (day.month + 12, day.year - 1)
    century, of_century = divmod(year, 100)
    found = day.day + 13 * (month + 1) // 5 + of_century + of_century // 4 + century // 4
    return (found + 5 * century + 5) % 7


def days(first: date, last: date) -> list[date]:
    """Every day from one to another."""
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]


@pytest.mark.parametrize("name", style_names())
def test_each_printed_date_has_cldrs_names_and_zellers_weekday(name: str) -> None:
    """Weekday and month of every day of eight years are the locale's own words for them."""
    style = load_style(None, name)
    known = Locale.parse(style.locale)
    for day in days(FIRST, LAST):
        text = format_date(day, style.date_format, style.locale)
        assert str(day.year) in text
        assert known.months["format"]["wide"][day.month] in text
        width = "wide" if style.weekday_format == "EEEE" else "abbreviated"
        weekday = format_date(day, style.weekday_format, style.locale)
        assert weekday == known.days["format"][width][zeller(day)]


@pytest.mark.parametrize("name", style_names())
def test_the_check_reads_every_printed_date_back(name: str) -> None:
    """Each day of a year, as a style prints it, is found in the text as that day."""
    style = load_style(None, name)
    for day in days(*LONG):
        weekday = format_date(day, style.weekday_format, style.locale)
        text = f"At the ground, {weekday}, {format_date(day, style.date_format, style.locale)}."
        (said,) = dates_in(text, style.locale)
        assert (said.year, said.month, said.day) == (day.year, day.month, day.day)
        assert [n for _, n in weekdays_in(text, style.locale)] == [zeller(day)]
