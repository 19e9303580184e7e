"""Words of a caption that are nobody's name: the fixture's, the desk's, the calendar's."""

from __future__ import annotations

from functools import lru_cache

from babel import Locale

from setpiece.captions.language import Language
from setpiece.captions.situation import Situation
from setpiece.captions.style import HouseStyle
from setpiece.match.people import Side


def competition_name(situation: Situation, style: HouseStyle) -> str:
    """The competition as this desk names it: its own word, or without the sponsor."""
    name = situation.fixture.competition
    name = style.competitions.get(name, name)
    for sponsor in style.drop_sponsors:
        name = name.replace(sponsor, "")
    return " ".join(name.split())


@lru_cache(maxsize=16)
def calendar_words(locale: str) -> tuple[str, ...]:
    """Names of months and weekdays in a locale, long and short, longest first."""
    known = Locale.parse(locale)
    words = {
        str(word)
        for table in (known.months, known.days)
        for form in ("wide", "abbreviated")
        for word in table["format"][form].values()
    }
    return tuple(sorted(words, key=lambda w: (-len(w), w)))


def stage_name(situation: Situation, language: Language) -> str:
    """The stage of the competition in that language, as typed where it has no word for it."""
    stage = situation.fixture.stage
    return language.phrase(f"stage.{stage.lower()}") or stage


def known_phrases(situation: Situation, style: HouseStyle, language: Language) -> tuple[str, ...]:
    """Everything with capitals that belongs to the fixture, the desk or the calendar."""
    fixture, sheet = situation.fixture, situation.sheet
    phrases = [
        competition_name(situation, style), fixture.competition, fixture.stage,
        stage_name(situation, language), fixture.venue,
        fixture.city, fixture.state, fixture.country, fixture.home, fixture.away, style.agency,
        style.name,
    ]  # fmt: skip
    for side in Side:
        phrases += [sheet.side(side).name, sheet.side(side).short_name]
    phrases += calendar_words(style.locale)
    return tuple(sorted({p for p in phrases if p}, key=lambda p: -len(p)))
