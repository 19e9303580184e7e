"""What is wanted, on the page before the match: the list with what the set has of it, the day."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.match.people import PersonId
from setpiece.plan.choices import Choices
from setpiece.plan.shotlist import Answer, Shot
from setpiece.plan.templates import AFTER, BEFORE, MATCH, TEMPLATES, template
from setpiece.plan.wants import STORIES, Angle, Want
from setpiece.web.asked import whole_number
from setpiece.web.wording import Wording
from setpiece.work.before.wants import Wanted, all_wants, choices_of, shot_list
from setpiece.work.matchday import Matchday

STAGES = (BEFORE, MATCH, AFTER)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the list: `got` of `wanted`; `key` strikes it, `number` is a single want's."""

    key: str
    title: str
    got: int
    wanted: int
    done: bool
    at_hand: tuple[str, ...]
    number: int | None = None
    want: Want | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """One choice of a list, by its value and as it is shown."""

    value: str
    words: str


@dataclass(frozen=True, slots=True)
class WantsShown:
    """The list by the part of the day, what was struck, and what the forms offer."""

    choices: Choices
    stages: tuple[tuple[str, tuple[Line, ...]], ...]
    struck: tuple[Choice, ...]
    people: tuple[tuple[str, tuple[Choice, ...]], ...]
    angles: tuple[Choice, ...]
    stories: tuple[Choice, ...]
    templates: tuple[Choice, ...]
    whens: tuple[Choice, ...]
    done: int
    of: int
    contacts: str


def wants_shown(day: Matchday, wanted: Wanted | None, words: Wording) -> WantsShown:
    """The list as it stands; `wanted` is None before there is a sheet to read captions by."""
    chosen = choices_of(day.space, day.match)
    numbers = {f"want-{number}": (number, want) for number, want in all_wants(day.space, day.match)}
    answers = {a.shot.key: a for a in wanted.answers} if wanted else {}
    at_hand = wanted.at_hand if wanted else {}
    lines: dict[str, list[Line]] = {stage: [] for stage in STAGES}
    for shot in shot_list(day):
        number, want = numbers.get(shot.key, (None, None))
        lines[shot.when].append(
            _line(shot, answers.get(shot.key), at_hand.get(shot.key, ()), words, number, want)
        )
    done, of = wanted.done if wanted else (0, sum(map(len, lines.values())))
    return WantsShown(
        choices=chosen,
        stages=tuple((words(f"wants.{s}"), tuple(found)) for s, found in lines.items() if found),
        struck=tuple(
            Choice(s.key, shot_title(s, words))
            for s in template(chosen.template)
            if s.key in chosen.struck
        ),
        people=_people(day),
        angles=tuple(Choice(a.value, angle_words(a, words)) for a in Angle),
        stories=tuple(Choice(name, words(f"story.{_slug(name)}")) for name in STORIES),
        templates=tuple(Choice(name, words(f"template.{name}")) for name in TEMPLATES),
        whens=tuple(Choice(s, words(f"wants.{s}")) for s in STAGES),
        done=done,
        of=of,
        contacts="\n".join(f"{c.name}; {c.role}; {c.reach}" for c in chosen.contacts),
    )


def shot_title(shot: Shot, words: Wording) -> str:
    """A line of the list as the screen words it, each side and number said."""
    title = shot_words(shot, words)
    said = [f"{shot.count} × {title}" if shot.count > 1 else title]
    if shot.each_side:
        said.append(words("wants.each-side"))
    if shot.upright and not words.known(f"shot.{shot.key}"):
        said.append(words("wants.upright"))
    if shot.who:
        said.append(words("wants.for-desk", desk=shot.who))
    return ", ".join(said)


def shot_words(shot: Shot, words: Wording) -> str:
    """What a line wants: the words of a template's line, else as typed, with its story."""
    if words.known(f"shot.{shot.key}"):
        return words(f"shot.{shot.key}")
    named = with_story(words.told(shot.title), shot.about, words)
    return f"{named}, {shot.note}" if shot.note else named


def with_story(name: str, about: str, words: Wording) -> str:
    """Somebody, and why she is a story today."""
    return f"{name} ({angle_words(Angle(about), words)})" if about else name


def angle_words(angle: Angle, words: Wording) -> str:
    """Why somebody is wanted, as the screen words it."""
    return words(f"angle.{_slug(angle.value)}")


def _slug(text: str) -> str:
    return text.replace("'", "").replace(" ", "-")


def _line(
    shot: Shot,
    answer: Answer | None,
    at_hand: tuple[str, ...],
    words: Wording,
    number: int | None,
    want: Want | None,
) -> Line:
    missing = answer.missing if answer else 0
    total = shot.count * (2 if shot.each_side else 1)
    if answer and shot.each:
        total = missing + len(answer.frames)
    title = shot_title(shot, words)
    return Line(
        key=shot.key,
        title=title,
        got=max(0, total - missing) if answer else 0,
        wanted=total,
        done=bool(answer and answer.done),
        at_hand=at_hand,
        number=number,
        want=want,
    )


def _people(day: Matchday) -> tuple[tuple[str, tuple[Choice, ...]], ...]:
    """Everybody of the sheet by club, to be chosen from; the others last."""
    clubs = {day.sheet.home.name: "home", day.sheet.away.name: "away", "": ""}
    found = []
    for club, side in clubs.items():
        people = [p for p in day.sheet.people if (p.side.value if p.side else "") == side]
        if people:
            named = (f"{p.number} {p.name}" if p.number is not None else p.name for p in people)
            found.append((club, tuple(Choice(p.id, n) for p, n in zip(people, named, strict=True))))
    return tuple(found)


def want_of(
    person: str,
    angle: str,
    note: str,
    title: str,
    subjects: str,
    when: str,
    upright: bool,
    count: str,
    who: str,
) -> Want:
    """The want that a form describes: somebody, or a story of one's own. Raises WrongUse."""
    return Want(
        title=title.strip(),
        person=PersonId(person) if person else None,
        angle=Angle(angle) if angle in set(Angle) else None,
        note=note.strip(),
        subjects=tuple(s.strip() for s in subjects.split(",") if s.strip()),
        when=when if when in STAGES else MATCH,
        upright=upright,
        count=1 if (number := whole_number(count)) is None else number,
        who=who.strip(),
    )
