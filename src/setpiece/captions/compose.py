"""From one line to a caption in a house style: the sentences and every field."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from zoneinfo import ZoneInfo

from babel.dates import format_date

from setpiece.captions.acts import Acts
from setpiece.captions.caption import Caption, Facts, PersonFact, Shortened
from setpiece.captions.compose_words import competition_name, stage_name
from setpiece.captions.fields import (
    ALT_TEXT_MAX_CHARACTERS,
    FIELDS,
    PersonShown,
    PictureFields,
    Place,
    shorten,
)
from setpiece.captions.grammar import parse
from setpiece.captions.patterns import fill, tidy
from setpiece.captions.reading import Nature, Participant, Reading
from setpiece.captions.resolve import resolve
from setpiece.captions.sentence import Sentence, minute_text, score_text
from setpiece.captions.situation import Situation, vocabulary_of
from setpiece.captions.style import HouseStyle
from setpiece.match.people import Side


@dataclass(frozen=True, slots=True)
class Creator:
    """Who made the picture: the name for the byline, and the job title."""

    name: str = ""
    job_title: str = ""
    description_writer: str = ""


@dataclass(frozen=True, slots=True)
class Marks:
    """What a frame and its desk bring to the fields beside the caption."""

    guid: str = ""
    supplier_image_id: str = ""
    job_id: str = ""
    instructions: str = ""
    rating: int | None = None


__all__ = ["Caption", "Creator", "Marks", "caption_of", "compose", "read_line"]


def read_line(text: str, situation: Situation, acts: Acts) -> Reading:
    """The line as understood in this situation: what the screen shows before Enter."""
    line = parse(text, acts, vocabulary_of(situation.sheet))
    return resolve(line, situation, acts)


def compose(
    text: str,
    situation: Situation,
    style: HouseStyle,
    acts: Acts,
    *,
    creator: Creator = Creator(),
    marks: Marks = Marks(),
) -> Caption:
    """The caption that one line gives. Raises ShorthandError at a word, or Choices."""
    reading = read_line(text, situation, acts)
    return caption_of(reading, situation, style, acts, creator=creator, marks=marks)


def caption_of(
    reading: Reading,
    situation: Situation,
    style: HouseStyle,
    acts: Acts,
    *,
    creator: Creator = Creator(),
    marks: Marks = Marks(),
) -> Caption:
    """The caption of a reading in a style's language."""
    act = acts.acts[reading.act]
    language = acts.language(style.language)
    sentence = Sentence(reading, act, situation, style, language)
    around = _around(situation, style, creator)
    around["stage"] = stage_name(situation, language)
    around |= {
        "clause": sentence.clause(),
        "headline": sentence.headline(),
        "minute": minute_text(sentence.label, style, language),
        "score": score_text(sentence.score, style) if sentence.score is not None else "",
        "final": score_text(situation.state.score, style) if situation.is_over else "",
        "when": sentence.when(),
        "phase": situation.state.phase.value,
        "event": _event(around, sentence),
        "quotes": " ".join(f"“{quote}”" for quote in reading.quotes),
    }
    values = _fields(sentence, around, creator, marks)
    values, shortened = _shortened(values)
    return Caption(
        shorthand=reading.line,
        fields=values,
        facts=_facts(sentence, around),
        reading=reading,
        style=style.name,
        language=style.language,
        held_for_care=act.care or any(_needs_care(p, sentence) for p in reading.people),
        shortened=shortened,
    )


def _needs_care(person: Participant, sentence: Sentence) -> bool:
    if person.nature is not Nature.STRANGER:
        return False
    return sentence.language.term("stranger", person.key).care


def _around(situation: Situation, style: HouseStyle, creator: Creator) -> dict[str, object]:
    """What every pattern may fill in about the match, the day and the photographer."""
    fixture, sheet = situation.fixture, situation.sheet
    day = fixture.local_date(situation.at.middle)
    around: dict[str, object] = {
        "competition": competition_name(situation, style),
        "stage": fixture.stage,
        "home": sheet.home.name,
        "away": sheet.away.name,
        "home_short": sheet.home.short_name,
        "away_short": sheet.away.short_name,
        "venue": fixture.venue,
        "city": fixture.city,
        "state": fixture.state,
        "country": fixture.country,
        "date": format_date(day, style.date_format, style.locale),
        "weekday": format_date(day, style.weekday_format, style.locale),
        "day": day,
        "creator": creator.name,
        "agency": style.agency,
        "year": day.year,
    }
    around["credit"] = tidy(fill(style.credit, around))
    return around


def _event(around: dict[str, object], sentence: Sentence) -> str:
    return tidy(fill(sentence.language.phrases["event"], around))


