"""What a printed caption says, and everything in it that is not the truth."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from lines import Case
from plain import Match

MONTHS = {
    "en": "January February March April May June July August September October November December",
    "de": "Januar Februar März April Mai Juni Juli August September Oktober November Dezember",
}
DAYS = {
    "en": "Monday Tuesday Wednesday Thursday Friday Saturday Sunday",
    "de": "Montag Dienstag Mittwoch Donnerstag Freitag Samstag Sonntag",
}
PLACES = {
    "en": {"left": "left", "right": "right", "centre": "centre"},
    "de": {"left": "links", "right": "rechts", "centre": "Mitte"},
}


@dataclass
class Look:
    """How a style prints: what it needs to be read by."""

    language: str
    score: str
    numbers: bool
    minute: str
    frame_minute: bool
    date: str


LOOKS = {
    "north": Look("en", "–", False, "", False, "{wd}, {d} {mon} {y}"),
    "gazette": Look("en", "-", True, "({m}')", False, "{w3}, {mon} {d}, {y}"),
    "club": Look("en", "–", True, "words", True, "{wd}, {d} {mon} {y}"),
    "nordblatt": Look("de", ":", False, "({m}.)", False, "{wd}, {d}. {mon} {y}"),
}
MATE = re.compile(r"(?:team-mates?|Mitspieler(?:in(?:nen)?|n)?|Teammitglied(?:er|ern)?) ")


def date_text(look: Look, when: datetime) -> str:
    """The day as the style prints it."""
    weekday = DAYS[look.language].split()[when.weekday()]
    month = MONTHS[look.language].split()[when.month - 1]
    return look.date.format(wd=weekday, w3=weekday[:3], d=when.day, mon=month, y=when.year)


def minute_text(look: Look, minute: str) -> str:
    """The minute as the style prints it."""
    if look.minute != "words":
        return look.minute.format(m=minute)
    if "+" in minute:
        return f"in added time ({minute})"
    count = int(minute)
    end = (
        {1: "st", 2: "nd", 3: "rd"}.get(count % 10, "th")
        if count % 100 not in (11, 12, 13)
        else "th"
    )
    return f"in the {count}{end} minute"


def wrong(text: str, style: str, case: Case, match: Match) -> list[str]:
    """Every fact in the text that is not so, or is missing."""
    look = LOOKS[style]
    found: list[str] = []
    found += _names(text, look, case, match)
    found += _clubs(text, case, match)
    found += _scores(text, look, case)
    found += _minutes(text, look, case)
    found += _scorer(text, case, match)
    day = match.time(case.at_s).astimezone(ZoneInfo(match.zone))
    if date_text(look, day) not in text:
        found.append(f"date is not {date_text(look, day)}")
    return found


def _names(text: str, look: Look, case: Case, match: Match) -> list[str]:
    found: list[str] = []
    allowed = {p.id for p in case.people} | {case.scorer}
    rest = text
    for person in sorted(match.people, key=lambda p: -len(p.name)):
        if person.name in rest:
            if person.id not in allowed:
                found.append(f"{person.name} is named")
            rest = rest.replace(person.name, "\x00")
    for named in case.people:
        someone = match.person(named.id)
        told = re.search(re.escape(someone.name) + r"(?: \(([^)]*)\))?", text)
        if told is None:
            found.append(f"{someone.name} is not named")
            continue
        said = [part.strip() for part in (told[1] or "").split(",") if part.strip()]
        said = [part for part in said if not re.fullmatch(r"\d+(?:\+\d+)?[.']", part)]
        want = [str(named.number)] if look.numbers and named.number is not None else []
        want += [PLACES[look.language][named.place]] if named.place else []
        if said != want:
            found.append(f"{someone.name} has {said}, not {want}")
    return found


def _clubs(text: str, case: Case, match: Match) -> list[str]:
    found: list[str] = []
    names = {match.home.name: "home", match.away.name: "away"}
    either = "|".join(re.escape(n) for n in sorted(names, key=lambda n: -len(n)))
    first = match.person(case.people[0].id).side if case.people else ""
    for named in case.people:
        someone = match.person(named.id)
        name = re.escape(someone.name)
        for club in re.findall(rf"{name}(?: \([^)]*\))? (?:of|von) ({either})\b", text):
            if names[club] != someone.side:
                found.append(f"{someone.name} is said to be of {club}")
        for club in re.findall(rf"({either})['’]s? (?:goalkeeper )?{name}", text):
            if names[club] != someone.side:
                found.append(f"{someone.name} is said to be of {club}")
        if re.search(MATE.pattern + name, text) and someone.side != first:
            found.append(f"{someone.name} is called a team-mate")
    sides = {match.person(n.id).side for n in case.people} - {""}
    for side in sides:
        if not any(names[c] == side for c in re.findall(either, text)):
            found.append(f"the club of the {side} side is not named")
    return found


def _scores(text: str, look: Look, case: Case) -> list[str]:
    said = re.findall(r"(?<![\d+])(\d{1,2})[–:-](\d{1,2})(?![\d+])", text)
    scores = {(int(h), int(a)) for h, a in said}
    want = {case.score} if case.score is not None else set()
    if scores != want:
        return [f"score is {scores or 'missing'}, not {want or 'to be printed'}"]
    if case.score and f"{case.score[0]}{look.score}{case.score[1]}" not in text:
        return ["score is not in the style's form"]
    return []


def _minutes(text: str, look: Look, case: Case) -> list[str]:
    wanted = case.minute if look.minute and (case.bound or look.frame_minute) else None
    if case.said:
        wanted = None
    printed = re.findall(
        r"\((\d+(?:\+\d+)?)['.]\)|in the (\d+)(?:st|nd|rd|th) minute|added time \((\d+\+\d+)\)",
        text,
    )
    minutes = ["".join(groups) for groups in printed]
    if minutes != ([wanted] if wanted else []):
        return [f"minute is {minutes}, not {wanted}"]
    if wanted and minute_text(look, wanted) not in text:
        return ["minute is not in the style's form"]
    return []


def _scorer(text: str, case: Case, match: Match) -> list[str]:
    found: list[str] = []
    alone = case.people[0].id if len(case.people) and not _several(text) else ""
    own = re.search(r"own goal|Eigentor|eigene Tor", text)
    if bool(own) != (case.how == "own goal" and not case.disallowed):
        found.append("an own goal is not said, or said where there is none")
    if case.scorer:
        name = match.person(case.scorer).name
        said_self = re.search(
            r"after scoring|nach (?:ihrem|seinem|dem eigenen)|\bscores\b|\btrifft\b", text
        )
        if said_self and alone != case.scorer:
            found.append("the wrong person is said to have scored")
        if not said_self and name not in text:
            found.append("the scorer is not named")
        by = re.search(r"(?:after|by|von) (\S.*?) (?:scored|to make|zum|that was)", text)
        if by and not said_self and name not in by[0]:
            found.append(f"scored by {by[1]}")
    elif re.search(r"scor(?:es|ed|ing)|Treffer|\btrifft\b", text):
        found.append("a goal is told that there is not")
    return found


def _several(text: str) -> bool:
    """Whether several people act, so that none of them alone can be the scorer."""
    return bool(re.search(r"\b(?:celebrate|jubeln)\b", text))
