"""The check: a caption held against the log, the sheet, the fixture and its house style."""

from __future__ import annotations

from collections.abc import Iterator

from setpiece.captions.acts import Acts
from setpiece.captions.caption import Caption
from setpiece.captions.check_fields import (
    check_dates,
    check_lengths,
    check_places,
    check_required,
)
from setpiece.captions.check_match import (
    check_claims,
    check_entry,
    check_minutes,
    check_scorers,
    check_scores,
    up_to_date,
)
from setpiece.captions.check_people import (
    check_names,
    check_numbers,
    check_placement,
    check_sides,
    check_titles,
    check_whereabouts,
)
from setpiece.captions.check_sending import Delivered, check_sending
from setpiece.captions.check_words import check_care, check_sentences, check_unwanted
from setpiece.captions.findings import Finding, Level
from setpiece.captions.freetext import find_facts
from setpiece.captions.situation import Situation
from setpiece.captions.style import HouseStyle
from setpiece.match.instants import Instant

_ORDER = {Level.ERROR: 0, Level.DOUBT: 1, Level.REMARK: 2}


def check(
    caption: Caption,
    situation: Situation,
    style: HouseStyle,
    acts: Acts,
    *,
    now: Instant | None = None,
    delivered: Delivered | None = None,
) -> tuple[Finding, ...]:
    """Everything wrong, doubtful or remarkable, errors first, each once.

    `now` and `delivered` bring in what only a desk knows: embargo, quota, kills, exclusivity.
    """
    found = tuple(dict.fromkeys(_all(caption, situation, style, acts, now, delivered)))
    return tuple(sorted(found, key=lambda finding: _ORDER[finding.level]))


def _all(
    caption: Caption,
    situation: Situation,
    style: HouseStyle,
    acts: Acts,
    now: Instant | None,
    delivered: Delivered | None,
) -> Iterator[Finding]:
    yield from check_entry(caption, situation, acts)
    caption = up_to_date(caption, situation)
    language = acts.language(style.language)
    text = find_facts(caption.fields.description, situation, style, language)
    head = find_facts(caption.fields.headline, situation, style, language)
    for found in (text, head):
        yield from check_names(found, situation)
        yield from check_numbers(found, situation)
        yield from check_sides(found, situation, language)
        yield from check_titles(found, situation, style, language)
        yield from check_scores(caption, found, situation)
        yield from check_minutes(caption, found, situation, language)
        yield from check_scorers(caption, found, situation, language)
        yield from check_claims(found, situation, language)
        yield from check_unwanted(found.text, language, style)
    yield from check_whereabouts(caption, text, situation, acts, language)
    yield from check_placement(caption, text, situation, acts, language)
    yield from check_sentences(text, language)
    yield from check_care(caption, text, situation, language)
    yield from check_dates(caption, situation, style)
    yield from check_places(caption, situation)
    yield from check_lengths(caption, style)
    yield from check_required(caption, text, style, language)
    yield from check_sending(situation, style, now, delivered)


__all__ = ["Delivered", "Finding", "Level", "check"]