def _fields(
    sentence: Sentence, around: dict[str, object], creator: Creator, marks: Marks
) -> PictureFields:
    style, situation = sentence.style, sentence.situation
    fixture = situation.fixture

    def pattern(text: str) -> str:
        return tidy(fill(text, around))

    place = Place(fixture.venue, fixture.city, fixture.state, fixture.country, fixture.country_code)
    made_at = situation.at.middle.astimezone(ZoneInfo(fixture.time_zone)).replace(microsecond=0)
    byline = pattern(style.byline) if creator.name else ""
    return PictureFields(
        headline=pattern(style.headline),
        description=pattern(style.description),
        alt_text=sentence.alt_text(),
        title=pattern(style.title),
        keywords=_keywords(sentence, around),
        persons=_persons(sentence),
        organisations=(situation.sheet.home.name, situation.sheet.away.name),
        event_name=pattern(style.event_name),
        event_ids=(fixture.id,) if fixture.id else (),
        location_created=place,
        location_shown=place,
        city=fixture.city,
        sublocation=fixture.venue,
        state=fixture.state,
        country=fixture.country,
        country_code=fixture.country_code,
        date_created=made_at,
        creator=(byline,) if byline else (),
        creator_job_title=creator.job_title,
        credit=str(around["credit"]),
        source=pattern(style.source),
        copyright_notice=pattern(style.copyright_notice),
        usage_terms=pattern(style.usage_terms),
        instructions=marks.instructions,
        job_id=marks.job_id,
        description_writer=creator.description_writer,
        digital_source_type=style.digital_source_type,
        data_mining=style.data_mining,
        guid=marks.guid,
        supplier_image_id=marks.supplier_image_id,
        rating=marks.rating,
    )


def _keywords(sentence: Sentence, around: dict[str, object]) -> tuple[str, ...]:
    style, reading = sentence.style, sentence.reading
    words = [*style.keywords, *sentence.wording.keywords, str(around["competition"])]
    words += [str(around["home"]), str(around["away"])]
    if style.keyword_people:
        words += [p.name for p in reading.people if p.name]
    words.append(sentence.situation.fixture.city)
    return tuple(dict.fromkeys(word for word in words if word))


def _persons(sentence: Sentence) -> tuple[PersonShown, ...]:
    """Those in the picture whom the caption names, with club, number worn and position."""
    shown: list[PersonShown] = []
    sheet = sentence.situation.sheet
    for person in _in_picture(sentence.reading):
        club = sheet.side(person.side).name if person.side is not None else ""
        number = str(person.number_worn) if person.number_worn is not None else ""
        role = person.title or person.position
        shown.append(PersonShown(person.name, ", ".join(t for t in (club, number, role) if t)))
    return tuple(shown)


def _in_picture(reading: Reading) -> tuple[Participant, ...]:
    return tuple(p for p in reading.people if p.name and p.part.value != "for")


def _facts(sentence: Sentence, around: dict[str, object]) -> Facts:
    reading, situation = sentence.reading, sentence.situation
    people = {
        p.person: PersonFact(p.person, p.name, p.number_worn, p.title)
        for p in reading.people
        if p.person is not None
    }
    bound = reading.bound
    if bound is not None and bound.scorer is not None and bound.scorer not in people:
        scorer = situation.person(bound.scorer)
        if scorer is not None:
            people[bound.scorer] = PersonFact(scorer.id, scorer.name)
    fixture = situation.fixture
    return Facts(
        people=tuple(people.values()),
        score=sentence.score,
        minute=sentence.label,
        entries=(bound.entry,) if bound is not None else (),
        date=fixture.local_date(situation.at.middle),
        places=tuple(p for p in (fixture.venue, fixture.city) if p),
        clubs=tuple(situation.sheet.side(side).name for side in Side),
    )


def _shortened(values: PictureFields) -> tuple[PictureFields, tuple[Shortened, ...]]:
    """The fields cut at a word where their datasets hold less, and what was cut."""
    cut: list[Shortened] = []

    def fit(name: str, text: str, most: int) -> str:
        kept = shorten(text, most)
        if kept != text:
            cut.append(Shortened(name, text, kept))
        return kept

    changed: dict[str, object] = {}
    known = {field.name for field in fields(PictureFields)}
    for spec in FIELDS:
        if spec.max_bytes is None or spec.name not in known:
            continue
        value = getattr(values, spec.name)
        if isinstance(value, str) and len(value.encode()) > spec.max_bytes:
            changed[spec.name] = fit(spec.name, value, spec.max_bytes)
        elif isinstance(value, tuple) and any(
            isinstance(v, str) and len(v.encode()) > spec.max_bytes for v in value
        ):
            changed[spec.name] = tuple(fit(spec.name, v, spec.max_bytes) for v in value)
    if len(values.alt_text) > ALT_TEXT_MAX_CHARACTERS:
        kept = values.alt_text[:ALT_TEXT_MAX_CHARACTERS].rsplit(" ", 1)[0]
        cut.append(Shortened("alt_text", values.alt_text, kept))
        changed["alt_text"] = kept
    return (replace(values, **changed), tuple(cut)) if changed else (values, ())  # type: ignore[arg-type]
